"""Rays that are wrong side by side are one place: where it is, how deep and how large."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """``at`` is the middle of the thickest stretch, ``depth`` the least way across it there (mm), ``area`` is the
    floor's or the wall's that is wrong (mm²)."""

    at: Point
    depth: float
    area: float


def places(
    thickness: Floats, middle: Floats, grid: tuple[Floats, Floats], sideways: Callable[[Point], tuple[float, float]]
) -> list[Place]:
    """The places in which upright rays are wrong.

    Parameters
    ----------
    thickness : (x, y) mm; of what is wrong on each ray, 0 where nothing is
    middle : (x, y) mm; the Z of its middle
    grid : the rays' coordinates in X and Y
    sideways : how thick what is wrong at a point is along X and along Y, mm
    """
    widths = tuple(_widths(values) for values in grid)
    found = []
    for rays in _neighbours(thickness > 0.0):
        i, j = rays.T
        thick = thickness[i, j]
        worst = int(thick.argmax())
        at = (float(grid[0][i[worst]]), float(grid[1][j[worst]]), float(middle[i[worst], j[worst]]))
        across = [value if value > 0.0 else math.inf for value in (*sideways(at), float(thick[worst]))]
        axis = int(np.argmin(across))
        if axis == 2:
            area = float((widths[0][i] * widths[1][j]).sum())
        else:
            along = (j, i)[axis]  # a wall across X runs along Y
            area = float(sum(widths[1 - axis][k] * thick[along == k].max() for k in np.unique(along)))
        found.append(Place(at, across[axis], area))
    return found


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
