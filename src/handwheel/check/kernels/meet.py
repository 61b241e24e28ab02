"""The kernel that makes moves on standing work, in order; see :mod:`handwheel.check.machinery.standing_work`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.gap import move_gap
from handwheel.check.kernels.way import ARC, CENTRE, arc_radius, axes_of, end_of, start_of
from handwheel.cut.kernels.arc_sweep import TAU, arc_against_vertical
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.line_sweep import line_against_vertical
from handwheel.cut.kernels.rows import Sweeps
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PARTS = ("first leg", "second leg", "third leg", "flutes", "shank", "holder")
"""What is passed over the work, in this order: the legs of a bent rapid before the cut, shank and holder after."""

FLUTES = 3


@compiled
def make_moves(
    parts: tuple[Sweeps, Sweeps, Sweeps, Sweeps, Sweeps, Sweeps],
    ways: Floats,
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
    parts : sweeps of the same moves, counted from 0, in the order of :data:`PARTS`; only the flutes cut
    ways : (n, 12) the moves of the tip
    tool : (n,) the row of ``holders``; −1 for none
    core : (n,) mm; how far from the axis there are no teeth
    xs, ys : the rays' coordinates, rising
    heights : (x, y) what still stands
    bottom, top : of the raw work
    first : the number of the first move in ``met``
    met : (parts + 2, all moves) mm; how deep each part goes below what stands; how deep the flutes do within the core,
        and how far what stands reaches above them
    nearest : (2,) the least distance of the holder so far, and its move
    """
    at = np.zeros(len(parts), dtype=np.int64)
    found = np.empty(3)
    for row in range(len(ways)):
        way = ways[row]
        for part in range(len(parts)):
            found[:] = 0.0
            at[part] = _pass(
                parts[part],
                at[part],
                row,
                xs,
                ys,
                heights,
                bottom,
                top,
                part == FLUTES,
                way,
                core[row],
                found,
            )
            met[part, first + row] = found[0]
            if part == FLUTES:
                met[-2, first + row], met[-1, first + row] = found[1], found[2]
        if tool[row] >= 0:
            gap = _holder_gap(way, holders[tool[row]], xs, ys, heights, bottom, top, nearest[0])
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
    way: Floats,
    core: float,
    met: Floats,
) -> int:
    """One move of a part; gives the next row of the sweeps.

    ``met`` (3,) gets how deep it goes, how deep within the core, and how far what stands reaches above it.
    """
    first, at = at, _end_of(sweeps, at, move)
    if at == first or sweeps.low[first:at, 2].min() >= top:
        return at
    i0, i1 = _within(xs, sweeps.low[first:at, 0].min(), sweeps.high[first:at, 0].max())
    j0, j1 = _within(ys, sweeps.low[first:at, 1].min(), sweeps.high[first:at, 1].max())
    start, end = start_of(way), end_of(way)
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
            if lowest >= height or highest <= bottom:
                continue
            # the sweep is a contact smaller than the tool; what stands afterwards is as low as the tool goes
            floor = max(lowest - CONTACT, bottom)
            deep = height - floor
            met[0] = max(met[0], deep)
            met[2] = max(met[2], height - highest - CONTACT)
            if core > 0.0 and _from_way(start, end, xs[i], ys[j]) <= core:
                met[1] = max(met[1], deep)
            if cuts:
                heights[i, j] = floor
    return at


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
    way: Floats,
    piece: Floats,
    xs: Floats,
    ys: Floats,
    heights: Floats,
    bottom: float,
    top: float,
    best: float,
) -> float:
    """The least distance of a holder from the tops of the rays, if it is less than ``best``."""
    low, high = np.minimum(start_of(way), end_of(way)), np.maximum(start_of(way), end_of(way))
    if way[ARC] == 1.0:
        first, second, _ = axes_of(way)
        for axis in (first, second):
            low[axis], high[axis] = way[CENTRE + axis] - arc_radius(way), way[CENTRE + axis] + arc_radius(way)
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
                best = min(best, move_gap(way, piece, column))
    return best
