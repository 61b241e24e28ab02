"""The part by arithmetic: every stroke clears a rectangle, and a size is what the rectangles leave of the raw block.

This is how a machinist reckons with pencil and paper. It knows nothing of moves or of the cut, so that what a slip does
to the part, and how an error gets into a size, can be said beforehand and held against what the cut shows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handwheel.job import Dimension
from handwheel.path.box import Box
from handwheel.path.face import Face
from handwheel.proof.size_line import Line, read
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Point2 = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight stroke, or way, along X or Y; mm, the job's frame.

    ``start`` and ``end`` are of the cutter's center; ``down`` is where it goes down to ``level``; ``clears`` is half
    the width that it leaves flat or, past a side, half the cutter; ``radius`` half the cutter. ``edge`` is the side of
    the work that it leaves, ``None`` on top and on the way. ``step`` and ``stroke`` count from 1 (0 on the way),
    ``number`` is the action on the sheet (by program 0). The flutes end ``flutes`` above the tip, the spindle's nose is
    ``length`` above it.
    """

    step: int
    stroke: int
    number: int
    tool: int
    start: Point2
    end: Point2
    down: Point2
    level: float
    clears: float
    radius: float
    edge: Face | None
    flutes: float
    length: float

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Leg:
        """The same stroke somewhere else."""
        start, end, down = ((one[0] + x, one[1] + y) for one in (self.start, self.end, self.down))
        return replace(self, start=start, end=end, down=down, level=self.level + z)

    @property
    def axis(self) -> int:
        """The axis that it runs along."""
        return 0 if abs(self.end[0] - self.start[0]) >= abs(self.end[1] - self.start[1]) else 1

    def cleared(self) -> tuple[Floats, Floats]:
        """(3,) low and high corner of what the flutes clear. On top the cutter's ends count as square: strokes start
        and end off the work. Else only what lies between the ends of the stroke counts."""
        reach = [self.clears, self.clears]
        if self.edge is not None or not self.stroke:
            reach[self.axis] = 0.0
        low = [min(a, b) - r for a, b, r in zip(self.start, self.end, reach, strict=True)]
        high = [max(a, b) + r for a, b, r in zip(self.start, self.end, reach, strict=True)]
        return np.array([*low, self.level]), np.array([*high, self.level + self.flutes])


# sizes ---------------------------------------------------------------------------------------------------------------


def sizes(setup: Setup, legs: Sequence[Leg]) -> dict[str, float | None]:
    """What each dimension would measure, mm; ``None`` where nothing is left to measure."""
    found = {}
    for size in setup.dimensions:
        corners = [leg.cleared() for leg in legs] + [chord for leg in legs for chord in _round_ends(leg, size)]
        found[size.name] = _measured(size, setup.raw, corners)
    return {name: None if math.isnan(value) else value for name, value in found.items()}


def _round_ends(leg: Leg, size: Dimension) -> Iterator[tuple[Floats, Floats]]:
    """Of the discs that a cutter clears at the ends of its stroke: the chord on the line that a size is taken along."""
    axis = "xyz".index(size.axis)
    level = [k for k in (0, 1) if k != axis]
    for centre in (leg.start, leg.end):
        off = math.hypot(*(size.through["xy"[k]] - centre[k] for k in level))
        if off >= leg.clears:
            continue
        half = [leg.clears, leg.clears]
        if axis != 2:
            half[axis] = math.sqrt(leg.clears**2 - off**2)
        low = np.array([centre[0] - half[0], centre[1] - half[1], leg.level])
        high = np.array([centre[0] + half[0], centre[1] + half[1], leg.level + leg.flutes])
        yield low, high


def _measured(size: Dimension, raw: Box, corners: Sequence[tuple[Floats, Floats]]) -> float:
    """What a size would measure where strokes clear all between those low and high corners; NaN where nothing is met,
    and of what strokes do not make: the places of holes."""
    if size.of in ("middle", "distance") or size.start is not None:
        return math.nan
    axis = "xyz".index(size.axis)
    places = [(other, size.through["xyz"[other]]) for other in (0, 1, 2) if other != axis]
    if not all(raw.low[other] <= place <= raw.high[other] for other, place in places):
        return math.nan
    met = [
        (low[axis], high[axis])
        for low, high in corners
        if all(low[other] < place < high[other] for other, place in places)
    ]
    cleared = np.array(met).reshape(1, -1, 2)
    return float(read(size, Line(cleared[..., 0], cleared[..., 1], raw.low[axis], raw.high[axis]), raw)[0])


# jaws ----------------------------------------------------------------------------------------------------------------


def lift_over_jaws(setup: Setup, legs: Sequence[Leg]) -> float:
    """How far the lowest stroke that meets a jaw is below the jaws' top, mm; 0 where all clear them."""
    low = (leg.level for leg in legs if any(_meets(leg, jaw) for jaw in (setup.fixed_jaw, setup.movable_jaw)))
    lift = setup.jaw_top - min(low, default=math.inf)
    return lift if lift > CONTACT else 0.0


def _meets(leg: Leg, jaw: Box) -> bool:
    if leg.level + leg.length <= jaw.low[2]:
        return False
    for points in ((leg.start, leg.end), (leg.down,)):
        away = [
            max(0.0, jaw.low[k] - max(p[k] for p in points), min(p[k] for p in points) - jaw.high[k]) for k in (0, 1)
        ]
        if math.hypot(*away) < leg.radius - CONTACT:
            return True
    return False
