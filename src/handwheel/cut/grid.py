"""The cells over a part, as seen along one set-up's spindle: where they are and how high they stand at first."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, Stretches, left
from handwheel.errors import HandwheelError
from handwheel.path.box import Box
from handwheel.path.placement import Placement
from handwheel.path.profile import Floats
from handwheel.tolerances import CONTACT


@dataclass(frozen=True)
class Grid:
    """Cells that cover the stock exactly, in a set-up's frame; lengths in mm.

    ``x`` (nx,) and ``y`` (ny,) are the cells' centres, ``top`` (ny, nx) is how high each stands before the set-up's
    first move: where there is nothing, at the stock's underside. ``before`` is what each cell's ray passes through
    then, row by row: a hollow that an earlier set-up left under a top shows there alone (``None``: the raw stock).
    """

    stock: Box
    x: Floats
    y: Floats
    top: Floats
    before: Stretches | None = None

    @property
    def cell(self) -> tuple[float, float]:
        """The cells' size along X and Y, mm."""
        size = self.stock.size
        return size[0] / len(self.x), size[1] / len(self.y)

    def standing(self, cell: NDArray[np.intp], height: Floats) -> Floats:
        """(n,) how high cells, counted along X row by row, stand once all above these heights is gone, mm.

        That is the height itself on the raw stock, and lower over a hollow that an earlier set-up left there.
        """
        if self.before is None:
            return height
        found = np.full(len(height), float(self.stock.low[2]))
        first, count = self.before.first[cell], np.diff(self.before.first)[cell]
        for index in range(int(count.max(initial=0))):
            there = np.flatnonzero(index < count)
            stretch = first[there] + index
            reached = self.before.low[stretch] < height[there] - CONTACT
            found[there[reached]] = np.minimum(self.before.high[stretch], height[there])[reached]
        return found

    @property
    def numbers(self) -> Floats:
        """(4,) for kernels: first centre in X and Y, size in X and Y."""
        return np.array([self.x[0], self.y[0], *self.cell])


def grid_over(part: Part, setup: int, resolution: float, limit: int) -> Grid:
    """Cells of at most ``resolution`` (mm) over the part as it stands before the given set-up.

    Raises
    ------
    HandwheelError
        Where more than ``limit`` cells would be needed.
    """
    placement = part.cuts[setup].placement if part.cuts else Placement()
    stock = part.stock if placement.is_identity else placement.box(part.stock)
    if not resolution > 0.0:
        raise HandwheelError(f"a resolution is more than nothing, not {resolution:g} mm")
    counts = [max(math.ceil(size / resolution - 1e-9), 1) for size in stock.size[:2]]
    if counts[0] * counts[1] > limit:
        least = math.sqrt(stock.size[0] * stock.size[1] / limit)
        raise HandwheelError(
            f"a resolution of {resolution:g} mm needs {counts[0] * counts[1]:,} cells and {limit:,} are allowed; "
            f"take {math.ceil(least * 1000.0 + 1.0) / 1000.0:g} mm or more"
        )
    x, y = (_centres(stock.low[k], stock.size[k], counts[k]) for k in range(2))
    top = np.full((len(y), len(x)), float(stock.high[2]))
    if setup == 0 or not part.cuts:
        return Grid(stock, x, y, top)
    before = _before(part, setup, placement, stock, x, y)
    met = before.first[1:] > before.first[:-1]
    tops = np.full(len(met), float(stock.low[2]))
    tops[met] = before.high[before.first[1:][met] - 1]
    return Grid(stock, x, y, tops.reshape(len(y), len(x)), before)


def resolution_for(part: Part, setup: int, cells: int) -> float:
    """The size of square cells (mm) of which about ``cells``, and no more, cover the part."""
    placement = part.cuts[setup].placement if part.cuts else Placement()
    width, length, _ = placement.box(part.stock).size
    # n·m cells of side r need (width/r + 1)(length/r + 1) at most; solved for r
    half = (width + length) / 2.0
    return (half + math.sqrt(half * half + (cells - 1) * width * length)) / (cells - 1)


def _centres(low: float, size: float, count: int) -> Floats:
    return np.asarray(low + (np.arange(count) + 0.5) * (size / count), dtype=np.float64)


def _before(part: Part, setup: int, placement: Placement, stock: Box, x: Floats, y: Floats) -> Stretches:
    """What earlier set-ups left on each cell's ray, seen from this one: all their moves, seen from here."""
    earlier = Part(stock, tuple(_seen_from(placement, cut) for cut in part.cuts[:setup]))
    return left(earlier, Rays(2, np.column_stack([values.ravel() for values in np.meshgrid(x, y)])))


def _seen_from(placement: Placement, cut: Cut) -> Cut:
    return Cut(cut.moves, cut.tools, cut.placement.after(placement.inverse()))
