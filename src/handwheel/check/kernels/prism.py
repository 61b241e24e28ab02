"""Rays against prisms: a region of a plane, carried along an axis; see :class:`handwheel.path.prism.Prism`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.compiled import compiled

Floats = NDArray[np.float64]


@compiled
def along_prism(pieces: Floats, u: float, v: float, draft: float, wider: float) -> float:
    """How far from a prism's base a ray along its axis is still outside it, where it is ``wider`` all round: 0 where it
    is in it from the base on, infinite where it misses it; mm."""
    away = signed_distance(pieces, u, v) - wider
    if away < 0.0:
        return 0.0
    if draft <= 0.0:
        return math.inf
    return away / draft


@compiled
def signed_distance(pieces: Floats, u: float, v: float) -> float:
    """How far a point is from the outlines, mm; less than nothing within the region."""
    nearest, within = math.inf, False
    for k in range(len(pieces)):
        piece = pieces[k]
        nearest = min(nearest, _distance(piece, u, v))
        if (piece[2] <= v) != (piece[4] <= v) and _crossing(piece, v, False) > u:
            within = not within
    return -nearest if within else nearest


@compiled
def across_prism(pieces: Floats, along_u: bool, at: float, grow: float, found: Floats) -> int:
    """The stretches of a line along one coordinate, at a value of the other, that are in the region grown by ``grow``
    (negative: shrunk), mm; not sorted, and they may overlap where it is grown. Written to ``found`` (k, 2).

    Grown, the region is itself and all that is within ``grow`` of an outline; shrunk, it is itself without that.
    """
    count = _plain(pieces, along_u, at, found)
    if grow == 0.0:
        return count
    reach = abs(grow)
    if grow > 0.0:
        for k in range(len(pieces)):
            count = _near(pieces[k], along_u, at, reach, found, count)
        return count
    near = np.empty((3 * len(pieces), 2))
    close = 0
    for k in range(len(pieces)):
        close = _near(pieces[k], along_u, at, reach, near, close)
    return _without(found, count, near, close)


@compiled
def _plain(pieces: Floats, along_u: bool, at: float, found: Floats) -> int:
    crossings = np.empty(len(pieces))
    count = 0
    first, second = (2, 4) if along_u else (1, 3)
    for k in range(len(pieces)):
        piece = pieces[k]
        if (piece[first] <= at) == (piece[second] <= at):
            continue
        value = _crossing(piece, at, not along_u)
        place = count
        while place > 0 and crossings[place - 1] > value:
            crossings[place] = crossings[place - 1]
            place -= 1
        crossings[place] = value
        count += 1
    for k in range(count // 2):
        found[k, 0], found[k, 1] = crossings[2 * k], crossings[2 * k + 1]
    return count // 2


@compiled
def _crossing(piece: Floats, at: float, upright: bool) -> float:
    """Where a piece crosses a level line ``v = at`` (an upright one ``u = at``)."""
    a, b = (2, 1) if upright else (1, 2)
    if piece[0] == 0.0:
        return float(piece[a] + (piece[a + 2] - piece[a]) * (at - piece[b]) / (piece[b + 2] - piece[b]))
    ca, cb = piece[a + 4], piece[b + 4]
    radius = math.hypot(piece[a] - ca, piece[b] - cb)
    half = math.sqrt(max(0.0, radius * radius - (at - cb) ** 2))
    return float(ca + math.copysign(half, piece[a] + piece[a + 2] - 2.0 * ca))


@compiled
def _distance(piece: Floats, u: float, v: float) -> float:
    if piece[0] == 0.0:
        x, y = piece[3] - piece[1], piece[4] - piece[2]
        square = x * x + y * y
        share = 0.0 if square == 0.0 else ((u - piece[1]) * x + (v - piece[2]) * y) / square
        share = min(max(share, 0.0), 1.0)
        return math.hypot(u - piece[1] - share * x, v - piece[2] - share * y)
    x, y = u - piece[5], v - piece[6]
    if _in_sector(piece, x, y):
        return abs(math.hypot(x, y) - math.hypot(piece[1] - piece[5], piece[2] - piece[6]))
    return min(math.hypot(u - piece[1], v - piece[2]), math.hypot(u - piece[3], v - piece[4]))


@compiled
def _in_sector(piece: Floats, x: float, y: float) -> bool:
    """Whether a direction from an arc's centre is between its ends; an arc is a quarter circle at most."""
    sense = math.copysign(1.0, piece[7])
    p, q = piece[1] - piece[5], piece[2] - piece[6]
    s, t = piece[3] - piece[5], piece[4] - piece[6]
    return bool((p * y - q * x) * sense >= 0.0 and (x * t - y * s) * sense >= 0.0)


