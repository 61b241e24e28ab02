"""Solids that a part is meant to lose: boxes with a fillet at their foot, and bores with a point."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handwheel.path.box import Box
from handwheel.path.placement import Placement

NUMBERS = 14
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
    """A solid that an operation is meant to take away, mm: a box, or the ``bore`` within it.

    ``fillet`` is what a cutter's corner leaves at the foot of a wall; ``operation`` names who takes it.
    """

    box: Box
    fillet: float = 0.0
    operation: str = ""
    bore: Bore | None = None

    def placed(self, placement: Placement) -> Meant:
        """The same, turned and displaced. A fillet lies at the foot of an upright wall: turned over it is left out."""
        bore = None if self.bore is None else self.bore.placed(placement)
        return replace(self, box=placement.box(self.box), bore=bore)


def bored(bore: Bore, operation: str) -> Meant:
    """A bore as a solid."""
    return Meant(bore.box, 0.0, operation, bore)


def numbers(solids: Iterable[Meant], slack: float = 0.0) -> NDArray[np.float64]:
    """(k, NUMBERS) for kernels: low and high corner, fillet; of a bore its axis (−1: none), centre, radius, open, full,
    tip; last the slack by which a bore may be wider or narrower, mm."""
    rows = []
    for one in solids:
        bore = one.bore
        row = [*one.box.low, *one.box.high, one.fillet]
        if bore is None:
            row += [-1.0, *[math.nan] * 6]
        else:
            row += [float(bore.axis), *bore.centre, bore.radius, bore.open, bore.full, bore.tip]
        rows.append(row)
    table = np.array(rows, dtype=np.float64).reshape(-1, NUMBERS)
    return np.column_stack([table, np.full(len(table), slack)])
