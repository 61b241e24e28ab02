"""The kernel that cuts a height map: each row of sweeps lowers the cells it passes over."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.arc_sweep import arc_against_vertical, working_room
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.lowest_over import (
    direction,
    fallen,
    from_level_arc,
    half_chord,
    low_over_helix,
    low_over_slope,
)
from handwheel.cut.kernels.outline import low_at, widest
from handwheel.cut.kernels.rows import Floats, Sweeps
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
        path, piece = sweeps.path[row], sweeps.pieces[sweeps.piece[row]]
        if sweeps.arc[row] and sweeps.plane[row] == 0:
            _along_arc(sweeps, row, grid, bottom, standing)
        elif sweeps.arc[row]:
            _along_upright_arc(sweeps, row, grid, bottom, standing, windows, found)
        elif path[5] == 0.0 and piece[0] == 0.0 and piece[3] >= piece[4]:
            _along_floor(sweeps, row, grid, bottom, standing)
        else:
            _along_line(sweeps, row, grid, bottom, standing)


@compiled
def cells_between(low: float, high: float, centre: float, size: float, count: int) -> tuple[int, int]:
    """First and last of the cells whose centres stand between two coordinates."""
    first, last = math.ceil((low - centre) / size), math.floor((high - centre) / size)
    return max(first, 0), max(min(last, count - 1), -1)


@compiled
def _any_above(heights: Floats, floor: float) -> bool:
    """Whether any cell stands above a floor: a plain count, which a processor does some cells at a time."""
    count = 0
    for i in range(len(heights)):
        count += heights[i] > floor
    return count > 0


@compiled
def _along_floor(sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing) -> None:
    """Lower the cells under a flat cutter on a level line: all to one floor."""
    z, path, low, high = standing.z, sweeps.path[row], sweeps.low[row], sweeps.high[row]
    floor = max(path[2] + sweeps.pieces[sweeps.piece[row], 1], bottom)
    radius = widest(sweeps.pieces[sweeps.piece[row]])
    j0, j1 = cells_between(low[1], high[1], grid[1], grid[3], z.shape[0])
    for j in range(j0, j1 + 1):
        y = grid[1] + j * grid[3]
        met, start, end = span(path, radius, y)
        first, last = cells_between(start, end, grid[0], grid[2], z.shape[1])
        if not met or not _any_above(z[j, first : last + 1], floor + SNAP):
            continue
        for i in range(first, last + 1):
            if z[j, i] > floor + SNAP:
                _lower(standing, j, i, floor, sweeps.move[row], _aside_line(path, grid[0] + i * grid[2], y))


@compiled
def _along_line(sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing) -> None:
    """Lower the cells under any cutter on a line."""
    z, path, piece, low_corner = standing.z, sweeps.path[row], sweeps.pieces[sweeps.piece[row]], sweeps.low[row]
    tx, ty, travel, slope, height = direction(path)
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    radius, lowest = widest(piece), low_corner[2]
    j0, j1 = cells_between(low_corner[1], sweeps.high[row, 1], grid[1], grid[3], z.shape[0])
    for j in range(j0, j1 + 1):
        y = grid[1] + j * grid[3]
        met, start, end = span(path, radius, y)
        first, last = cells_between(start, end, grid[0], grid[2], z.shape[1])
        if not met or not _any_above(z[j, first : last + 1], lowest):
            continue
        u, v = grid[0] - path[0], y - path[1]
        for i in range(first, last + 1):
            if z[j, i] <= lowest:
                continue
            x = u + i * grid[2]
            aside, passed = x * ty - v * tx, x * tx + v * ty
            over = low_over_slope(rounded, low, high, r_low, r_high, ball, aside * aside, passed, travel, slope)
            floor = max(height + over, bottom)
            if z[j, i] > floor + SNAP:
                _lower(standing, j, i, floor, sweeps.move[row], _aside_line(path, grid[0] + i * grid[2], y))


@compiled
def _along_arc(sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing) -> None:
    """Lower the cells under any cutter on an arc in XY, or a frustum or ball on a helix: a ring of cells."""
    z, path, piece = standing.z, sweeps.path[row], sweeps.pieces[sweeps.piece[row]]
    lowest, radius, reach = sweeps.low[row, 2], path[3], widest(piece)
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    height, pitch, start, turn = fallen(path)
    from_x, from_y = math.cos(start), math.sin(start)
    to_x, to_y = math.cos(start + turn), math.sin(start + turn)
    i0, i1 = cells_between(sweeps.low[row, 0], sweeps.high[row, 0], grid[0], grid[2], z.shape[1])
    j0, j1 = cells_between(sweeps.low[row, 1], sweeps.high[row, 1], grid[1], grid[3], z.shape[0])
    for j in range(j0, j1 + 1):
        v = grid[1] + j * grid[3] - path[1]
        half, hole = half_chord(radius + reach, v), half_chord(radius - reach, v)
        for side in range(2 if hole > 0.0 else 1):
            first, last = cells_between(
                path[0] + (hole if side == 1 else -half),
                path[0] + (-hole if side == 0 and hole > 0.0 else half),
                grid[0],
                grid[2],
                z.shape[1],
            )
            first, last = max(first, i0), min(last, i1)
            if not _any_above(z[j, first : last + 1], lowest):
                continue
            for i in range(first, last + 1):
                if z[j, i] <= lowest:
                    continue
                u = grid[0] + i * grid[2] - path[0]
                if pitch == 0.0:
                    r = from_level_arc(u, v, radius, turn, from_x, from_y, to_x, to_y)
                    over = math.inf if r > reach else low_at(rounded, low, high, r_low, r_high, ball, r)
                else:
                    over = low_over_helix(
                        rounded, low, high, r_low, r_high, ball, reach, radius, pitch, start, turn, u, v
                    )
                floor = max(height + over, bottom)
                if z[j, i] > floor + SNAP:
                    aside = math.copysign(1.0, path[5]) * (math.sqrt(u * u + v * v) - radius)
                    _lower(standing, j, i, floor, sweeps.move[row], aside)


@compiled
def _along_upright_arc(
    sweeps: Sweeps, row: int, grid: Floats, bottom: float, standing: Standing, windows: Floats, found: Floats
) -> None:
    """Lower the cells under a flat cutter on an arc in ZX or YZ."""
    z, path, piece, plane = standing.z, sweeps.path[row], sweeps.pieces[sweeps.piece[row]], sweeps.plane[row]
    low, high = sweeps.low[row], sweeps.high[row]
    i0, i1 = cells_between(low[0], high[0], grid[0], grid[2], z.shape[1])
    j0, j1 = cells_between(low[1], high[1], grid[1], grid[3], z.shape[0])
    for j in range(j0, j1 + 1):
        y = grid[1] + j * grid[3]
        for i in range(i0, i1 + 1):
            x = grid[0] + i * grid[2]
            for k in range(arc_against_vertical(piece, path, plane, x, y, windows, found)):
                floor = max(found[k, 0], bottom)
                if z[j, i] > floor + SNAP:
                    _lower(standing, j, i, floor, sweeps.move[row], y - path[1] if plane == 1 else x - path[0])


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
def _aside_line(path: Floats, x: float, y: float) -> float:
    """Distance of a point from a straight path, + to its right; from a plunge, its distance, + where x is greater."""
    u, v = x - path[0], y - path[1]
    travel = math.hypot(path[3], path[4])
    if travel == 0.0:
        return math.copysign(math.hypot(u, v), u)
    return float((u * path[4] - v * path[3]) / travel)
