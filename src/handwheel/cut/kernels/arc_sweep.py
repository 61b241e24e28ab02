"""The stretches of a ray that one piece of a cutter removes along an arc or a helix, where they have a closed form.

While the arc's angle stays inside one window in which the ray is met, the stretches of the single moments join into
one; so each window gives one stretch, from the least to the greatest over the few angles where an extreme can stand.
``path`` holds the arc: centre (x, y, z; along the normal, the start's), radius, first angle, turn (rad), rise (mm).
A coordinate of the plane is centre + radius · cos(angle − phase); phase is 0 for the first axis, π/2 for the second.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.outline import low_at, radius_and_growth, widest
from handwheel.cut.kernels.rows import Floats

TAU = 2.0 * math.pi
QUARTER = 0.5 * math.pi


@compiled
def working_room(arc: NDArray[np.bool_], path: Floats) -> tuple[Floats, Floats]:
    """Room for the windows and the stretches of the arc with the most turns among many paths."""
    turns = 0.0
    for row in range(len(arc)):
        if arc[row]:
            turns = max(turns, abs(path[row, 5]) / TAU)
    room = 2 * int(turns) + 6
    return np.empty((room, 2)), np.empty((room, 2))


@compiled
def arc_against_vertical(
    piece: Floats, path: Floats, plane: int, x: float, y: float, windows: Floats, found: Floats
) -> int:
    """Stretches (low, high) on a vertical ray, written to ``found``; their number. ``windows`` is room to work in."""
    if plane == 0:
        return _level_plane_vertical(piece, path, x, y, windows, found)
    along, off = (x, y - path[1]) if plane == 1 else (y, x - path[0])
    if abs(off) > piece[3]:
        return 0
    reach = math.sqrt((piece[3] - off) * (piece[3] + off))
    axis, phase, z_phase = (0, QUARTER, 0.0) if plane == 1 else (1, 0.0, QUARTER)
    away = along - path[axis]
    count = _windows(path, phase, away - reach, away + reach, path[4], path[4] + path[5], windows)
    for k in range(count):
        low, high = _coordinate_range(path, z_phase, windows[k, 0], windows[k, 1])
        found[k, 0], found[k, 1] = path[2] + low + piece[1], path[2] + high + piece[2]
    return count


@compiled
def arc_against_level(
    piece: Floats, path: Floats, plane: int, axis: int, other: float, z: float, windows: Floats, found: Floats
) -> int:
    """The same on a level ray along ``axis`` (0: X, 1: Y) at ``other`` (Y or X) and ``z``."""
    if plane == 0:
        return _level_plane_level(piece, path, axis, other, z, windows, found)
    in_plane = 0 if plane == 1 else 1
    z_phase, phase = (0.0, QUARTER) if plane == 1 else (QUARTER, 0.0)
    h = z - path[2]
    count = _windows(path, z_phase, h - piece[2], h - piece[1], path[4], path[4] + path[5], windows)
    kept = 0
    for k in range(count):
        low, high = _coordinate_range(path, phase, windows[k, 0], windows[k, 1])
        low += path[in_plane]
        high += path[in_plane]
        off = other - path[1 - in_plane] if axis == in_plane else max(low - other, other - high, 0.0)
        if abs(off) > piece[3]:
            continue
        half = math.sqrt((piece[3] - off) * (piece[3] + off))
        if axis != in_plane:
            low = high = path[axis]
        found[kept, 0], found[kept, 1] = low - half, high + half
        kept += 1
    return kept


@compiled
def _windows(path: Floats, phase: float, low: float, high: float, start: float, end: float, windows: Floats) -> int:
    """Ranges of angle between ``start`` and ``end`` in which low ≤ radius · cos(angle − phase) ≤ high."""
    radius = path[3]
    if low > radius or high < -radius or low > high:
        return 0
    first, last = min(start, end), max(start, end)
    inner = math.acos(min(high / radius, 1.0))
    outer = math.acos(max(low / radius, -1.0))
    if inner == 0.0 and outer == math.pi:
        windows[0, 0], windows[0, 1] = first, last
        return 1
    sides = 2
    if inner == 0.0:
        inner, sides = -outer, 1
    elif outer == math.pi:
        outer, sides = TAU - inner, 1
    count = 0
    for side in range(sides):
        a, b = (phase + inner, phase + outer) if side == 0 else (phase - outer, phase - inner)
        turn = math.ceil((first - b) / TAU)
        while a + turn * TAU <= last:
            windows[count, 0], windows[count, 1] = max(first, a + turn * TAU), min(last, b + turn * TAU)
            count += 1
            turn += 1
    return count


@compiled
def _first_and_last(angle: float, start: float, end: float) -> tuple[float, float]:
    """When an angle, give or take whole turns, first and last comes up in a range; never: the range's ends."""
    first = angle + TAU * math.ceil((start - angle) / TAU)
    if first > end:
        return start, end
    # rounding may put an angle that stands on the range's end a whole turn too early
    return first, max(first, angle + TAU * math.floor((end - angle) / TAU))


@compiled
def _coordinate_range(path: Floats, phase: float, start: float, end: float) -> tuple[float, float]:
    """Least and greatest of radius · cos(angle − phase) over a window."""
    radius = path[3]
    a, b = radius * math.cos(start - phase), radius * math.cos(end - phase)
    low, high = min(a, b), max(a, b)
    if phase + TAU * math.ceil((start - phase) / TAU) <= end:
        high = radius
    opposite = phase + math.pi
    if opposite + TAU * math.ceil((start - opposite) / TAU) <= end:
        low = -radius
    return low, high


