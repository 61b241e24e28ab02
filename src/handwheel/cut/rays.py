"""Straight rays through a part: what does each still pass through?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.part import Cut, Part
from handwheel.cut.sweeps import batches
from handwheel.path.box import Box
from handwheel.path.placement import Placement
from handwheel.path.profile import Floats
from handwheel.tolerances import CONTACT

Ints = NDArray[np.int64]

RAYS_IN_A_BIN = 4.0


@dataclass(frozen=True)
class Rays:
    """Rays along one axis.

    Attributes
    ----------
    axis : 0, 1 or 2 for X, Y or Z
    at : (n, 2) float64, mm; the other two coordinates of each ray, in the order X, Y, Z
    """

    axis: int
    at: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", np.ascontiguousarray(self.at, dtype=np.float64).reshape(-1, 2))

    def __len__(self) -> int:
        return len(self.at)

    @property
    def others(self) -> tuple[int, int]:
        """The two axes that ``at`` is given in."""
        return _OTHERS[self.axis]


_OTHERS = ((1, 2), (0, 2), (0, 1))


@dataclass(frozen=True)
class Stretches:
    """What is left on each ray: stretches ``first[i]`` to ``first[i + 1]`` belong to ray i, sorted and apart.

    Attributes
    ----------
    first : (n + 1,) int64
    low, high : (m,) float64, mm; where each stretch begins and ends along the axis
    """

    first: Ints
    low: Floats
    high: Floats

    def of(self, ray: int) -> Floats:
        """(k, 2) the stretches of one ray."""
        chosen = slice(self.first[ray], self.first[ray + 1])
        return np.column_stack((self.low[chosen], self.high[chosen]))

    def total(self) -> Floats:
        """(n,) mm; how much each ray passes through in all."""
        sums = np.concatenate(([0.0], np.cumsum(self.high - self.low)))
        return np.asarray(sums[self.first[1:]] - sums[self.first[:-1]])


def left(part: Part, rays: Rays) -> Stretches:
    """What each ray still passes through.

    Exact for straight moves with any cutter, level arcs in XY with any, cylinders also on helices and on arcs of the
    other planes, cones and balls on helices for vertical rays; other curves stand as chords within ``CHORD``. Touching
    is not cutting; what is thinner than ``CONTACT`` is not there.
    """
    stretches = _through(part.stock, rays)
    for cut in part.cuts:
        if len(cut.moves) and len(rays):
            stretches = _cut(stretches, rays, cut)
    return _without_slivers(stretches)


def _through(stock: Box, rays: Rays) -> Stretches:
    """The rays through the raw block; on its faces, too."""
    u, v = rays.others
    met = np.ones(len(rays), dtype=bool)
    for axis, values in ((u, rays.at[:, 0]), (v, rays.at[:, 1])):
        met &= (values >= stock.low[axis]) & (values <= stock.high[axis])
    count = int(met.sum())
    first = np.concatenate(([0], np.cumsum(met)))
    return Stretches(first, np.full(count, stock.low[rays.axis]), np.full(count, stock.high[rays.axis]))


def _cut(stretches: Stretches, rays: Rays, cut: Cut) -> Stretches:
    if cut.placement.is_identity:
        return _cut_there(stretches, rays, cut)
    there, sign, shift = _placed(rays, cut.placement)
    stretches = _moved(stretches, sign, shift)
    return _moved(_cut_there(stretches, there, cut), sign, -sign * shift)


def _placed(rays: Rays, placement: Placement) -> tuple[Rays, int, float]:
    """The rays in a set-up's frame, and how a coordinate along them changes: sign · value + shift."""
    axis, sign = placement.axis(rays.axis)
    columns: dict[int, Floats] = {}
    for other, values in zip(rays.others, rays.at.T, strict=True):
        onto, turned = placement.axis(other)
        columns[onto] = turned * values + placement.shift[onto]
    at = np.column_stack([columns[other] for other in _OTHERS[axis]])
    return Rays(axis, at), sign, placement.shift[axis]


def _moved(stretches: Stretches, sign: int, shift: float) -> Stretches:
    """Each coordinate along the rays as sign · value + shift; turned round, each ray's stretches change order."""
    if sign > 0:
        return Stretches(stretches.first, stretches.low + shift, stretches.high + shift)
    per_ray = np.diff(stretches.first)
    ray = np.repeat(np.arange(len(per_ray)), per_ray)
    turned = stretches.first[ray] + stretches.first[ray + 1] - 1 - np.arange(len(ray))
    return Stretches(stretches.first, shift - stretches.high[turned], shift - stretches.low[turned])


def _cut_there(stretches: Stretches, rays: Rays, cut: Cut) -> Stretches:
    from handwheel.cut.kernels.chains import cut_rays

    bins, starts, order = _bins(rays.at)
    head, chain, ends = _chained(stretches)
    for sweeps in batches(cut.moves, cut.tools, vertical=rays.axis == 2):
        chain, ends = cut_rays(sweeps, rays.axis, rays.at, bins, starts, order, head, chain, ends)
    return _unchained(head, chain, ends)


def _bins(at: Floats) -> tuple[Floats, Ints, Ints]:
    """The rays in squares of about equal numbers, so that a move looks only at rays near it."""
    low, high = at.min(axis=0), at.max(axis=0)
    size = high - low
    wanted = max(len(at) / RAYS_IN_A_BIN, 1.0)
    flat = size.max() * 1e-9
    if size.max() == 0.0:
        counts = [1, 1]
    elif size.min() <= flat:
        counts = [math.ceil(wanted) if length > flat else 1 for length in size]
    else:
        side = math.sqrt(size[0] * size[1] / wanted)
        counts = [min(max(math.ceil(length / side), 1), math.ceil(wanted)) for length in size]
    bins = np.array(
        [[lo, n / length if length > 0.0 else 0.0, n] for lo, length, n in zip(low, size, counts, strict=True)]
    )
    place = [np.clip(((at[:, k] - bins[k, 0]) * bins[k, 1]).astype(np.int64), 0, counts[k] - 1) for k in range(2)]
    number = place[0] * counts[1] + place[1]
    order = np.argsort(number, kind="stable")
    starts = np.searchsorted(number[order], np.arange(counts[0] * counts[1] + 1))
    return bins, starts.astype(np.int64), order.astype(np.int64)


def _chained(stretches: Stretches) -> tuple[Ints, Ints, Floats]:
    """Stretches as chains of links, with room to grow; see :mod:`handwheel.cut.kernels.chains`."""
    count = len(stretches.low)
    room = 2 * count + 16
    chain = np.arange(1, room + 2, dtype=np.int64)
    chain[room - 1], chain[room] = -1, count
    empty = stretches.first[:-1] == stretches.first[1:]
    head = np.where(empty, -1, stretches.first[:-1])
    last = stretches.first[1:][~empty] - 1
    chain[last] = -1
    ends = np.zeros((room, 2))
    ends[:count] = np.column_stack((stretches.low, stretches.high))
    return head.astype(np.int64), chain, ends


def _unchained(head: Ints, chain: Ints, ends: Floats) -> Stretches:
    from handwheel.cut.kernels.chains import gather

    first, links = gather(head, chain)
    return Stretches(first, ends[links, 0], ends[links, 1])


def _without_slivers(stretches: Stretches) -> Stretches:
    thick = stretches.high - stretches.low > CONTACT
    if thick.all():
        return stretches
    kept = np.concatenate(([0], np.cumsum(thick)))
    return Stretches(kept[stretches.first], stretches.low[thick], stretches.high[thick])
