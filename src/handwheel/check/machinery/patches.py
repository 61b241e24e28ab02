"""Rays that are wrong side by side are one place: where it is, how deep and how large."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """``at`` is the middle of a thickest stretch, ``depth`` how thick it is there, square to the face it is off (mm),
    ``area`` is the floor's or the wall's that is wrong (mm²)."""

    at: Point
    depth: float
    area: float


Thickness = Callable[[Floats], Floats]
"""How thick what is wrong at (k, 3) points is along X, Y and Z: (k, 3) mm, +inf along an axis that does not count."""


def places(thickness: Floats, middle: Floats, grid: tuple[Floats, Floats], along_axes: Thickness) -> list[Place]:
    """The places in which upright rays are wrong.

    Parameters
    ----------
    thickness : (x, y) mm; of what is wrong on each ray, 0 where nothing is
    middle : (x, y) mm; the Z of its middle
    grid : the rays' coordinates in X and Y
    along_axes : how thick it is along each axis; the least of them is the depth
    """
    groups = [tuple(rays.T) for rays in _neighbours(thickness > 0.0)]
    if not groups:
        return []
    points = np.empty((len(groups), 3))
    for number, (i, j) in enumerate(groups):
        thick = thickness[i, j]
        worst = _in_the_middle(grid[0][i], grid[1][j], thick >= thick.max() - CONTACT)
        points[number] = grid[0][i[worst]], grid[1][j[worst]], middle[i[worst], j[worst]]
    return [
        Place(
            at=(float(point[0]), float(point[1]), float(point[2])),
            depth=float(ways.min()),
            area=_area(thickness, grid, i, j, int(ways.argmin())),
        )
        for (i, j), point, ways in zip(groups, points, along_axes(points), strict=True)
    ]


def _area(thickness: Floats, grid: tuple[Floats, Floats], i: Ints, j: Ints, axis: int) -> float:
    """The area of a floor that is wrong along Z, or of a wall that is wrong along X or Y."""
    if axis == 2:
        return float((_widths(grid[0])[i] * _widths(grid[1])[j]).sum())
    along, width = (j, _widths(grid[1])) if axis == 0 else (i, _widths(grid[0]))
    thick = thickness[i, j]
    return float(sum(width[k] * thick[along == k].max() for k in np.unique(along)))


def _in_the_middle(x: Floats, y: Floats, worst: NDArray[np.bool_]) -> int:
    """Which of the worst rays is nearest to the middle of them all."""
    away = np.hypot(x - x[worst].mean(), y - y[worst].mean())
    return int(np.where(worst, away, np.inf).argmin())


def _widths(values: Floats) -> Floats:
    """How much of the axis each coordinate stands for."""
    if len(values) < 2:
        return np.zeros(len(values))
    edges = np.concatenate(([values[0]], (values[1:] + values[:-1]) / 2.0, [values[-1]]))
    return np.diff(edges)


def _neighbours(wrong: NDArray[np.bool_]) -> Iterator[NDArray[np.int64]]:
    """(k, 2) the indices of each group of wrong rays that touch along an edge."""
    left = wrong.copy()
    for seed in np.argwhere(wrong).tolist():
        if not left[seed[0], seed[1]]:
            continue
        group, open_ends = [], [seed]
        left[seed[0], seed[1]] = False
        while open_ends:
            i, j = open_ends.pop()
            group.append((i, j))
            for a, b in ((i - 1, j), (i + 1, j), (i, j - 1), (i, j + 1)):
                if 0 <= a < left.shape[0] and 0 <= b < left.shape[1] and left[a, b]:
                    left[a, b] = False
                    open_ends.append([a, b])
        yield np.array(group, dtype=np.int64)
