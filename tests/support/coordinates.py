"""Ways by coordinates as a drawing has them, their cusps, and how deep they cut: what the house's stairs are held
against."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from handwheel.path.by_coordinates import stairs_along
from handwheel.path.chain import Chain, straight
from handwheel.path.line import XY
from handwheel.path.outline import Outline


@dataclass(frozen=True)
class Stairs:
    """``points`` are the settings of the cutter's center, mm, in order; ``moves`` the lines along X or Y that lead
    from one to the next."""

    points: tuple[XY, ...]
    moves: Chain


def cusp_outside(radius: float, cutter_radius: float, angle: float) -> float:
    """How high the cusp is between two settings round an outside corner, mm.

    Parameters
    ----------
    radius : of the corner, mm; the centre runs on ρ = radius + cutter_radius
    angle : Δ between the settings, rad

    Source
    ------
    Geometry of two circles of the cutter's radius R: ρ·cos(Δ/2) − √(R² − ρ²·sin²(Δ/2)) − r.

    """
    centre = radius + cutter_radius
    return centre * math.cos(angle / 2) - half_width(cutter_radius, centre * math.sin(angle / 2)) - radius


def cusp_inside(radius: float, cutter_radius: float, angle: float) -> float:
    """The same in an inside corner, where the centre runs on ρ = radius − cutter_radius."""
    centre = radius - cutter_radius
    return radius - centre * math.cos(angle / 2) - half_width(cutter_radius, centre * math.sin(angle / 2))


def cusp_along(step: float, cutter_radius: float) -> float:
    """The same along a straight edge, the settings ``step`` mm apart."""
    return cutter_radius - half_width(cutter_radius, step / 2)


def by_coordinates(
    path: Chain, cutter_radius: float, bound: float, *, work_left: bool, wall: Outline | None = None
) -> Stairs:
    """The way of a cutter's center as settings of X and Y.

    Parameters
    ----------
    path : lines and arcs of the centre, mm; what is along X or Y stays one move
    cutter_radius : mm
    bound : the greatest cusp that may be left for the file, mm
    work_left : whether the work is on the left of the motion
    wall : the finished outline, where the path has inside corners: near these the corner of a stair would cut into the
        next wall, so that settings come nearer to each other there and pass over the last bit of the corner

    Returns
    -------
    Stairs
        Every point of ``points`` is on the path, those of one quadrant of an arc at even angles.

    Raises
    ------
    ValueError
        Where there is no way by X and Y round an inside corner.

    """
    steps = stairs_along(path, cutter_radius, bound, work_left=work_left, wall=wall)
    if not steps:
        return Stairs((), ())
    points = [steps[0].start]
    for step in steps:
        points += [step.start] if step.start != points[-1] else []
        points.append(step.end)
    way = [corner for step in steps for corner in (step.start, step.corner, step.end)]
    return Stairs(tuple(points), straight(way))


def gouge(moves: Chain, outline: Outline, cutter_radius: float, *, inside: bool) -> float:
    """How deep a cutter of this radius cuts into the wall of an outline on straight moves, mm; 0 where it does not.

    Parameters
    ----------
    inside : whether it works within the outline, or round it

    """
    places = [
        np.linspace(piece.start, piece.end, max(2, math.ceil(piece.length * 50 / cutter_radius))) for piece in moves
    ]
    if not places:
        return 0.0
    away = outline.distance(np.concatenate(places))
    return max(0.0, cutter_radius - float(np.min(-away if inside else away)))


def half_width(cutter_radius: float, off: float) -> float:
    """Half of what a cutter covers so far beside its center."""
    return math.sqrt((cutter_radius - off) * (cutter_radius + off))
