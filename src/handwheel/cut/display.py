"""A coarse map for pictures that move: every drop of every cell, so that any moment is shown without cutting again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.grid import Grid, grid_over, resolution_for
from handwheel.cut.part import Part
from handwheel.cut.sweeps import batches
from handwheel.path.profile import Floats

DISPLAY_CELLS: Final = 60_000
"""The most cells that a picture is made of."""


@dataclass(frozen=True)
class DisplayGrid:
    """Cells and their drops, in the order of the moves; lengths in mm, in the set-up's frame.

    A drop takes its cell from the height before it to ``height``, from the share ``begins`` of its move to ``ends``: at
    once where both are the same, else evenly. That is exact for flat cutters on straight moves; else the ends are.

    Attributes
    ----------
    grid : the cells; ``grid.top`` is how they stand at first
    cell : (n,) int32; which cell, counted along X row by row
    move : (n,) int32; during which move
    begins, ends : (n,) float64; share of the move, 0…1
    height : (n,) float64; the height afterwards, the stock's underside where it is cut through
    """

    grid: Grid
    cell: NDArray[np.int32]
    move: NDArray[np.int32]
    begins: Floats
    ends: Floats
    height: Floats

    def at(self, move: int, share: float = 1.0) -> Floats:
        """(ny, nx) the heights when ``share`` of a move is done."""
        z = self.grid.top.copy()
        flat = z.ravel()
        done = (self.move < move) | ((self.move == move) & (self.ends <= share))
        np.minimum.at(flat, self.cell[done], self.height[done])
        under_way = (self.move == move) & (self.begins < share) & (self.ends > share)
        cell = self.cell[under_way]
        part = (share - self.begins[under_way]) / (self.ends[under_way] - self.begins[under_way])
        flat[cell] += part * (np.minimum(self.height[under_way], flat[cell]) - flat[cell])
        return z


def display_grid(part: Part, cells: int = DISPLAY_CELLS, *, setup: int = 0) -> DisplayGrid:
    """Cut the part on at most ``cells`` cells and note every drop; ``setup`` as for the height map."""
    from handwheel.cut.kernels.drops import note_drops

    grid = grid_over(part, setup, resolution_for(part, setup, cells), cells)
    z = grid.top.copy()
    latest = np.full(z.size, -1, dtype=np.int64)
    drops, count = np.empty((4 * z.size, 5)), 0
    if part.cuts:
        for sweeps in batches(part.cuts[setup].moves, part.cuts[setup].tools, vertical=True, from_above=True):
            drops, count = note_drops(sweeps, grid.numbers, float(grid.stock.low[2]), z, latest, drops, count)
    cell, move, begins, ends, height = drops[:count].T.copy()
    height = grid.standing(cell.astype(np.intp), height)
    return DisplayGrid(grid, cell.astype(np.int32), move.astype(np.int32), begins, ends, height)
