"""Moves as kernels take them; see :mod:`handwheel.check.kernels.way`."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from handwheel.motion import Kind, Moves

Floats = NDArray[np.float64]


def ways(moves: Moves) -> Floats:
    """(n, 12); where the point of each move goes."""
    arc = moves.kind == Kind.ARC
    return np.column_stack((arc, moves.plane, moves.start, moves.end, moves.centre, moves.turn)).astype(np.float64)
