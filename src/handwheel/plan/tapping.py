"""Threads cut by a tap: one step a pattern, hole after hole."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.job.tapping import Tap
from handwheel.plan.model import Hole, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap
from handwheel.plan.which_route import Route
from handwheel.plan.words import Numbering, counted
from handwheel.setup import Setup
from handwheel.units import shop_number

RUN_UP: Final = 3.0
"""So many pitches above the hole a tap is fed already, so that feed and speed are in step when it bites (common
practice)."""

WHY: Final = {
    Route.BY_HAND: "The spindle keeps the tap square to the work; the hand feels it bind before it breaks.",
    Route.BY_PROGRAM: "Feed is pitch times speed, exactly: the tap pulls itself in like a screw, and the table keeps "
    "up with it.",
}
HAZARD: Final = {
    Route.BY_HAND: "Never under power: a tap that binds breaks, and its pieces fly. Spindle off and in neutral; half a "
    "turn back every turn or two breaks the chips.",
    Route.BY_PROGRAM: "Feed hold may not stop a tap, and the feed dial must be at 100 percent. First run above the "
    "work. Hands clear: chips are sharp screws.",
}


def steps(setup: Setup, operation: Tap, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """All holes of the pattern; ``top`` is the Z of the work's upper face, mm."""
    tool = setup.job.tool(operation.tool)
    surface, bottom = operation.top(setup.work), operation.tip(setup.work, tool)
    clear = max(surface, top) + max(gap(setup), RUN_UP * tool.pitch)
    depth = "through" if operation.depth is None else f"{shop_number(operation.depth, setup.job.units)} deep"
    yield Step(
        number=next(numbering),
        kind="hole",
        operation=operation.name,
        title=f"{operation.name}: tap {counted(len(operation.points), 'hole')} {operation.thread}, {depth}",
        why=WHY[route],
        hazard=HAZARD[route],
        tool=tool,
        speeds=speeds(setup, operation, tool, route),
        holes=tuple(Hole(at, clear, bottom, pitch=tool.pitch, surface=surface) for at in operation.points),
    )
