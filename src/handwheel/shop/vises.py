"""Machine vises and the parallels that the work stands on."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from handwheel.shop.quantities import LengthOrZero, PositiveLength, Table, by_units


class Vise(Table):
    """A machine vise; lengths in mm.

    ``jaw_height`` is from the bed to the jaws' top, ``bed_height`` from the table to the bed, ``jaw_thickness`` of
    either jaw across, with what carries it. ``parallels`` is their height (``None``: chosen from the set); ``air`` is
    planned between the lowest cut and the jaws' top.
    """

    jaw_width: PositiveLength
    jaw_height: PositiveLength
    jaw_thickness: PositiveLength
    bed_height: PositiveLength
    opening_max: PositiveLength
    parallels: PositiveLength | None = None
    parallel_thickness: PositiveLength = by_units("1/4 in", "6 mm")
    parallel_length: PositiveLength = by_units("6 in", "125 mm")
    air: LengthOrZero = Field(default=2.0, description="planned between the lowest cut and the jaws' top: 2 mm")
    stop: Literal["left", "right", "none"] = "none"
    source: str = ""


class ParallelSet(Table):
    """The heights of a set of parallels, mm, a pair of each."""

    heights: tuple[PositiveLength, ...]
    source: str = ""
