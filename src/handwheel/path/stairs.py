"""Arcs and oblique lines made by coordinates: two slides moved one after the other, so that the wall is met at points.

Between two points the corner of the stair lies on the cutter's side of the wall: away from the work first, then in.
What stays between the points, the cusp, is left for the file.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal, NamedTuple

from handwheel.path.arc import Arc, quarters
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece
from handwheel.tolerances import CONTACT, SNAP


class Step(NamedTuple):
    """One axis moved to a coordinate, mm. ``leaving``, 1 or −1, is the way in which a rounded setting leaves metal; 0:
    it is no matter. ``is_long``: it makes the whole of a straight piece."""

    axis: Literal[0, 1]
    to: float
    leaving: Literal[-1, 0, 1] = 0
    is_long: bool = False


def cusp_of_arc(path_radius: float, cutter_radius: float, angle: float, *, outside: bool) -> float:
    """What stays between two settings an ``angle`` (rad) apart, mm: on an outside corner, or within a round wall.

    Source: geometry. Outside, with wall radius r and ρ = r + R: ρ·cos(Δ/2) − √(R² − ρ²·sin²(Δ/2)) − r; within,
    with ρ = r − R: r − ρ·cos(Δ/2) − √(R² − ρ²·sin²(Δ/2)).

    >>> round(cusp_of_arc(0.5, 0.25, math.radians(10.0), outside=True), 5)
    0.00192
    """
    aside = path_radius * math.sin(angle / 2)
    square = cutter_radius**2 - aside**2
    if square < 0.0:
        return math.inf
    along, chord = path_radius * math.cos(angle / 2), math.sqrt(square)
    if outside:
        return along - chord - (path_radius - cutter_radius)
    return path_radius + cutter_radius - along - chord


def cusp_of_line(step: float, cutter_radius: float) -> float:
    """The same along a straight wall, ``step`` mm between two settings: R − √(R² − step²/4).

    Source: geometry.
    """
    square = cutter_radius**2 - step**2 / 4
    return math.inf if square < 0.0 else cutter_radius - math.sqrt(square)


def led(chain: Chain, aside: Literal[-1, 0, 1], cutter_radius: float, cusp: float) -> Iterator[Step]:
    """The steps along a whole chain of the centre's path; see :func:`stairs`.

    Where a straight piece ends at another wall, its last setting leaves metal there too.
    """
    for index, piece in enumerate(chain):
        *steps, last = stairs(piece, aside, cutter_radius, cusp)
        yield from steps
        following = chain[index + 1] if index + 1 < len(chain) else None
        if last.leaving == 0 and aside and isinstance(following, Line):
            x, y = following.start_direction
            last = last._replace(leaving=_sign((-y * aside, x * aside)[last.axis]))
        yield last


def stairs(piece: Piece, aside: Literal[-1, 0, 1], cutter_radius: float, cusp: float) -> Iterator[Step]:
    """The steps that lead the cutter's centre along a piece of its own path.

    Parameters
    ----------
    piece : of the centre's path, mm
    aside : on which side of the path the open room is, seen along it: 1 left, −1 right; the wall is across from it. 0:
        there is no wall, and the path is led along with no care for what is beside it
    cutter_radius : mm
    cusp : what may stay on the wall, mm
    """
    if isinstance(piece, Arc):
        for part in quarters(piece):
            yield from _arc(part, aside, cutter_radius, cusp)
    else:
        yield from _line(piece, aside, cutter_radius, cusp)


def _line(line: Line, aside: Literal[-1, 0, 1], cutter_radius: float, cusp: float) -> Iterator[Step]:
    dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
    if abs(dy) <= SNAP or abs(dx) <= SNAP:
        axis: Literal[0, 1] = 0 if abs(dx) > abs(dy) else 1
        yield Step(axis, line.end[axis], is_long=True)
        return
    count = 1
    while aside and cusp_of_line(line.length / count, cutter_radius) > cusp:
        count += 1
    points = [(line.start[0] + dx * index / count, line.start[1] + dy * index / count) for index in range(1, count)]
    x, y = line.start_direction
    room = (-y * (aside or 1), x * (aside or 1))
    yield from _through(line.start, [*points, line.end], [room] * count, signed=bool(aside))


def _arc(arc: Arc, aside: Literal[-1, 0, 1], cutter_radius: float, cusp: float) -> Iterator[Step]:
    # the room lies outside the arc where the cutter goes round a corner, inside it along a round wall
    away = -1 if (arc.turn > 0) == (aside >= 0) else 1
    count = 1
    while aside and cusp_of_arc(arc.radius, cutter_radius, abs(arc.turn) / count, outside=away > 0) > cusp:
        count += 1
    start = math.atan2(arc.start[1] - arc.centre[1], arc.start[0] - arc.centre[0])
    angles = [start + arc.turn * index / count for index in range(1, count)]
    points = [
        (arc.centre[0] + arc.radius * math.cos(angle), arc.centre[1] + arc.radius * math.sin(angle)) for angle in angles
    ]
    ends = [*points, arc.end]
    rooms = [(away * (x - arc.centre[0]) / arc.radius, away * (y - arc.centre[1]) / arc.radius) for x, y in ends]
    yield from _through(arc.start, ends, rooms, signed=bool(aside))


def _through(start: XY, points: list[XY], rooms: list[XY], *, signed: bool) -> Iterator[Step]:
    """From point to point, the axis first whose move leads towards the open room."""
    at = start
    for point, room in zip(points, rooms, strict=True):
        moved = (point[0] - at[0], point[1] - at[1])
        first: Literal[0, 1] = 0 if moved[0] * room[0] >= moved[1] * room[1] else 1
        second: Literal[0, 1] = 1 if first == 0 else 0
        for axis in (first, second):
            if abs(moved[axis]) > CONTACT:
                yield Step(axis, point[axis], _sign(room[axis]) if signed else 0)
        at = point


def _sign(value: float) -> Literal[-1, 0, 1]:
    return 0 if abs(value) <= 1e-9 else 1 if value > 0 else -1
