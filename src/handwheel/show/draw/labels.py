"""Where there is room on a sheet: lettering never overlaps, never leaves the sheet, and keeps off lines if it can."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Point2 = tuple[float, float]

_TURNS: Final = [k * math.pi / 8 for k in range(16)]
"""Round a point, in sixteenths."""


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle on paper, mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """Along the sheet, mm."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Up the sheet, mm."""
        return self.y1 - self.y0

    @property
    def centre(self) -> Point2:
        """The middle, mm."""
        return ((self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2)

    def grown(self, by: float) -> Rect:
        """The same with ``by`` mm more all round."""
        return Rect(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def has(self, place: Point2) -> bool:
        """Whether a place lies inside."""
        return self.x0 <= place[0] <= self.x1 and self.y0 <= place[1] <= self.y1

    def nearest(self, place: Point2) -> Point2:
        """The place in it that is nearest another: where a leader begins."""
        return (min(max(place[0], self.x0), self.x1), min(max(place[1], self.y0), self.y1))

    def within(self, other: Rect) -> Rect:
        """As much of it as the other holds; they must overlap."""
        return Rect(max(self.x0, other.x0), max(self.y0, other.y0), min(self.x1, other.x1), min(self.y1, other.y1))

    def overlaps(self, other: Rect) -> bool:
        """Whether they share more than an edge."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1

    def holds(self, other: Rect) -> bool:
        """Whether the other lies wholly inside."""
        return self.x0 <= other.x0 and self.y0 <= other.y0 and self.x1 >= other.x1 and self.y1 >= other.y1

    @staticmethod
    def about(centre: Point2, width: float, height: float) -> Rect:
        """A rectangle by its middle and size."""
        x, y = centre
        return Rect(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _sides(rects: Sequence[Rect]) -> Floats:
    """(4, n) left, lower, right and upper sides."""
    return np.array([(one.x0, one.y0, one.x1, one.y1) for one in rects], dtype=np.float64).reshape(-1, 4).T


class Room:
    """What is taken on a sheet: rectangles that must stay clear of each other, and lines that had better be left
    clear."""

    def __init__(self, bounds: Rect) -> None:
        self.bounds = bounds
        self._taken: list[Rect] = []
        self._lines = np.empty((0, 2, 2))
        self._coming: list[Floats] = []

    def take(self, rect: Rect) -> None:
        """Nothing else may stand here."""
        self._taken.append(rect)

    def keep_off(self, segments: Floats) -> None:
        """Lettering had better not cross these lines: (n, 2, 2) mm."""
        if len(segments):
            self._coming.append(np.asarray(segments, dtype=np.float64).reshape(-1, 2, 2))

    def free(self, rect: Rect) -> bool:
        """Whether the rectangle is on the sheet and clear of all that is taken."""
        return bool(self._free([rect])[0])

    def _free(self, rects: Sequence[Rect]) -> NDArray[np.bool_]:
        """(n,) which of the rectangles are."""
        sides, taken = _sides(rects)[:, :, None], _sides(self._taken)
        on_sheet = np.array([self.bounds.holds(rect) for rect in rects], dtype=bool)
        apart = (sides[0] >= taken[2]) | (taken[0] >= sides[2]) | (sides[1] >= taken[3]) | (taken[1] >= sides[3])
        return np.asarray(on_sheet & apart.all(axis=1))

    def crossings(self, rect: Rect) -> int:
        """How many lines run through the rectangle."""
        if self._coming:
            self._lines = np.concatenate([self._lines, *self._coming])
            self._coming.clear()
        return int(np.count_nonzero(clipped_share(self._lines, rect)[2]))

    def place(
        self, candidates: Iterable[tuple[Rect, float]], *, anchor: Point2 | None = None, per_line: float = 6.0
    ) -> Rect | None:
        """The free candidate of least cost, which is then taken; ``None`` where none is free.

        A candidate comes with a cost of its own, in mm; each line that it covers costs ``per_line`` more, and so does,
        five times, each taken place that a leader to ``anchor`` would run through.
        """
        listed = list(candidates)
        free = [one for one, is_free in zip(listed, self._free([rect for rect, _ in listed]), strict=True) if is_free]
        best: tuple[float, Rect] | None = None
        for rect, cost in sorted(free, key=lambda one: one[1]):
            if best is not None and cost >= best[0]:
                break
            total = cost + per_line * self.crossings(rect)
            if anchor is not None:
                total += 5 * per_line * self._through(rect.nearest(anchor), anchor)
            if best is None or total < best[0]:
                best = (total, rect)
        if best is None:
            return None
        self.take(best[1])
        return best[1]

    def _through(self, start: Point2, end: Point2) -> int:
        """How many taken places a leader runs through, but for one that it points at."""
        return sum(not rect.has(end) for rect in self._met(start, end))

    def in_the_way(self, start: Point2, end: Point2) -> Iterator[Rect]:
        """The taken places that a straight line runs through, but for one that it starts in."""
        return (rect for rect in self._met(start, end) if not rect.grown(1.5).has(start))

    def _met(self, start: Point2, end: Point2) -> Iterator[Rect]:
        line = np.array([(start, end)])
        low, high = line[0].min(axis=0).tolist(), line[0].max(axis=0).tolist()
        reach = Rect(*low, *high).grown(1e-6)
        return (rect for rect in self._taken if rect.overlaps(reach) and clipped_share(line, rect)[2][0])


def around(
    anchor: Point2, width: float, height: float, least: float = 3.0, most: float = 45.0
) -> Iterator[tuple[Rect, float]]:
    """Candidates round a point, near ones first, each with its distance as the cost."""
    for distance in np.arange(least, most, 2.0).tolist():
        for turn in _TURNS:
            centre = (
                anchor[0] + math.cos(turn) * (distance + width / 2),
                anchor[1] + math.sin(turn) * (distance + height / 2),
            )
            yield Rect.about(centre, width, height), distance


def clipped_share(segments: Floats, rect: Rect) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Where straight lines enter and leave a rectangle.

    Parameters
    ----------
    segments : (n, 2, 2) mm

    Returns
    -------
    first, last : (n,) shares of each line, 0…1; inside : (n,) whether any length of it lies within.

    Source: Y.-D. Liang and B. A. Barsky, *A new concept and method for line clipping*, ACM Transactions on Graphics 3
    (1984), 1–22.
    """
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    first, last = np.zeros(len(segments)), np.ones(len(segments))
    inside = np.ones(len(segments), dtype=bool)
    for axis, low, high in ((0, rect.x0, rect.x1), (1, rect.y0, rect.y1)):
        level = np.abs(along[:, axis]) < 1e-12
        step = np.where(level, 1.0, along[:, axis])
        near, far = (low - start[:, axis]) / step, (high - start[:, axis]) / step
        first = np.where(level, first, np.maximum(first, np.minimum(near, far)))
        last = np.where(level, last, np.minimum(last, np.maximum(near, far)))
        inside &= ~level | ((start[:, axis] >= low) & (start[:, axis] <= high))
    return first, last, inside & (first <= last)


def clipped(segments: Floats, rect: Rect) -> tuple[Floats, NDArray[np.bool_]]:
    """The parts of straight lines that lie in a rectangle: (m, 2, 2) mm, and which of the n lines they are of."""
    segments = np.asarray(segments, dtype=np.float64).reshape(-1, 2, 2)
    first, last, inside = clipped_share(segments, rect)
    start, along = segments[:, :1], segments[:, 1:] - segments[:, :1]
    ends = np.concatenate([start + first[:, None, None] * along, start + last[:, None, None] * along], axis=1)
    return ends[inside], inside
