"""How low a moving piece of a cutter comes over a box: what is left to lift it by until it is free.

A piece over the box's footprint is free once its lowest point there is above the box. That lowest point is a convex
function of the place, so along a line it has one minimum.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.gap import GOLDEN, NARROWINGS, nearest_on_level_arc
from handwheel.check.kernels.piece import footprint_gap, piece_lowest, widest
from handwheel.check.kernels.way import ARC, TURN, arc_point, arc_radius, end_of, is_level, start_of
from handwheel.cut.kernels.compiled import compiled
from handwheel.tolerances import CHORD

Floats = NDArray[np.float64]

_HALVINGS = 60


@compiled
def move_lowest(way: Floats, piece: Floats, box: Floats) -> float:
    """The lowest Z that a piece has over the box's footprint during a move, mm; +inf where it is never over it.

    An arc that is not level goes by chords within ``CHORD``.
    """
    if way[ARC] == 0.0:
        return line_lowest(start_of(way), end_of(way), piece, box)
    if is_level(way):
        point = arc_point(way, nearest_on_level_arc(way, box))
        return float(point[2] + piece_lowest(footprint_gap(point[0], point[1], box), piece))
    chord = 2.0 * math.acos(1.0 - min(1.0, CHORD / arc_radius(way)))
    chords = max(1, math.ceil(abs(way[TURN]) / chord))
    lowest = math.inf
    for index in range(chords):
        a, b = arc_point(way, index / chords), arc_point(way, (index + 1) / chords)
        lowest = min(lowest, line_lowest(a, b, piece, box))
    return lowest


@compiled
def line_lowest(start: Floats, end: Floats, piece: Floats, box: Floats) -> float:
    """The same along a line."""
    way = end - start
    reach = widest(piece)
    nearest = _nearest(start, way, box)
    if _away(start, way, nearest, box) > reach:
        return math.inf
    low, high = _while_over(start, way, nearest, 0.0, reach, box), _while_over(start, way, nearest, 1.0, reach, box)
    lowest = _lowest_on(start, way, nearest, piece, box)
    lowest = min(lowest, _lowest_on(start, way, low, piece, box), _lowest_on(start, way, high, piece, box))
    for _ in range(NARROWINGS):
        early, late = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        at_early = _lowest_on(start, way, early, piece, box)
        at_late = _lowest_on(start, way, late, piece, box)
        lowest = min(lowest, at_early, at_late)
        if at_early <= at_late:
            high = late
        else:
            low = early
    return lowest


@compiled
def _away(start: Floats, way: Floats, share: float, box: Floats) -> float:
    return footprint_gap(start[0] + share * way[0], start[1] + share * way[1], box)


@compiled
def _lowest_on(start: Floats, way: Floats, share: float, piece: Floats, box: Floats) -> float:
    return float(start[2] + share * way[2] + piece_lowest(_away(start, way, share, box), piece))


@compiled
def _nearest(start: Floats, way: Floats, box: Floats) -> float:
    """The share of a line at which it is nearest to the box's footprint."""
    low, high = 0.0, 1.0
    for _ in range(NARROWINGS):
        early, late = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        if _away(start, way, early, box) <= _away(start, way, late, box):
            high = late
        else:
            low = early
    best = (low + high) / 2.0
    for share in (0.0, 1.0):
        if _away(start, way, share, box) < _away(start, way, best, box):
            best = share
    return best


@compiled
def _while_over(start: Floats, way: Floats, nearest: float, end: float, reach: float, box: Floats) -> float:
    """The last share on the way to ``end`` at which the piece is still over the footprint."""
    if _away(start, way, end, box) <= reach:
        return end
    inside, outside = nearest, end
    for _ in range(_HALVINGS):
        middle = (inside + outside) / 2.0
        if _away(start, way, middle, box) <= reach:
            inside = middle
        else:
            outside = middle
    return inside
