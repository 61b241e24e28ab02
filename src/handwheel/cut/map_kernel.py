"""The kernel that cuts a height map: each row of sweeps lowers the cells it passes over."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.arc_sweep import TAU, arc_against_vertical, working_room
from handwheel.cut.compiled import compiled
from handwheel.cut.outline import low_at, low_within, lowest_on_slope, widest
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
    tx, ty, travel, slope, z = _direction(path)
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    y = grid[1] + j * grid[3]
    u, v = grid[0] - path[0], y - path[1]
    for i in range(first, last + 1):
        if standing.z[j, i] > lowest:
            x = u + i * grid[2]
            aside, passed = x * ty - v * tx, x * tx + v * ty
            over = _low_over_slope(rounded, low, high, r_low, r_high, ball, aside * aside, passed, travel, slope)
            floor = max(z + over, bottom)
            if standing.z[j, i] > floor + SNAP:
                _lower(standing, j, i, floor, sweeps.move[row], _aside_line(path, grid[0] + i * grid[2], y))


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
    tx, ty, travel, slope, z = _direction(path)
    u, v = x - path[0], y - path[1]
    aside, passed = u * ty - v * tx, u * tx + v * ty
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    return z + _low_over_slope(rounded, low, high, r_low, r_high, ball, aside * aside, passed, travel, slope)


@compiled
def _direction(path: Floats) -> tuple[float, float, float, float, float]:
    """A straight path's level direction and length, its slope, and its start's height. A plunge is a path of no length,
    in any direction, at its lower end."""
    dx, dy, dz = path[3], path[4], path[5]
    travel = math.sqrt(dx * dx + dy * dy)
    if travel == 0.0:
        return 1.0, 0.0, 0.0, 0.0, path[2] + min(dz, 0.0)
    return dx / travel, dy / travel, travel, dz / travel, path[2]


@compiled
def _low_over_slope(
    rounded: bool,
    low: float,
    high: float,
    r_low: float,
    r_high: float,
    ball: float,
    aside2: float,
    passed: float,
    travel: float,
    slope: float,
) -> float:
    """How low a piece comes over a point, above the height at which it starts on a slope; +inf where it does not.

    The point is passed at the distance √``aside2`` after the way ``passed``, of ``travel`` in all.
    """
    radius = max(r_low, r_high) + ball
    if slope == 0.0:
        nearest = min(max(0.0, -passed), travel - passed)
        r2 = aside2 + nearest * nearest
        if r2 > radius * radius:
            return math.inf
        return low_at(rounded, low, high, r_low, r_high, ball, math.sqrt(r2))
    if aside2 > radius * radius:
        return math.inf
    reach = math.sqrt(radius * radius - aside2)
    first, last = max(-reach, -passed), min(reach, travel - passed)
    if first > last:
        return math.inf
    return slope * passed + lowest_on_slope(rounded, low, high, r_low, r_high, ball, aside2, slope, first, last)


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