@compiled
def _near(piece: Floats, along_u: bool, at: float, reach: float, found: Floats, count: int) -> int:
    """Add the stretches of the line that are within ``reach`` of a piece; three at most."""
    a, b = (1, 2) if along_u else (2, 1)
    across = at - piece[b]
    if abs(across) < reach:
        half = math.sqrt(reach * reach - across * across)
        found[count, 0], found[count, 1] = piece[a] - half, piece[a] + half
        count += 1
    if piece[0] == 0.0:
        low, high = _beside_line(piece[a], piece[b], piece[a + 2], piece[b + 2], at, reach)
        if high > low:
            found[count, 0], found[count, 1] = low, high
            count += 1
        return count
    ca, cb = piece[a + 4], piece[b + 4]
    radius = math.hypot(piece[a] - ca, piece[b] - cb)
    across = at - cb
    outer = (radius + reach) ** 2 - across * across
    if outer <= 0.0:
        return count
    far = math.sqrt(outer)
    inner = max(0.0, radius - reach) ** 2 - across * across
    gap = math.sqrt(inner) if inner > 0.0 else 0.0
    low, high = _sector(piece, along_u, at)
    for nearer, further in ((ca - far, ca - gap), (ca + gap, ca + far)):
        begin, end = max(nearer, low), min(further, high)
        if end > begin:
            found[count, 0], found[count, 1] = begin, end
            count += 1
    return count


@compiled
def _beside_line(a0: float, b0: float, a1: float, b1: float, at: float, reach: float) -> tuple[float, float]:
    """The stretch of the line b = at that is beside a straight piece, between the uprights at its ends."""
    x, y = a1 - a0, b1 - b0
    length = math.hypot(x, y)
    if length == 0.0:
        return 0.0, 0.0
    x, y = x / length, y / length
    low, high = -math.inf, math.inf
    # along the piece: 0 <= (a − a0)·x + (at − b0)·y <= length; across it: |(at − b0)·x − (a − a0)·y| <= reach
    low, high = _between(x, (at - b0) * y, 0.0, length, low, high)
    low, high = _between(-y, (at - b0) * x, -reach, reach, low, high)
    return low + a0, high + a0


@compiled
def _between(slope: float, start: float, least: float, most: float, low: float, high: float) -> tuple[float, float]:
    """Where ``least <= slope·t + start <= most`` within low to high; turned inside out where nowhere."""
    if slope == 0.0:
        return (low, high) if least <= start <= most else (1.0, -1.0)
    first, last = (least - start) / slope, (most - start) / slope
    return max(low, min(first, last)), min(high, max(first, last))


@compiled
def _sector(piece: Floats, along_u: bool, at: float) -> tuple[float, float]:
    """The stretch of the line that is within the angle of an arc of a quarter circle at most."""
    sense = math.copysign(1.0, piece[7])
    p, q = piece[1] - piece[5], piece[2] - piece[6]
    s, t = piece[3] - piece[5], piece[4] - piece[6]
    low, high = -math.inf, math.inf
    if along_u:
        y = at - piece[6]
        low, high = _between(-q * sense, p * y * sense, 0.0, math.inf, low, high)
        low, high = _between(t * sense, -y * s * sense, 0.0, math.inf, low, high)
        return low + piece[5], high + piece[5]
    x = at - piece[5]
    low, high = _between(p * sense, -q * x * sense, 0.0, math.inf, low, high)
    low, high = _between(-s * sense, x * t * sense, 0.0, math.inf, low, high)
    return low + piece[6], high + piece[6]


@compiled
def _without(found: Floats, count: int, gone: Floats, close: int) -> int:
    """The stretches of ``found`` without those of ``gone``, written to ``found``."""
    for k in range(1, close):
        begin, end = gone[k, 0], gone[k, 1]
        place = k
        while place > 0 and gone[place - 1, 0] > begin:
            gone[place, 0], gone[place, 1] = gone[place - 1, 0], gone[place - 1, 1]
            place -= 1
        gone[place, 0], gone[place, 1] = begin, end
    kept = np.empty((count + close, 2))
    total = 0
    for k in range(count):
        at = found[k, 0]
        for j in range(close):
            if gone[j, 1] <= at or gone[j, 0] >= found[k, 1]:
                continue
            if gone[j, 0] > at:
                kept[total, 0], kept[total, 1] = at, gone[j, 0]
                total += 1
            at = max(at, gone[j, 1])
        if at < found[k, 1]:
            kept[total, 0], kept[total, 1] = at, found[k, 1]
            total += 1
    found[:total] = kept[:total]
    return total
