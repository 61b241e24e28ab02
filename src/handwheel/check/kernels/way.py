"""A move as kernels take it: a way is twelve numbers.

They are: 1 for an arc and 0 for a line; the arc's plane; start, end and centre (X, Y, Z each, mm); the turn (rad).
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.compiled import compiled

Floats = NDArray[np.float64]

ARC: Final = 0
PLANE: Final = 1
START: Final = 2
END: Final = 5
CENTRE: Final = 8
TURN: Final = 11
"""Where each stands in the row."""


@compiled
def start_of(way: Floats) -> Floats:
    """(3,) mm."""
    return way[START:END]


@compiled
def end_of(way: Floats) -> Floats:
    """(3,) mm."""
    return way[END:CENTRE]


@compiled
def is_level(way: Floats) -> bool:
    """Whether an arc lies level."""
    return bool(way[PLANE] == 0.0 and way[START + 2] == way[END + 2])


@compiled
def axes_of(way: Floats) -> tuple[int, int, int]:
    """First axis, second axis and normal of an arc's plane."""
    if way[PLANE] == 0.0:
        return 0, 1, 2
    return (2, 0, 1) if way[PLANE] == 1.0 else (1, 2, 0)


@compiled
def arc_radius(way: Floats) -> float:
    """The radius of an arc, mm."""
    first, second, _ = axes_of(way)
    return math.hypot(way[START + first] - way[CENTRE + first], way[START + second] - way[CENTRE + second])


@compiled
def arc_point(way: Floats, share: float) -> Floats:
    """Where the point is when ``share`` of an arc is done, (3,) mm."""
    first, second, normal = axes_of(way)
    cosine, sine = math.cos(share * way[TURN]), math.sin(share * way[TURN])
    u, v = way[START + first] - way[CENTRE + first], way[START + second] - way[CENTRE + second]
    point = np.empty(3)
    point[first] = way[CENTRE + first] + u * cosine - v * sine
    point[second] = way[CENTRE + second] + u * sine + v * cosine
    point[normal] = way[START + normal] + share * (way[END + normal] - way[START + normal])
    return point
