"""The stretch of a ray that one piece of a cutter removes along a straight move.

A convex piece moved along a line fills a convex body, so a ray meets it in one stretch. ``path`` holds the move's start
and its displacement: (x, y, z, dx, dy, dz), mm.
"""

from __future__ import annotations

import math

from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.outline import lowest_on_slope, radius_and_growth, widest
from handwheel.cut.kernels.rows import Floats

HALVINGS = 60
Stretch = tuple[bool, float, float]


@compiled
def line_against_vertical(piece: Floats, path: Floats, x: float, y: float) -> Stretch:
    """Whether a vertical ray at (x, y) is cut, and from which height to which."""
    u, v, dx, dy, dz = x - path[0], y - path[1], path[3], path[4], path[5]
    radius = widest(piece)
    travel = math.hypot(dx, dy)
    if travel == 0.0:
        aside2, passed = u * u + v * v, 0.0
        first = last = 0.0
        if aside2 > radius * radius:
            return False, 0.0, 0.0
    else:
        aside = (u * dy - v * dx) / travel
        aside2, passed = aside * aside, (u * dx + v * dy) / travel
        if aside2 > radius * radius:
            return False, 0.0, 0.0
        reach = math.sqrt(radius * radius - aside2)
        first, last = max(-reach, -passed), min(reach, travel - passed)
        if first > last:
            return False, 0.0, 0.0
    low, high = _heights(piece, path[2], dz, travel, passed, aside2, first, last)
    return True, low, high


@compiled
def _heights(
    piece: Floats, z: float, dz: float, travel: float, passed: float, aside2: float, first: float, last: float
) -> tuple[float, float]:
    """Lowest and highest point over a ray that the axis passes at √``aside2``, for the range of the way about it."""
    rounded = piece[0] == 1.0
    low, high, r_low, r_high, ball = piece[1], piece[2], piece[3], piece[4], piece[5]
    if travel == 0.0:
        slope, down, up = 0.0, min(z, z + dz), max(z, z + dz)
    else:
        slope = dz / travel
        down = up = z + slope * passed
    bottom = down + lowest_on_slope(rounded, low, high, r_low, r_high, ball, aside2, slope, first, last)
    top = up - lowest_on_slope(rounded, -high, -low, r_high, r_low, ball, aside2, -slope, first, last)
    return bottom, top


@compiled
def line_against_level(piece: Floats, path: Floats, axis: int, other: float, z: float) -> Stretch:
    """The same for a level ray along ``axis`` (0: X, 1: Y) at ``other`` (Y or X) and ``z``."""
    across = 1 - axis
    a, da = path[axis], path[3 + axis]
    v, dv = other - path[across], -path[3 + across]
    h, dh = z - path[2], -path[5]
    first, last = _keep(0.0, 1.0, h - piece[1], dh)
    first, last = _keep(first, last, piece[2] - h, -dh)
    if first > last:
        return False, 0.0, 0.0
    if piece[0] == 1.0 and piece[3] == 0.0:
        return _ball_along(piece[5], a, da, v, dv, h - piece[1] - piece[5], dh, first, last)
    if dh == 0.0 or (piece[0] == 0.0 and piece[3] == piece[4]):
        radius, _ = radius_and_growth(piece, h) if dh == 0.0 else (piece[3], 0.0)
        return _ball_along(radius, a, da, v, dv, 0.0, 0.0, first, last)
    return _growing_disc_along(piece, a, da, v, dv, h, dh, first, last)


@compiled
def _keep(first: float, last: float, at_start: float, change: float) -> tuple[float, float]:
    """The part of a range of shares in which ``at_start + change · share`` is not negative."""
    if change == 0.0:
        return (first, last) if at_start >= 0.0 else (1.0, 0.0)
    root = -at_start / change
    return (max(first, root), last) if change > 0.0 else (first, min(last, root))


