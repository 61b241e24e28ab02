"""The kernel that makes moves on standing work, in order; see :mod:`handwheel.check.standing`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.gap import move_gap
from handwheel.check.ways import Ways, arc_radius, axes_of
from handwheel.cut.arc_sweep import TAU, arc_against_vertical
from handwheel.cut.compiled import compiled
from handwheel.cut.line_sweep import line_against_vertical
from handwheel.cut.sweeps import Sweeps
from handwheel.motion import Kind
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_ARC = int(Kind.ARC)


@compiled
def make_moves(
    flutes: Sweeps,
    shank: Sweeps,
    holder: Sweeps,
    legs: tuple[Sweeps, Sweeps, Sweeps],
    way: Ways,
    tool: Ints,
    core: Floats,
    holders: Floats,
    xs: Floats,
    ys: Floats,
    heights: Floats,
    bottom: float,
    top: float,
    first: int,
    met: Floats,
    nearest: Floats,
) -> None:
    """Make the moves; ``heights``, ``met`` and ``nearest`` are changed in place.

    Parameters
    ----------
    flutes, shank, holder, legs : sweeps of the same moves, counted from 0
    way : the moves of the tip
    tool : (n,) the row of ``holders``; −1 for none
    core : (n,) mm; how far from the axis there are no teeth
    xs, ys : the rays' coordinates, rising
    heights : (x, y) what still stands
    bottom, top : of the raw work
    first : the number of the first move in ``met``
    met : (6, all moves); see :class:`handwheel.check.standing.Standing`
    nearest : (2,) the least distance of the holder so far, and its move
    """
    at = np.zeros(6, dtype=np.int64)
    for row in range(len(way.kind)):
        for leg in range(3):
            at[3 + leg], deep, _, _ = _pass(
                legs[leg], at[3 + leg], row, xs, ys, heights, bottom, top, False, way.start[row], way.end[row], 0.0
            )
            met[5, first + row] = max(met[5, first + row], deep)
        at[0], met[0, first + row], met[2, first + row], met[1, first + row] = _pass(
            flutes, at[0], row, xs, ys, heights, bottom, top, True, way.start[row], way.end[row], core[row]
        )
        at[1], met[3, first + row], _, _ = _pass(
            shank, at[1], row, xs, ys, heights, bottom, top, False, way.start[row], way.end[row], 0.0
        )
        at[2], met[4, first + row], _, _ = _pass(
            holder, at[2], row, xs, ys, heights, bottom, top, False, way.start[row], way.end[row], 0.0
        )
        if tool[row] >= 0:
            gap = _holder_gap(way, row, holders[tool[row]], xs, ys, heights, bottom, top, nearest[0])
            if gap < nearest[0]:
                nearest[0], nearest[1] = gap, first + row


@compiled
def _pass(
    sweeps: Sweeps,
    at: int,
    move: int,
    xs: Floats,
    ys: Floats,
    heights: Floats,
    bottom: float,
    top: float,
    cuts: bool,
    start: Floats,
    end: Floats,
    core: float,
) -> tuple[int, float, float, float]:
    """One move of flutes, shank or holder: the next row of the sweeps, how deep it goes below what stands, how far that
    reaches above it, and how deep it goes within ``core`` of the way of the axis."""
    deepest = above = deepest_in_core = 0.0
    first, at = at, _end_of(sweeps, at, move)
    if at == first or sweeps.low[first:at, 2].min() >= top:
        return at, deepest, above, deepest_in_core
    i0, i1 = _within(xs, sweeps.low[first:at, 0].min(), sweeps.high[first:at, 0].max())
    j0, j1 = _within(ys, sweeps.low[first:at, 1].min(), sweeps.high[first:at, 1].max())
    plunge = start[0] == end[0] and start[1] == end[1]
    windows, found = _room(sweeps, first, at)
    for i in range(i0, i1):
        for j in range(j0, j1):
            height = heights[i, j]
            lowest, highest = math.inf, -math.inf
            for row in range(first, at):
                if bottom < height > sweeps.low[row, 2]:
                    low, high = _stretch(sweeps, row, xs[i], ys[j], windows, found)
                    if plunge and low < high:  # the hole is as deep as the flutes go at its end
                        high = min(start[2], end[2]) + sweeps.pieces[sweeps.piece[row], 2]
                    lowest, highest = min(lowest, low), max(highest, high)
            if lowest >= height - CONTACT or highest <= bottom:
                continue
            deep = height - max(lowest, bottom)
            deepest = max(deepest, deep)
            above = max(above, height - highest - CONTACT)
            if core > 0.0 and _from_way(start, end, xs[i], ys[j]) <= core:
                deepest_in_core = max(deepest_in_core, deep)
            if cuts:
                heights[i, j] = max(lowest, bottom)
    return at, deepest, above, deepest_in_core


@compiled
def _end_of(sweeps: Sweeps, at: int, move: int) -> int:
    """One past the last row of a move that starts at row ``at``."""
    while at < len(sweeps.move) and sweeps.move[at] == move:
        at += 1
    return at


@compiled
def _room(sweeps: Sweeps, first: int, last: int) -> tuple[Floats, Floats]:
    """Room for the stretches of the rows' arcs on one ray."""
    turns = 0.0
    for row in range(first, last):
        if sweeps.arc[row]:
            turns = max(turns, abs(sweeps.path[row, 5]) / TAU)
    room = 2 * int(turns) + 6
    return np.empty((room, 2)), np.empty((room, 2))


