"""Threads of the 60 degree profile, by their names.

Source of all formulas: ISO 68-1, ISO 724 and ASME B1.1 (from memory): the sharp triangle is 0.866025 P high; the nut's
crest is 5/8 of that below the major diameter, the pitch line 3/8.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Final, Literal

from pydantic import model_validator

from handwheel.shop.quantities import PositiveLength, Table, key_error

Series = Literal["UNC", "UNF", "UNEF", "metric coarse", "metric fine"]

TRIANGLE: Final = math.sqrt(3.0) / 2.0
"""Height of the sharp triangle, as so many pitches."""

CLASS: Final[Mapping[Series, str]] = {
    "UNC": "-2B",
    "UNF": "-2B",
    "UNEF": "-2B",
    "metric coarse": "-6H",
    "metric fine": "-6H",
}
"""The usual class of fit of a nut. Source: ASME B1.1, ISO 965-1 (from memory)."""

_SERIES: Final = re.compile(r"(UNC|UNF|UNEF)?(-[23]B|-6H)?$")
_METRIC: Final = re.compile(r"M(\d+(?:\.\d+)?)(?:X(\d*\.?\d+))?$")


class Thread(Table):
    """A thread; lengths in mm. ``tap_drill`` is what the shop drills for it, named as it is marked."""

    series: Series
    diameter: PositiveLength
    pitch: PositiveLength
    tap_drill: PositiveLength
    tap_drill_name: str
    source: str = ""

    @model_validator(mode="after")
    def _is_drilled_within(self) -> Thread:
        if not self.minor <= self.tap_drill < self.diameter:
            raise key_error("tap_drill", "is not between the minor and the major diameter", "see the drill's table")
        return self

    @property
    def minor(self) -> float:
        """Minor diameter of the nut, D − 1.082532·P, mm.

        >>> m6 = Thread(series="metric coarse", diameter=6, pitch=1, tap_drill=5, tap_drill_name="5 mm")
        >>> round(m6.minor, 3), round(m6.pitch_diameter, 3), round(m6.percent(5.0))
        (4.917, 5.35, 77)
        """
        return minor_diameter(self.diameter, self.pitch)

    @property
    def pitch_diameter(self) -> float:
        """Where thread and groove are equally wide, D − 0.649519·P, mm."""
        return self.diameter - 0.75 * TRIANGLE * self.pitch

    def percent(self, hole: float) -> float:
        """How much of a full thread a hole of that diameter, mm, leaves: 100·(D − hole)/(1.299038·P)."""
        return percent_of_thread(self.diameter, self.pitch, hole)


def minor_diameter(diameter: float, pitch: float) -> float:
    """D − 1.082532·P, mm."""
    return diameter - 1.25 * TRIANGLE * pitch


def percent_of_thread(diameter: float, pitch: float, hole: float) -> float:
    """100·(D − hole)/(1.299038·P).

    Source: Machinery's Handbook, tap drill sizes (from memory).
    """
    return 100.0 * (diameter - hole) / (1.5 * TRIANGLE * pitch)


def called(name: str, threads: Mapping[str, Thread]) -> str | None:
    """The table's own name of a thread that may be written shorter; ``None`` where it is not there.

    A metric thread without a pitch is a coarse one; an inch thread may go without its series, since size and threads an
    inch say which it is; a class of fit may follow.

    >>> from handwheel.shop import load_shop
    >>> [called(name, load_shop().thread) for name in ("M6", "m8 x 1.0", "1/4-20", "10-32 UNF-2B", "1/4-20 UNF")]
    ['M6x1', 'M8x1', '1/4-20 UNC', '#10-32 UNF', None]
    """
    wanted = _short(name)
    for own, thread in threads.items():
        size, series = _short(own)
        if size == wanted[0] and wanted[1] in ("", series):
            return own
        if thread.series == "metric coarse" and wanted[0] == size.split("X")[0]:
            return own
    return None


def _short(name: str) -> tuple[str, str]:
    """Size and pitch, and the series where it is said."""
    text = name.upper().replace("×", "X").replace(" ", "").removeprefix("#").removeprefix("NO.")
    found = _SERIES.search(text)
    series = (found[1] or "") if found else ""
    text = text[: found.start()] if found else text
    metric = _METRIC.match(text)
    if metric:
        return f"M{float(metric[1]):g}" + (f"X{float(metric[2]):g}" if metric[2] else ""), series
    return text, series
