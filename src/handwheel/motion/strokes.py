"""The table of moves as straight lines to draw: arcs as chords."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.motion.moves import Kind, Moves, Plane

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Strokes:
    """``places`` (n, 2, 3) mm in the job's frame; ``move`` (n,) the row of the table that each line belongs to."""

    places: Floats
    move: NDArray[np.int64]


def strokes(moves: Moves, chord: float) -> Strokes:
    """Every move that goes somewhere, as straight lines that leave an arc by at most ``chord`` mm."""
    going = np.flatnonzero((moves.kind != Kind.DWELL) & (moves.length > 0.0))
    arc = moves.kind[going] == Kind.ARC
    pieces = np.ones(len(going), dtype=np.int64)
    radius = np.maximum(moves.radius[going][arc], chord)
    step = 2 * np.arccos(1 - np.minimum(chord / radius, 1.0))
    pieces[arc] = np.clip(np.ceil(np.abs(moves.turn[going][arc]) / step), 1, 720).astype(np.int64)
    row = np.repeat(going, pieces)
    share = np.arange(len(row)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    count = np.repeat(pieces, pieces)
    places = np.stack([_at(moves, row, share / count), _at(moves, row, (share + 1) / count)], axis=1)
    return Strokes(places, row)


def _at(moves: Moves, row: NDArray[np.int64], share: Floats) -> Floats:
    """Where each of the rows is at its share of the way: (n, 3) mm."""
    start, end = moves.start[row], moves.end[row]
    points = start + share[:, None] * (end - start)
    for plane in Plane:
        first, second, _ = plane.axes
        here = np.flatnonzero((moves.kind[row] == Kind.ARC) & (moves.plane[row] == plane) & (share < 1.0))
        centre, angle = moves.centre[row[here]], share[here] * moves.turn[row[here]]
        u, v = start[here, first] - centre[:, first], start[here, second] - centre[:, second]
        points[here, first] = centre[:, first] + u * np.cos(angle) - v * np.sin(angle)
        points[here, second] = centre[:, second] + u * np.sin(angle) + v * np.cos(angle)
    return points
