"""Moves as kernels take them."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.compiled import compiled
from handwheel.motion import Moves

Floats = NDArray[np.float64]
Bytes = NDArray[np.int8]


class Ways(NamedTuple):
    """The columns of :class:`handwheel.motion.Moves` that say where a point goes."""

    kind: Bytes
    start: Floats
    end: Floats
    centre: Floats
    turn: Floats
    plane: Bytes


def ways(moves: Moves) -> Ways:
    """Where the point of a table of moves goes."""
    return Ways(moves.kind, moves.start, moves.end, moves.centre, moves.turn, moves.plane)


@compiled
def axes_of(plane: int) -> tuple[int, int, int]:
    """First axis, second axis and normal of an arc's plane."""
    if plane == 0:
        return 0, 1, 2
    return (2, 0, 1) if plane == 1 else (1, 2, 0)


@compiled
def arc_radius(way: Ways, row: int) -> float:
    """The radius of an arc, mm."""
    first, second, _ = axes_of(way.plane[row])
    start, centre = way.start[row], way.centre[row]
    return math.hypot(start[first] - centre[first], start[second] - centre[second])


@compiled
def arc_point(way: Ways, row: int, share: float) -> Floats:
    """Where the point is when ``share`` of an arc is done, (3,) mm."""
    first, second, normal = axes_of(way.plane[row])
    start, end, centre = way.start[row], way.end[row], way.centre[row]
    cosine, sine = math.cos(share * way.turn[row]), math.sin(share * way.turn[row])
    u, v = start[first] - centre[first], start[second] - centre[second]
    point = np.empty(3)
    point[first] = centre[first] + u * cosine - v * sine
    point[second] = centre[second] + u * sine + v * cosine
    point[normal] = start[normal] + share * (end[normal] - start[normal])
    return point
