"""The kernel that cuts a height map: each row of sweeps lowers the cells it passes over."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.arc_sweep import TAU, arc_against_vertical, working_room
from handwheel.cut.compiled import compiled
from handwheel.cut.outline import low_within, lowest_on_slope, widest
from handwheel.cut.sweeps import Sweeps
from handwheel.path.profile import Floats
from handwheel.tolerances import SNAP


class Standing(NamedTuple):
    """What stands, cell by cell, and what each move took off it; lengths in mm, all changed in place.

    Attributes
    ----------
    z : (ny, nx) float64; heights
    made_by : (ny, nx) int32; the move that made each height
    taken : (moves,) float64; sum of the heights taken off all cells
    deepest : (moves,) float64; most taken off a cell
    band : (moves, 2) float64; least and greatest distance of a lowered cell from the path, + to its right
    """

    z: Floats
    made_by: NDArray[np.int32]
    taken: Floats
    deepest: Floats
    band: Floats


@compiled
def cut_map(sweeps: Sweeps, grid: Floats, bottom: float, standing: Standing) -> None:
    """Lower every cell by every row.

    Parameters
    ----------
    grid : (4,) centre of the first cell in X and Y, and the cells' size in X and Y, mm
    bottom : the stock's underside, mm; nothing is cut below it
    """
    windows, found = working_room(sweeps.arc, sweeps.path)
    for row in range(len(sweeps.move)):
        low, high = sweeps.low[row], sweeps.high[row]
        i0, i1 = cells_between(low[0], high[0], grid[0], grid[2], standing.z.shape[1])
        j0, j1 = cells_between(low[1], high[1], grid[1], grid[3], standing.z.shape[0])
        path, piece = sweeps.path[row], sweeps.pieces[sweeps.piece[row]]
        for j in range(j0, j1 + 1):
            if sweeps.arc[row]:
                _along_arc(sweeps, row, grid, bottom, standing, j, i0, i1, windows, found)
                continue
            met, start, end = span(path, widest(piece), grid[1] + j * grid[3])
            if met:
                first, last = cells_between(start, end, grid[0], grid[2], standing.z.shape[1])
                if path[5] == 0.0 and piece[0] == 0.0 and piece[3] >= piece[4]:
                    _along_floor(sweeps, row, grid, bottom, standing, j, first, last)
                else:
                    _along_line(sweeps, row, grid, bottom, standing, j, first, last)


@compiled
def cells_between(low: float, high: float, centre: float, size: float, count: int) -> tuple[int, int]:
    """First and last of the cells whose centres stand between two coordinates."""
    return max(math.ceil((low - centre) / size), 0), min(math.floor((high - centre) / size), count - 1)


@compiled
def _along_floor(
    sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing, j: int, first: int, last: int
) -> None:
    """Lower a row of cells by a flat cutter on a level line: all to one floor."""
    path = sweeps.path[row]
    floor = max(path[2] + sweeps.pieces[sweeps.piece[row], 1], bottom)
    y = grid[1] + j * grid[3]
    for i in range(first, last + 1):
        if standing.z[j, i] > floor + SNAP:
            _lower(standing, j, i, floor, sweeps.move[row], _aside_line(path, grid[0] + i * grid[2], y))


@compiled
def _along_line(
    sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing, j: int, first: int, last: int
) -> None:
    """Lower a row of cells by any cutter on a line."""
    piece, path, lowest = sweeps.pieces[sweeps.piece[row]], sweeps.path[row], sweeps.low[row, 2]
    y = grid[1] + j * grid[3]
    for i in range(first, last + 1):
        if standing.z[j, i] > lowest:
            x = grid[0] + i * grid[2]
            floor = max(low_over_line(piece, path, x, y), bottom)
            if standing.z[j, i] > floor + SNAP:
                _lower(standing, j, i, floor, sweeps.move[row], _aside_line(path, x, y))


@compiled
def _along_arc(
    sweeps: Sweeps,
    row: int,
    grid: Floats,
    bottom: float,
    standing: Standing,
    j: int,
    first: int,
    last: int,
    windows: Floats,
    found: Floats,
) -> None:
    """Lower a row of cells by any cutter on an arc."""
    piece, path, lowest = sweeps.pieces[sweeps.piece[row]], sweeps.path[row], sweeps.low[row, 2]
    plane = sweeps.plane[row]
    y = grid[1] + j * grid[3]
    for i in range(first, last + 1):
        if standing.z[j, i] > lowest:
            x = grid[0] + i * grid[2]
            floor = max(low_over_arc(piece, path, plane, x, y, windows, found), bottom)
            if standing.z[j, i] > floor + SNAP:
                _lower(standing, j, i, floor, sweeps.move[row], _aside_arc(path, plane, x, y))


@compiled
def _lower(standing: Standing, j: int, i: int, floor: float, move: int, aside: float) -> None:
    drop = standing.z[j, i] - floor
    standing.z[j, i] = floor
    standing.made_by[j, i] = move
    standing.taken[move] += drop
    standing.deepest[move] = max(standing.deepest[move], drop)
    standing.band[move, 0] = min(standing.band[move, 0], aside)
    standing.band[move, 1] = max(standing.band[move, 1], aside)


@compiled
def span(path: Floats, radius: float, y: float) -> tuple[bool, float, float]:
    """Where a level line along X at ``y`` enters and leaves the strip that a radius sweeps along a straight path.

    At a tangent point the outward normal is square to the path, which fixes the place on the path; beyond the path's
    ends it is the end's circle.
    """
    dx, dy = path[3], path[4]
    travel = math.hypot(dx, dy)
    off = y - path[1]
    if dy == 0.0:
        aside, right, left = off, 1.0 if dx > 0.0 else 0.0, 0.0 if dx > 0.0 else 1.0
        if abs(aside) > radius:
            return False, 0.0, 0.0
        half = math.sqrt((radius - aside) * (radius + aside))
        return True, path[0] + left * dx - half, path[0] + right * dx + half
    normal = -radius * dx / travel * (1.0 if dy > 0.0 else -1.0)
    right = min(max((off - normal) / dy, 0.0), 1.0)
    left = min(max((off + normal) / dy, 0.0), 1.0)
    aside_right, aside_left = off - right * dy, off - left * dy
    if abs(aside_right) > radius or abs(aside_left) > radius:
        return False, 0.0, 0.0
    half_right = math.sqrt((radius - aside_right) * (radius + aside_right))
    half_left = math.sqrt((radius - aside_left) * (radius + aside_left))
    return True, path[0] + left * dx - half_left, path[0] + right * dx + half_right


@compiled
def low_over_line(piece: Floats, path: Floats, x: float, y: float) -> float:
    """How low a piece comes over a point along a straight path; +inf where it does not pass."""
    u, v, dx, dy, dz = x - path[0], y - path[1], path[3], path[4], path[5]
    travel = math.hypot(dx, dy)
    if travel == 0.0:
        return float(min(path[2], path[2] + dz) + low_within(piece, math.hypot(u, v)))
    aside, passed = (u * dy - v * dx) / travel, (u * dx + v * dy) / travel
    aside2, radius = aside * aside, widest(piece)
    if dz == 0.0:
        nearest = min(max(0.0, -passed), travel - passed)
        return float(path[2] + low_within(piece, math.sqrt(aside2 + nearest * nearest)))
    reach = math.sqrt(max(radius * radius - aside2, 0.0))
    first, last = max(-reach, -passed), min(reach, travel - passed)
    if first > last or aside2 > radius * radius:
        return math.inf
    slope = dz / travel
    low, high, r_low, r_high, ball = piece[1], piece[2], piece[3], piece[4], piece[5]
    least = lowest_on_slope(piece[0] == 1.0, low, high, r_low, r_high, ball, aside2, slope, first, last)
    return float(path[2] + slope * passed + least)


@compiled
def low_over_arc(piece: Floats, path: Floats, plane: int, x: float, y: float, windows: Floats, found: Floats) -> float:
    """The same along an arc or a helix."""
    if plane == 0 and path[6] == 0.0:
        return _low_over_level_arc(piece, path, x, y)
    least = math.inf
    for k in range(arc_against_vertical(piece, path, plane, x, y, windows, found)):
        least = min(least, found[k, 0])
    return least


@compiled
def _low_over_level_arc(piece: Floats, path: Floats, x: float, y: float) -> float:
    u, v, radius, reach = x - path[0], y - path[1], path[3], widest(piece)
    away2 = u * u + v * v
    if away2 > (radius + reach) ** 2 or (reach < radius and away2 < (radius - reach) ** 2):
        return math.inf
    r = abs(math.sqrt(away2) - radius)
    if abs(path[5]) < TAU:
        a, b = path[4], path[4] + path[5]
        if path[5] < 0.0:
            a, b = b, a
        after_start = math.cos(a) * v - math.sin(a) * u >= 0.0
        before_end = u * math.sin(b) - v * math.cos(b) >= 0.0
        inside = (after_start and before_end) if b - a <= math.pi else (after_start or before_end)
        if not inside:
            r = min(
                math.hypot(u - radius * math.cos(a), v - radius * math.sin(a)),
                math.hypot(u - radius * math.cos(b), v - radius * math.sin(b)),
            )
    return float(path[2] + low_within(piece, r))


@compiled
def _aside_line(path: Floats, x: float, y: float) -> float:
    """Distance of a point from a straight path, + to its right; from a plunge, its distance, + where x is greater."""
    u, v = x - path[0], y - path[1]
    travel = math.hypot(path[3], path[4])
    if travel == 0.0:
        return math.copysign(math.hypot(u, v), u)
    return float((u * path[4] - v * path[3]) / travel)


@compiled
def _aside_arc(path: Floats, plane: int, x: float, y: float) -> float:
    """Distance of a point from an arc, seen from above, + to its right; from an upright arc, to its left or right."""
    if plane != 0:
        return float(y - path[1]) if plane == 1 else float(x - path[0])
    return float(math.copysign(1.0, path[5]) * (math.hypot(x - path[0], y - path[1]) - path[3]))
