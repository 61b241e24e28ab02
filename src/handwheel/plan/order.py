"""The operations in order, as numbered steps; a cutter is loaded whenever the next operation needs another."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from types import ModuleType

from handwheel.job import Facing, SideMilling
from handwheel.job.chamfer import Chamfer
from handwheel.job.hole_making import Counterbore, Countersink, Drill, Ream, Spot
from handwheel.job.outline_milling import OutlineMilling
from handwheel.job.pocket import Pocket
from handwheel.job.slot import Slot
from handwheel.job.tapping import Tap
from handwheel.plan import chamfer, face, hole, outline, pocket, side, slot, tapping
from handwheel.plan.model import Plan, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap
from handwheel.plan.which_route import Route
from handwheel.plan.words import tool_name
from handwheel.setup import Setup

MODULES: dict[type, ModuleType] = {
    Facing: face,
    SideMilling: side,
    Slot: slot,
    Pocket: pocket,
    OutlineMilling: outline,
    Chamfer: chamfer,
    Spot: hole,
    Drill: hole,
    Ream: hole,
    Tap: tapping,
    Counterbore: hole,
    Countersink: hole,
}
"""A new operation is one new module here and one model in the job."""


def plan(setup: Setup, route: Route) -> Plan:
    """The steps of a route.

    >>> [route.value for route in Route]
    ['by hand', 'by program']
    """
    used = dict.fromkeys(operation.tool for operation in setup.operations)
    return Plan(
        route=route,
        steps=tuple(_steps(setup, route)),
        clear=setup.raw.high[2] + setup.clear,
        approach=gap(setup),
        tools=tuple(setup.job.tool(number) for number in used),
    )


def _steps(setup: Setup, route: Route) -> Iterator[Step]:
    numbering = itertools.count(1)
    loaded: int | None = None
    top = setup.raw.high[2]
    for operation in setup.operations:
        module = MODULES[type(operation)]
        if operation.tool != loaded:
            tool = setup.job.tool(operation.tool)
            yield Step(
                number=next(numbering),
                kind="load",
                operation=operation.name,
                title=f"Load tool {tool.number}, {tool_name(tool, setup.job.units)}",
                why="Each cutter has its own length: its Z must be found anew."
                if loaded is not None
                else "The first cutter finds the three zeros of the work.",
                hazard="Spindle off and in neutral; hold the cutter with a rag; drawbar tight, wrench off the drawbar.",
                tool=tool,
                speeds=speeds(setup, operation, tool, route),
            )
            loaded = operation.tool
        yield from module.steps(setup, operation, route, top, numbering)
        top = operation.top_after(top)
