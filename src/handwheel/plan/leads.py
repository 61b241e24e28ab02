"""Lead-in and lead-out of a stroke along a wall: straight along the arc's first tangent, then an arc onto the wall.

The arc is larger than the cutter's radius by more than any correction of D, so that the control can follow it inside.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from handwheel.motion import Side
from handwheel.path.arc import Arc, tangent_point
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.outline import cut_piece
from handwheel.tolerances import CONTACT

ALONG = (0.5, 0.65, 0.8, 0.9)
"""Where on a line a wall may be begun, as shares of its length."""

FURTHEST = 4.0
"""So many cutter radii off the wall it is looked for room to come down."""

STEEPEST, FLATTEST = 90, 5
"""The angle between the straight lead and the wall, degrees: as steep as the room allows."""


class Leads(NamedTuple):
    """What comes before a stroke, as :class:`handwheel.plan.model.Stroke` has it, and what follows it."""

    run_up: Chain
    into: Chain
    out: Chain


class Room(NamedTuple):
    """Where a cutter may stand before it is on the wall, mm.

    ``over`` tells how far a point of its centre is from where it would touch a finished wall; less than nothing: it
    would cut into it. ``apart`` is how far it keeps off where it comes down.
    """

    over: Callable[[XY], float]
    apart: float


def round_the_wall(wall: Chain, side: Side, radius: float, spare: float, room: Room) -> tuple[Chain, Leads]:
    """A closed wall begun where there is room to come onto it, and its leads: in the middle of its longest line, else
    nearer to that line's end, since a lead-in is longer than a lead-out.

    Parameters
    ----------
    wall : a closed chain, in the direction of the cut
    side : of the wall on which the cutter is kept
    radius : of the cutter, mm
    spare : by how much the arc is larger than that, mm
    room : where the cutter may stand

    Where there is room nowhere the leads are empty: straight onto the wall, and the proof tells what comes of it.
    """
    lines = [index for index, one in enumerate(wall) if isinstance(one, Line)]
    at = max(lines or range(len(wall)), key=lambda index: wall[index].length)
    for share in ALONG:
        before, after = cut_piece(wall[at], 0.0, share), cut_piece(wall[at], share, 1.0)
        begun = (after, *wall[at + 1 :], *wall[:at], before)
        try:
            return begun, _leads(begun[0].start, begun[0].start_direction, side, radius, spare, room)
        except ValueError:
            continue
    return wall, Leads((), (), ())


def _leads(at: XY, along: XY, side: Side, radius: float, spare: float, room: Room) -> Leads:
    """The leads of a stroke that starts and ends at one point of a wall, passing it ``along`` a unit vector.

    Raises
    ------
    ValueError
        Where there is no room for any.
    """
    sense = 1.0 if side is Side.LEFT else -1.0
    aside = (-along[1] * sense, along[0] * sense)
    arc = radius + spare

    def place(forth: float, off: float) -> XY:
        return (at[0] + forth * along[0] + off * aside[0], at[1] + forth * along[1] + off * aside[1])

    middle, nearer = _most_room(room, place, radius), _nearer(radius)
    shortest = math.sqrt(radius**2 - (radius - nearer) ** 2) + nearer
    for degrees in range(STEEPEST, FLATTEST - 1, -1):
        angle = math.radians(degrees)
        sine, cosine = math.sin(angle), math.cos(angle)
        across, down = arc * sine, arc * (1.0 - cosine)
        first, last, centre = place(-across, down), place(across, down), place(0.0, arc)
        # where the cutter's center comes onto its own arc, less the little that it is nearer
        aside_of_it, off = -across + (radius - nearer) * sine, down + (radius - nearer) * cosine
        for straight in (shortest, (middle - off) / sine):
            if not shortest <= straight < math.inf:
                continue
            start = place(aside_of_it - straight * cosine, off + straight * sine)
            if room.over(start) >= room.apart and _is_clear(start, first, along, angle, radius * sense, room):
                turn = sense * angle
                return Leads((Line(start, first),), (Arc(centre, first, at, turn),), (Arc(centre, at, last, turn),))
    raise ValueError("there is no room for a lead-in")


def _most_room(room: Room, place: Callable[[float, float], XY], radius: float) -> float:
    """How far off the wall there is the most room before another wall comes nearer, mm."""
    offs = [radius * (1.0 + (FURTHEST - 1.0) * index / 60) for index in range(61)]
    over = [room.over(place(0.0, off)) for off in offs]
    best = next((index for index in range(60) if over[index + 1] < over[index]), 60)
    if 0 < best < 60:
        # between two places, where what is gained on one side is lost on the other
        rise, fall = over[best] - over[best - 1], over[best] - over[best + 1]
        return offs[best] + (offs[1] - offs[0]) * (rise - fall) / (2.0 * max(rise, fall))
    return offs[best]


def from_outside(chain: Chain, side: Side, radius: float, length: float) -> Leads:
    """The run-up of a stroke that starts off the work: nearly as far off the wall as the cutter will run, so that it
    passes over nothing that the wall is not cut beside."""
    (x, y), (dx, dy) = chain[0].start, chain[0].start_direction
    off = (radius - _nearer(radius)) * (1.0 if side is Side.LEFT else -1.0)
    begin = (x - length * dx - off * dy, y - length * dy + off * dx)
    return Leads((Line(begin, (x, y)),), (), ())


def _nearer(radius: float) -> float:
    """So much nearer to the wall than it will run a cutter comes down before compensation comes on, mm: more than D is
    ever corrected by, so that the control still turns outwards at the stroke's start and never into a corner."""
    return min(0.3, radius / 4)


def _is_clear(start: XY, first: XY, along: XY, angle: float, radius: float, room: Room) -> bool:
    """Whether the cutter's center has room on its way to the first point: straight until it touches the circle of one
    radius about that point, then round it until it is square to the arc's first tangent."""
    touching = tangent_point(start, first, radius)
    if touching is None:
        return False
    sense = math.copysign(1.0, radius)
    heading = math.atan2(along[1], along[0]) - sense * angle
    square = heading + sense * math.pi / 2
    begin = math.atan2(touching[1] - first[1], touching[0] - first[0])
    turn = (begin - square + math.pi) % (2.0 * math.pi) - math.pi
    return all(
        room.over((first[0] + abs(radius) * math.cos(way), first[1] + abs(radius) * math.sin(way))) >= -CONTACT
        for way in (square + turn * share / 8 for share in range(9))
    )
