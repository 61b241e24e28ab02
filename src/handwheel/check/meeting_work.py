"""What meets the work that should not: rapids, shank, holder, too little flute, a cutter that cannot plunge, a
spindle that does not turn."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.motion import Kind, Spindle
from handwheel.tolerances import CONTACT

HOLE_MAKERS = ("drill", "spot drill", "reamer", "tap")
"""The shapes that stand in a hole of their own."""

STEEP = math.radians(5.0)
"""A cutter without teeth over its middle ramps no steeper than this (common practice)."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``rapid-through-work``, ``plunge-not-centre-cutting``, ``deeper-than-flutes``, ``shank-beside-wall``,
    ``shank-rubs-work``, ``holder-hits-work``, ``spindle-stopped``, ``spindle-reversed``; one finding for each
    tool and code."""
    met = inspection.standing
    rapid = inspection.moves.at_rapid
    depth = inspection.depth
    cuts = inspection.feeding & (depth > 0.0)
    for tool, rows, deep in _by_tool(inspection, rapid & (depth > 0.0), depth):
        yield inspection.finding(
            "rapid-through-work", f"tool {tool} runs through the work at rapid, up to {deep} below its top", rows
        )
    for tool, rows, deep in _by_tool(inspection, _plunges(inspection), met.core):
        yield inspection.finding(
            "plunge-not-centre-cutting",
            f"tool {tool} goes straight down into the work by {deep}, but it does not cut over its center; "
            "go down beside the work or ramp in",
            rows,
        )
    for tool, rows, above in _by_tool(inspection, cuts & (met.above_flutes > 0.0), met.above_flutes):
        flutes = inspection.size(inspection.tools[tool].flute_length)
        yield inspection.finding(
            "deeper-than-flutes",
            f"tool {tool} cuts deeper than its flutes, which are {flutes} long: the work stands {above} above them",
            rows,
        )
    yield from _in_its_own_wall(inspection, met.above_flutes == 0.0)
    for tool, rows, deep in _by_tool(inspection, met.shank > 0.0, met.shank):
        yield inspection.finding("shank-rubs-work", f"the shank of tool {tool} is {deep} deep in standing work", rows)
    for tool, rows, deep in _by_tool(inspection, met.holder > 0.0, met.holder):
        yield inspection.finding("holder-hits-work", f"the holder of tool {tool} is {deep} deep in standing work", rows)
    yield from _spindle(inspection, cuts)


def _in_its_own_wall(inspection: Inspection, rest: NDArray[np.bool_]) -> Iterator[Finding]:
    """A hole or a wall that was cut in steps and is deeper than the flutes: the shank runs between its own walls."""
    makers = np.isin(
        inspection.tool_number, [number for number, tool in inspection.tools.items() if tool.shape in HOLE_MAKERS]
    )
    for tool, rows, deep in _by_tool(inspection, rest & makers & (inspection.rubs > 0.0), inspection.rubs):
        flutes = inspection.size(inspection.tools[tool].flute_length)
        yield inspection.finding(
            "deeper-than-flutes",
            f"tool {tool} goes deeper than its flutes, which are {flutes} long: the hole reaches {deep} above them, "
            "and no chip gets out",
            rows,
        )
    for tool, rows, deep in _by_tool(inspection, rest & ~makers & (inspection.rubs > 0.0), inspection.rubs):
        yield inspection.finding(
            "shank-beside-wall",
            f"the shank of tool {tool} rubs on a wall that the tool has cut, {deep} below its top: take a cutter with "
            "longer flutes, or with a thinner shank",
            rows,
        )


def _plunges(inspection: Inspection) -> NDArray[np.bool_]:
    """Feed moves that go down steeply into material with a cutter that has no teeth over its middle."""
    moves = inspection.moves
    down = moves.start[:, 2] - moves.end[:, 2]
    along = np.hypot(*(moves.end - moves.start)[:, :2].T)
    along = np.where(moves.kind == Kind.ARC, np.sqrt(np.maximum(moves.length**2 - down**2, 0.0)), along)
    # a tap without a hole is told as that
    dull = {number for number, tool in inspection.tools.items() if not tool.centre_cutting and tool.shape != "tap"}
    without_centre = np.isin(inspection.tool_number, sorted(dull))
    steep = (down > CONTACT) & (down > along * math.tan(STEEP))
    return np.asarray(inspection.feeding & without_centre & steep & (inspection.standing.core > 0.0))


def _spindle(inspection: Inspection, cuts: NDArray[np.bool_]) -> Iterator[Finding]:
    moves, depth = inspection.moves, inspection.depth
    spindle, rpm = moves.of_modal("spindle"), moves.of_modal("rpm")
    taps = sorted(number for number, tool in inspection.tools.items() if tool.shape == "tap")
    stopped = (spindle == Spindle.OFF) | (rpm <= 0.0)
    backwards = ~stopped & (spindle == Spindle.CCW) & ~np.isin(inspection.tool_number, taps)
    for tool, rows, deep in _by_tool(inspection, cuts & stopped, depth):
        yield inspection.finding(
            "spindle-stopped", f"tool {tool} is fed {deep} deep into the work with the spindle off", rows
        )
    for tool, rows, deep in _by_tool(inspection, cuts & backwards, depth):
        yield inspection.finding(
            "spindle-reversed",
            f"tool {tool} is fed {deep} deep into the work while the spindle turns backwards",
            rows,
        )


def _by_tool(
    inspection: Inspection, chosen: NDArray[np.bool_], depth: NDArray[np.float64]
) -> Iterator[tuple[int, NDArray[np.int64], str]]:
    """The chosen rows of each tool, and the greatest depth among them as a trainee reads it."""
    for tool in np.unique(inspection.tool_number[chosen]).tolist():
        rows = np.flatnonzero(chosen & (inspection.tool_number == tool))
        yield tool, rows, inspection.size(float(depth[rows].max()))
