"""How two parts differ: over the whole map and along level rays through both, face by face."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, Stretches, left
from handwheel.path.profile import Floats
from handwheel.proof.model import Proof, SetupProof

LINES: Final = 128
"""Level rays stand on a lattice of so many by so many over each side of the work, upright ones over its top."""

AT_ONCE: Final = 256
"""So many of the greatest differences in height are looked at together."""


@dataclass(frozen=True, slots=True)
class Difference:
    """``largest`` is how far a face of one part stands from the other's, square to it, mm; ``volume`` what only one of
    the two has, mm³: by rays on a lattice, each region along the axis in which it is thinnest, so that its outline, not
    its thickness, is good to a 128th of the block."""

    largest: float
    volume: float


@dataclass(frozen=True)
class _Only:
    """n stretches along one axis that belong to one part alone: where their middles are (n, 3), how long they are."""

    middle: Floats
    length: Floats


def difference(one: Proof, other: Proof) -> Difference:
    """Hold two parts of the same stock, on the same map, against each other."""
    parts = (one.part, other.part)
    found = [_along(parts, axis) for axis in (0, 1, 2)]
    stock = one.part.stock
    largest, volume = 0.0, 0.0
    for axis, only in enumerate(found):
        thin, is_thinnest = _thickness(parts, only.middle, only.length, axis)
        largest = max(largest, float(thin.max(initial=0.0)))
        others = [k for k in (0, 1, 2) if k != axis]
        each = stock.size[others[0]] * stock.size[others[1]] / LINES**2
        volume += float(only.length[is_thinnest].sum()) * each
    return Difference(_over_map(one.setups[-1], other.setups[-1], largest), volume)


def _along(parts: tuple[Part, Part], axis: int) -> _Only:
    """What only one part has along a lattice of rays."""
    stock = parts[0].stock
    others = [k for k in (0, 1, 2) if k != axis]
    share = (np.arange(LINES) + 0.5) / LINES
    first, second = (stock.low[k] + share * stock.size[k] for k in others)
    at = np.array([grid.ravel() for grid in np.meshgrid(first, second, indexing="ij")]).T
    rays = Rays(axis, at)
    ray, begin, end = _apart(left(parts[0], rays), left(parts[1], rays))
    middle = np.empty((len(ray), 3))
    middle[:, others] = rays.at[ray]
    middle[:, axis] = (begin + end) / 2
    return _Only(middle, end - begin)


def _over_map(one: SetupProof, other: SetupProof, known: float) -> float:
    """The same over every cell of the map: only cells that differ in height by more than is known already matter."""
    apart = np.abs(_height(one) - _height(other))
    if float(apart.max(initial=0.0)) <= known:
        return known
    parts = (one.part, other.part)
    order = np.argsort(apart, axis=None)[::-1]
    x, y = one.heights.grid.x, one.heights.grid.y
    for first in range(0, len(order), AT_ONCE):
        rows, columns = np.unravel_index(order[first : first + AT_ONCE], apart.shape)
        gone = apart[rows, columns] <= known
        rows, columns = rows[~gone], columns[~gone]
        if not len(rows):
            break
        heights = (_height(one)[rows, columns] + _height(other)[rows, columns]) / 2
        middle = np.column_stack((x[columns], y[rows], heights))
        thin, _ = _thickness(parts, middle, apart[rows, columns], 2)
        known = max(known, float(thin.max(initial=0.0)))
        if gone.any():
            break
    return known


def _height(proof: SetupProof) -> Floats:
    """(ny, nx) mm; the height over each cell, at the underside where all is gone."""
    return np.maximum(proof.heights.z, proof.part.stock.low[2])


def _thickness(parts: tuple[Part, Part], middle: Floats, length: Floats, axis: int) -> tuple[Floats, NDArray[np.bool_]]:
    """How thin what is at a point is in its thinnest direction, and whether that is ``axis``."""
    thin, is_thinnest = length.copy(), np.ones(len(length), dtype=bool)
    for other in (0, 1, 2):
        if other == axis or not len(middle):
            continue
        rays = Rays(other, middle[:, [k for k in (0, 1, 2) if k != other]])
        ray, begin, end = _apart(left(parts[0], rays), left(parts[1], rays))
        inside = (begin <= middle[ray, other]) & (middle[ray, other] <= end)
        across = np.full(len(middle), np.inf)
        np.minimum.at(across, ray[inside], (end - begin)[inside])
        is_thinnest &= (across > thin) | ((across == thin) & (axis < other))
        thin = np.minimum(thin, across)
    return thin, is_thinnest


def _apart(one: Stretches, other: Stretches) -> tuple[NDArray[np.int64], Floats, Floats]:
    """What only one of the two has, ray by ray: the ray's number, begin and end of each stretch."""
    count = len(one.first) - 1
    rays = [np.repeat(np.arange(count), np.diff(part.first)) for part in (one, other)]
    ray = np.concatenate([np.repeat(rays[0], 2), np.repeat(rays[1], 2)])
    place = np.concatenate([np.column_stack((part.low, part.high)).ravel() for part in (one, other)])
    # along a ray every end of a stretch changes whether exactly one part is there
    order = np.lexsort((place, ray))
    ray, place = ray[order].reshape(-1, 2), place[order].reshape(-1, 2)
    some = place[:, 1] > place[:, 0]
    return ray[some, 0], place[some, 0], place[some, 1]