@compiled
def _ball_along(
    radius: float, a: float, da: float, v: float, dv: float, h: float, dh: float, first: float, last: float
) -> Stretch:
    """A ball (or, with ``h = dh = 0``, a disc) that goes from ``a`` by ``da`` along the ray, ``v`` and ``h`` off it."""
    off = math.hypot(dv, dh)
    if off == 0.0:
        aside2, slope, start, end = v * v + h * h, 0.0, 0.0, 0.0
        down, up = min(a + first * da, a + last * da), max(a + first * da, a + last * da)
        if aside2 > radius * radius:
            return False, 0.0, 0.0
    else:
        aside = (v * dh - h * dv) / off
        aside2, passed, slope = aside * aside, -(v * dv + h * dh) / off, da / off
        if aside2 > radius * radius:
            return False, 0.0, 0.0
        reach = math.sqrt(radius * radius - aside2)
        start, end = max(-reach, first * off - passed), min(reach, last * off - passed)
        if start > end:
            return False, 0.0, 0.0
        down = up = a + slope * passed
    low = down + lowest_on_slope(True, -radius, radius, 0.0, 0.0, radius, aside2, slope, start, end)
    high = up - lowest_on_slope(True, -radius, radius, 0.0, 0.0, radius, aside2, -slope, start, end)
    return True, low, high


@compiled
def _growing_disc_along(
    piece: Floats, a: float, da: float, v: float, dv: float, h: float, dh: float, first: float, last: float
) -> Stretch:
    """A piece on a ramp, cut at the ray's height: a disc whose radius changes on the way.

    The margin (radius less distance from the ray) and half the chord are concave along the way, so halving finds the
    greatest margin, then where the ray is met at all, then both ends of the stretch.
    """
    best = _halve(piece, 0.0, v, dv, h, dh, first, last, True)
    if _margin(piece, v, dv, h, dh, best) <= 0.0:
        return False, 0.0, 0.0
    first = _edge(piece, v, dv, h, dh, first, best)
    last = _edge(piece, v, dv, h, dh, last, best)
    lowest = _halve(piece, -da, v, dv, h, dh, first, last, False)
    highest = _halve(piece, da, v, dv, h, dh, first, last, False)
    low = a + lowest * da - _half_chord(piece, v, dv, h, dh, lowest)
    high = a + highest * da + _half_chord(piece, v, dv, h, dh, highest)
    return True, low, high


@compiled
def _margin(piece: Floats, v: float, dv: float, h: float, dh: float, share: float) -> float:
    radius, _ = radius_and_growth(piece, h + share * dh)
    return radius - abs(v + share * dv)


@compiled
def _half_chord(piece: Floats, v: float, dv: float, h: float, dh: float, share: float) -> float:
    radius, _ = radius_and_growth(piece, h + share * dh)
    aside = v + share * dv
    return math.sqrt(max((radius - aside) * (radius + aside), 0.0))


@compiled
def _edge(piece: Floats, v: float, dv: float, h: float, dh: float, outside: float, inside: float) -> float:
    """The last share, from ``inside`` towards ``outside``, at which the ray is met."""
    if _margin(piece, v, dv, h, dh, outside) >= 0.0:
        return outside
    for _ in range(HALVINGS):
        middle = 0.5 * (outside + inside)
        if _margin(piece, v, dv, h, dh, middle) >= 0.0:
            inside = middle
        else:
            outside = middle
    return inside


@compiled
def _halve(
    piece: Floats, da: float, v: float, dv: float, h: float, dh: float, first: float, last: float, margin: bool
) -> float:
    """The share at which the margin is greatest, or ``da · share`` plus half the chord."""
    for _ in range(HALVINGS):
        share = 0.5 * (first + last)
        radius, growth = radius_and_growth(piece, h + share * dh)
        aside = v + share * dv
        if margin:
            rising = growth * dh - (dv if aside > 0.0 else -dv)
        else:
            half = math.sqrt(max((radius - aside) * (radius + aside), 1e-300))
            rising = da + (radius * growth * dh - aside * dv) / half
        if rising > 0.0:
            first = share
        else:
            last = share
    return 0.5 * (first + last)
