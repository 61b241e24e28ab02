"""The kernel that holds what is left on rays against what should be; see :mod:`handwheel.check.surface`."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.prism import across_prism, along_prism, signed_distance
from handwheel.cut.kernels.compiled import compiled
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@compiled
def thickest_off(
    axis: int,
    at: Floats,
    through: Floats,
    first: Ints,
    low: Floats,
    high: Floats,
    stock: Floats,
    solids: Floats,
    outlines: Floats,
) -> tuple[Floats, Floats]:
    """The thickest stretch that is missing on each ray, and the thickest that should not be there.

    Parameters
    ----------
    axis, at : the rays, as in :class:`handwheel.cut.rays.Rays`
    through : (n,) mm; only the stretch that holds this coordinate of the ray counts; NaN: any
    first, low, high : what is left on them, as in :class:`handwheel.cut.rays.Stretches`
    stock : (6,) low and high corner of the raw block
    solids, outlines : what should be gone: the rows and pieces of :func:`handwheel.path.meant.numbers`

    Returns
    -------
    (n, 2) thickness and middle of what is missing, and the same of what is spare; mm.
    """
    count = len(at)
    missing, spare = np.zeros((count, 2)), np.zeros((count, 2))
    room = 4 * len(outlines) + 1
    gone, found = np.empty((len(solids) + room, 2)), np.empty((room, 2))
    kept = np.empty((len(solids) + room + 1, 2))
    for ray in range(count):
        found_low, found_high = low[first[ray] : first[ray + 1]], high[first[ray] : first[ray + 1]]
        for fillets in (False, True):
            held = _gone(axis, at[ray, 0], at[ray, 1], stock, solids, outlines, fillets, gone, found)
            pieces = _between(gone, held, stock[axis], stock[axis + 3], kept)
            if fillets:
                for k in range(len(found_low)):
                    _thickest(found_low[k], found_high[k], kept[:pieces, 0], kept[:pieces, 1], through[ray], spare[ray])
            else:
                for k in range(pieces):
                    _thickest(kept[k, 0], kept[k, 1], found_low, found_high, through[ray], missing[ray])
    return missing, spare


@compiled
def _gone(
    axis: int,
    a: float,
    b: float,
    stock: Floats,
    solids: Floats,
    outlines: Floats,
    fillets: bool,
    gone: Floats,
    found: Floats,
) -> int:
    """The stretches of a ray that should be gone, in order, into ``gone``; with ``fillets``, those that must."""
    first, second = (1, 2) if axis == 0 else ((0, 2) if axis == 1 else (0, 1))
    held = 0
    for k in range(len(solids)):
        solid = solids[k]
        wide = solid[14] if solid[7] >= 0.0 or solid[15] >= 0.0 else 0.0
        if not (
            solid[first] - wide < a < solid[first + 3] + wide and solid[second] - wide < b < solid[second + 3] + wide
        ):
            continue
        start, end = solid[axis], solid[axis + 3]
        if solid[15] >= 0.0:
            pieces = outlines[int(solid[19]) : int(solid[20])]
            for piece in range(_prism(axis, a, b, stock, solid, pieces, fillets, found)):
                held = _in_order(gone, held, found[piece, 0], found[piece, 1])
            continue
        if solid[7] >= 0.0:
            start, end = _bore(axis, a, b, solid, -solid[14] if fillets else solid[14])
        elif fillets and solid[6] > 0.0:
            if axis == 2:
                start += _fillet(a, b, stock, solid)
            else:
                start, end = start + solid[6], end - solid[6]
        held = _in_order(gone, held, start, end)
    return held


@compiled
def _in_order(gone: Floats, held: int, start: float, end: float) -> int:
    """Put a stretch in its place; how many there are then."""
    if end <= start:
        return held
    place = held
    while place > 0 and gone[place - 1, 0] > start:
        gone[place, 0], gone[place, 1] = gone[place - 1, 0], gone[place - 1, 1]
        place -= 1
    gone[place, 0], gone[place, 1] = start, end
    return held + 1


@compiled
def _prism(
    axis: int, a: float, b: float, stock: Floats, solid: Floats, pieces: Floats, fillets: bool, found: Floats
) -> int:
    """The stretches of a ray that are within a prism, into ``found``. Upright walls may stand off by the slack; with
    ``fillets`` what a cutter's corner leaves at their foot is no part of it."""
    along, base, end, draft = int(solid[15]), solid[16], solid[17], solid[18]
    wider = (-solid[21] if fillets else 0.0) if draft > 0.0 else (-solid[14] - solid[21] if fillets else solid[14])
    if along == axis:
        rise = along_prism(pieces, a, b, draft, wider)
        if fillets and solid[6] > 0.0 and not _is_outside(base, stock, axis):
            from_wall = max(0.0, -signed_distance(pieces, a, b))
            if from_wall < solid[6]:
                rise += solid[6] - math.sqrt(solid[6] ** 2 - (solid[6] - from_wall) ** 2)
        if rise >= abs(end - base):
            return 0
        start = base + math.copysign(rise, end - base)
        found[0, 0], found[0, 1] = min(start, end), max(start, end)
        return 1
    # the ray crosses it: one of its coordinates is along the prism's axis, the other across
    first = 1 if axis == 0 else 0
    height, across = (a, b) if along == first else (b, a)
    if height <= min(base, end) or height >= max(base, end):
        return 0
    other = 3 - along - axis
    grow = draft * abs(height - base) + wider
    if fillets and solid[6] > 0.0 and not _is_outside(base, stock, along):
        rise = abs(height - base)
        if rise < solid[6]:
            grow -= solid[6] - math.sqrt(solid[6] ** 2 - (solid[6] - rise) ** 2)
    return across_prism(pieces, axis < other, across, grow, found)


