"""Arcs and oblique lines made by coordinates: X and Y moved one at a time, by settings so near to each other that the
cusps between them stay under a bound.

At each point the wheel that leads away from the work is turned first, then the one that leads in: the stair's corner
lies on the side away from the work. The other order cuts into it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from handwheel.path.arc import FULL, QUARTER, Arc, quarters
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece
from handwheel.path.outline import Outline, cut_piece
from handwheel.path.pieces import Bools, table
from handwheel.tolerances import CONTACT, SNAP

SHARE_FOR_CORNERS = 0.25
"""How much of the bound a stair may stay short of an inside corner of its path."""

BACK = 12
"""So many settings beside an inside corner are passed over at most to get round it."""


class Stair(NamedTuple):
    """From a point over the stair's corner to the next point; ``piece`` is the stretch of the path between them."""

    piece: Piece
    corner: XY

    @property
    def start(self) -> XY:
        """Where it begins."""
        return self.piece.start

    @property
    def end(self) -> XY:
        """Where it ends."""
        return self.piece.end


def stairs_along(
    path: Chain, cutter_radius: float, bound: float, *, work_left: bool, wall: Outline | None = None
) -> list[Stair]:
    """The way of a cutter's center stair by stair, each with the stretch of the path that it stands for.

    Parameters
    ----------
    path : lines and arcs of the center, mm; what is along X or Y stays one move
    cutter_radius : mm
    bound : the greatest cusp that may be left for the file, mm
    work_left : whether the work is on the left of the motion
    wall : the finished outline, where the path has inside corners: near these the corner of a stair would cut into the
        next wall, so that settings come nearer to each other there and pass over the last bit of the corner

    Raises
    ------
    ValueError
        Where there is no way by X and Y round an inside corner.

    >>> quarter = Arc((0.0, 0.0), (10.0, 0.0), (0.0, 10.0), math.pi / 2)
    >>> stairs = stairs_along((quarter,), 5.0, 0.4, work_left=True)
    >>> len(stairs), [round(value, 6) for value in stairs[0].corner]
    (3, [10.0, 5.0])
    """
    if not bound > 0.0:
        raise ValueError("an arc by coordinates leaves a cusp: its bound is more than zero")
    steps = [step for piece in path for step in _steps(piece, cutter_radius, bound, work_left)]
    if wall is None or not steps:
        return steps
    inside = bool(wall.holds(np.array([path[0].start]))[0])
    return _cleared(steps, _Room(wall, cutter_radius, inside), bound * SHARE_FOR_CORNERS, work_left)


@dataclass(frozen=True)
class _Room:
    """Where a cutter's center may be."""

    wall: Outline
    cutter_radius: float
    inside: bool

    def free(self, steps: Sequence[Stair]) -> Bools:
        """Whether each of some steps keeps clear of the wall."""
        shares = np.linspace(0.0, 1.0, 9)
        starts, ends = (np.array([getattr(one.piece, end) for one in steps]) for end in ("start", "end"))
        corners = np.array([one.corner for one in steps])
        places = np.concatenate(
            [a + (b - a) * share for a, b in ((starts, corners), (corners, ends)) for share in shares]
        )
        away = self.wall.distance(places) * (-1.0 if self.inside else 1.0)
        free: Bools = away.reshape(-1, len(steps)).min(axis=0) >= self.cutter_radius - CONTACT / 2
        return free


def _cleared(steps: list[Stair], room: _Room, least: float, work_left: bool) -> list[Stair]:
    """Steps that cut into a wall halved until they do not; what still does at the least size is passed over."""
    while True:
        free = room.free(steps).tolist()
        if all(free):
            break
        finer: list[Stair] = []
        for step, good in zip(steps, free, strict=True):
            if good:
                finer.append(step)
            elif step.piece.length > least:
                halves = (cut_piece(step.piece, 0.0, 0.5), cut_piece(step.piece, 0.5, 1.0))
                finer += [Stair(half, corner_away(half.start, half.end, work_left)) for half in halves]
        steps = finer
    bridged = steps[:1]
    rest = steps[1:]
    while rest:
        if math.dist(bridged[-1].end, rest[0].start) > CONTACT:
            bridged, rest = _bridged(bridged, rest, room)
        bridged.append(rest.pop(0))
    return bridged


