"""Outside an outline: everything to the raw sides is cleared, the shape itself is cut last."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.job.outline_milling import OutlineMilling
from handwheel.motion import Tool
from handwheel.path.clearing import clear_outside
from handwheel.plan.contour import finish_step, measuring_stop
from handwheel.plan.model import Beside, Inner, Plunge, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap
from handwheel.plan.which_route import Route
from handwheel.plan.within import clearing_stroke, clearing_width, levels_down
from handwheel.plan.words import Numbering, counted
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number


def steps(setup: Setup, operation: OutlineMilling, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """Clearing, measuring, the shape; ``top`` is the Z of the work's upper face, mm."""
    tool, units = setup.job.tool(operation.tool), setup.job.units
    running = speeds(setup, operation, tool, route)
    levels = levels_down(top, operation.lowest(setup.work, tool), operation.pass_depth, tool)
    rough = tuple(stroke for above, level in levels for stroke in _cleared(setup, operation, tool, route, above, level))
    if rough:
        left = f", leaving {shop_number(operation.finish, units)}" if operation.finish > CONTACT else ""
        yield Step(
            number=next(numbering),
            kind="rough",
            operation=operation.name,
            title=f"{operation.name}: clear round the outline {shop_number(operation.depth, units)} deep{left}, "
            f"{counted(len(levels), 'level')}",
            why="From the raw sides inwards, the bulk goes where size does not matter yet.",
            hazard="Heavy at the corners, where the cutter has more to cut: locked slides, hands clear, no gloves.",
            tool=tool,
            speeds=running,
            cutting="mixed",
            strokes=rough,
        )
        yield from measuring_stop(setup, operation, tool, running, numbering)
    yield finish_step(setup, operation, tool, running, route, top, numbering)


def _cleared(
    setup: Setup, operation: OutlineMilling, tool: Tool, route: Route, above: float, level: float
) -> Iterator[Inner]:
    cut = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    raw, width = setup.raw, clearing_width(setup, tool, above - level)
    ways = clear_outside(
        operation.outline(setup.work),
        ((raw.low[0], raw.low[1]), (raw.high[0], raw.high[1])),
        tool.diameter / 2,
        width,
        operation.finish,
        climb=cut == "climb",
        run_off=gap(setup) + setup.job.stock.tolerance,
    )
    for way in ways:
        entry = Plunge() if way.full_metal else Beside()
        yield clearing_stroke(way, cut, level, above, width, entry)
