"""Kernels on one piece of a cutter: how low it reaches at a radius, and when it moves past a point on a slope.

``piece`` is a row of :meth:`handwheel.path.profile.Profile.numbers`.
"""

from __future__ import annotations

import math

from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.rows import Floats

NEWTON_STEPS = 60
NEWTON_END = 1e-11
"""mm; a minimum's value is as good as the square of this."""


@compiled
def low_at(rounded: bool, low: float, high: float, r_low: float, r_high: float, ball: float, r: float) -> float:
    """The lower height of a piece at radius ``r``; beyond the rim, the rim's."""
    if rounded:
        out = min(max(r - r_low, 0.0), ball)
        return low + ball - math.sqrt((ball - out) * (ball + out))
    if r <= r_low or r_high <= r_low:
        return low
    return low + (high - low) * min((r - r_low) / (r_high - r_low), 1.0)


@compiled
def widest(piece: Floats) -> float:
    """The greatest radius of a piece."""
    return float(max(piece[3], piece[4]) + piece[5])


@compiled
def low_within(piece: Floats, r: float) -> float:
    """The lower height of a piece at radius ``r``; +inf beyond the rim."""
    if r > widest(piece):
        return math.inf
    return low_at(piece[0] == 1.0, piece[1], piece[2], piece[3], piece[4], piece[5], r)


@compiled
def radius_and_growth(piece: Floats, h: float) -> tuple[float, float]:
    """The radius at height ``h`` and how it grows with the height."""
    if piece[0] == 1.0:
        up = h - piece[1] - piece[5]
        bulge = math.sqrt(max((piece[5] - up) * (piece[5] + up), 0.0))
        return piece[3] + bulge, -up / max(bulge, 1e-300)
    growth = (piece[4] - piece[3]) / (piece[2] - piece[1])
    return piece[3] + growth * (h - piece[1]), growth


@compiled
def lowest_on_slope(
    rounded: bool,
    low: float,
    high: float,
    r_low: float,
    r_high: float,
    ball: float,
    aside2: float,
    slope: float,
    first: float,
    last: float,
) -> float:
    """The least of ``slope``·σ + lower height at radius √(``aside2`` + σ²) for σ from ``first`` to ``last``, mm.

    That is how low a piece comes over a point which it passes at the distance √``aside2``, on a straight slope. The
    function is convex; every candidate is a point of the range, so none can be too low.
    """
    if rounded:
        turning = 0.0
        if r_low == 0.0:
            turning = -slope * math.sqrt(max(ball * ball - aside2, 0.0) / (1.0 + slope * slope))
        elif slope != 0.0:
            turning = _where_corner_is_lowest(r_low, ball, aside2, slope, first, last)
        s = min(max(turning, first), last)
        return slope * s + low_at(rounded, low, high, r_low, r_high, ball, math.sqrt(aside2 + s * s))
    least = min(slope * first, slope * last) + low
    if r_high > r_low:
        least = math.inf
        steep = (high - low) / (r_high - r_low)
        edge = math.sqrt(max(r_low * r_low - aside2, 0.0))
        turning = 0.0
        if abs(slope) < steep:
            turning = -slope * math.sqrt(aside2 / (steep * steep - slope * slope))
        for sigma in (first, last, turning, edge, -edge):
            s = min(max(sigma, first), last)
            r = math.sqrt(aside2 + s * s)
            least = min(least, slope * s + low_at(rounded, low, high, r_low, r_high, ball, r))
    return least


@compiled
def _where_corner_is_lowest(flat: float, ball: float, aside2: float, slope: float, first: float, last: float) -> float:
    """The σ of a corner radius's least height on a slope: Newton's steps, kept inside a shrinking bracket."""
    if _steepness(flat, ball, aside2, slope, first)[0] >= 0.0:
        return first
    if _steepness(flat, ball, aside2, slope, last)[0] <= 0.0:
        return last
    left, right = first, last
    sigma = 0.5 * (left + right)
    for _ in range(NEWTON_STEPS):
        gradient, bend = _steepness(flat, ball, aside2, slope, sigma)
        if gradient > 0.0:
            right = sigma
        else:
            left = sigma
        new = sigma - gradient / bend if bend > 0.0 else 0.5 * (left + right)
        if not left < new < right:
            new = 0.5 * (left + right)
        if abs(new - sigma) < NEWTON_END:
            return new
        sigma = new
    return sigma


@compiled
def _steepness(flat: float, ball: float, aside2: float, slope: float, sigma: float) -> tuple[float, float]:
    """First and second derivative of a corner radius's height on a slope."""
    r = math.sqrt(aside2 + sigma * sigma)
    out = r - flat
    if out <= 0.0:
        return slope, 0.0
    fall = max(ball * ball - out * out, 1e-24 * ball * ball)
    steep = out / math.sqrt(fall)
    along = sigma / r
    bend = ball * ball / (fall * math.sqrt(fall)) * along * along + steep * aside2 / (r * r * r)
    return slope + steep * along, bend
