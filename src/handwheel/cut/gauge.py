"""Gauges laid on the part: micrometer, caliper, depth and height gauge as rays over the footprint of an anvil; what
measures inside, as one ray from point to point.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, Stretches, left
from handwheel.path.profile import Floats
from handwheel.tolerances import CONTACT, SNAP

Axis = Literal["x", "y", "z"]
Of = Literal["outside", "inside", "step", "middle"]

ANVIL: Final = 6.35
"""The width of a micrometer's anvil, mm (1/4 in, common practice)."""

ROD: Final = 3.0
"""The thickness of a depth gauge's rod, mm: it goes into a hole that an anvil covers (common practice)."""

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
    anvil: float | None = None,
    start: tuple[float, int] | None = None,
) -> Measurement:
    """Lay a gauge on the part.

    Parameters
    ----------
    axis : along which the gauge measures
    through : the other two coordinates, by name, mm
    of : ``outside``: first to last material, or with ``at`` the piece at that coordinate; ``inside``: the gap at
        ``at``; ``middle``: where the middle of that gap is; ``step``: from the zero face (coordinate 0) to the first
        material, + into the stock. In Z that is met from above, in X and Y from the side on which the zero face stands
        open: away from the stock's middle. Where zero is in the middle, it is the distance from there to the first
        material met on the side of ``at`` (left out: the + side)
    anvil : width of the gauge's faces, mm; 0 for a point. Left out: ``ANVIL``; for ``step`` the rod, ``ROD``; a point
        for ``inside``, since bore gauges, inside micrometers and the inside jaws of a caliper touch a round wall at a
        point (common practice)
    start : of a step that does not start at zero: the coordinate of its face, mm, and which way is outwards, 1 or −1

    The faces are flat and square to the axis, so the highest points within them count. They may be laid anywhere that
    covers the point, and are laid as a careful hand lays them: clear of a ledge beside it. Rays that meet nothing do
    not count.
    """
    index = "xyz".index(axis)
    if anvil is None:
        anvil = {"inside": 0.0, "middle": 0.0, "step": ROD}.get(of, ANVIL)
    point = np.array([through[name] for name in "xyz" if name != axis], dtype=np.float64)
    offsets = np.linspace(-anvil, anvil, 2 * RAYS_OVER_ANVIL - 1) if anvil > 0.0 else np.zeros(1)
    first, second = (grid.ravel() for grid in np.meshgrid(offsets, offsets, indexing="ij"))
    stretches = left(part, Rays(index, point + np.column_stack((first, second))))
    if of == "step":
        if start is not None:
            return _step_from(stretches, offsets, *start)
        return _step(part, index, stretches, at, offsets)
    ends = _gaps(stretches, at) if of in ("inside", "middle") else _pieces(stretches, at)
    low, high = ends.T.reshape(2, len(offsets), len(offsets))
    # outside, the faces close until they stop at the first material; inside, they open
    closing = 1.0 if of == "outside" else -1.0
    laid = _laid(closing * low, -closing * high)
    if laid is None:
        return Measurement(None)
    face_low, face_high = closing * laid.faces[0], -closing * laid.faces[1]
    taper, ridge = _shape((high - low)[laid.where], offsets, laid.where)
    value = (face_low + face_high) / 2.0 if of == "middle" else face_high - face_low
    return Measurement(value, face_low, face_high, taper, ridge)


def _step_from(stretches: Stretches, offsets: Floats, face: float, outwards: int) -> Measurement:
    """How far below a face the rod stops, coming from outside."""
    met = stretches.first[1:] > stretches.first[:-1]
    found = np.full((len(offsets), len(offsets)), np.nan)
    high, low = stretches.high[stretches.first[1:][met] - 1], stretches.low[stretches.first[:-1][met]]
    found.ravel()[met] = high if outwards > 0 else low
    laid = _laid(-outwards * found, np.zeros_like(found), is_rod=True)
    if laid is None:
        return Measurement(None)
    stop = -outwards * laid.faces[0]
    taper, ridge = _shape(found[laid.where], offsets, laid.where)
    return Measurement(outwards * (face - stop), min(face, stop), max(face, stop), taper, ridge)


