"""Gauges laid on the part: micrometer, caliper, depth and height gauge as rays over the footprint of an anvil."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, Stretches, left
from handwheel.path.profile import Floats

Axis = Literal["x", "y", "z"]
Of = Literal["outside", "inside", "step"]

ANVIL: Final = 6.35
"""The width of a micrometer's anvil, mm (1/4 in, common practice)."""

RAYS_OVER_ANVIL: Final = 9
"""How many rays stand side by side over an anvil, edges included."""


@dataclass(frozen=True, slots=True)
class Measurement:
    """A reading, mm.

    ``value`` is what the gauge shows, ``None`` where nothing is met; ``low`` and ``high`` are where its faces stand (a
    step: zero and the face met). ``taper`` is how the size changes over the footprint, mm in a mm, along the other two
    coordinates in the order X, Y, Z; ``ridge`` what stands out of that even taper, highest less lowest.
    """

    value: float | None
    low: float | None = None
    high: float | None = None
    taper: tuple[float, float] = (0.0, 0.0)
    ridge: float = 0.0


def measure(
    part: Part,
    axis: Axis,
    through: Mapping[str, float],
    of: Of = "outside",
    at: float | None = None,
    anvil: float = ANVIL,
) -> Measurement:
    """Lay a gauge on the part.

    Parameters
    ----------
    axis : along which the gauge measures
    through : the other two coordinates, by name, mm
    of : ``outside``: first to last material, or with ``at`` the piece at that coordinate; ``inside``: the gap at
        ``at``; ``step``: from the zero face (coordinate 0) to the first material. In Z that is met from above, in X
        and Y from the side on which the zero face stands open: away from the stock's middle; where zero is in the
        middle, from the side of ``at`` (else from the + side)
    anvil : width of the gauge's faces, mm; 0 for a point

    The faces are flat and square to the axis, so the highest points within them count. They may be laid anywhere that
    covers the point, and are laid as a careful hand lays them: clear of a ledge beside it. Rays that meet nothing do
    not count.
    """
    index = "xyz".index(axis)
    point = np.array([through[name] for name in "xyz" if name != axis], dtype=np.float64)
    places = 2 * RAYS_OVER_ANVIL - 1 if anvil > 0.0 else 1
    offsets = np.linspace(-anvil, anvil, places)
    first, second = (grid.ravel() for grid in np.meshgrid(offsets, offsets, indexing="ij"))
    rays = Rays(index, point + np.column_stack((first, second)))
    stretches = left(part, rays)
    if of == "step":
        return _step(part, index, stretches, at, offsets)
    picked = _gap if of == "inside" else _piece
    low, high = np.array([picked(stretches.of(ray), at) for ray in range(len(rays))]).T.reshape(2, places, places)
    # an anvil stops at the first it meets: outside at the greatest size, inside at the least
    sign = 1.0 if of == "outside" else -1.0
    where, best = _laid(sign * low, -sign * high)
    if best is None:
        return Measurement(None)
    face_low, face_high = sign * best[0], -sign * best[1]
    taper, ridge = _shape((high - low)[where], offsets, where)
    return Measurement(float(face_high - face_low), float(face_low), float(face_high), taper, ridge)


def _piece(stretches: Floats, at: float | None) -> tuple[float, float]:
    """First and last of the material on a ray, or of the piece at ``at``; NaN for none."""
    if at is not None:
        stretches = stretches[(stretches[:, 0] <= at) & (at <= stretches[:, 1])]
    return (float(stretches[0, 0]), float(stretches[-1, 1])) if len(stretches) else (np.nan, np.nan)


def _gap(stretches: Floats, at: float | None) -> tuple[float, float]:
    """Both ends of the gap at ``at`` on a ray (left out: of its first gap); NaN where it has no two sides."""
    starts, ends = stretches[:-1, 1], stretches[1:, 0]
    chosen = np.ones(len(starts), dtype=bool) if at is None else (starts <= at) & (at <= ends)
    return (float(starts[chosen][0]), float(ends[chosen][0])) if chosen.any() else (np.nan, np.nan)


Where = tuple[slice, slice]


def _laid(low: Floats, high: Floats) -> tuple[Where, tuple[float, float] | None]:
    """Where an anvil that covers the middle ray is laid, and where its two faces stop: ``low`` and ``high`` are each
    the least within it. Of all places, the one with the greatest sum (the size least overdrawn) is taken."""
    places = len(low)
    width = (places + 1) // 2
    middle = places // 2
    nowhere = (slice(middle, middle + 1),) * 2
    if np.isnan(low[middle, middle]):
        return nowhere, None
    found: tuple[Where, tuple[float, float]] | None = None
    # from the middle outwards, so that a gauge stays centred where nothing is gained
    starts = sorted(range(places - width + 1), key=lambda start: (abs(start + width // 2 - middle), start))
    for i in starts:
        for j in starts:
            where = (slice(i, i + width), slice(j, j + width))
            faces = float(np.nanmin(low[where])), float(np.nanmin(high[where]))
            if found is None or sum(faces) > sum(found[1]) + 1e-12:
                found = where, faces
    assert found is not None
    return found


def _step(part: Part, index: int, stretches: Stretches, at: float | None, offsets: Floats) -> Measurement:
    middle = part.stock.centre[index]
    centred = abs(middle) < 1e-6 * part.stock.size[index]
    inward = -1.0 if centred and (at is None or at > 0.0) else 1.0 if centred or middle > 0.0 else -1.0
    from_above = index == 2 or inward < 0.0
    met = stretches.first[1:] > stretches.first[:-1]
    face = np.full((len(offsets), len(offsets)), np.nan)
    ends = stretches.high[stretches.first[1:][met] - 1] if from_above else stretches.low[stretches.first[:-1][met]]
    face.ravel()[met] = ends
    look = -1.0 if from_above else 1.0
    where, best = _laid(look * face, np.zeros_like(face))
    if best is None:
        return Measurement(None)
    stop = look * best[0]
    taper, ridge = _shape(face[where], offsets, where)
    outward = -inward if centred else inward
    return Measurement(outward * stop, min(0.0, stop), max(0.0, stop), taper, ridge)


def _shape(size: Floats, offsets: Floats, where: Where) -> tuple[tuple[float, float], float]:
    """Even taper along both coordinates (least squares) and what stands out of it."""
    first, second = np.meshgrid(offsets[where[0]], offsets[where[1]], indexing="ij")
    met = ~np.isnan(size)
    plane = np.column_stack((first[met], second[met], np.ones(int(met.sum()))))
    fit, *_ = np.linalg.lstsq(plane, size[met], rcond=None)
    rest = size[met] - plane @ fit
    return (float(fit[0]), float(fit[1])), float(np.ptp(rest))