@compiled
def _is_outside(value: float, stock: Floats, axis: int) -> bool:
    """Whether a level is on a raw face or beyond it: there is no foot of a wall."""
    return bool(value <= stock[axis] + CONTACT or value >= stock[axis + 3] - CONTACT)


@compiled
def _bore(axis: int, a: float, b: float, solid: Floats, wider: float) -> tuple[float, float]:
    """Where a ray along an axis is within a bore that is so much wider; an empty stretch where it is not."""
    along, radius = int(solid[7]), solid[10] + wider
    opening, full, tip = solid[11], solid[12], solid[13]
    if radius <= 0.0:
        return 0.0, 0.0
    if along == axis:
        off = math.hypot(a - solid[8], b - solid[9])
        if off >= radius:
            return 0.0, 0.0
        end = full + (tip - full) * (1.0 - off / radius)
        return min(opening, end), max(opening, end)
    # the ray crosses the bore: one of its coordinates is along it, the other across
    first = 1 if axis == 0 else 0
    height, across = (a, b) if along == first else (b, a)
    # the bore's own centre is given in the order of the axes, its own left out
    other = 3 - along - axis
    by_other, by_axis = (solid[8], solid[9]) if other < axis else (solid[9], solid[8])
    if height < min(opening, tip) or height > max(opening, tip):
        return 0.0, 0.0
    if (height - full) * (tip - full) > 0.0:
        radius *= 1.0 - (height - full) / (tip - full)
    off = across - by_other
    if abs(off) >= radius:
        return 0.0, 0.0
    half = math.sqrt(radius * radius - off * off)
    return by_axis - half, by_axis + half


@compiled
def _fillet(x: float, y: float, stock: Floats, solid: Floats) -> float:
    """How high the fillet stands above the floor of a solid at an upright ray, mm."""
    radius = solid[6]
    if solid[2] <= stock[2] + CONTACT:
        return 0.0
    from_wall = math.inf
    if solid[0] > stock[0] + CONTACT:
        from_wall = min(from_wall, x - solid[0])
    if solid[3] < stock[3] - CONTACT:
        from_wall = min(from_wall, solid[3] - x)
    if solid[1] > stock[1] + CONTACT:
        from_wall = min(from_wall, y - solid[1])
    if solid[4] < stock[4] - CONTACT:
        from_wall = min(from_wall, solid[4] - y)
    if from_wall >= radius:
        return 0.0
    return float(radius - math.sqrt(radius**2 - (radius - from_wall) ** 2))


@compiled
def _between(gone: Floats, held: int, low: float, high: float, kept: Floats) -> int:
    """What a ray through the whole passes once the gone stretches are gone, written to ``kept``."""
    pieces, at = 0, low
    for k in range(held):
        if gone[k, 0] > at:
            kept[pieces, 0], kept[pieces, 1] = at, gone[k, 0]
            pieces += 1
        at = max(at, gone[k, 1])
    if at < high:
        kept[pieces, 0], kept[pieces, 1] = at, high
        pieces += 1
    return pieces


@compiled
def _thickest(low: float, high: float, starts: Floats, ends: Floats, through: float, best: Floats) -> None:
    """The thickest part of a stretch that the others, in order, leave; written to ``best`` where it is thicker."""
    at = low
    for k in range(len(starts) + 1):
        start, end = (min(starts[k], high), ends[k]) if k < len(starts) else (high, high)
        if start - at > best[0] and not (through < at or through > start):
            best[0], best[1] = start - at, (start + at) / 2.0
        at = max(at, end)
