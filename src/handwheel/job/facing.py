"""Facing: the top of the work to a height."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field, StrictBool

from handwheel.job.operation import DepthOfCut, Fault, Operation
from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.box import Box
from handwheel.path.meant import Meant
from handwheel.shop.quantities import Length, LengthOrZero, Number, by_units
from handwheel.tolerances import CONTACT


class Facing(Operation):
    """``to`` is the finished Z, mm; ``finish`` is left for the last cut where a size is measured before it.

    ``overhang`` and ``overlap`` are shares of the cutter's flat diameter.
    """

    shapes: ClassVar[tuple[Shape, ...]] = ("face mill", "end mill", "corner-radius end mill")

    do: Literal["face"] = "face"
    to: Length = Field(default=0.0, description="finished Z: the finished top of the work")
    pass_depth: DepthOfCut | None = None
    finish: LengthOrZero = by_units("0.010 in", "0.25 mm")
    measure: StrictBool | None = Field(
        default=None, description="true where a dimension ends on this face and its other end is final"
    )
    path: Literal["perimeter", "rows"] = "perimeter"
    overhang: Annotated[float, Number(least=0.147, greatest=0.5, what="a share of the cutter's diameter")] = 0.25
    overlap: Annotated[float, Number(least=0.0, greatest=0.9, what="a share of the cutter's diameter")] = 0.1

    def faults(self, work: Work) -> Iterator[Fault]:
        bottom, top = work.raw.low[2], work.raw.high[2]
        if not bottom + CONTACT < self.to <= top + CONTACT:
            yield Fault(
                "to",
                f"is outside the stock, whose Z goes from {work.size(bottom)} to {work.size(top)}",
                "give the Z that the top is to have, counted from the job's zero",
            )

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        """All of the raw work above ``to``."""
        raw = work.raw
        box = Box((raw.low[0], raw.low[1], self.to), (raw.high[0], raw.high[1], max(raw.high[2], self.to)))
        return (Meant(box, tool.corner_radius, self.name),)

    def lowest(self, work: Work, tool: Tool) -> float:
        del work, tool
        return self.to

    def top_after(self, top: float) -> float:
        del top
        return self.to


def finished_top(operations: Iterable[Operation], finished: Box) -> float:
    """Z of the top once all is faced, mm; the finished block's where nothing is."""
    return min((one.to for one in operations if isinstance(one, Facing)), default=finished.high[2])