@compiled
def _within(coordinates: Floats, low: float, high: float) -> tuple[int, int]:
    """First and one past the last of the rising coordinates between two."""
    return int(np.searchsorted(coordinates, low)), int(np.searchsorted(coordinates, high, side="right"))


@compiled
def _stretch(sweeps: Sweeps, row: int, x: float, y: float, windows: Floats, found: Floats) -> tuple[float, float]:
    """From which to which height a row takes an upright ray; nothing: from +inf to −inf."""
    piece, path = sweeps.pieces[sweeps.piece[row]], sweeps.path[row]
    if not sweeps.arc[row]:
        hit, low, high = line_against_vertical(piece, path, x, y)
        return (low, high) if hit else (math.inf, -math.inf)
    low, high = math.inf, -math.inf
    for k in range(arc_against_vertical(piece, path, sweeps.plane[row], x, y, windows, found)):
        low, high = min(low, found[k, 0]), max(high, found[k, 1])
    return low, high


@compiled
def _from_way(start: Floats, end: Floats, x: float, y: float) -> float:
    """From a point to the straight way of the axis, seen from above, mm."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    u, v = x - start[0], y - start[1]
    square = dx * dx + dy * dy
    share = min(max((u * dx + v * dy) / square, 0.0), 1.0) if square > 0.0 else 0.0
    return math.hypot(u - share * dx, v - share * dy)


@compiled
def _holder_gap(
    way: Ways,
    row: int,
    piece: Floats,
    xs: Floats,
    ys: Floats,
    heights: Floats,
    bottom: float,
    top: float,
    best: float,
) -> float:
    """The least distance of a holder from the tops of the rays, if it is less than ``best``."""
    low, high = np.minimum(way.start[row], way.end[row]), np.maximum(way.start[row], way.end[row])
    if way.kind[row] == _ARC:
        for axis in axes_of(way.plane[row])[:2]:
            low[axis] = way.centre[row, axis] - arc_radius(way, row)
            high[axis] = way.centre[row, axis] + arc_radius(way, row)
    radius, nose = piece[3], low[2] + piece[1]
    if nose - top >= best:
        return best
    column = np.empty(6)
    i0, i1 = _within(xs, low[0] - radius - best, high[0] + radius + best)
    j0, j1 = _within(ys, low[1] - radius - best, high[1] + radius + best)
    for i in range(i0, i1):
        across = max(low[0] - radius - xs[i], xs[i] - high[0] - radius, 0.0)
        for j in range(j0, j1):
            if heights[i, j] <= bottom:
                continue
            along = max(low[1] - radius - ys[j], ys[j] - high[1] - radius, 0.0)
            under = max(nose - heights[i, j], 0.0)
            if across * across + along * along + under * under < best * best:
                column[:] = xs[i], ys[j], bottom, xs[i], ys[j], heights[i, j]
                best = min(best, move_gap(way, row, piece, column))
    return best
