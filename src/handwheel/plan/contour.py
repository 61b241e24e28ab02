"""The last cut round a closed wall, inside a pocket or outside an outline, and the sizes that it makes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.job import Dimension
from handwheel.job.operation import Direction
from handwheel.job.outline_milling import OutlineMilling
from handwheel.job.pocket import Pocket
from handwheel.motion import Tool
from handwheel.path.arc import Arc
from handwheel.plan.leads import Room, round_the_wall
from handwheel.plan.measuring import measuring, measuring_step
from handwheel.plan.model import Inner, Step
from handwheel.plan.speeds import Speeds
from handwheel.plan.strokes import even_steps
from handwheel.plan.which_route import Route
from handwheel.plan.within import along_wall
from handwheel.plan.words import Numbering
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Walled = Pocket | OutlineMilling


def wall_strokes(setup: Setup, operation: Walled, tool: Tool, cut: Direction, top: float) -> Iterator[Inner]:
    """All round the wall, at full depth where the flutes allow."""
    outline = operation.outline(setup.work)
    inside, radius = isinstance(operation, Pocket), tool.diameter / 2
    wall, side = along_wall(outline.pieces if inside else outline.clockwise, cut)
    sign = -1.0 if inside else 1.0
    room = Room(lambda point: sign * float(outline.distance(np.array([point]))[0]) - radius, operation.finish - CONTACT)
    chain, lead = round_the_wall(wall, side, radius, operation.finish + 0.1 * radius, room)
    bottom = operation.lowest(setup.work, tool)
    down = even_steps(top, bottom, tool.flute_length)
    for above, level in zip((top, *down), down, strict=False):
        yield Inner(
            purpose="finish",
            chain=chain,
            level=level,
            side=side,
            cutting=cut,
            width=operation.finish,
            depth=above - level,
            run_up=lead.run_up,
            lead_in=lead.into,
            lead_out=lead.out,
            cusp=operation.cusp_by_hand(setup.work) if isinstance(operation, OutlineMilling) else 0.0,
        )


def makes_gap(operation: Walled, setup: Setup, tool: Tool, size: Dimension) -> bool:
    """Whether both ends of a size of the drawing are on the wall: a gap within a pocket, an outside size of an
    outline."""
    of = "inside" if isinstance(operation, Pocket) else "outside"
    if size.of != of or size.axis == "z":
        return False
    bottom = operation.lowest(setup.work, tool)
    if not bottom < size.through["z"] <= setup.finished_top + CONTACT:
        return False
    outline = operation.outline(setup.work)
    (x0, y0), (x1, y1) = outline.box2
    at = {**size.through, size.axis: size.at if size.at is not None else (x0 + x1, y0 + y1)["xy".index(size.axis)] / 2}
    return bool(outline.holds(np.array([[at["x"], at["y"]]]))[0])


def measuring_stop(
    setup: Setup, operation: Walled, tool: Tool, running: Speeds, numbering: Numbering
) -> Iterator[Step]:
    """Before the last cut, where a size of the drawing ends on the wall."""
    if operation.measure is False or operation.finish <= CONTACT:
        return
    sizes = [size for size in setup.dimensions if makes_gap(operation, setup, tool, size)]
    taken = tuple(measuring(sizes, operation.finish, 2, is_gap=isinstance(operation, Pocket)))
    yield from measuring_step(operation, tool, running, numbering, taken)


def finish_step(
    setup: Setup, operation: Walled, tool: Tool, running: Speeds, route: Route, top: float, numbering: Numbering
) -> Step:
    """The step that cuts the wall to size."""
    cut = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    strokes = tuple(wall_strokes(setup, operation, tool, cut, top))
    arcs = any(isinstance(piece, Arc) for piece in strokes[0].chain)
    return Step(
        number=next(numbering),
        kind="finish",
        operation=operation.name,
        title=f"{operation.name}: finish the wall all round",
        why="A light, even last cut gives size and surface."
        + (" By hand its arcs are made by coordinates, by program each is one block." if arcs else ""),
        hazard="The finished edges are sharp: deburr before you touch or re-seat the work.",
        tool=tool,
        speeds=running,
        cutting=cut,
        strokes=strokes,
        compensation=operation.compensation,
    )
