"""Moves and tools as a table for kernels: one row for each piece of a cutter along each move.

A move whose sweep has no closed form against the rays in question becomes a row for each of its chords.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.cutter import cutter
from handwheel.cut.kernels.rows import Floats, Ints, Mask, Sweeps
from handwheel.motion import Kind, Moves, Plane, Tool
from handwheel.path.profile import Frustum, Piece, Profile
from handwheel.tolerances import CHORD, SNAP

Columns = tuple[NDArray[Any], ...]

BATCH = 65_536
"""How many moves are made into rows at a time, so that long programs stay in bounded memory."""


def batches(moves: Moves, tools: Mapping[int, Tool], *, vertical: bool, from_above: bool = False) -> Iterator[Sweeps]:
    """The rows of all moves that remove something, so many moves at a time.

    ``vertical``: for vertical rays, else for level ones: it decides which arcs need chords. ``from_above``: only
    heights are asked for, so what stands above a floor counts as gone and pieces that only cut there are left out.
    """
    for first in range(0, len(moves), BATCH):
        part = moves.rows(slice(first, first + BATCH)) if len(moves) > BATCH else moves
        yield _sweeps(part, first, tools, vertical, from_above)


def outline(tool: Tool, *, from_above: bool) -> Profile:
    """The flutes' pieces that matter: to heights, a piece does not where another is as wide and nowhere above it."""
    flutes = cutter(tool).flutes
    if not from_above:
        return flutes
    return Profile(tuple(p for p in flutes.pieces if not any(_hides(q, p) for q in flutes.pieces if q is not p)))


def _hides(lower: Piece, upper: Piece) -> bool:
    return lower.radius >= upper.radius and float(lower.lowest(upper.radius)) <= upper.low + SNAP


def _sweeps(moves: Moves, first: int, tools: Mapping[int, Tool], vertical: bool, from_above: bool) -> Sweeps:
    number = moves.of_modal("tool") if len(moves) else np.zeros(0)
    works = moves.kind != Kind.DWELL
    parts: list[Columns] = []
    pieces: list[Piece] = []
    for tool_number in np.unique(number[works]).tolist():
        if tool_number not in tools or tool_number == 0:
            continue
        of_tool = works & (number == tool_number)
        for piece in outline(tools[tool_number], from_above=from_above).pieces:
            parts.extend(
                (*rows, np.full(len(rows[0]), len(pieces))) for rows in _paths(moves, of_tool, piece, vertical)
            )
            pieces.append(piece)
    numbers = Profile(tuple(pieces)).numbers()
    if not parts:
        nothing = np.zeros(0, dtype=np.int64)
        room = np.zeros((0, 3))
        return Sweeps(nothing > 0, nothing, nothing, nothing, np.zeros((0, 7)), np.zeros((0, 2)), room, room, numbers)
    move, arc, path, share, which = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    order = np.lexsort((share[:, 0], which, move))
    move, arc, path, share, which = move[order], arc[order], path[order], share[order], which[order]
    plane = np.where(arc, moves.plane[move], 0).astype(np.int64)
    low, high = _boxes(path, arc, plane, numbers[which])
    return Sweeps(arc, plane, move + first, which, path, share, low, high, numbers)


def _paths(moves: Moves, chosen: Mask, piece: Piece, vertical: bool) -> Iterator[Columns]:
    """Move, whether an arc, path and share of each row: straight moves, arcs as they are, arcs by chords."""
    curved = chosen & (moves.kind == Kind.ARC)
    curved[curved] = (moves.radius[curved] > SNAP) & (moves.turn[curved] != 0.0)
    straight = np.flatnonzero(chosen & ~curved)
    start = moves.start[straight]
    yield _lines(straight, start, moves.end[straight], np.tile([0.0, 1.0], (len(straight), 1)))
    arcs = np.flatnonzero(curved)
    if not len(arcs):
        return
    path = _arc_paths(moves, arcs)
    native = _has_closed_form(moves.plane[arcs], path[:, 6] != 0.0, piece, vertical)
    whole = arcs[native]
    yield whole, np.ones(len(whole), dtype=bool), path[native], np.tile([0.0, 1.0], (len(whole), 1))
    for index, row in zip(arcs[~native].tolist(), path[~native], strict=True):
        yield _chords(index, row, int(moves.plane[index]))


