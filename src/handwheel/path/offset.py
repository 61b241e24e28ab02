"""Corners between offset lines and arcs: which way the path turns, and where two of them cross."""

from __future__ import annotations

import math
from typing import NamedTuple

from handwheel.path.arc import FULL, Arc, circle_meets
from handwheel.path.line import XY, Line
from handwheel.tolerances import SNAP

Piece = Line | Arc


class Crossing(NamedTuple):
    """Where two pieces cross, and how much of each is done there."""

    point: XY
    first: float
    second: float


def turn_at_corner(before: XY, after: XY) -> float:
    """The angle (rad, −π…π, + to the left) by which the direction of motion changes."""
    return math.atan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1])


def crossings(first: Piece, second: Piece) -> list[Crossing]:
    """Where the second of two pieces that follow each other crosses the first, in the order in which it does so.

    The first one counts as if it had begun earlier: where it is crossed before its start, ``first`` is below 0.
    """
    slack_first, slack_second = SNAP / first.length, SNAP / second.length
    found = []
    for point in _meets(first, second):
        done, begun = first.share(point), second.share(point)
        if isinstance(first, Arc) and done > 1.0 + slack_first:
            done -= FULL / abs(first.turn)
        if done <= 1.0 + slack_first and -slack_second <= begun <= 1.0 + slack_second:
            found.append(Crossing(point, done, begun))
    return sorted(found, key=lambda crossing: crossing.second)


def _meets(first: Piece, second: Piece) -> tuple[XY, ...]:
    """Where the whole lines or circles of two pieces meet."""
    if isinstance(first, Line):
        return _lines(first, second) if isinstance(second, Line) else _line_and_circle(first, second)
    if isinstance(second, Line):
        return _line_and_circle(second, first)
    return circle_meets(first.centre, first.radius, second.centre, second.radius)


def _lines(first: Line, second: Line) -> tuple[XY, ...]:
    a, b = first.start_direction, second.start_direction
    sine = a[0] * b[1] - a[1] * b[0]
    if sine == 0.0:
        return ()
    x, y = second.start[0] - first.start[0], second.start[1] - first.start[1]
    along = (x * b[1] - y * b[0]) / sine
    return ((first.start[0] + a[0] * along, first.start[1] + a[1] * along),)


def _line_and_circle(line: Line, arc: Arc) -> tuple[XY, ...]:
    direction = line.start_direction
    x, y = arc.centre[0] - line.start[0], arc.centre[1] - line.start[1]
    foot = x * direction[0] + y * direction[1]
    away = x * direction[1] - y * direction[0]
    square = (arc.radius - away) * (arc.radius + away)
    if square < 0.0:
        return ()
    half = math.sqrt(square)
    return tuple(
        (line.start[0] + direction[0] * along, line.start[1] + direction[1] * along)
        for along in (foot - half, foot + half)
    )
