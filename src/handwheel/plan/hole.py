"""Holes: one step a pattern, hole after hole in the order that the job gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handwheel.job.hole_making import Coned, Counterbore, Countersink, Drill, Ream, Spot
from handwheel.plan.model import Hole, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap
from handwheel.plan.which_route import Route
from handwheel.plan.words import Numbering, counted, size_name
from handwheel.setup import Setup
from handwheel.units import shop_number

AnyHole = Spot | Drill | Ream | Counterbore | Countersink

WHY = {
    Spot: "A drill starts where the spot is, and nowhere else: it cannot walk.",
    Drill: "Takes the metal out fast; the spot has said where.",
    Ream: "Brings the hole to size and smooth; it follows the drilled hole and cannot move it.",
    Counterbore: "Makes a flat seat, square to the hole.",
    Countersink: "Makes the seat of a flat-headed screw; its size is across the surface, so depth is what counts.",
}
HAZARD = {
    Spot: "Chips wind round the cutter: spindle off, then a brush, never the hand.",
    Drill: "The drill grabs where it breaks through, and chips whip round: work clamped, ease the feed, hands clear.",
    Ream: "Never turn a reamer backwards, never stop it in the hole: it jams and breaks.",
    Counterbore: "It grabs and chatters if pushed: slow, steady, plenty of oil.",
    Countersink: "It chatters if fast, and its chips are sharp: slow, an even feed, a brush.",
}


def steps(setup: Setup, operation: AnyHole, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """All holes of the pattern; ``top`` is the Z of the work's upper face, mm."""
    tool, units = setup.job.tool(operation.tool), setup.job.units
    surface, bottom = operation.top(setup.work), operation.tip(setup.work, tool)
    clear = max(surface, top) + gap(setup)
    stops = _pecks(surface, bottom, operation.peck)
    depth = (
        f"{size_name(operation.diameter, units)} across"
        if isinstance(operation, Coned)
        else "through"
        if operation.depth is None
        else f"{shop_number(operation.depth, units)} deep"
    )
    pecks = f", {counted(len(stops) + 1, 'peck')} each" if stops else ""
    yield Step(
        number=next(numbering),
        kind="hole",
        operation=operation.name,
        title=f"{operation.name}: {operation.do} {counted(len(operation.points), 'hole')}, {depth}{pecks}",
        why=WHY[type(operation)],
        hazard=HAZARD[type(operation)],
        tool=tool,
        speeds=speeds(setup, operation, tool, route),
        holes=tuple(
            Hole(at, clear, bottom, stops, operation.dwell, isinstance(operation, Ream), surface=surface)
            for at in operation.points
        ),
    )


def _pecks(surface: float, bottom: float, peck: float | None) -> tuple[float, ...]:
    """Z at which the drill is withdrawn; the last peck may be a short one."""
    if peck is None:
        return ()
    count = math.ceil((surface - bottom) / peck - 1e-9) - 1
    return tuple(surface - peck * (index + 1) for index in range(count))
