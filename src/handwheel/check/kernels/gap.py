"""How far a moving piece of a cutter stays from a box: exact, one move against one box.

The distance of two convex bodies is a convex function of where they are, so along a line it has one minimum, which is
found by a converged golden section. A level arc goes by its nearest point to the footprint, in closed form; another arc
is halved until its chords bound the distance within ``ARC_CLEARANCE``.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.piece import footprint_gap, piece_gap
from handwheel.check.kernels.way import ARC, CENTRE, TURN, arc_point, arc_radius, end_of, is_level, start_of
from handwheel.cut.kernels.compiled import compiled
from handwheel.tolerances import ARC_CLEARANCE

Floats = NDArray[np.float64]

GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
NARROWINGS = 64
"""Golden sections of a line: 0.618^64 is 4e-14 of it."""

_MOST_HALVES = 64


@compiled
def move_gap(way: Floats, piece: Floats, box: Floats) -> float:
    """The least distance of a piece from a box over a move, mm; 0 where they meet."""
    if way[ARC] == 0.0:
        return line_gap(start_of(way), end_of(way), piece, box)
    if is_level(way):
        return _gap_at(arc_point(way, nearest_on_level_arc(way, box)), piece, box)
    return _arc_gap(way, piece, box)


@compiled
def line_gap(start: Floats, end: Floats, piece: Floats, box: Floats) -> float:
    """The least distance of a piece from a box along a line, mm."""
    best = min(_gap_at(start, piece, box), _gap_at(end, piece, box))
    way = end - start
    if way[0] == 0.0 and way[1] == 0.0 and way[2] == 0.0:
        return best
    low, high = 0.0, 1.0
    early, late = 1.0 - GOLDEN, GOLDEN
    at_early, at_late = _gap_on(start, way, early, piece, box), _gap_on(start, way, late, piece, box)
    for _ in range(NARROWINGS):
        best = min(best, at_early, at_late)
        if best == 0.0:
            break
        if at_early <= at_late:
            high, late, at_late = late, early, at_early
            early = high - GOLDEN * (high - low)
            at_early = _gap_on(start, way, early, piece, box)
        else:
            low, early, at_early = early, late, at_late
            late = low + GOLDEN * (high - low)
            at_late = _gap_on(start, way, late, piece, box)
    return best


@compiled
def nearest_on_level_arc(way: Floats, box: Floats) -> float:
    """The share of a level arc at which its point is nearest to the box's footprint.

    Nearest to a corner of the footprint is the point in line with it and the centre; nearest to an edge is one of the
    four points due left, right, front and back of the centre; otherwise an end, or where arc and footprint cross.
    """
    start, centre, turn = start_of(way), way[CENTRE:TURN], way[TURN]
    radius = arc_radius(way)
    from_angle = math.atan2(start[1] - centre[1], start[0] - centre[0])
    angles = np.empty(17)
    angles[0], count = from_angle + turn, 1
    for quarter in range(4):
        angles[count] = quarter * math.pi / 2.0
        count += 1
    for x in (box[0], box[3]):
        for y in (box[1], box[4]):
            angles[count] = math.atan2(y - centre[1], x - centre[0])
            count += 1
    for axis in range(2):
        for edge in (box[axis], box[axis + 3]):
            off = edge - centre[axis]
            across = math.sqrt(max(0.0, (radius - off) * (radius + off)))
            angles[count] = math.atan2(across, off) if axis == 0 else math.atan2(off, across)
            angles[count + 1] = math.atan2(-across, off) if axis == 0 else math.atan2(off, -across)
            count += 2
    best, share = footprint_gap(start[0], start[1], box), 0.0
    for index in range(count):
        ahead = (angles[index] - from_angle) % (2.0 * math.pi)
        along = 1.0 if index == 0 else (ahead if turn > 0.0 else 2.0 * math.pi - ahead) / abs(turn)
        if along > 1.0:
            continue
        point = arc_point(way, along)
        here = footprint_gap(point[0], point[1], box)
        if here < best:
            best, share = here, along
    return share


@compiled
def _gap_at(point: Floats, piece: Floats, box: Floats) -> float:
    return piece_gap(footprint_gap(point[0], point[1], box), point[2], piece, box)


@compiled
def _gap_on(start: Floats, way: Floats, share: float, piece: Floats, box: Floats) -> float:
    away = footprint_gap(start[0] + share * way[0], start[1] + share * way[1], box)
    return piece_gap(away, start[2] + share * way[2], piece, box)


@compiled
def _arc_gap(way: Floats, piece: Floats, box: Floats) -> float:
    """The same along an arc that is not level: no part of it is nearer than its chord less the rise of the arc."""
    radius, turn = arc_radius(way), abs(way[TURN])
    best = _gap_at(start_of(way), piece, box)
    spans = max(1, math.ceil(turn / (math.pi / 4.0)))
    open_spans = np.empty((spans + _MOST_HALVES, 2))
    for index in range(spans):
        open_spans[index, 0], open_spans[index, 1] = index / spans, (index + 1) / spans
    held = spans
    while held > 0 and best > 0.0:
        held -= 1
        low, high = open_spans[held]
        a, b = arc_point(way, low), arc_point(way, high)
        best = min(best, _gap_at(a, piece, box), _gap_at(b, piece, box))
        rise = radius * (1.0 - math.cos(turn * (high - low) / 2.0))
        if line_gap(a, b, piece, box) - rise < best - ARC_CLEARANCE:
            middle = (low + high) / 2.0
            open_spans[held] = low, middle
            open_spans[held + 1] = middle, high
            held += 2
    return best
