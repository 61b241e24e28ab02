"""A straight line in a plane."""

from __future__ import annotations

import math
from typing import NamedTuple

XY = tuple[float, float]


class Line(NamedTuple):
    """From ``start`` to ``end``, mm; the two differ.

    >>> Line((0.0, 0.0), (4.0, 0.0)).offset(1.0)
    Line(start=(0.0, 1.0), end=(4.0, 1.0))
    """

    start: XY
    end: XY

    @property
    def length(self) -> float:
        """mm."""
        return math.dist(self.start, self.end)

    @property
    def start_direction(self) -> XY:
        """Unit vector along the motion."""
        length = self.length
        return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)

    @property
    def end_direction(self) -> XY:
        """The same."""
        return self.start_direction

    def offset(self, left: float) -> Line:
        """The parallel line, ``left`` mm to the left (negative: to the right)."""
        along_x, along_y = self.start_direction
        x, y = -along_y * left, along_x * left
        return Line((self.start[0] + x, self.start[1] + y), (self.end[0] + x, self.end[1] + y))

    def share(self, point: XY) -> float:
        """How much of the line is done at ``point``: 0 at the start, 1 at the end, beyond them less or more."""
        x, y = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return ((point[0] - self.start[0]) * x + (point[1] - self.start[1]) * y) / (x * x + y * y)
