"""Where the upright rays stand that judge the surface, and how it is found out what would fit in between them.

They stand evenly, and on either side of every planned face, the job's tolerance away from it, so that a wall is out
exactly where it is off by more.

The even rays are a ninety-sixth of the work's longer side apart, 2 mm on 200: a rib that two rows leave standing
between them, or a groove, can be thinner. Level rays look for these, along X and along Y, a tolerance above and below
every planned floor and below the top: whatever is off by more than the tolerance up or down crosses one of those
levels, and whatever is longer than the even spacing, however thin, crosses a ray on it. What they meet between two
upright rays, the thickest on each, gets an upright ray of its own. Left to chance is a pin or a hole smaller than the
even spacing both ways, a groove in a lower raw face, and what is thinner than the tolerance itself.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.machinery.residue import off
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays
from handwheel.path.meant import Meant
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]

SPACING = 1.0 / 96.0
"""Of the even rays, as a share of the work's longer side."""

MOST_MORE = 32
"""So many rays are added along each axis at most: a rib that lies askew is met by some of them."""


def upright_grid(part: Part, solids: tuple[Meant, ...], tolerance: float) -> tuple[Floats, Floats]:
    """The rays' coordinates in X and in Y, rising, mm.

    Parameters
    ----------
    part : the stock and its cut
    solids : what should be gone
    tolerance : by which a face may be off, mm
    """
    faces = [
        sorted({face for solid in solids for face in (solid.box.low[axis], solid.box.high[axis])}) for axis in (0, 1)
    ]
    grid = [_known(part, axis, faces[axis], tolerance) for axis in (0, 1)]
    more = [_between(part, solids, axis, grid, tolerance) for axis in (0, 1)]
    first, second = (np.union1d(grid[axis], more[axis][_clear(more[axis], faces[axis], tolerance)]) for axis in (0, 1))
    return first, second


def _known(part: Part, axis: int, faces: list[float], tolerance: float) -> Floats:
    """Even coordinates, not within the tolerance of a face, and one to either side of it."""
    stock = part.stock
    low, high = stock.low[axis], stock.high[axis]
    count = max(2, math.ceil((high - low) / (max(stock.size[0], stock.size[1]) * SPACING)))
    even = low + (np.arange(count) + 0.5) * (high - low) / count
    beside = np.array([face + side * (tolerance + CONTACT) for face in faces for side in (-1, 1)])
    both = np.concatenate((even, beside[(beside > low) & (beside < high)]))
    return np.unique(both[_clear(both, faces, tolerance)])


def _clear(values: Floats, faces: list[float], tolerance: float) -> NDArray[np.bool_]:
    """Which coordinates are further from every face than the tolerance."""
    away = np.abs(values[:, np.newaxis] - np.array(faces))
    return np.asarray(away.min(axis=1, initial=math.inf) > tolerance)


def _between(part: Part, solids: tuple[Meant, ...], axis: int, grid: list[Floats], tolerance: float) -> Floats:
    """Where level rays along an axis meet something that is off between two of the upright rays."""
    levels = _levels(part, solids, tolerance)
    across, height = (values.ravel() for values in np.meshgrid(grid[1 - axis], levels, indexing="ij"))
    found = []
    for wrong in off(part, Rays(axis, np.column_stack((across, height))), solids, slack=tolerance):
        low, high = (wrong.middle + side * wrong.thickness / 2.0 for side in (-1, 1))
        unseen = np.searchsorted(grid[axis], low) == np.searchsorted(grid[axis], high)
        found.append(wrong.middle[unseen & (wrong.thickness > tolerance + CONTACT)])
    middles = np.unique(np.concatenate(found))
    if len(middles) > MOST_MORE:
        middles = middles[np.linspace(0, len(middles) - 1, MOST_MORE).astype(np.int64)]
    return middles


def _levels(part: Part, solids: tuple[Meant, ...], tolerance: float) -> Floats:
    """A tolerance above and below every floor, and below the top, mm."""
    low, high = part.stock.low[2], part.stock.high[2]
    by = tolerance + CONTACT
    levels = np.unique([high - by, *(solid.box.low[2] + side * by for solid in solids for side in (-1, 1))])
    return levels[(levels > low) & (levels < high)]