@compiled
def _level_plane_level(
    piece: Floats, path: Floats, axis: int, other: float, z: float, windows: Floats, found: Floats
) -> int:
    """A disc on an arc in XY, of the piece's radius at the ray's height; on a helix the piece is a cylinder."""
    start, end = path[4], path[4] + path[5]
    h = z - path[2]
    if path[6] != 0.0:
        a, b = (h - piece[2]) / path[6], (h - piece[1]) / path[6]
        first, last = max(min(a, b), 0.0), min(max(a, b), 1.0)
        if first > last:
            return 0
        start, end = start + first * path[5], start + last * path[5]
        radius = piece[3]
    else:
        if not piece[1] <= h <= piece[2]:
            return 0
        radius, _ = radius_and_growth(piece, h)
    if abs(end - start) > TAU:
        end = start + math.copysign(TAU, end - start)
    phase, across = (0.0, QUARTER) if axis == 0 else (QUARTER, 0.0)
    off = other - path[1 - axis]
    count = _windows(path, across, off - radius, off + radius, start, end, windows)
    for k in range(count):
        low, high = math.inf, -math.inf
        for extreme in range(-1, 4):
            first, last = windows[k, 0], windows[k, 1]
            if extreme >= 0:
                touching = path[3] + radius if extreme < 2 else path[3] - radius
                if abs(off) > abs(touching) or touching == 0.0:
                    continue
                angle = math.acos(off / touching)
                first, last = _first_and_last(across + (angle if extreme % 2 else -angle), first, last)
            for angle in (first, last):
                centre = path[3] * math.cos(angle - phase)
                aside = off - path[3] * math.cos(angle - across)
                half = math.sqrt(max((radius - aside) * (radius + aside), 0.0))
                low, high = min(low, centre - half), max(high, centre + half)
        found[k, 0], found[k, 1] = path[axis] + low, path[axis] + high
    return count


@compiled
def _level_plane_vertical(piece: Floats, path: Floats, x: float, y: float, windows: Floats, found: Floats) -> int:
    """A vertical ray past an arc in XY with any piece, past a helix with a frustum or a ball."""
    u, v = x - path[0], y - path[1]
    away, toward = math.hypot(u, v), math.atan2(v, u)
    radius, widest_radius = path[3], widest(piece)
    if abs(away - radius) > widest_radius:
        return 0
    start, end = path[4], path[4] + path[5]
    if path[6] == 0.0 and abs(end - start) > TAU:
        end = start + math.copysign(TAU, end - start)
    if away == 0.0:
        count = 1
        windows[0, 0], windows[0, 1] = min(start, end), max(start, end)
    else:
        least = (away * away + radius * radius - widest_radius * widest_radius) / (2.0 * away)
        count = _windows(path, toward, least, math.inf, start, end, windows)
    for k in range(count):
        bottom, top = math.inf, -math.inf
        for extreme in range(-1, 8):
            first, last = windows[k, 0], windows[k, 1]
            if extreme >= 0:
                cosine = _turning_cosine(piece, path, away, extreme)
                if not -1.0 <= cosine <= 1.0:
                    continue
                angle = math.acos(cosine)
                first, last = _first_and_last(toward + (angle if extreme % 2 else -angle), first, last)
            for angle in (first, last):
                height = path[2] + path[6] * (angle - path[4]) / path[5]
                half_turn = math.sin(0.5 * (angle - toward))
                r = math.sqrt((away - radius) ** 2 + 4.0 * away * radius * half_turn * half_turn)
                bottom = min(bottom, height + _low(piece, r))
                top = max(top, height + _high(piece, r))
        found[k, 0], found[k, 1] = bottom, top
    return count


@compiled
def _low(piece: Floats, r: float) -> float:
    return low_at(piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5], r)


@compiled
def _high(piece: Floats, r: float) -> float:
    return -low_at(piece[0] == 1.0, -piece[2], -piece[1], piece[4], piece[3], piece[5], r)


@compiled
def _turning_cosine(piece: Floats, path: Floats, away: float, extreme: int) -> float:
    """The cosine of an angle (from the ray's direction) where an extreme height may stand; NaN for none.

    0, 1: nearest to the ray; 2…5: the slope of the outline balances the helix's rise; 6, 7: a frustum's edge.
    """
    if extreme < 2:
        return 1.0
    across = away * path[3]
    square = away * away + path[3] * path[3]
    if across == 0.0 or path[6] == 0.0:
        return math.nan
    if extreme >= 6:
        edge = min(piece[3], piece[4])
        return float((square - edge * edge) / (2.0 * across))
    pitch2 = (path[6] / path[5]) ** 2
    if piece[0] == 1.0:
        a, b = across * across, across * pitch2
        c = pitch2 * (piece[5] * piece[5] - square) - a
    else:
        if piece[3] == piece[4]:
            return math.nan
        steep = (piece[2] - piece[1]) / (piece[4] - piece[3])
        a, b = steep * steep * across * across, -across * pitch2
        c = pitch2 * square - a
    root = b * b - a * c
    if root < 0.0:
        return math.nan
    return float((-b + math.copysign(math.sqrt(root), extreme - 3.5)) / a)
