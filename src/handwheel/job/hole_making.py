"""Holes: spotted, drilled, reamed and counterbored, at the places of a pattern."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field, StrictBool, model_validator

from handwheel.job.hole_pattern import Point2
from handwheel.job.operation import DepthOfCut, Fault, Name, Operation
from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.meant import Bore, Meant
from handwheel.path.outline import circle
from handwheel.path.prism import Prism
from handwheel.shop.quantities import Length, PositiveLength, Seconds, key_error
from handwheel.tolerances import CONTACT

BELOW: dict[str, float] = {"in": 1.016, "mm": 1.0}
"""How far the full diameter of a through hole goes below the work: .04 in or 1 mm (common practice)."""


class HoleMaking(Operation):
    """What all of them share; lengths in mm, ``dwell`` in seconds.

    ``holes`` names a pattern and ``points`` are its places; ``depth`` is of the full diameter, from ``from``, Z of the
    surface (``None``: the finished top).
    """

    do: str
    has_depth: ClassVar[bool] = True
    """Whether it is as deep as ``depth`` or ``through`` says."""

    holes: Name
    surface: Length | None = Field(default=None, alias="from", description="Z of the surface: the finished top")
    depth: PositiveLength | None = None
    through: StrictBool = False
    peck: DepthOfCut | None = Field(default=None, description="depth of a peck: in one")
    dwell: Seconds = 0.0
    points: tuple[Point2, ...] = Field(default=(), exclude=True, repr=False)

    @model_validator(mode="after")
    def _has_a_depth(self) -> HoleMaking:
        if not self.has_depth:
            if self.depth is not None or self.through:
                key = "depth" if self.depth is not None else "through"
                raise key_error(key, f"does not go with a {self.do}", "its diameter at the surface says how deep it is")
        elif (self.depth is None) != self.through:
            raise key_error("depth", "is missing" if self.depth is None else "does not go with through = true", _DEPTH)
        return self

    def top(self, work: Work) -> float:
        """Z of the surface, mm."""
        return work.upper_face if self.surface is None else self.surface

    def full_depth(self, work: Work, tool: Tool) -> float:
        """Z down to which the hole has its whole diameter, mm."""
        del tool
        if self.depth is None:
            return work.raw.low[2] - BELOW[work.units]
        return self.top(work) - self.depth

    def tip(self, work: Work, tool: Tool) -> float:
        """Z of the cutter's tip at the bottom, mm: its point is below the full diameter."""
        return self.full_depth(work, tool) - point_of(tool)

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        full, tip = self.full_depth(work, tool), self.tip(work, tool)
        opening = max(work.raw.high[2], self.top(work))
        return tuple(Meant(Bore(2, at, tool.diameter / 2, opening, full, tip), 0.0, self.name) for at in self.points)

    def lowest(self, work: Work, tool: Tool) -> float:
        return self.tip(work, tool)

    def lowest_over_jaws(self, work: Work, tool: Tool) -> float | None:
        """None: a hole stays within the work."""
        del work, tool
        return None

    def faults(self, work: Work) -> Iterator[Fault]:
        low, high = work.raw.low, work.raw.high
        for x, y in self.points:
            if not (low[0] <= x <= high[0] and low[1] <= y <= high[1]):
                yield Fault(
                    "holes",
                    f"has a hole at X {work.size(x)}, Y {work.size(y)}, beside the work",
                    "give places on the work, counted from the set-up's zero",
                )
                return
        if self.depth is not None and work.top is not None and self.top(work) - self.depth < low[2] - CONTACT:
            yield Fault("depth", "is deeper than the work is high", "write through = true for a through hole")


class Coned(HoleMaking):
    """A cone from the surface down: ``diameter`` is at the surface, mm; how deep it is follows from the cutter's
    angle."""

    has_depth: ClassVar[bool] = False

    diameter: PositiveLength

    def full_depth(self, work: Work, tool: Tool) -> float:
        """Z of the surface: below it is the cone alone."""
        del tool
        return self.top(work)

    def tip(self, work: Work, tool: Tool) -> float:
        """Z of the cutter's tip, mm: (diameter − tip) / 2 / tan(half the angle) below the surface."""
        return self.top(work) - (self.diameter - tool.tip_diameter) / 2 / _slope(tool)

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        surface, tip = self.top(work), self.tip(work, tool)
        opening = max(work.raw.high[2], surface)
        if not tool.tip_diameter:
            bores = (Bore(2, at, self.diameter / 2, opening, surface, tip) for at in self.points)
            return tuple(Meant(bore, 0.0, self.name) for bore in bores)
        return tuple(
            Meant(solid, 0.0, self.name)
            for at in self.points
            for solid in (
                *((Bore(2, at, self.diameter / 2, opening, surface, surface),) if opening > surface + CONTACT else ()),
                Prism(2, (circle(at, tool.tip_diameter).pieces,), tip, surface, _slope(tool)),
            )
        )

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        if self.diameter > tool.diameter + CONTACT:
            yield Fault("diameter", "is wider than the cutter", f"at most {work.size(tool.diameter)}")
        elif self.diameter <= tool.tip_diameter + CONTACT:
            yield Fault("diameter", "is no wider than the cutter's tip", f"more than {work.size(tool.tip_diameter)}")


class Spot(Coned):
    """A mark that a drill starts in: ``diameter`` is at the surface, mm."""

    shapes: ClassVar[tuple[Shape, ...]] = ("spot drill", "chamfer mill")

    do: Literal["spot"] = "spot"


class Countersink(Coned):
    """A seat for a flat-headed screw, or a broken edge: ``diameter`` is at the surface, mm; 82 degrees for inch screws,
    90 for metric ones, by the cutter.

    Source: ASME B18.3, ISO 10642 (from memory).
    """

    shapes: ClassVar[tuple[Shape, ...]] = ("countersink", "chamfer mill", "spot drill")

    do: Literal["countersink"] = "countersink"


class Drill(HoleMaking):
    """A drilled hole; with ``peck`` the drill is withdrawn after each."""

    shapes: ClassVar[tuple[Shape, ...]] = ("drill", "end mill")

    do: Literal["drill"] = "drill"


class Ream(HoleMaking):
    """A hole brought to size by a reamer: half a drill's speed, twice its feed."""

    shapes: ClassVar[tuple[Shape, ...]] = ("reamer",)

    do: Literal["ream"] = "ream"


class Counterbore(HoleMaking):
    """A flat seat round a hole."""

    shapes: ClassVar[tuple[Shape, ...]] = ("counterbore", "end mill")

    do: Literal["counterbore"] = "counterbore"


def point_of(tool: Tool) -> float:
    """How long a cutter's point is, mm: D/2 / tan(half the angle).

    Source: geometry; 0.3004 of the diameter for 118 degrees.
    """
    if tool.shape not in ("drill", "spot drill") or tool.point_angle >= 180.0:
        return 0.0
    return tool.diameter / 2 / math.tan(math.radians(tool.point_angle / 2))


def _slope(tool: Tool) -> float:
    """How much wider a cone is a millimetre further up: the tangent of half its angle."""
    return math.tan(math.radians(tool.point_angle / 2))


_DEPTH = "write depth, of the full diameter, or through = true"
