"""What each move takes from a ray by itself, and how the ends of that follow the move and the cutter's diameter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from handwheel.cut.kernels.rows import Floats, Ints, Sweeps
from handwheel.cut.rays import Rays
from handwheel.cut.sweeps import batches
from handwheel.motion import Moves, Tool

PROBE: Final = 1e-3
"""A move is shifted, and a diameter changed, by so much either way to see where the ends of a stretch go, mm."""

WAYS: Final = 7
"""A move's start in X, Y, Z, its end in X, Y, Z, and the diameter of its cutter."""


@dataclass(frozen=True)
class Taken:
    """Stretches, each taken from one ray by one move.

    Attributes
    ----------
    ray, move : (k,) int64
    low, high : (k,) float64, mm
    low_follows, high_follows : (k, 7) how far each end goes for one mm of each of :data:`WAYS`
    """

    ray: Ints
    move: Ints
    low: Floats
    high: Floats
    low_follows: Floats
    high_follows: Floats


def taken(moves: Moves, tools: Mapping[int, Tool], rays: Rays, *, follows: bool = True) -> Taken:
    """What each move takes from each ray, whether or not another move has been there.

    Parameters
    ----------
    moves, tools : as in :class:`handwheel.cut.part.Cut`; a tap takes nothing
    rays : a few
    follows : whether to look how each end answers; else zeros

    >>> from handwheel.motion import Kind, Modal, MovesBuilder
    >>> mill = Tool(1, "end mill", 10.0, 4, 20.0, 10.0, 30.0, 40.0, 50.0)
    >>> builder = MovesBuilder()
    >>> builder.add(Kind.FEED, (-20.0, 0.0, -1.0), (20.0, 0.0, -1.0), Modal(tool=1), feed=100.0)
    >>> across = taken(builder.build(), {1: mill}, Rays(1, np.array([[0.0, 0.0]])))
    >>> across.low.tolist(), across.high.tolist()
    ([-5.0], [5.0])
    >>> across.high_follows[0].round(6).tolist()  # half with start and end each, half the diameter
    [0.0, 0.5, 0.0, 0.0, 0.5, 0.0, 0.5]
    """
    from handwheel.cut.kernels.taken import stretches_taken

    cutting = {number: tool for number, tool in tools.items() if tool.shape != "tap"}
    wider, narrower = (
        {number: replace(tool, diameter=tool.diameter + by) for number, tool in cutting.items()}
        for by in (PROBE, -PROBE)
    )
    vertical = rays.axis == 2
    found: list[tuple[Floats, ...]] = []
    for sweeps, wide, narrow in zip(
        *(batches(moves, each, vertical=vertical) for each in (cutting, wider, narrower)), strict=True
    ):
        near = _near(sweeps, rays)
        here = _rows(sweeps, near)
        base = stretches_taken(here, rays.axis, rays.at)
        answers = np.zeros((2, len(base), WAYS))
        if follows and len(base):
            for way in range(WAYS):
                more, less = (
                    (_rows(wide, near), _rows(narrow, near))
                    if way == WAYS - 1
                    else (_shifted(here, way, PROBE), _shifted(here, way, -PROBE))
                )
                answers[:, :, way] = _answer(base, *(stretches_taken(one, rays.axis, rays.at) for one in (more, less)))
        found.append(
            (base[:, 0], here.move[base[:, 1].astype(np.int64)].astype(np.float64), base[:, 3], base[:, 4], *answers)
        )
    if not found:
        nothing = np.zeros(0)
        found = [(nothing, nothing, nothing, nothing, np.zeros((0, WAYS)), np.zeros((0, WAYS)))]
    ray, move, low, high, low_follows, high_follows = (np.concatenate(one) for one in zip(*found, strict=True))
    return Taken(ray.astype(np.int64), move.astype(np.int64), low, high, low_follows, high_follows)


def _near(sweeps: Sweeps, rays: Rays) -> Ints:
    """The rows whose boxes any of the rays may meet."""
    met = np.ones(len(sweeps.move), dtype=bool)
    for axis, values in zip(rays.others, rays.at.T, strict=True):
        met &= (sweeps.low[:, axis] <= values.max()) & (sweeps.high[:, axis] >= values.min())
    return np.flatnonzero(met)


def _rows(sweeps: Sweeps, chosen: Ints) -> Sweeps:
    return Sweeps(
        arc=sweeps.arc[chosen],
        plane=sweeps.plane[chosen],
        move=sweeps.move[chosen],
        piece=sweeps.piece[chosen],
        path=sweeps.path[chosen],
        share=sweeps.share[chosen],
        low=sweeps.low[chosen],
        high=sweeps.high[chosen],
        pieces=sweeps.pieces,
    )


def _shifted(sweeps: Sweeps, way: int, by: float) -> Sweeps:
    """Every row with the start, or the end, of its move shifted along one axis; an arc goes as a whole, with its end.

    Of a chord the ends are shifted by as much of that as they are of the way along the move.
    """
    path = sweeps.path.copy()
    axis, is_end = way % 3, way >= 3
    straight = ~sweeps.arc
    at_start, at_end = (sweeps.share if is_end else 1.0 - sweeps.share).T * by
    path[straight, axis] += at_start[straight]
    path[straight, 3 + axis] += (at_end - at_start)[straight]
    if is_end:
        path[sweeps.arc, axis] += by
    return sweeps._replace(path=path, low=sweeps.low - PROBE, high=sweeps.high + PROBE)


def _answer(base: Floats, more: Floats, less: Floats) -> Floats:
    """(2, k) how both ends of each stretch of ``base`` go; where one side of it is missing, by the other."""
    found = []
    for changed in (more, less):
        places = {tuple(row[:3]): index for index, row in enumerate(changed)}
        which = [places.get(tuple(row[:3]), -1) for row in base]
        ends = changed[which, 3:] if len(changed) else np.zeros((len(base), 2))
        found.append(np.where(np.array(which)[:, None] >= 0, ends, base[:, 3:]))
    spans = sum((np.abs(one - base[:, 3:]) > 0.0).astype(float) for one in found) * PROBE
    return np.asarray(((found[0] - found[1]) / np.where(spans > 0.0, spans, 1.0)).T)