def _bridged(before: list[Stair], after: list[Stair], room: _Room) -> tuple[list[Stair], list[Stair]]:
    """The steps on both sides of an inside corner, with one between them that keeps clear of either wall."""
    for passed in range(2 * BACK):
        for back in range(max(0, passed - BACK), min(passed, BACK, len(before) - 1) + 1):
            on = passed - back
            if on >= len(after):
                continue
            a, b = before[len(before) - 1 - back].end, after[on].start
            over = [Stair(Line(a, b), corner) for corner in ((b[0], a[1]), (a[0], b[1]))]
            free = room.free(over)
            if free.any():
                return [*before[: len(before) - back], over[int(np.argmax(free))]], after[on:]
    x, y = before[-1].end
    raise ValueError(f"there is no way by X and Y round the corner at ({x:.7g}, {y:.7g})")


def _half_width(cutter_radius: float, off: float) -> float:
    """Half of what a cutter covers so far beside its centre; its settings are too far apart where that is nothing."""
    if off > cutter_radius:
        raise ValueError("settings further apart than the cutter is wide leave more than cusps")
    return math.sqrt((cutter_radius - off) * (cutter_radius + off))


def _steps(piece: Piece, cutter_radius: float, bound: float, work_left: bool) -> Iterator[Stair]:
    for part, count in _parts(piece, cutter_radius, bound, work_left):
        both = table([part])
        shares = np.linspace(0.0, 1.0, count + 1)
        points = [(x, y) for x, y in both.at(np.zeros(count + 1, dtype=np.intp), shares).tolist()]
        points[0], points[-1] = part.start, part.end
        for start, end in pairwise(points):
            yield Stair(_between(part, count, start, end), corner_away(start, end, work_left))


def _between(part: Piece, count: int, start: XY, end: XY) -> Piece:
    return Arc(part.centre, start, end, part.turn / count) if isinstance(part, Arc) else Line(start, end)


def _parts(piece: Piece, cutter_radius: float, bound: float, work_left: bool) -> Iterator[tuple[Piece, int]]:
    """Stretches on which X and Y each run one way, and how many settings each needs."""
    if isinstance(piece, Line):
        along = any(abs(a - b) <= SNAP for a, b in zip(piece.start, piece.end, strict=True))
        longest = 2.0 * _half_width(cutter_radius, max(0.0, cutter_radius - bound))
        yield piece, 1 if along else max(1, math.ceil(piece.length / longest - SNAP))
        return
    widest = _widest(piece, cutter_radius, bound, work_left)
    for part in quarters(piece):
        yield part, max(1, math.ceil(abs(part.turn) / widest - SNAP))


def _widest(arc: Arc, cutter_radius: float, bound: float, work_left: bool) -> float:
    """The greatest angle between settings: on the line in the middle between two of them, the point that is ``bound``
    off the finished arc is just as far from both as the cutter's radius."""
    centre = arc.radius
    outside = work_left == (arc.turn > 0.0)
    radius = centre - cutter_radius if outside else centre + cutter_radius
    if radius < -CONTACT:
        raise ValueError(f"a cutter of radius {cutter_radius:g} mm does not run on {centre:g} mm round anything")
    point = max(radius, 0.0) + bound if outside else radius - bound
    overlap = 2.0 * math.asin(min(1.0, cutter_radius / centre))
    if point <= 0.0:
        return min(QUARTER, overlap)
    cosine = (point * point + (centre - cutter_radius) * (centre + cutter_radius)) / (2.0 * point * centre)
    return min(QUARTER, overlap, 2.0 * math.acos(max(-1.0, min(1.0, cosine))) or FULL)


def corner_away(start: XY, end: XY, work_left: bool) -> XY:
    """The corner of a step that is away from the work: where the wheel turned first leads to."""
    x_first, y_first = (end[0], start[1]), (start[0], end[1])
    way = (end[0] - start[0], end[1] - start[1])
    x_first_is_left = way[0] * (x_first[1] - start[1]) - way[1] * (x_first[0] - start[0]) > 0.0
    return y_first if x_first_is_left == work_left else x_first
