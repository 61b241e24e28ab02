"""The table of moves as straight lines to draw: arcs as chords, doubles and specks left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.motion import Kind, Moves, Plane
from handwheel.show.draw.labels import Floats

GRAIN: Final = 0.02
"""Nothing finer is drawn, mm on paper."""


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


def distinct(places: Floats, marks: NDArray[np.int64], grain: float = GRAIN) -> tuple[Floats, NDArray[np.int64]]:
    """Lines on paper without what adds no ink: those shorter than the grain, and those drawn twice either way along.

    Parameters
    ----------
    places : (n, 2, 2) mm on paper
    marks : (n,) lines of different marks are never the same line
    grain : mm; all ends are moved onto this grid, so that a path of many tiny moves stays whole

    Returns
    -------
    places : (m, 2, 2) mm; index : (m,) which lines they were
    """
    grid = np.round(places / grain).astype(np.int64)
    # from the top down, then from the left: dashes that fall on each other then fall on each other everywhere
    rise, run = grid[:, 1, 1] - grid[:, 0, 1], grid[:, 1, 0] - grid[:, 0, 0]
    turned = (rise > 0) | ((rise == 0) & (run < 0))
    grid[turned] = grid[turned][:, ::-1]
    _, first = np.unique(np.column_stack([grid.reshape(-1, 4), marks]), axis=0, return_index=True)
    kept = np.sort(first[(grid[first, 0] != grid[first, 1]).any(axis=1)])
    return grid[kept] * grain, kept
