"""Outline milling: everything outside a shape, down to a depth, out to the raw sides."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field, StrictBool

from handwheel.job.operation import CUSP, DepthOfCut, Fault
from handwheel.job.shaped import Shaped, least_corner, too_sharp
from handwheel.job.work import Work
from handwheel.motion.tables import Shape as CutterShape
from handwheel.motion.tables import Tool
from handwheel.path.meant import Meant
from handwheel.path.outline import rectangle
from handwheel.path.prism import Prism
from handwheel.shop.quantities import LengthOrZero, PositiveLength, by_units
from handwheel.tolerances import CONTACT


class OutlineMilling(Shaped):
    """Lengths in mm; ``depth`` counts from the finished top, ``finish`` stays on the wall for the last cut, ``cusp`` is
    what arcs and oblique lines made by coordinates may leave by hand. ``measure`` ``None`` means where a dimension ends
    on the wall."""

    shapes: ClassVar[tuple[CutterShape, ...]] = ("end mill", "corner-radius end mill")

    do: Literal["outline"] = "outline"
    depth: PositiveLength
    pass_depth: DepthOfCut | None = Field(default=None, description="half the cutter's diameter, within its flutes")
    finish: LengthOrZero = by_units("0.010 in", "0.25 mm")
    cusp: PositiveLength | None = Field(default=None, description="0.002 in or 0.05 mm")
    measure: StrictBool | None = Field(default=None, description="true where a dimension ends on the wall")

    def faults(self, work: Work) -> Iterator[Fault]:
        yield from super().faults(work)
        if work.top is not None and work.top - self.depth < work.raw.low[2] - CONTACT:
            yield Fault(
                "depth",
                f"is below the work: only {work.size(work.top - work.raw.low[2])} of it is left under the finished top",
                "give less depth",
            )

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        corner = least_corner(self.outline(work), work, inside=False)
        if too_sharp(tool.diameter / 2, corner, self.compensation):
            yield Fault(
                "shape",
                f"has an inside corner of radius {work.size(corner)}, and tool {tool.number} one of "
                f"{work.size(tool.diameter / 2)}",
                "round it by more than the cutter's radius, or take a smaller cutter",
            )

    def cusp_by_hand(self, work: Work) -> float:
        """What an arc made by coordinates may leave, mm."""
        return CUSP[work.units] if self.cusp is None else self.cusp

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        bottom, top = self.lowest(work, tool), max(work.raw.high[2], work.upper_face)
        raw, outline = work.raw, self.outline(work)
        # past every side, so that a shape that ends on one leaves no sliver there
        (left, front), (right, back) = outline.box2
        low = (min(raw.low[0], left) - 1.0, min(raw.low[1], front) - 1.0)
        high = (max(raw.high[0], right) + 1.0, max(raw.high[1], back) + 1.0)
        prism = Prism(2, (rectangle(low, high).pieces, outline.pieces), bottom, top)
        return (Meant(prism, tool.corner_radius, self.name, self.cusp_by_hand(work)),)

    def lowest(self, work: Work, tool: Tool) -> float:
        del tool
        return work.upper_face - self.depth
