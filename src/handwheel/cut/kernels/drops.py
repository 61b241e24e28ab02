"""The kernel that notes every drop of every cell: when during which move, and to what height."""

from __future__ import annotations

import math

import numpy as np

from handwheel.cut.kernels.arc_sweep import arc_against_vertical, working_room
from handwheel.cut.kernels.cells import cells_between
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.lowest_over import low_over_arc, low_over_line
from handwheel.cut.kernels.outline import low_within, radius_and_growth, widest
from handwheel.cut.kernels.rows import Floats, Ints, Sweeps
from handwheel.tolerances import SNAP

HALVINGS = 48
SAME_MOMENT = 1e-9
CELL, MOVE, BEGINS, ENDS, HEIGHT = range(5)


@compiled
def note_drops(
    sweeps: Sweeps, grid: Floats, bottom: float, z: Floats, latest: Ints, drops: Floats, count: int
) -> tuple[Floats, int]:
    """Lower the cells as :func:`handwheel.cut.kernels.cells.cut_map` does and note each drop.

    ``drops`` (room, 5): cell (row by row), move, the shares of the move at which the drop begins and ends, and the
    height at its end; ``count`` of them are in use. ``latest`` (cells,) is each cell's last drop, −1 for none. The
    drops and their number are given back, with more room where it was needed.
    """
    windows, found = working_room(sweeps.arc, sweeps.path)
    spans = np.empty((len(windows), 2))
    for row in range(len(sweeps.move)):
        low, high = sweeps.low[row], sweeps.high[row]
        i0, i1 = cells_between(low[0], high[0], grid[0], grid[2], z.shape[1])
        j0, j1 = cells_between(low[1], high[1], grid[1], grid[3], z.shape[0])
        path, piece = sweeps.path[row], sweeps.pieces[sweeps.piece[row]]
        for j in range(j0, j1 + 1):
            y = grid[1] + j * grid[3]
            for i in range(i0, i1 + 1):
                x = grid[0] + i * grid[2]
                if z[j, i] <= low[2]:
                    continue
                floor = low[2]
                if not sweeps.arc[row]:
                    floor = low_over_line(piece, path, x, y)
                elif sweeps.plane[row] == 0:
                    floor = low_over_arc(piece, path, x, y)
                if z[j, i] <= max(floor, bottom) + SNAP:
                    continue
                passes = _passes(sweeps, row, x, y, windows, found, spans)
                for k in range(passes):
                    floor = max(found[k, 0], bottom)
                    if z[j, i] > floor + SNAP:
                        drops = _with_room(drops, count + 2)
                        floors = (z[j, i], floor, bottom)
                        cell = j * z.shape[1] + i
                        span = (spans[k, 0], spans[k, 1])
                        count = _note(sweeps, row, x, y, span, floors, cell, latest, drops, count)
                        z[j, i] = floor
    return drops, count


@compiled
def _with_room(drops: Floats, wanted: int) -> Floats:
    if wanted <= len(drops):
        return drops
    more = np.empty((2 * wanted, 5))
    for k in range(len(drops)):
        for column in range(5):
            more[k, column] = drops[k, column]
    return more


@compiled
def _passes(sweeps: Sweeps, row: int, x: float, y: float, windows: Floats, found: Floats, spans: Floats) -> int:
    """The parts of a row's way (0…1) during which it is over a point, in order, with the low height of each in
    ``found``; their number."""
    piece, path = sweeps.pieces[sweeps.piece[row]], sweeps.path[row]
    if not sweeps.arc[row]:
        spans[0, 0], spans[0, 1] = _time_over(path, widest(piece), x, y)
        found[0, 0] = low_over_line(piece, path, x, y)
        return 1
    count = arc_against_vertical(piece, path, sweeps.plane[row], x, y, windows, found)
    for k in range(count):
        a, b = (windows[k, 0] - path[4]) / path[5], (windows[k, 1] - path[4]) / path[5]
        spans[k, 0], spans[k, 1] = max(min(a, b), 0.0), min(max(a, b), 1.0)
    for k in range(1, count):
        place = k
        while place > 0 and spans[place, 0] < spans[place - 1, 0]:
            for column in range(2):
                spans[place, column], spans[place - 1, column] = spans[place - 1, column], spans[place, column]
                found[place, column], found[place - 1, column] = found[place - 1, column], found[place, column]
            place -= 1
    return count


@compiled
def _time_over(path: Floats, radius: float, x: float, y: float) -> tuple[float, float]:
    """From when to when (0…1) a radius on a straight path is over a point; the nearest moment where it is not."""
    u, v, dx, dy = x - path[0], y - path[1], path[3], path[4]
    travel = math.hypot(dx, dy)
    if travel == 0.0:
        return 0.0, 1.0
    aside, passed = (u * dy - v * dx) / travel, (u * dx + v * dy) / travel
    reach = math.sqrt(max((radius - aside) * (radius + aside), 0.0))
    return max((passed - reach) / travel, 0.0), min((passed + reach) / travel, 1.0)


