"""Side profiling: one side of the work to a coordinate, down to a depth."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, ClassVar, Literal

from pydantic import Field, StrictBool

from handwheel.job.operation import DepthOfCut, Fault, Operation
from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.box import Box
from handwheel.path.face import Face
from handwheel.path.meant import Meant
from handwheel.shop.quantities import Length, LengthOrZero, PositiveLength, Whole, by_units
from handwheel.tolerances import CONTACT

Edge = Literal[Face.FRONT, Face.BACK, Face.LEFT, Face.RIGHT]


class SideMilling(Operation):
    """Coordinates and lengths in mm.

    ``to`` is the coordinate of the finished face, ``depth`` counts from the finished top; ``rough_to`` are the
    coordinates that roughing leaves the face at, outside in (``None``: even widths under the material's limit, leaving
    ``finish``); ``measure`` ``None`` means where a dimension ends on this face.
    """

    shapes: ClassVar[tuple[Shape, ...]] = ("end mill", "corner-radius end mill")

    do: Literal["side"] = "side"
    edge: Edge
    to: Length
    depth: PositiveLength
    pass_depth: DepthOfCut | None = None
    rough_to: Annotated[tuple[Length, ...], Field(max_length=200)] | None = None
    finish: LengthOrZero = by_units("0.010 in", "0.25 mm")
    spring_passes: Annotated[int, Whole(0, 20)] = 0
    measure: StrictBool | None = Field(default=None, description="true where a dimension ends on this face")

    def faults(self, work: Work) -> Iterator[Fault]:
        axis = self.edge.axis
        outwards = self.edge.outwards
        raw_low, raw_high = work.raw.low[axis], work.raw.high[axis]
        raw = raw_high if outwards > 0 else raw_low
        far = raw_low if outwards > 0 else raw_high
        inside = (raw - self.to) * outwards >= -CONTACT and (self.to - far) * outwards > CONTACT
        if not inside:
            yield Fault(
                "to",
                f"is outside the stock, whose {'XY'[axis]} goes from {work.size(raw_low)} to {work.size(raw_high)}",
                f"give the coordinate of the finished {self.edge} face, counted from the job's zero",
            )
        elif self.rough_to is not None:
            stations = (raw, *self.rough_to, self.to)
            if not all((before - after) * outwards > CONTACT for before, after in pairwise(stations)):
                yield Fault(
                    "rough_to",
                    f"does not go step by step from the raw face at {work.size(raw)} to {work.size(self.to)}",
                    "give the coordinates of the face in the order they are cut, from outside to inside",
                )
        if work.top is not None and work.top - self.depth < work.raw.low[2] - CONTACT:
            yield Fault(
                "depth",
                f"is below the work: only {work.size(work.top - work.raw.low[2])} of it is left under the finished top",
                "give less depth",
            )

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        """Outside ``to``, down to the depth."""
        low, high = list(work.raw.low), list(work.raw.high)
        axis = self.edge.axis
        # a face that is finished as it is may stand a rounding error outside the stock
        if self.edge.outwards > 0:
            low[axis] = min(self.to, high[axis])
        else:
            high[axis] = max(self.to, low[axis])
        low[2] = self.lowest(work, tool)
        box = Box((low[0], low[1], low[2]), (high[0], high[1], max(high[2], low[2])))
        return (Meant(box, tool.corner_radius, self.name),)

    def lowest(self, work: Work, tool: Tool) -> float:
        del tool
        return work.upper_face - self.depth
