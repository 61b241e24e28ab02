"""The operations in order, as numbered steps; a cutter is loaded whenever the next operation needs another."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from types import ModuleType

from handwheel.job import Face, Job, Side
from handwheel.path.box import Box
from handwheel.plan import face, side
from handwheel.plan.model import Plan, Route, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap
from handwheel.plan.words import tool_name

MODULES: dict[type, ModuleType] = {Face: face, Side: side}
"""A new operation is one new module here and one model in the job."""


def plan(job: Job, route: Route) -> Plan:
    """The steps of a route.

    >>> [route.value for route in Route]
    ['by hand', 'by program']
    """
    used = dict.fromkeys(operation.tool for operation in job.operations)
    return Plan(
        route=route,
        steps=tuple(_steps(job, route)),
        clear=job.raw.high[2] + job.clear,
        approach=gap(job),
        tools=tuple(job.tool(number) for number in used),
    )


def lowest_cut(job: Job) -> float | None:
    """Z of the lowest planned cut of the job, mm; ``None`` where it has no operation."""
    return min((MODULES[type(one)].lowest(job, one) for one in job.operations), default=None)


def intended(job: Job) -> tuple[Box, ...]:
    """The solids that ought to be gone at the end, one for each operation, in the job's frame."""
    return tuple(MODULES[type(one)].removes(job, one) for one in job.operations)


def _steps(job: Job, route: Route) -> Iterator[Step]:
    numbering = itertools.count(1)
    loaded: int | None = None
    top = job.raw.high[2]
    for operation in job.operations:
        module = MODULES[type(operation)]
        if operation.tool != loaded:
            tool = job.tool(operation.tool)
            yield Step(
                number=next(numbering),
                kind="load",
                operation=operation.name,
                title=f"Load tool {tool.number}, {tool_name(tool, job.units)}",
                why="Each cutter stands out of the spindle by its own length: its Z must be found anew."
                if loaded is not None
                else "The first cutter finds the three zeros of the work.",
                hazard="Spindle off and in neutral; hold the cutter with a rag; drawbar tight, wrench off the drawbar.",
                tool=tool,
                speeds=speeds(job, operation, tool, route),
            )
            loaded = operation.tool
        yield from module.steps(job, operation, route, top, numbering)
        top = module.top_after(job, operation, top)
