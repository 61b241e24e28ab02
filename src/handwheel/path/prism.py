"""Upright solids over an outline: what a slot, a pocket, an outline or a chamfer takes away."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handwheel.path.arc import Arc, quarters
from handwheel.path.box import Box, Point
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.placement import Placement
from handwheel.tolerances import CONTACT

PIECE = 8
"""How many numbers stand for a piece of an outline in a kernel."""


@dataclass(frozen=True, slots=True)
class Prism:
    """A region of a plane, carried along the axis that is square to it; mm.

    ``outlines`` are closed chains in the other two coordinates, in the order of the axes: a point is in the region
    where it is within an odd number of them, so that an outline within another one is a hole. The region is as given at
    ``base``; from there to ``end`` it grows on all sides by ``draft`` a millimetre (0: the walls are upright).
    """

    axis: int
    outlines: tuple[Chain, ...]
    base: float
    end: float
    draft: float = 0.0

    @property
    def box(self) -> Box:
        """The least box that holds it."""
        points = np.array([point for chain in self.outlines for piece in chain for point in _reach(piece)])
        grown = self.draft * abs(self.end - self.base)
        low, high = list(points.min(axis=0) - grown), list(points.max(axis=0) + grown)
        low.insert(self.axis, min(self.base, self.end))
        high.insert(self.axis, max(self.base, self.end))
        return Box((float(low[0]), float(low[1]), float(low[2])), (float(high[0]), float(high[1]), float(high[2])))

    def placed(self, placement: Placement) -> Prism:
        """The same, turned and displaced."""
        axis, _ = placement.axis(self.axis)

        def there(point: XY, along: float = 0.0) -> tuple[float, float, float]:
            full = [*point]
            full.insert(self.axis, along)
            return placement.point((full[0], full[1], full[2]))

        def flat(point: XY) -> XY:
            x, y = (value for index, value in enumerate(there(point)) if index != axis)
            return (x, y)

        origin, first, second = flat((0.0, 0.0)), flat((1.0, 0.0)), flat((0.0, 1.0))
        a, b = ((one[0] - origin[0], one[1] - origin[1]) for one in (first, second))
        sense = a[0] * b[1] - a[1] * b[0]

        def turned(piece: Line | Arc) -> Line | Arc:
            if isinstance(piece, Line):
                return Line(flat(piece.start), flat(piece.end))
            return Arc(flat(piece.centre), flat(piece.start), flat(piece.end), piece.turn * sense)

        base, end = (there((0.0, 0.0), along)[axis] for along in (self.base, self.end))
        outlines = tuple(tuple(turned(piece) for piece in chain) for chain in self.outlines)
        return replace(self, axis=axis, outlines=outlines, base=base, end=end)

    def holds(self, point: Point) -> bool:
        """Whether a point of its box is within it; of one that grows, as it is at its base."""
        a, b = (value for index, value in enumerate(point) if index != self.axis)
        return any(low < b < high for low, high in _across(self.pieces(), a))

    def walls(self, spacing: float) -> Iterator[tuple[XY, XY]]:
        """Points along its outlines at most ``spacing`` apart, none at a corner, each with the unit vector to the left
        of the chain there."""
        for chain in self.outlines:
            for piece in chain:
                count = max(1, math.ceil(piece.length / spacing))
                for index in range(count):
                    yield _at(piece, (index + 0.5) / count)

    @property
    def boxes_within(self) -> tuple[Box, ...]:
        """Boxes of which it holds all, side by side: all of it where its walls stand along the axes, none of one that
        grows."""
        if self.draft:
            return ()
        rows = self.pieces()
        marks = np.unique(rows[:, [1, 3]])
        low, high = min(self.base, self.end), max(self.base, self.end)
        boxes = []
        for first, last in pairwise(marks.tolist()):
            inset = (last - first) * 1e-9
            here, there = (_across(rows, at) for at in (first + inset, last - inset))
            for begin, end in _common(here, there):
                corners = [[first, begin], [last, end]]
                corners[0].insert(self.axis, low)
                corners[1].insert(self.axis, high)
                boxes.append(Box(tuple(corners[0]), tuple(corners[1])))
        return tuple(boxes)

    def pieces(self) -> NDArray[np.float64]:
        """(m, PIECE) for kernels: 0 for a line or 1 for an arc, start, end, centre, turn; an arc in parts that keep
        within a quarter circle, so that each rises or falls throughout along both axes. Every piece starts exactly
        where one ends."""
        rows: list[list[float]] = []
        for chain in self.outlines:
            at = chain[-1].end
            for piece in chain:
                parts = quarters(piece) if isinstance(piece, Arc) else (piece,)
                for part in parts:
                    end = part.end
                    arc = isinstance(part, Arc)
                    centre, turn = (part.centre, part.turn) if isinstance(part, Arc) else ((math.nan, math.nan), 0.0)
                    rows.append([float(arc), *at, *end, *centre, turn])
                    at = end
        return np.array(rows, dtype=np.float64).reshape(-1, PIECE)


def _across(rows: NDArray[np.float64], at: float) -> list[tuple[float, float]]:
    """Where a line at a first coordinate is in the region: its second coordinates."""
    met = rows[(rows[:, 1] <= at) != (rows[:, 3] <= at)]
    crossings = []
    for kind, x0, y0, x1, y1, cx, cy, _ in met.tolist():
        if not kind:
            crossings.append(y0 + (y1 - y0) * (at - x0) / (x1 - x0))
            continue
        radius = math.hypot(x0 - cx, y0 - cy)
        half = math.sqrt(max(0.0, radius * radius - (at - cx) ** 2))
        crossings.append(cy + math.copysign(half, y0 + y1 - 2.0 * cy))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def _common(first: list[tuple[float, float]], second: list[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    for a, b in first:
        for c, d in second:
            if min(b, d) - max(a, c) > CONTACT:
                yield max(a, c), min(b, d)


def _at(piece: Line | Arc, share: float) -> tuple[XY, XY]:
    if isinstance(piece, Line):
        x, y = piece.start_direction
        point = tuple(a + (b - a) * share for a, b in zip(piece.start, piece.end, strict=True))
        return (point[0], point[1]), (-y, x)
    start = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
    angle = start + piece.turn * share
    out = (math.cos(angle), math.sin(angle))
    sense = math.copysign(1.0, piece.turn)
    point = (piece.centre[0] + piece.radius * out[0], piece.centre[1] + piece.radius * out[1])
    return point, (-sense * out[0], -sense * out[1])


def _reach(piece: Line | Arc) -> Iterator[XY]:
    """Its ends, and of an arc the points in which it goes furthest along an axis."""
    yield piece.start
    yield piece.end
    if isinstance(piece, Arc):
        for part in quarters(piece):
            yield part.end
