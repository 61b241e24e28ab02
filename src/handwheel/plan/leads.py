"""Lead-in and lead-out of a stroke along a wall: straight along the first tangent, then an arc onto the wall.

The arc is larger than the cutter's radius by more than any correction of D, so that the control can follow it inside.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from handwheel.motion import Side
from handwheel.path.arc import Arc
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line

STEEPEST, FLATTEST = 90, 20
"""The angle between the straight lead and the wall, degrees: as steep as the room allows."""


class Leads(NamedTuple):
    """What comes before a stroke, as :class:`handwheel.plan.model.Stroke` has it, and what follows it."""

    run_up: Chain
    into: Chain
    out: Chain


def leads(at: XY, along: XY, side: Side, radius: float, spare: float, has_room: Callable[[XY], bool]) -> Leads:
    """The leads of a stroke that starts and ends at one point of a wall.

    Parameters
    ----------
    at : the point, mm
    along : unit vector in which the stroke passes it
    side : of the wall on which the cutter is kept
    radius : of the cutter, mm
    spare : by how much the arc is larger than that, mm
    has_room : whether the cutter may stand with its centre at a point before compensation comes on

    Raises
    ------
    ValueError
        Where there is no room for any.
    """
    aside = (-along[1], along[0]) if side is Side.LEFT else (along[1], -along[0])
    arc = straight = radius + spare

    def place(forth: float, off: float) -> XY:
        return (at[0] + forth * along[0] + off * aside[0], at[1] + forth * along[1] + off * aside[1])

    turn = 1.0 if side is Side.LEFT else -1.0
    for degrees in range(STEEPEST, FLATTEST - 1, -5):
        angle = math.radians(degrees)
        across, down = arc * math.sin(angle), arc * (1.0 - math.cos(angle))
        begin = (across + straight * math.cos(angle), down + straight * math.sin(angle))
        if not has_room(place(-begin[0], begin[1])):
            continue
        centre, first, last = place(0.0, arc), place(-across, down), place(across, down)
        return Leads(
            (Line(place(-begin[0], begin[1]), first),),
            (Arc(centre, first, at, turn * angle),),
            (Arc(centre, at, last, turn * angle),),
        )
    raise ValueError("there is no room for a lead-in")
