"""Lines on paper: doubles and specks left out."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.show.draw.labels import Floats

GRAIN: Final = 0.02
"""Nothing finer is drawn, mm on paper."""


def distinct(places: Floats, marks: NDArray[np.int64], grain: float = GRAIN) -> tuple[Floats, NDArray[np.int64]]:
    """Lines on paper without what adds no ink: those shorter than the grain, and those drawn twice either way along.

    Parameters
    ----------
    places : (n, 2, 2) mm on paper
    marks : (n,) lines of different marks are never the same line
    grain : mm; all ends are moved onto this grid, so that a path of many tiny moves stays whole

    Returns
    -------
    places : (m, 2, 2) mm; index : (m,) which lines they were
    """
    grid = np.round(places / grain).astype(np.int64)
    # from the top down, then from the left: dashes that fall on each other then fall on each other everywhere
    rise, run = grid[:, 1, 1] - grid[:, 0, 1], grid[:, 1, 0] - grid[:, 0, 0]
    turned = (rise > 0) | ((rise == 0) & (run < 0))
    grid[turned] = grid[turned][:, ::-1]
    _, first = np.unique(np.column_stack([grid.reshape(-1, 4), marks]), axis=0, return_index=True)
    kept = np.sort(first[(grid[first, 0] != grid[first, 1]).any(axis=1)])
    return grid[kept] * grain, kept
