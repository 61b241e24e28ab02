"""Machine vises and the parallels that the work stands on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, model_validator

from handwheel.shop.quantities import LengthOrZero, PositiveLength, Table, by_units


class WorkStop(Table):
    """A work stop at one end of the jaws, a body like a jaw; lengths in mm.

    A word stands for its side alone. ``height`` is that of its top over the jaws; ``None``: as high as every planned
    cut leaves room for, or swung away after clamping where none is left. ``width`` is across the jaws, ``thickness``
    along them.
    """

    side: Literal["left", "right", "none"] = "none"
    height: LengthOrZero | None = Field(default=None, description="of its top over the jaws: as the cuts leave room")
    width: PositiveLength = by_units("3/4 in", "20 mm")
    thickness: PositiveLength = by_units("1/2 in", "12 mm")

    @model_validator(mode="before")
    @classmethod
    def _one_word(cls, content: Any) -> Any:
        if isinstance(content, (Mapping, WorkStop)):
            return content
        if content not in ("left", "right", "none"):
            raise ValueError('is no place for a stop; write "left", "right", "none" or { side, height }')
        return {"side": content}


_NO_STOP: Any = Field(default="none", validate_default=True, description="a word, or a table: none")


class Vise(Table):
    """A machine vise; lengths in mm.

    ``jaw_height`` is from the bed to the jaws' top, ``bed_height`` from the table to the bed, ``jaw_thickness`` of
    either jaw across, with what carries it. ``parallels`` is their height (``None``: chosen from the set),
    ``parallel_inset`` how far they stand off the jaws, so that through holes clear them; ``air`` is planned between
    the lowest cut and the jaws' top.
    """

    jaw_width: PositiveLength
    jaw_height: PositiveLength
    jaw_thickness: PositiveLength
    bed_height: PositiveLength
    opening_max: PositiveLength
    parallels: PositiveLength | None = None
    parallel_thickness: PositiveLength = by_units("1/4 in", "6 mm")
    parallel_length: PositiveLength = by_units("6 in", "125 mm")
    parallel_inset: LengthOrZero = Field(default=0.0, description="how far the parallels stand off the jaws: 0")
    air: LengthOrZero = Field(default=2.0, description="planned between the lowest cut and the jaws' top: 2 mm")
    stop: WorkStop = _NO_STOP
    source: str = ""


class ParallelSet(Table):
    """The heights of a set of parallels, mm, a pair of each."""

    heights: tuple[PositiveLength, ...]
    source: str = ""
