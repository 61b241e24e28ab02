"""The height map: a bundle of vertical rays, one to a cell; how high the part stands and which move made it so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.engagement import Engagement
from handwheel.cut.grid import Grid, grid_over, resolution_for
from handwheel.cut.part import Part
from handwheel.cut.sweeps import batches
from handwheel.path.profile import Floats

CELLS: Final = 250_000
"""About how many cells a map has where no resolution is asked for."""

CELL_LIMIT: Final = 8_000_000
"""The most cells of a map; while it is cut and summed up, each takes some 50 bytes: 400 megabytes in all."""


@dataclass(frozen=True)
class Volume:
    """Volumes in mm³. The true value of ``removed`` and of ``left`` is within ``error`` of it, so long as no wall,
    ridge or groove is narrower than a cell."""

    stock: float
    removed: float
    left: float
    error: float


@dataclass(frozen=True)
class HeightMap:
    """A part seen along one set-up's spindle; lengths in mm, in that set-up's frame.

    Attributes
    ----------
    grid : the cells
    z : (ny, nx) float64; height at each cell's centre, −inf where the stock is cut through or there was none. Above a
        floor all counts as gone, also what flutes too short would leave standing there
    move : (ny, nx) int32; the move that made this height, −1 where none did
    engagement : what each move had in the cut
    volume : how much was there, was removed and is left
    """

    grid: Grid
    z: Floats
    move: NDArray[np.int32]
    engagement: Engagement
    volume: Volume

    @property
    def x(self) -> Floats:
        """(nx,) centres of the cells along X."""
        return self.grid.x

    @property
    def y(self) -> Floats:
        """(ny,) centres of the cells along Y."""
        return self.grid.y


def height_map(
    part: Part,
    resolution: float | None = None,
    *,
    setup: int = 0,
    progress: Callable[[int], object] | None = None,
) -> HeightMap:
    """Cut a height map.

    Parameters
    ----------
    part : the stock and its cuts
    resolution : greatest size of a cell, mm; left out, some ``CELLS`` cells
    setup : which of the part's cuts; those before it are already made
    progress : called with the number of moves done, now and then

    Raises
    ------
    HandwheelError
        Where the resolution needs more than ``CELL_LIMIT`` cells.
    """
    from handwheel.cut.kernels.cells import Standing, cut_map

    if resolution is None:
        resolution = resolution_for(part, setup, CELLS)
    grid = grid_over(part, setup, resolution, CELL_LIMIT)
    count = len(part.cuts[setup].moves) if part.cuts else 0
    standing = Standing(
        z=grid.top.copy(),
        made_by=np.full(grid.top.shape, -1, dtype=np.int32),
        taken=np.zeros(count),
        deepest=np.zeros(count),
        band=np.tile([np.inf, -np.inf], (count, 1)),
    )
    bottom = float(grid.stock.low[2])
    if part.cuts:
        for sweeps in batches(part.cuts[setup].moves, part.cuts[setup].tools, vertical=True, from_above=True):
            cut_map(sweeps, grid.numbers, bottom, standing)
            if progress is not None and len(sweeps.move):
                progress(int(sweeps.move[-1]) + 1)
    volume = _volume(grid, standing.z)
    engagement = _engagement(grid, standing.taken, standing.deepest, standing.band)
    z = grid.standing(np.arange(standing.z.size), standing.z.ravel()).reshape(standing.z.shape)
    z[z <= bottom] = -np.inf
    return HeightMap(grid, z, standing.made_by, engagement, volume)


def _engagement(grid: Grid, taken: Floats, deepest: Floats, band: Floats) -> Engagement:
    cell = grid.cell
    between = band[:, 1] - band[:, 0]
    width = np.where(taken > 0.0, between + (cell[0] + cell[1]) / 2.0, 0.0)
    return Engagement(taken * cell[0] * cell[1], deepest, width, float(np.hypot(*cell)))


def _volume(grid: Grid, z: Floats) -> Volume:
    """Sums over the cells. An edge runs up to half a cell from where the cells' centres put it, so the sum is off by
    half its height for each cell along it; both cells beside it have that height among their neighbours, so a quarter
    of the range over each cell and its neighbours, summed, bounds the error. Slopes are off by much less."""
    area = grid.cell[0] * grid.cell[1]
    bottom = float(grid.stock.low[2])
    high, low = z, z
    for axis in (0, 1):
        high, low = _over_neighbours(high, np.maximum, axis), _over_neighbours(low, np.minimum, axis)
    if grid.before is None:
        left = float((z - bottom).sum()) * area
        start = float((grid.top - bottom).sum()) * area
    else:
        # what was above a cell's height is gone; below it stands what stood before, hollows and all
        heights = np.repeat(z.ravel(), np.diff(grid.before.first))
        left = float(np.maximum(np.minimum(grid.before.high, heights) - grid.before.low, 0.0).sum()) * area
        start = float(grid.before.total().sum()) * area
    return Volume(start, start - left, left, float((high - low).sum()) / 4.0 * area)


def _over_neighbours(z: Floats, choose: np.ufunc, axis: int) -> Floats:
    """The greatest or least of each cell and its two neighbours along an axis."""
    rows = np.moveaxis(z, axis, 0)
    chosen = rows.copy()
    choose(chosen[1:], rows[:-1], out=chosen[1:])
    choose(chosen[:-1], rows[1:], out=chosen[:-1])
    return np.moveaxis(chosen, 0, axis)
