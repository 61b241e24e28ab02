"""What a measuring tool of the shop may be wrong by."""

from __future__ import annotations

from handwheel.shop.quantities import PositiveLength, Table
from handwheel.units import Units


class Gauge(Table):
    """A kind of measuring tool; its expanded uncertainty (k = 2), mm, of one that reads in inches, and in millimeters.

    It covers tool, hand and temperature of a lab: about 95 of 100 readings are within it.
    """

    inch: PositiveLength
    metric: PositiveLength
    source: str = ""

    def uncertainty(self, units: Units) -> float:
        """U of the one for a job in these units, mm."""
        return self.inch if units == "in" else self.metric
