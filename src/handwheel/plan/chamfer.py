"""A chamfer: one pass along each edge, the cone of the cutter against it."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.job.chamfer import Chamfer
from handwheel.motion import Side
from handwheel.path.chain import Chain, offset_chain, straight
from handwheel.plan.model import Inner, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import gap, run_off
from handwheel.plan.which_route import Route
from handwheel.plan.within import along_wall
from handwheel.plan.words import Numbering, counted
from handwheel.setup import Setup
from handwheel.units import shop_number


def steps(setup: Setup, operation: Chamfer, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """One step; ``top`` is the Z of the work's upper face, mm."""
    del top
    tool = setup.job.tool(operation.tool)
    cut = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    off = operation.off(setup.work, tool)
    strokes = []
    for wall in operation.walls(setup.work):
        closed = len(wall) > 1
        chain, side = along_wall(wall, cut)
        if not closed:
            chain = _past_its_ends(chain, run_off(setup, tool))
        centre = offset_chain(chain, off if side is Side.LEFT else -off, closed=closed)
        strokes.append(
            Inner(
                purpose="finish",
                chain=_from_aside(centre, side, gap(setup)) if closed else centre,
                level=operation.lowest(setup.work, tool),
                side=Side.OFF,
                room=side,
                cutting=cut,
                width=operation.size,
                depth=operation.drop(tool),
                rim=off,
                cusp=operation.cusp,
            )
        )
    size = shop_number(operation.size, setup.job.units)
    what = f"{counted(len(strokes), 'edge')}" if operation.edges else "all round"
    yield Step(
        number=next(numbering),
        kind="finish",
        operation=operation.name,
        title=f"{operation.name}: chamfer {size} by {tool.point_angle / 2:g} degrees, {what}",
        why="The edge is broken evenly: nobody is cut by it, and the mating part goes in.",
        hazard="A chamfer mill's point is sharp with the spindle off, too: rag or glove only when it is out.",
        tool=tool,
        speeds=speeds(setup, operation, tool, route),
        cutting=cut,
        strokes=tuple(strokes),
    )


def _past_its_ends(chain: Chain, off: float) -> Chain:
    """A single line, longer by so much at both ends."""
    (x, y), (u, v), (dx, dy) = chain[0].start, chain[0].end, chain[0].start_direction
    return straight(((x - dx * off, y - dy * off), (u + dx * off, v + dy * off)))


def _from_aside(centre: Chain, side: Side, away: float) -> Chain:
    """A closed way, come to and left straight from the side on which there is room."""
    (x, y), (dx, dy) = centre[0].start, centre[0].start_direction
    sense = away if side is Side.LEFT else -away
    aside = (x - dy * sense, y + dx * sense)
    return (*straight((aside, (x, y))), *centre, *straight(((x, y), aside)))
