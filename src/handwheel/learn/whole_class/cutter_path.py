"""Where the cutter went, small enough to be kept for a thousand programs."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from handwheel.motion import Kind, Moves
from handwheel.motion.strokes import strokes

MOST_PLACES: Final = 1500
"""Of a path with more places than this, those that lie close together are left out."""
GRAIN: Final = 0.05
"""So fine is it at best, mm."""
FARTHEST: Final = 10_000.0
"""Nothing farther off is told, mm: no mill reaches there."""


def trace(tip: Moves) -> list[list[Any]]:
    """The runs of a program, each ``[rapid, x, y, z, x, y, z, …]`` in whole hundredths of a mm.

    Parameters
    ----------
    tip : the path of the cutter's tip

    Returns
    -------
    list
        ``rapid`` is 1 for a run of rapids and 0 for a run of feeds; arcs are chords. The end of a run is the beginning
        of the next.
    """
    drawn = strokes(tip, GRAIN)
    if not len(drawn.move):
        return []
    places = np.concatenate([drawn.places[:1, 0], drawn.places[:, 1]])
    places = np.clip(np.nan_to_num(places, nan=0.0), -FARTHEST, FARTHEST)
    rapid = (tip.kind[drawn.move] == Kind.RAPID).astype(np.int64)
    grain = GRAIN
    while True:
        grid = np.round(places / grain)
        # where a run of rapids ends, the place stays, so that neither run loses its end
        kept = np.ones(len(places), dtype=np.bool_)
        kept[1:] = (grid[1:] != grid[:-1]).any(axis=1)
        if kept.sum() <= MOST_PLACES or grain > FARTHEST:
            break
        grain *= 2.0
    rows = np.flatnonzero(kept)
    whole = np.round(places[rows] * 100.0).astype(np.int64)
    kinds = rapid[np.maximum(rows - 1, 0)]
    runs: list[list[Any]] = []
    for row in range(1, len(rows)):
        kind = int(kinds[row])
        if not runs or runs[-1][0] != kind:
            runs.append([kind, *whole[row - 1].tolist()])
        runs[-1].extend(whole[row].tolist())
    return runs
