"""A circular arc in a plane, and circles through given points."""

from __future__ import annotations

import math
from typing import NamedTuple

from handwheel.path.line import XY
from handwheel.tolerances import CONTACT

FULL = 2.0 * math.pi
QUARTER = math.pi / 2


class Arc(NamedTuple):
    """From ``start`` to ``end`` about ``centre``, mm, through ``turn`` rad (+ anticlockwise); ±2π is the whole circle.

    >>> Arc((0.0, 0.0), (2.0, 0.0), (0.0, 2.0), math.pi / 2).offset(1.0)
    Arc(centre=(0.0, 0.0), start=(1.0, 0.0), end=(0.0, 1.0), turn=1.5707963267948966)
    """

    centre: XY
    start: XY
    end: XY
    turn: float

    @property
    def radius(self) -> float:
        """mm."""
        return math.dist(self.start, self.centre)

    @property
    def length(self) -> float:
        """mm along the arc."""
        return self.radius * abs(self.turn)

    @property
    def start_direction(self) -> XY:
        """Unit vector along the motion at the start."""
        return self._direction(self.start)

    @property
    def end_direction(self) -> XY:
        """Unit vector along the motion at the end."""
        return self._direction(self.end)

    def _direction(self, point: XY) -> XY:
        x, y = point[0] - self.centre[0], point[1] - self.centre[1]
        radius = math.copysign(math.hypot(x, y), self.turn)
        return (-y / radius, x / radius)

    def offset(self, left: float) -> Arc | None:
        """The arc ``left`` mm to the left of the motion (negative: to the right); ``None`` where nothing is left."""
        growth = -left * math.copysign(1.0, self.turn)
        radius = self.radius
        if radius + growth <= CONTACT:
            return None
        return Arc(self.centre, self._at(self.start, growth), self._at(self.end, growth), self.turn)

    def _at(self, point: XY, growth: float) -> XY:
        x, y = point[0] - self.centre[0], point[1] - self.centre[1]
        share = growth / math.hypot(x, y)
        return (point[0] + x * share, point[1] + y * share)

    def share(self, point: XY) -> float:
        """How much of the turn is done at the angle of ``point``; just before the start it is a little below 0."""
        turned = turn_between(self.start, point, self.centre, math.copysign(1.0, self.turn))
        if FULL - abs(turned) < CONTACT / self.radius:
            turned -= math.copysign(FULL, turned)
        return turned / self.turn


def quarters(arc: Arc) -> list[Arc]:
    """The arc, parted where it crosses the directions of the axes."""
    start = math.atan2(arc.start[1] - arc.centre[1], arc.start[0] - arc.centre[0])
    low, high = min(start, start + arc.turn), max(start, start + arc.turn)
    marks = [
        index * QUARTER
        for index in range(math.ceil(low / QUARTER), math.floor(high / QUARTER) + 1)
        if low + 1e-9 < index * QUARTER < high - 1e-9
    ]
    angles = [start, *(marks if arc.turn > 0 else marks[::-1]), start + arc.turn]
    axes = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    points = [arc.start]
    for angle in angles[1:-1]:
        x, y = axes[round(angle / QUARTER) % 4]
        points.append((arc.centre[0] + arc.radius * x, arc.centre[1] + arc.radius * y))
    points.append(arc.end)
    return [
        Arc(arc.centre, points[index], points[index + 1], angles[index + 1] - angles[index])
        for index in range(len(angles) - 1)
    ]


def turn_between(start: XY, end: XY, centre: XY, sense: float) -> float:
    """The angle (rad) from ``start`` to ``end`` about ``centre``: 0 up to a full turn, with the sign of ``sense``."""
    x, y = centre
    u, v, p, q = start[0] - x, start[1] - y, end[0] - x, end[1] - y
    return (math.atan2(u * q - v * p, u * p + v * q) * sense) % FULL * sense


def tangent_point(outside: XY, centre: XY, radius: float) -> XY | None:
    """Where the line from ``outside`` touches the circle, seen along that line on the left for ``radius`` > 0 (to the
    right for < 0); ``None`` where ``outside`` is in the circle or on it.

    >>> [round(coordinate, 9) for coordinate in tangent_point((-5.0, 0.0), (0.0, 0.0), 3.0)]
    [-1.8, 2.4]
    """
    x, y = outside[0] - centre[0], outside[1] - centre[1]
    square = x * x + y * y
    distance = math.sqrt(square)
    if distance - abs(radius) <= CONTACT:
        return None
    along = radius * radius / square
    across = radius * math.sqrt(square - radius * radius) / square
    return (centre[0] + x * along + y * across, centre[1] + y * along - x * across)


def circle_meets(first: XY, first_radius: float, second: XY, second_radius: float) -> tuple[XY, ...]:
    """The two points (one where they touch, none) that two circles share; the left one first, seen from first to second
    centre."""
    x, y = second[0] - first[0], second[1] - first[1]
    distance = math.hypot(x, y)
    if distance == 0.0:
        return ()
    along = (distance * distance + first_radius**2 - second_radius**2) / (2.0 * distance)
    square = (first_radius - along) * (first_radius + along)
    if square < 0.0:
        return ()
    across = math.sqrt(square)
    x, y = x / distance, y / distance
    foot = (first[0] + x * along, first[1] + y * along)
    left = (foot[0] - y * across, foot[1] + x * across)
    return (left, (foot[0] + y * across, foot[1] - x * across)) if across else (left,)
