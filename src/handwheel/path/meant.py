"""Solids that a part is meant to lose: boxes, bores with a point, and prisms over an outline."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.path.box import Box, Point
from handwheel.path.placement import Placement
from handwheel.path.prism import PIECE, Prism

Floats = NDArray[np.float64]

NUMBERS = 22
"""How many numbers stand for a solid in a kernel."""


@dataclass(frozen=True, slots=True)
class Bore:
    """A round hole along an axis, mm.

    ``centre`` are its other two coordinates in the order of the axes. From ``open`` to ``full`` it has its whole
    ``radius``; from there to ``tip`` it narrows to nothing, or ends flat where they are the same.
    """

    axis: int
    centre: tuple[float, float]
    radius: float
    open: float
    full: float
    tip: float

    @property
    def box(self) -> Box:
        """The least box that holds it."""
        low, high = [0.0] * 3, [0.0] * 3
        low[self.axis], high[self.axis] = min(self.open, self.tip), max(self.open, self.tip)
        for axis, middle in zip((one for one in range(3) if one != self.axis), self.centre, strict=True):
            low[axis], high[axis] = middle - self.radius, middle + self.radius
        return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))

    def holds(self, point: Point) -> bool:
        """Whether a point of its box is within it."""
        a, b = (value for index, value in enumerate(point) if index != self.axis)
        done = (point[self.axis] - self.full) / (self.tip - self.full) if self.tip != self.full else 0.0
        return math.hypot(a - self.centre[0], b - self.centre[1]) < self.radius * (1.0 - max(0.0, done))

    def placed(self, placement: Placement) -> Bore:
        """The same, turned and displaced."""
        ends = []
        for along in (self.open, self.full, self.tip):
            point = list(self.centre)
            point.insert(self.axis, along)
            ends.append(placement.point((point[0], point[1], point[2])))
        axis, _ = placement.axis(self.axis)
        a, b = (value for index, value in enumerate(ends[0]) if index != axis)
        return Bore(axis, (a, b), self.radius, ends[0][axis], ends[1][axis], ends[2][axis])


@dataclass(frozen=True, slots=True)
class Meant:
    """A solid that an operation is meant to take away.

    ``fillet`` is what a cutter's corner leaves at the foot of a wall, mm; ``operation`` names who takes it. ``cusp`` is
    what may stay on a wall that is no straight line along an axis, where it is made by coordinates, mm.
    """

    solid: Box | Bore | Prism
    fillet: float = 0.0
    operation: str = ""
    cusp: float = 0.0

    @property
    def box(self) -> Box:
        """The least box that holds it."""
        return self.solid if isinstance(self.solid, Box) else self.solid.box

    @property
    def boxes_within(self) -> tuple[Box, ...]:
        """Boxes of which it holds all; of a bore, none."""
        if isinstance(self.solid, Box):
            return (self.solid,)
        return self.solid.boxes_within if isinstance(self.solid, Prism) else ()

    def holds(self, point: Point) -> bool:
        """Whether a point is within it."""
        if not all(low < value < high for low, value, high in zip(self.box.low, point, self.box.high, strict=True)):
            return False
        return isinstance(self.solid, Box) or self.solid.holds(point)

    def placed(self, placement: Placement) -> Meant:
        """The same, turned and displaced."""
        solid = placement.box(self.solid) if isinstance(self.solid, Box) else self.solid.placed(placement)
        return replace(self, solid=solid)


class Numbers(NamedTuple):
    """Solids for kernels.

    ``rows``: (k, NUMBERS) low and high corner, fillet; of a bore its axis (−1: none), centre, radius, open, full, tip;
    the slack by which a bore or a prism may be wider or narrower, mm; of a prism its axis (−1: none), base, end, draft,
    its first piece and the one after its last; what more it may be narrower by, mm.
    ``pieces``: (m, PIECE), as :meth:`Prism.pieces` gives them.
    """

    rows: Floats
    pieces: Floats


def numbers(solids: Iterable[Meant], slack: float = 0.0) -> Numbers:
    """The solids for kernels; ``slack`` in mm."""
    rows, pieces = [], [np.empty((0, PIECE))]
    count = 0
    for one in solids:
        box = one.box
        row = [*box.low, *box.high, one.fillet]
        bore, prism = [-1.0, *[math.nan] * 6], [-1.0, *[math.nan] * 5]
        if isinstance(one.solid, Bore):
            hole = one.solid
            bore = [float(hole.axis), *hole.centre, hole.radius, hole.open, hole.full, hole.tip]
        elif isinstance(one.solid, Prism):
            upright, own = one.solid, one.solid.pieces()
            prism = [float(upright.axis), upright.base, upright.end, upright.draft, count, count + len(own)]
            pieces.append(own)
            count += len(own)
        rows.append([*row, *bore, slack, *prism, one.cusp])
    table = np.array(rows, dtype=np.float64).reshape(-1, NUMBERS)
    return Numbers(table, np.concatenate(pieces))
