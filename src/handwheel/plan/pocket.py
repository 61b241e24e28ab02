"""A pocket: cleared by even offsets from its middle, level by level; the floor, then the wall last."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.job.pocket import Pocket
from handwheel.motion import Tool
from handwheel.path.clearing import clear_inside
from handwheel.plan.contour import finish_step, measuring_stop
from handwheel.plan.entering import entering
from handwheel.plan.model import Beside, Inner, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.which_route import Route
from handwheel.plan.within import clearing_stroke, clearing_width, levels_down
from handwheel.plan.words import Numbering, counted
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number


def steps(setup: Setup, operation: Pocket, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """Clearing, the floor, measuring, the wall; ``top`` is the Z of the work's upper face, mm."""
    tool, units = setup.job.tool(operation.tool), setup.job.units
    running = speeds(setup, operation, tool, route)
    bottom = operation.lowest(setup.work, tool)
    levels = levels_down(top, bottom + operation.floor, operation.pass_depth, tool)
    rough = tuple(stroke for above, level in levels for stroke in _cleared(setup, operation, tool, route, above, level))
    left = [
        f"{shop_number(amount, units)} on the {where}"
        for amount, where in ((operation.finish, "wall"), (operation.floor, "floor"))
        if amount > CONTACT
    ]
    yield Step(
        number=next(numbering),
        kind="rough",
        operation=operation.name,
        title=f"{operation.name}: clear the pocket {shop_number(operation.depth, units)} deep"
        f"{', leaving ' + ' and '.join(left) if left else ''}, {counted(len(levels), 'level')}",
        why="From the middle outwards, ring by ring: the bulk goes where size does not matter yet.",
        hazard="Chips pack in a pocket and are cut again: brush them out with the spindle off. Mind the corners: the "
        "cutter suddenly has more to cut there.",
        tool=tool,
        speeds=running,
        cutting="mixed",
        strokes=rough,
    )
    if operation.floor > CONTACT:
        yield Step(
            number=next(numbering),
            kind="finish",
            operation=operation.name,
            title=f"{operation.name}: finish the floor",
            why="A light cut of even depth makes the floor flat and the depth right.",
            hazard="The floor's last cut takes chips with it: brush them out first, spindle off.",
            tool=tool,
            speeds=running,
            cutting="mixed",
            strokes=tuple(_cleared(setup, operation, tool, route, bottom + operation.floor, bottom)),
        )
    if operation.finish > CONTACT:
        yield from measuring_stop(setup, operation, tool, running, numbering)
    yield finish_step(setup, operation, tool, running, route, top, numbering)


def _cleared(setup: Setup, operation: Pocket, tool: Tool, route: Route, above: float, level: float) -> Iterator[Inner]:
    """The ways that clear one level."""
    cut = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    ways = clear_inside(
        operation.outline(setup.work),
        tool.diameter / 2,
        clearing_width(setup, tool, above - level),
        operation.finish,
        climb=cut == "climb",
    )
    for way in ways:
        entry = entering(operation.entry, route, tool, way.chain, above, level) if way.full_metal else Beside()
        yield clearing_stroke(way, cut, level, above, tool.diameter, entry)
