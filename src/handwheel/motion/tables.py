"""The tools that really cut, and the tables that the control holds. They are kept apart: a wrong entry does here
what it does at the machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from handwheel.units import Units

Shape = Literal[
    "end mill",
    "face mill",
    "ball end mill",
    "corner-radius end mill",
    "drill",
    "spot drill",
    "chamfer mill",
    "reamer",
    "tap",
    "counterbore",
    "countersink",
]


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool in its holder, as it really is; lengths in mm, ``point_angle`` in degrees (180: flat).

    ``reach`` is from the tip to the holder's nose; the gauge line (spindle nose) is ``holder_length`` above that. For a
    chamfer mill ``tip_diameter`` is the flat at its tip; for a tap ``lead`` is how many threads its tapered end has.
    """

    number: int
    shape: Shape
    diameter: float
    flutes: int
    flute_length: float
    shank: float
    reach: float
    holder_diameter: float
    holder_length: float
    material: Literal["HSS", "carbide"] = "HSS"
    centre_cutting: bool = True
    corner_radius: float = 0.0
    point_angle: float = 180.0
    pitch: float = 0.0
    tip_diameter: float = 0.0
    lead: float = 0.0

    @property
    def length(self) -> float:
        """Gauge line to tip, mm: what the length offset should be."""
        return self.reach + self.holder_length

    @property
    def flat_diameter(self) -> float:
        """The diameter over which it leaves a flat floor, mm."""
        return self.diameter - 2.0 * self.corner_radius


@dataclass(frozen=True, slots=True)
class Offset:
    """A slot of the control's offset table, mm: a *diameter* is meant (NISTIR 6556, appendix B)."""

    length: float = 0.0
    diameter: float = 0.0


Point = tuple[float, float, float]
_ORIGIN: Point = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Control:
    """What a control knows before a program starts; lengths in mm.

    ``origin`` is where the coordinate systems G54…G59.3 start, in the machine's frame; ``home`` and ``second_home`` are
    parameters 5161… and 5181…; ``start`` is where the axes stand. ``report`` is the machine-frame point that counts as
    zero in what is reported (with a job, the job's zero). ``units`` is what a program is in that says neither G20 nor
    G21. ``touched_at`` is what H holds more than the tool's length: nothing where it holds the gauge length, Z of the
    work zero in the machine's frame where each tool is touched to the work and Z of the zero table is 0.
    """

    offsets: Mapping[int, Offset] = field(default_factory=lambda: MappingProxyType({}))
    units: Units = "in"
    origin: Point = _ORIGIN
    home: Point = _ORIGIN
    second_home: Point = _ORIGIN
    start: Point = _ORIGIN
    report: Point = _ORIGIN
    touched_at: float = 0.0
    rapid: float = 10_000.0
    """mm/min along each axis."""
    feed_max: float = 10_000.0
    """mm/min along the path."""
    acceleration: float = 500.0
    """mm/s²."""
    travel: float = 1000.0
    """The longest travel of an axis, mm; without a job a meter."""
