"""The kernel that shows heights in parallel projection: column by column of the picture, from the eye outwards."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.rows import Floats

Ints = NDArray[np.int64]
Bytes = NDArray[np.uint8]

NOTHING = 255
FLOOR, FRONT, SIDE = 0, 1, 2
WALL = 2.0
"""A rise from one row to the next of more pixels than this is a wall."""
CLOSE = 4
"""A wall stands within so many cells before the place where it was met."""


@compiled
def show_heights(
    z: Floats,
    hue: Bytes,
    cell: Ints,
    base: Floats,
    numbers: tuple[float, float, float, float],
    tone: Bytes,
    shown: Bytes,
    row: Ints,
) -> None:
    """Fill ``tone``, ``shown`` and ``row``, each (rows, columns) of the picture, its lowest row first.

    Parameters
    ----------
    z, hue : (ny, nx) heights in mm, and the hue of each cell's top
    cell : (away, columns) the cell under each place, counted along X row by row; −1 for none; nearest first
    base : (away,) where Z 0 shows at each, pixels up the picture
    numbers : pixels for a mm of height; the stock's underside, mm; how many cells of X and of Y the line of sight
        crosses in the same way
    tone : how the face is turned, ``NOTHING`` where there is none
    shown : its hue; of a wall that of the floor before it, which the same cut laid bare
    row : how far away it is, in rows of ``cell``
    """
    upright, bottom, _, _ = numbers
    nx = z.shape[1]
    for column in range(cell.shape[1]):
        filled = 0
        before = -1
        for away in range(cell.shape[0]):
            here = cell[away, column]
            if here < 0 or z[here // nx, here % nx] <= bottom:
                before = -1
                continue
            height = z[here // nx, here % nx]
            top = math.floor(base[away] + upright * height)
            if top > filled:
                foot = base[away] + upright * bottom
                under = foot if before < 0 else base[away - 1] + upright * z[before // nx, before % nx]
                wall_top = filled
                face, wall_hue = FRONT, 0
                if top - under > WALL:
                    wall_top = top - 1
                    face, wall_hue = _wall(z, hue, here, bottom, numbers)
                for up in range(max(filled, math.ceil(foot)), min(top, tone.shape[0])):
                    is_wall = up < wall_top
                    tone[up, column] = face if is_wall else FLOOR
                    shown[up, column] = wall_hue if is_wall else hue[here // nx, here % nx]
                    row[up, column] = away
                filled = top
            before = here


@compiled
def _wall(
    z: Floats, hue: Bytes, here: int, bottom: float, numbers: tuple[float, float, float, float]
) -> tuple[int, int]:
    """How the wall that ends in a cell is turned, and the hue of the floor at its foot (0: the stock's own side).

    Of the two walls near it, to the front and to the right, it is the one that the line of sight meets last.
    """
    nx = z.shape[1]
    i, j = here % nx, here // nx
    height = z[j, i]
    ahead, right = 0, 0
    while ahead < CLOSE and j - ahead - 1 >= 0 and z[j - ahead - 1, i] >= height:
        ahead += 1
    while right < CLOSE and i + right + 1 < nx and z[j, i + right + 1] >= height:
        right += 1
    if (ahead + 0.5) / numbers[3] <= (right + 0.5) / numbers[2]:
        at = j - ahead - 1
        return FRONT, hue[at, i] if at >= 0 and z[at, i] > bottom else 0
    at = i + right + 1
    return SIDE, hue[j, at] if at < nx and z[j, at] > bottom else 0
