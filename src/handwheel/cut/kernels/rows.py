"""The table that kernels of the cut are given: one row for each piece of a cutter along each move."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Mask = NDArray[np.bool_]


class Sweeps(NamedTuple):
    """Rows for kernels, in the order of the moves; lengths in mm.

    Attributes
    ----------
    arc : (n,) bool; whether the path is an arc
    plane : (n,) int64; the arc's plane
    move : (n,) int64; the move a row belongs to
    piece : (n,) int64; row of ``pieces``
    path : (n, 7) float64; lines: start, displacement, 0; arcs: as :mod:`handwheel.cut.kernels.arc_sweep` says
    share : (n, 2) float64; the part of the move (0…1) that the row stands for
    low, high : (n, 3) float64; the box round all that the row can touch
    pieces : (p, 6) float64; as :meth:`handwheel.path.profile.Profile.numbers` gives them
    """

    arc: Mask
    plane: Ints
    move: Ints
    piece: Ints
    path: Floats
    share: Floats
    low: Floats
    high: Floats
    pieces: Floats
