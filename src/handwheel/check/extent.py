"""How far each move reaches along X, Y and Z, arcs with their bulge."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.motion import Kind, Moves, Plane

Floats = NDArray[np.float64]


def extents(moves: Moves) -> tuple[Floats, Floats]:
    """The lowest and the highest coordinates that the point passes on each move, (n, 3) mm each.

    An arc reaches further than its ends where it passes due + or − of its centre along an axis of its plane.
    """
    low, high = np.minimum(moves.start, moves.end), np.maximum(moves.start, moves.end)
    for plane in Plane:
        rows = np.flatnonzero((moves.kind == Kind.ARC) & (moves.plane == plane))
        if not len(rows):
            continue
        first, second, _ = plane.axes
        centre, turn = moves.centre[rows], moves.turn[rows]
        away = moves.start[rows] - centre
        angle = np.arctan2(away[:, second], away[:, first])
        radius = np.hypot(away[:, first], away[:, second])
        for quarter, (axis, sign) in enumerate(((first, 1.0), (second, 1.0), (first, -1.0), (second, -1.0))):
            ahead = np.where(turn > 0, quarter * math.pi / 2 - angle, angle - quarter * math.pi / 2) % (2 * math.pi)
            passed = ahead <= np.abs(turn)
            at = centre[:, axis] + sign * radius
            bound = high if sign > 0 else low
            reach = np.maximum if sign > 0 else np.minimum
            bound[rows, axis] = np.where(passed, reach(bound[rows, axis], at), bound[rows, axis])
    return low, high