def _step(part: Part, index: int, stretches: Stretches, at: float | None, offsets: Floats) -> Measurement:
    middle = part.stock.centre[index]
    if abs(middle) < CONTACT:
        positive = -1.0 if at is not None and at < 0.0 else 1.0
        from_high_side = positive > 0.0
    else:
        positive = math.copysign(1.0, middle)
        from_high_side = positive < 0.0
    from_high_side = from_high_side or index == 2
    met = stretches.first[1:] > stretches.first[:-1]
    face = np.full((len(offsets), len(offsets)), np.nan)
    first_met = (
        stretches.high[stretches.first[1:][met] - 1] if from_high_side else stretches.low[stretches.first[:-1][met]]
    )
    face.ravel()[met] = first_met
    look = -1.0 if from_high_side else 1.0
    laid = _laid(look * face, np.zeros_like(face), is_rod=True)
    if laid is None:
        return Measurement(None)
    stop = look * laid.faces[0]
    taper, ridge = _shape(face[laid.where], offsets, laid.where)
    return Measurement(positive * stop, min(0.0, stop), max(0.0, stop), taper, ridge)


def _pieces(stretches: Stretches, at: float | None) -> Floats:
    """(n, 2) first and last of the material on each ray, or of the piece at ``at``; NaN for none."""
    ends = np.full((len(stretches.first) - 1, 2), np.nan)
    for ray in range(len(ends)):
        pieces = stretches.of(ray)
        if at is not None:
            pieces = pieces[(pieces[:, 0] <= at) & (at <= pieces[:, 1])]
        if len(pieces):
            ends[ray] = pieces[0, 0], pieces[-1, 1]
    return ends


def _gaps(stretches: Stretches, at: float | None) -> Floats:
    """(n, 2) both ends of the gap at ``at`` on each ray (left out: of its first gap); NaN where it has no two sides."""
    ends = np.full((len(stretches.first) - 1, 2), np.nan)
    for ray in range(len(ends)):
        pieces = stretches.of(ray)
        gaps = np.column_stack((pieces[:-1, 1], pieces[1:, 0]))
        if at is not None:
            gaps = gaps[(gaps[:, 0] <= at) & (at <= gaps[:, 1])]
        if len(gaps):
            ends[ray] = gaps[0]
    return ends


Where = tuple[slice, slice]


@dataclass(frozen=True, slots=True)
class _Laid:
    """Which rays an anvil covers, and where its two faces stop."""

    where: Where
    faces: tuple[float, float]


def _laid(low: Floats, high: Floats, *, is_rod: bool = False) -> _Laid | None:
    """How an anvil is laid so that it covers the middle ray; nothing where that ray meets nothing.

    Each face stops at the least of what it covers. Of all places, the one where they stop last is taken; of equals, the
    one nearest the middle. A rod is round.
    """
    middle = len(low) // 2
    if math.isnan(low[middle, middle]):
        return None
    across = np.linspace(-1.0, 1.0, middle + 1)
    covered = (
        np.hypot(*np.meshgrid(across, across)) <= 1.0 + SNAP if is_rod else np.full((middle + 1, middle + 1), True)
    )
    places = []
    for start in sorted(range(middle + 1), key=lambda start: abs(2 * start - middle)):
        for beside in sorted(range(middle + 1), key=lambda start: abs(2 * start - middle)):
            where = (slice(start, start + middle + 1), slice(beside, beside + middle + 1))
            faces = [np.where(covered, face[where], np.nan) for face in (low, high)]
            if not np.isnan(faces[0]).all():
                places.append(_Laid(where, (float(np.nanmin(faces[0])), float(np.nanmin(faces[1])))))
    last = max(sum(laid.faces) for laid in places)
    return next(laid for laid in places if sum(laid.faces) >= last - SNAP)


def _shape(size: Floats, offsets: Floats, where: Where) -> tuple[tuple[float, float], float]:
    """Even taper along both coordinates (least squares) and what stands out of it."""
    first, second = np.meshgrid(offsets[where[0]], offsets[where[1]], indexing="ij")
    met = ~np.isnan(size)
    plane = np.column_stack((first[met], second[met], np.ones(int(met.sum()))))
    fit, *_ = np.linalg.lstsq(plane, size[met], rcond=None)
    return (float(fit[0]), float(fit[1])), float(np.ptp(size[met] - plane @ fit))