def _has_closed_form(plane: NDArray[np.int8], rises: Mask, piece: Piece, vertical: bool) -> Mask:
    upright = isinstance(piece, Frustum) and piece.is_cylinder
    on_helix = upright or (vertical and (isinstance(piece, Frustum) or piece.flat == 0.0))
    in_xy = plane == Plane.XY
    return np.where(in_xy, ~rises | on_helix, ~rises & upright)


def _arc_paths(moves: Moves, arcs: Ints) -> Floats:
    """(n, 7) rows of arcs: centre, radius, first angle, turn, rise."""
    axes = np.array([plane.axes for plane in Plane])[moves.plane[arcs]]
    row = np.arange(len(arcs))
    out = moves.start[arcs] - moves.centre[arcs]
    first, second = out[row, axes[:, 0]], out[row, axes[:, 1]]
    rise = (moves.end[arcs] - moves.start[arcs])[row, axes[:, 2]]
    centre = moves.centre[arcs].copy()
    centre[row, axes[:, 2]] = moves.start[arcs][row, axes[:, 2]]
    rise[np.abs(rise) <= SNAP] = 0.0
    return np.column_stack((centre, np.hypot(first, second), np.arctan2(second, first), moves.turn[arcs], rise))


def _lines(move: Ints, start: Floats, end: Floats, share: Floats) -> Columns:
    path = np.column_stack((start, end - start, np.zeros(len(move))))
    return move, np.zeros(len(move), dtype=bool), path, share


def _chords(move: int, path: Floats, plane: int) -> Columns:
    """An arc or helix as straight rows that leave the curve by ``CHORD`` at most."""
    radius, turn = path[3], path[5]
    widest = 2.0 * math.acos(max(1.0 - CHORD / radius, 0.0))
    count = max(math.ceil(abs(turn) / widest), 1)
    share = np.linspace(0.0, 1.0, count + 1)
    first, second, normal = Plane(plane).axes
    points = np.tile(path[:3], (count + 1, 1))
    points[:, first] += radius * np.cos(path[4] + share * turn)
    points[:, second] += radius * np.sin(path[4] + share * turn)
    points[:, normal] += share * path[6]
    shares = np.column_stack((share[:-1], share[1:]))
    return _lines(np.full(count, move), points[:-1], points[1:], shares)


def _boxes(path: Floats, arc: Mask, plane: Ints, pieces: Floats) -> tuple[Floats, Floats]:
    """The box round each row: its path, grown by its piece."""
    low = path[:, :3] + np.minimum(path[:, 3:6], 0.0)
    high = path[:, :3] + np.maximum(path[:, 3:6], 0.0)
    low[arc], high[arc] = _arc_boxes(path[arc], plane[arc])
    radius = np.maximum(pieces[:, 3], pieces[:, 4]) + pieces[:, 5]
    grown = np.column_stack((radius, radius, np.zeros(len(path))))
    low = low - grown
    high = high + grown
    low[:, 2] += pieces[:, 1]
    high[:, 2] += pieces[:, 2]
    return low - SNAP, high + SNAP


def _arc_boxes(path: Floats, plane: Ints) -> tuple[Floats, Floats]:
    """The boxes round arcs: their ends, and the quarters between them."""
    start, end = np.minimum(path[:, 4], path[:, 4] + path[:, 5]), np.maximum(path[:, 4], path[:, 4] + path[:, 5])
    low, high = path[:, :3].copy(), path[:, :3].copy()
    first, second, normal = np.array([plane.axes for plane in Plane])[plane].T
    row = np.arange(len(path))
    for axis, phase in ((first, 0.0), (second, math.pi / 2.0)):
        reach = np.stack((np.cos(start - phase), np.cos(end - phase)))
        low[row, axis] += path[:, 3] * np.where(_comes_up(phase + math.pi, start, end), -1.0, reach.min(axis=0))
        high[row, axis] += path[:, 3] * np.where(_comes_up(phase, start, end), 1.0, reach.max(axis=0))
    low[row, normal] += np.minimum(path[:, 6], 0.0)
    high[row, normal] += np.maximum(path[:, 6], 0.0)
    return low, high


def _comes_up(angle: float, start: Floats, end: Floats) -> Mask:
    """Whether an angle, give or take whole turns, lies between two angles."""
    return np.asarray(angle + 2.0 * math.pi * np.ceil((start - angle) / (2.0 * math.pi)) <= end)