@compiled
def _height_over(sweeps: Sweeps, row: int, x: float, y: float, share: float) -> float:
    """How low a row's piece is over a point at a moment of its way; at the very rim it counts as over it."""
    piece, path = sweeps.pieces[sweeps.piece[row]], sweeps.path[row]
    px, py, pz = path[0] + share * path[3], path[1] + share * path[4], path[2] + share * path[5]
    if sweeps.arc[row]:
        first = path[3] * math.cos(path[4] + share * path[5])
        second = path[3] * math.sin(path[4] + share * path[5])
        px, py, pz = path[0], path[1], path[2]
        if sweeps.plane[row] == 0:
            px, py, pz = px + first, py + second, pz + share * path[6]
        elif sweeps.plane[row] == 1:
            px, py, pz = px + second, py + share * path[6], pz + first
        else:
            px, py, pz = px + share * path[6], py + first, pz + second
    r = math.hypot(x - px, y - py)
    return float(pz + low_within(piece, min(r, widest(piece))))


@compiled
def _note(
    sweeps: Sweeps,
    row: int,
    x: float,
    y: float,
    span: tuple[float, float],
    floors: tuple[float, float, float],
    cell: int,
    latest: Ints,
    drops: Floats,
    count: int,
) -> int:
    """Note one pass over a cell: at once where the cutter's edge comes over it, then evenly down to the floor.

    ``floors``: the height before, the height after, and the stock's underside.
    """
    before, after, bottom = floors
    lowest = _when_lowest(sweeps, row, x, y, span[0], span[1])
    begins = _when_below(sweeps, row, x, y, span[0], lowest, before)
    if after == bottom:
        lowest = _when_below(sweeps, row, x, y, begins, lowest, bottom + SNAP)
    at_once = max(_height_over(sweeps, row, x, y, begins), after)
    whole = sweeps.share[row, 1] - sweeps.share[row, 0]
    begins, lowest = sweeps.share[row, 0] + begins * whole, sweeps.share[row, 0] + lowest * whole
    move, last = sweeps.move[row], latest[cell]
    if whole < 1.0 and last >= 0 and drops[last, MOVE] == move and drops[last, ENDS] > begins - SAME_MOMENT:
        # the next chord of one curve: the drop goes on
        drops[last, ENDS], drops[last, HEIGHT] = lowest, after
        return count
    if at_once < before - SNAP:
        count = _written(drops, count, cell, move, begins, begins, at_once)
    if at_once > after + SNAP or at_once >= before - SNAP:
        count = _written(drops, count, cell, move, begins, lowest, after)
    latest[cell] = count - 1
    return count


@compiled
def _written(drops: Floats, count: int, cell: int, move: int, begins: float, ends: float, height: float) -> int:
    drops[count, CELL], drops[count, MOVE] = cell, move
    drops[count, BEGINS], drops[count, ENDS], drops[count, HEIGHT] = begins, ends, height
    return count + 1


@compiled
def _when_lowest(sweeps: Sweeps, row: int, x: float, y: float, first: float, last: float) -> float:
    """The first moment of a pass at which it is lowest."""
    piece, path = sweeps.pieces[sweeps.piece[row]], sweeps.path[row]
    if not sweeps.arc[row] and path[5] == 0.0:
        # on a level line that is where the piece's foot comes over the point, or where its axis is nearest
        return min(max(_time_over(path, piece[3], x, y)[0], first), last)
    if piece[0] == 0.0 and piece[3] == piece[4] and sweeps.plane[row] == 0:
        falls = _height_over(sweeps, row, x, y, last) < _height_over(sweeps, row, x, y, first)
        return last if falls else first
    low, high = first, last
    for _ in range(HALVINGS):
        a, b = low + (high - low) / 3.0, high - (high - low) / 3.0
        if _height_over(sweeps, row, x, y, a) <= _height_over(sweeps, row, x, y, b):
            high = b
        else:
            low = a
    best = 0.5 * (low + high)
    least = _height_over(sweeps, row, x, y, best)
    if _height_over(sweeps, row, x, y, first) <= least:
        return first
    return last if _height_over(sweeps, row, x, y, last) < least else best


@compiled
def _when_below(sweeps: Sweeps, row: int, x: float, y: float, first: float, lowest: float, height: float) -> float:
    """The first moment of a pass at which it is below a height."""
    if _height_over(sweeps, row, x, y, first) < height:
        return first
    piece, path = sweeps.pieces[sweeps.piece[row]], sweeps.path[row]
    if not sweeps.arc[row] and path[5] == 0.0 and piece[0] == 1.0:
        radius, _ = radius_and_growth(piece, height - path[2])
        return min(max(_time_over(path, radius, x, y)[0], first), lowest)
    low, high = first, lowest
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if _height_over(sweeps, row, x, y, middle) < height:
            high = middle
        else:
            low = middle
    return high
