"""What stands below the spindle's nose: flutes that cut, a shank and a holder that must not touch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from handwheel.motion.tables import Tool
from handwheel.path.profile import Frustum, Piece, Profile, Rounded
from handwheel.shop.threads import minor_diameter


@dataclass(frozen=True, slots=True)
class Cutter:
    """A tool as three outlines, heights in mm above the tip; an outline without pieces is not there."""

    flutes: Profile
    shank: Profile
    holder: Profile


@cache
def cutter(tool: Tool) -> Cutter:
    """The outlines of a tool.

    The flutes end at ``flute_length`` (never above the holder's nose); the shank runs from there to ``reach``, the
    holder from ``reach`` on. A reamer is a cylinder of its diameter: the lead is taken to cut full size. A tap is its
    core, as wide as the minor diameter: in a hole of the right size it meets nothing.
    """
    top = min(tool.flute_length, tool.reach)
    shank = _cylinder(tool.shank / 2.0, top, tool.reach)
    holder = _cylinder(tool.holder_diameter / 2.0, tool.reach, tool.reach + tool.holder_length)
    return Cutter(flutes=Profile(_flutes(tool, top)), shank=shank, holder=holder)


def _cylinder(radius: float, low: float, high: float) -> Profile:
    return Profile((Frustum.cylinder(radius, low, high),) if radius > 0.0 and high > low else ())


def _flutes(tool: Tool, top: float) -> tuple[Piece, ...]:
    radius = tool.diameter / 2.0
    match tool.shape:
        case "ball end mill":
            return _rounded(radius, radius, top)
        case "corner-radius end mill" | "end mill" | "face mill" if tool.corner_radius > 0.0:
            return _rounded(radius, tool.corner_radius, top)
        case "drill" | "spot drill" | "chamfer mill" | "countersink" if tool.point_angle < 180.0:
            return _pointed(radius, tool.tip_diameter / 2.0, tool.point_angle, top)
        case "tap":
            return (Frustum.cylinder(minor_diameter(tool.diameter, tool.pitch) / 2.0, 0.0, top),)
        case _:
            return (Frustum.cylinder(radius, 0.0, top),)


def _rounded(radius: float, corner: float, top: float) -> tuple[Piece, ...]:
    """A rounded nose below an upright side; the nose is whole even where the flutes are no longer than its radius."""
    corner = min(corner, radius)
    nose = Rounded(centre=corner, flat=radius - corner, ball=corner)
    return (nose, Frustum.cylinder(radius, corner, top)) if top > corner else (nose,)


def _pointed(radius: float, tip: float, point_angle: float, top: float) -> tuple[Piece, ...]:
    """A cone, cut off at radius ``tip`` below and at the flutes' end above, and an upright side where it is wider."""
    tip = min(tip, radius)
    slope = math.tan(math.radians(point_angle / 2.0))
    height = (radius - tip) / slope
    if height <= 0.0:
        return (Frustum.cylinder(radius, 0.0, top),)
    if height >= top:
        return (Frustum(0.0, top, tip, tip + top * slope),)
    return (Frustum(0.0, height, tip, radius), Frustum.cylinder(radius, height, top))
