"""Arcs as a program writes them: by their centre or by their radius. Source: NISTIR 6556, section 3.5.3."""

from __future__ import annotations

import math
from typing import Final

from handwheel.path.arc import FULL, Arc, circle_meets, turn_between
from handwheel.path.line import XY
from handwheel.rs274.faults import Fault
from handwheel.tolerances import ARC_RADII_INCH, ARC_RADII_MILLIMETRE, CONTACT, SNAP
from handwheel.units import Units, shop_number

ALLOWANCE: Final[dict[Units, float]] = {"in": ARC_RADII_INCH, "mm": ARC_RADII_MILLIMETRE}
"""How far the radii at both ends of an arc may differ, mm, in a program of these units."""
_SEVERAL: Final = 10.0
FLATTEST: Final = 1e5
"""Radius over travel: a flatter arc is a straight line within any control's last digit, and a slip of the pen."""


def said(length: float, units: Units) -> str:
    """A length as an error message gives it."""
    return f"{shop_number(length, units)} {units}"


def about_centre(start: XY, end: XY, centre: XY, sense: float, units: Units) -> Arc:
    """The arc of centre format (3.5.3.2); ``sense`` is +1 anticlockwise, −1 clockwise.

    The radii at both ends may differ a little (how much depends on the program's ``units``): the ends are kept, the
    centre moves on to the chord's bisector, so that they agree. A start that is also the end makes a full circle.
    """
    first, last = math.dist(start, centre), math.dist(end, centre)
    if min(first, last) <= CONTACT:
        raise Fault("", "the center of this arc is one of its ends", "check the words for its center")
    allowance = ALLOWANCE[units]
    if abs(first - last) > allowance:
        raise Fault(
            "",
            f"the end of this arc is not on its circle: its radius is {said(first, units)} at the start and "
            f"{said(last, units)} at the end",
            "check end point and center",
        )
    if math.dist(start, end) <= CONTACT:
        return Arc(centre, start, end, sense * FULL)
    _not_too_flat(max(first, last), math.dist(start, end), "", units)
    turn = turn_between(start, end, centre, sense)
    if abs(first - last) > SNAP:
        centre = _levelled(start, end, centre, turn, allowance)
        turn = turn_between(start, end, centre, sense)
    return Arc(centre, start, end, turn)


def _not_too_flat(radius: float, travel: float, words: str, units: Units) -> None:
    if radius > FLATTEST * travel:
        raise Fault(
            words,
            f"the radius of this arc, {said(radius, units)}, is over 100,000 times its travel, {said(travel, units)}",
            "write a straight move (G1), or check the radius or the center",
        )


def _levelled(start: XY, end: XY, centre: XY, turn: float, allowance: float) -> XY:
    """The centre moved on to the chord's bisector. Just short of a full circle the bisector says nothing about the
    centre, which stays."""
    chord = math.dist(start, end)
    along = ((end[0] - start[0]) / chord, (end[1] - start[1]) / chord)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    shift = (centre[0] - middle[0]) * along[0] + (centre[1] - middle[1]) * along[1]
    if abs(turn) > math.pi and abs(shift) > _SEVERAL * allowance:
        return centre
    return (centre[0] - shift * along[0], centre[1] - shift * along[1])


def of_radius(start: XY, end: XY, radius: float, sense: float, units: Units) -> Arc:
    """The arc of radius format (3.5.3.1): ``radius`` > 0 turns through at most 180°, < 0 through more."""
    chord = math.dist(start, end)
    if chord <= CONTACT:
        raise Fault(
            "R", "an arc by its radius may not end where it starts", "write a full circle with its center (I, J, K)"
        )
    _not_too_flat(abs(radius), chord, "R", units)
    half = chord / 2
    if abs(radius) < half - ALLOWANCE[units]:
        raise Fault("R", f"the radius is too small to reach the end point, {said(chord, units)} away")
    height = math.sqrt(max(0.0, radius * radius - half * half))
    side = height * sense * math.copysign(1.0, radius) / chord
    centre = (
        (start[0] + end[0]) / 2 - (end[1] - start[1]) * side,
        (start[1] + end[1]) / 2 + (end[0] - start[0]) * side,
    )
    return Arc(centre, start, end, turn_between(start, end, centre, sense))


def entry_of_radius(tool: XY, end: XY, radius: float, sense: float, left: float) -> Arc | None:
    """The tool's first compensated arc in radius format: concentric with an arc of ``radius`` that ends at ``end``, and
    ``left`` mm to its left. ``None`` where no such arc starts at ``tool``.

    Returns the tool's own arc, from ``tool`` to the point beside ``end``.
    """
    own = abs(radius) - left * sense
    for centre in circle_meets(tool, own, end, abs(radius)) if own > CONTACT else ():
        turn = turn_between(tool, end, centre, sense)
        if (abs(turn) <= math.pi) == (radius > 0.0):
            return Arc(centre, tool, beside(end, centre, own), turn)
    return None


def beside(end: XY, centre: XY, radius: float) -> XY:
    """The point at ``radius`` from ``centre`` in the direction of ``end``."""
    share = radius / math.dist(end, centre)
    return (centre[0] + (end[0] - centre[0]) * share, centre[1] + (end[1] - centre[1]) * share)
