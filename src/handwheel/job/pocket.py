"""A pocket: everything inside a shape, down to a depth; open where the shape goes past the work."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field, StrictBool

from handwheel.job.entry import Entry
from handwheel.job.operation import CUSP, DepthOfCut, Fault
from handwheel.job.shaped import Shaped, least_corner, reaches_over_jaws, too_sharp
from handwheel.job.work import Work
from handwheel.motion.tables import Shape as CutterShape
from handwheel.motion.tables import Tool
from handwheel.path.meant import Meant
from handwheel.path.outline_offset import moved
from handwheel.path.prism import Prism
from handwheel.shop.quantities import LengthOrZero, PositiveLength, by_units
from handwheel.tolerances import CONTACT


class Pocket(Shaped):
    """Lengths in mm; ``depth`` counts from the finished top, ``finish`` stays on the wall and ``floor`` on the floor
    for the last cuts. ``measure`` ``None`` means where a dimension ends on the wall."""

    shapes: ClassVar[tuple[CutterShape, ...]] = ("end mill", "corner-radius end mill")

    do: Literal["pocket"] = "pocket"
    depth: PositiveLength
    entry: Entry = Entry()
    pass_depth: DepthOfCut | None = Field(default=None, description="half the cutter's diameter, within its flutes")
    finish: LengthOrZero = by_units("0.010 in", "0.25 mm")
    floor: LengthOrZero = 0.0
    measure: StrictBool | None = Field(default=None, description="true where a dimension ends on the wall")

    def faults(self, work: Work) -> Iterator[Fault]:
        faults = [*super().faults(work)]
        yield from faults
        if work.top is not None and work.top - self.depth < work.raw.low[2] - CONTACT:
            yield Fault(
                "depth",
                f"is below the work: only {work.size(work.top - work.raw.low[2])} of it is left under the finished top",
                "give less depth",
            )
        if self.floor > self.depth - CONTACT:
            yield Fault("floor", "is as much as the pocket is deep", "leave less on the floor")

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        outline = self.outline(work)
        corner = least_corner(outline, work, inside=True)
        if too_sharp(tool.diameter / 2, corner, self.compensation):
            yield Fault(
                "shape.corner_radius" if self.shape.rectangle or self.shape.block else "shape",
                f"has a corner of radius {work.size(corner)}, and tool {tool.number} one of "
                f"{work.size(tool.diameter / 2)}",
                "round it by more than the cutter's radius, or take a smaller cutter",
            )
        elif not moved([outline.pieces], -tool.diameter / 2 - self.finish):
            yield Fault("shape", f"is too narrow for tool {tool.number}", "take a smaller cutter, or leave less finish")

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        bottom, top = self.lowest(work, tool), max(work.raw.high[2], work.upper_face)
        prism = Prism(2, (self.outline(work).pieces,), bottom, top)
        return (Meant(prism, tool.corner_radius, self.name, CUSP[work.units]),)

    def lowest(self, work: Work, tool: Tool) -> float:
        del tool
        return work.upper_face - self.depth

    def lowest_over_jaws(self, work: Work, tool: Tool) -> float | None:
        return self.lowest(work, tool) if reaches_over_jaws(self.outline(work), work) else None
