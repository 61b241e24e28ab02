"""Kernels on one point: how low does one piece of a cutter come over it along a move?"""

from __future__ import annotations

import math

from handwheel.cut.kernels.arc_sweep import TAU
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.outline import low_at, lowest_on_slope, widest
from handwheel.cut.kernels.rows import Floats


@compiled
def low_over_line(piece: Floats, path: Floats, x: float, y: float) -> float:
    """How low a piece comes over a point along a straight path; +inf where it does not pass."""
    tx, ty, travel, slope, z = direction(path)
    u, v = x - path[0], y - path[1]
    aside, passed = u * ty - v * tx, u * tx + v * ty
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    return z + low_over_slope(rounded, low, high, r_low, r_high, ball, aside * aside, passed, travel, slope)


@compiled
def direction(path: Floats) -> tuple[float, float, float, float, float]:
    """A straight path's level direction and length, its slope, and its start's height. A plunge is a path of no length,
    in any direction, at its lower end."""
    dx, dy, dz = path[3], path[4], path[5]
    travel = math.sqrt(dx * dx + dy * dy)
    if travel == 0.0:
        return 1.0, 0.0, 0.0, 0.0, path[2] + min(dz, 0.0)
    return dx / travel, dy / travel, travel, dz / travel, path[2]


@compiled
def low_over_slope(
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
def low_over_arc(piece: Floats, path: Floats, x: float, y: float) -> float:
    """The same along an arc in XY; along a helix for a frustum or a ball."""
    rounded, low, high, r_low, r_high, ball = piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5]
    u, v, radius, reach = x - path[0], y - path[1], path[3], widest(piece)
    height, pitch, start, turn = fallen(path)
    if pitch != 0.0:
        return height + low_over_helix(rounded, low, high, r_low, r_high, ball, reach, radius, pitch, start, turn, u, v)
    if abs(math.sqrt(u * u + v * v) - radius) > reach:
        return math.inf
    end = start + turn
    r = from_level_arc(u, v, radius, turn, math.cos(start), math.sin(start), math.cos(end), math.sin(end))
    return math.inf if r > reach else height + low_at(rounded, low, high, r_low, r_high, ball, r)


@compiled
def fallen(path: Floats) -> tuple[float, float, float, float]:
    """An arc in XY gone through downwards: height at its start, fall in mm a radian, first angle and turn."""
    if path[6] > 0.0:
        return path[2] + path[6], path[6] / abs(path[5]), path[4] + path[5], -path[5]
    return path[2], -path[6] / abs(path[5]), path[4], path[5]


@compiled
def half_chord(radius: float, off: float) -> float:
    """Half the chord of a circle at a distance from its centre; 0 beyond it, or where there is no circle."""
    return math.sqrt((radius - off) * (radius + off)) if radius > abs(off) else 0.0


@compiled
def from_level_arc(
    u: float, v: float, radius: float, turn: float, from_x: float, from_y: float, to_x: float, to_y: float
) -> float:
    """How near an arc passes to (u, v) from its centre; the directions are those of its start and end."""
    near = abs(math.sqrt(u * u + v * v) - radius)
    if abs(turn) >= TAU:
        return near
    sense = 1.0 if turn > 0.0 else -1.0
    after_start = sense * (from_x * v - from_y * u) >= 0.0
    before_end = sense * (u * to_y - v * to_x) >= 0.0
    between = (after_start and before_end) if abs(turn) <= math.pi else (after_start or before_end)
    if between:
        return near
    start2 = (u - radius * from_x) ** 2 + (v - radius * from_y) ** 2
    end2 = (u - radius * to_x) ** 2 + (v - radius * to_y) ** 2
    return math.sqrt(min(start2, end2))


@compiled
def low_over_helix(
    rounded: bool,
    low: float,
    high: float,
    r_low: float,
    r_high: float,
    ball: float,
    reach: float,
    radius: float,
    pitch: float,
    start: float,
    turn: float,
    u: float,
    v: float,
) -> float:
    """How low a frustum or a ball comes over (u, v) from a falling helix's axis, above its start; +inf for never.

    Over a point the cutter is while its angle from the point's direction is within some half angle. The later the
    pass, the lower; so the last pass, which may not be whole, and the one before it decide.
    """
    away = math.sqrt(u * u + v * v)
    if abs(away - radius) > reach:
        return math.inf
    half = math.pi
    if away + radius > reach:
        half = math.acos(max((away * away + radius * radius - reach * reach) / (2.0 * away * radius), -1.0))
    whole = abs(turn)
    middle = math.copysign(1.0, turn) * (math.atan2(v, u) - start)
    middle -= TAU * math.floor(middle / TAU)
    middle += TAU * math.floor((whole - middle + half) / TAU)
    least = math.inf
    for _ in range(2):
        first, last = max(middle - half, 0.0), min(middle + half, whole)
        if first <= last:
            if not rounded and r_high <= r_low:
                least = min(least, low - pitch * last)
            else:
                least = min(
                    least,
                    _lowest_in_pass(rounded, low, high, r_low, r_high, ball, radius, pitch, away, middle, first, last),
                )
        middle -= TAU
    return least


@compiled
def _lowest_in_pass(
    rounded: bool,
    low: float,
    high: float,
    r_low: float,
    r_high: float,
    ball: float,
    radius: float,
    pitch: float,
    away: float,
    middle: float,
    first: float,
    last: float,
) -> float:
    """The least height in one pass: at an end, where the outline's slope balances the fall, or at a frustum's edge."""
    across, square = away * radius, away * away + radius * radius
    least = math.inf
    steep = 0.0 if rounded else (high - low) / (r_high - r_low)
    if rounded:
        a, b = across * across, across * pitch * pitch
        c = pitch * pitch * (ball * ball - square) - a
    else:
        a, b = (steep * across) ** 2, -across * pitch * pitch
        c = pitch * pitch * square - a
    root = math.sqrt(max(b * b - a * c, 0.0))
    edge = (square - r_low * r_low) / (2.0 * across) if across > 0.0 else 1.0
    for candidate in range(6):
        if candidate == 0:
            angle = first
        elif candidate == 1:
            angle = last
        else:
            cosine = edge
            if candidate < 4:
                cosine = (-b + (root if candidate == 2 else -root)) / a if a > 0.0 else 1.0
            turned = math.acos(min(max(cosine, -1.0), 1.0))
            angle = min(max(middle + (-turned if candidate == 5 else turned), first), last)
        half_turn = math.sin(0.5 * (angle - middle))
        r = math.sqrt((away - radius) ** 2 + 4.0 * across * half_turn * half_turn)
        least = min(least, low_at(rounded, low, high, r_low, r_high, ball, r) - pitch * angle)
    return least
