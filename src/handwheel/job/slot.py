"""A slot along X or Y: open at both ends, at one, or closed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field, StrictBool

from handwheel.job.entry import Entry
from handwheel.job.operation import CUSP, DepthOfCut, Fault, Operation
from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.arc import Arc
from handwheel.path.box import Box
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.meant import Meant
from handwheel.path.prism import Prism
from handwheel.shop.quantities import Length, LengthOrZero, PositiveLength, by_units
from handwheel.tolerances import CONTACT


class Slot(Operation):
    """Coordinates and lengths in mm.

    ``middle`` is the coordinate of its center line across, ``depth`` counts from the finished top; ``ends`` are its
    outermost points along (``None``: through both ends of the work): outside the stock it is open there, else it ends
    in a half circle. ``measure`` ``None`` means where a dimension ends on its walls.
    """

    shapes: ClassVar[tuple[Shape, ...]] = ("end mill", "corner-radius end mill")

    do: Literal["slot"] = "slot"
    along: Literal["x", "y"]
    middle: Length
    width: PositiveLength
    depth: PositiveLength
    ends: tuple[Length, Length] | None = Field(default=None, description="outermost points: through both ends")
    entry: Entry = Entry()
    pass_depth: DepthOfCut | None = Field(default=None, description="half the cutter's diameter, within its flutes")
    finish: LengthOrZero = by_units("0.010 in", "0.25 mm")
    measure: StrictBool | None = Field(default=None, description="true where a dimension ends on a wall")

    @property
    def run(self) -> Literal[0, 1]:
        """The axis that it runs along."""
        return 0 if self.along == "x" else 1

    def stretch(self, work: Work) -> tuple[float, float]:
        """Its ends along, low and high, as they are written; the raw ends where it goes through."""
        if self.ends is None:
            return work.raw.low[self.run], work.raw.high[self.run]
        return min(self.ends), max(self.ends)

    def is_open(self, work: Work) -> tuple[bool, bool]:
        """Whether the low and the high end lie outside the work."""
        low, high = self.stretch(work)
        raw = work.raw
        return low <= raw.low[self.run] + CONTACT, high >= raw.high[self.run] - CONTACT

    def outline(self, work: Work, inset: float = 0.0, beyond: float = 0.0) -> Chain:
        """Its wall, anticlockwise, closed: ``inset`` smaller all round; an open end lies ``beyond`` the work, mm."""
        half = self.width / 2 - inset
        low, high = self.stretch(work)
        open_low, open_high = self.is_open(work)
        low = work.raw.low[self.run] - beyond if open_low else low + self.width / 2
        high = work.raw.high[self.run] + beyond if open_high else high - self.width / 2
        # along Y what is to the right of the center line comes first
        right = -half if self.run == 0 else half
        here, there = self.point(low, right), self.point(high, right)
        back, home = self.point(high, -right), self.point(low, -right)
        pieces: list[Line | Arc] = []
        if math.dist(here, there) > CONTACT:
            pieces.append(Line(here, there))
        pieces.append(Line(there, back) if open_high else Arc(self.point(high, 0.0), there, back, math.pi))
        if math.dist(back, home) > CONTACT:
            pieces.append(Line(back, home))
        pieces.append(Line(home, here) if open_low else Arc(self.point(low, 0.0), home, here, math.pi))
        return tuple(pieces)

    def point(self, along: float, aside: float) -> XY:
        """A point by how far along it is, and how far from the center line."""
        return (along, self.middle + aside) if self.run == 0 else (self.middle + aside, along)

    def faults(self, work: Work) -> Iterator[Fault]:
        across = 1 - self.run
        low, high = work.raw.low[across], work.raw.high[across]
        if self.middle - self.width / 2 <= low + CONTACT or self.middle + self.width / 2 >= high - CONTACT:
            yield Fault(
                "middle",
                f"leaves no wall: the slot reaches from {work.size(self.middle - self.width / 2)} to "
                f"{work.size(self.middle + self.width / 2)}, the work from {work.size(low)} to {work.size(high)}",
                "give the coordinate of its center line; for a step at an edge write a side",
            )
        if work.top is not None and work.top - self.depth < work.raw.low[2] - CONTACT:
            yield Fault(
                "depth",
                f"is below the work: only {work.size(work.top - work.raw.low[2])} of it is left under the finished top",
                "give less depth",
            )
        first, last = self.stretch(work)
        raw_low, raw_high = work.raw.low[self.run], work.raw.high[self.run]
        if last <= raw_low + CONTACT or first >= raw_high - CONTACT:
            yield Fault("ends", "lie beside the work", "give its outermost points along the slot")
        elif not all(self.is_open(work)) and last - first < self.width - CONTACT:
            yield Fault("ends", "are nearer together than the slot is wide", "give its outermost points")

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        if tool.diameter > self.width + CONTACT:
            yield Fault(
                "width",
                f"is less than the {work.size(tool.diameter)} of tool {tool.number}",
                "take a cutter as wide as the slot, or narrower",
            )
        elif self.width - tool.diameter > CONTACT and (self.width - tool.diameter) / 2 < self.finish - CONTACT:
            yield Fault(
                "finish",
                f"is more than the {work.size((self.width - tool.diameter) / 2)} that tool {tool.number} leaves at "
                "each wall",
                "leave less, or take a narrower cutter",
            )

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        bottom, top = self.lowest(work, tool), max(work.raw.high[2], work.upper_face)
        if all(self.is_open(work)):
            half = self.width / 2
            low, high = self.point(work.raw.low[self.run], -half), self.point(work.raw.high[self.run], half)
            return (Meant(Box((*low, bottom), (*high, top)), tool.corner_radius, self.name),)
        outline = self.outline(work, beyond=self.width)
        return (Meant(Prism(2, (outline,), bottom, top), tool.corner_radius, self.name, CUSP[work.units]),)

    def lowest(self, work: Work, tool: Tool) -> float:
        del tool
        return work.upper_face - self.depth

    def lowest_over_jaws(self, work: Work, tool: Tool) -> float | None:
        """Only a slot across the jaws, open at an end, passes over them."""
        return self.lowest(work, tool) if self.run == 1 and any(self.is_open(work)) else None
