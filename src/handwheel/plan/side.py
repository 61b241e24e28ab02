"""Side milling: a side of the block to a coordinate, roughed, measured and finished."""

from __future__ import annotations

import math
from collections.abc import Iterator

from handwheel.job import Dimension, SideMilling
from handwheel.motion import Tool
from handwheel.path.chain import straight
from handwheel.plan.around import cutter_side, direction
from handwheel.plan.measuring import measuring_step
from handwheel.plan.model import Axis, Measuring, Point2, Purpose, SideStroke, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import even_steps, lead_in, run_off
from handwheel.plan.which_route import Route
from handwheel.plan.words import Numbering, coordinate, counted
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import on_program_grid, shop_number

HEAVY = 0.5
"""A cut is heavy from half of what the cutter stands in the material: the widest cut that the shop's table allows, one
diameter deep (common practice)."""


def steps(setup: Setup, operation: SideMilling, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """Roughing, measuring and finishing, as far as the job asks for them; ``top`` is the Z of the work's top, mm."""
    tool = setup.job.tool(operation.tool)
    running = speeds(setup, operation, tool, route)
    cut = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    axis = "XY"[operation.edge.axis]
    bottom = operation.lowest(setup.work, setup.job.tool(operation.tool))
    widths = rough_to(setup, operation)
    start = raw_coordinate(setup, operation)
    whole = top - bottom

    def stroke(purpose: Purpose, to: float, before: float, level: float, depth: float) -> SideStroke:
        along = direction(operation.edge, cut)
        lead, start, end = _stroke_path(setup, operation, tool, to, along)
        return SideStroke(
            purpose=purpose,
            chain=straight((start, end)),
            lead_in=straight((lead, start)),
            level=level,
            side=cutter_side(cut),
            cutting=cut,
            width=abs(before - to),
            depth=depth,
            edge=operation.edge,
            to=to,
        )

    if widths:
        levels = even_steps(top, bottom, min(operation.pass_depth or math.inf, tool.flute_length))
        roughing = tuple(
            stroke("rough", to, before, level, above - level)
            for above, level in zip((top, *levels), levels, strict=False)
            for before, to in zip((start, *widths), widths, strict=False)
        )
        left = shop_number(abs(widths[-1] - operation.to), setup.job.units)
        yield Step(
            number=next(numbering),
            kind="rough",
            operation=operation.name,
            title=f"{operation.name}: rough the {operation.edge} side to "
            f"{coordinate(axis, widths[-1], setup.job.units)}, leaving {left}, {counted(len(roughing), 'pass')}",
            why="Takes the bulk off where size does not matter yet, and leaves an even finish cut.",
            hazard=_hazard(setup, tool, roughing),
            tool=tool,
            speeds=running,
            cutting=cut,
            strokes=roughing,
            compensation=operation.compensation,
        )

    measured = tuple(_measuring(setup, operation, widths)) if widths else ()
    yield from measuring_step(operation, tool, running, numbering, measured)

    finish_levels = even_steps(top, bottom, tool.flute_length) if whole > tool.flute_length else (bottom,)
    before = widths[-1] if widths else start
    finishing = [
        stroke("finish", operation.to, before, level, above - level)
        for above, level in zip((top, *finish_levels), finish_levels, strict=False)
    ]
    finishing += [stroke("spring", operation.to, operation.to, bottom, whole)] * operation.spring_passes
    spring = f", then {counted(operation.spring_passes, 'spring pass')}" if operation.spring_passes else ""
    yield Step(
        number=next(numbering),
        kind="finish",
        operation=operation.name,
        title=f"{operation.name}: finish the {operation.edge} side "
        f"to {coordinate(axis, operation.to, setup.job.units)}{spring}",
        why="A light, even last cut gives size and surface.",
        hazard="The finished edge is sharp: deburr before you touch or re-seat the work.",
        tool=tool,
        speeds=running,
        cutting=cut,
        strokes=tuple(finishing),
        compensation=operation.compensation,
        zeroes=_zeroes(setup, operation),
    )


def raw_coordinate(setup: Setup, operation: SideMilling) -> float:
    """Where the raw face of the side stands, mm."""
    axis = operation.edge.axis
    return setup.raw.high[axis] if _outwards(operation) > 0 else setup.raw.low[axis]


def rough_to(setup: Setup, operation: SideMilling) -> tuple[float, ...]:
    """The coordinates that roughing leaves the face at, outside in, mm; empty where one pass takes it all.

    Left out in the job, the width is divided evenly under the material's limit for that cutter, leaving ``finish``;
    the coordinates are on the program's grid, so that sheet and program say the same.
    """
    if operation.rough_to is not None:
        return operation.rough_to
    tool = setup.job.tool(operation.tool)
    raw, outwards = raw_coordinate(setup, operation), _outwards(operation)
    last = operation.to + outwards * operation.finish
    if (raw - last) * outwards <= CONTACT:
        return ()
    limit = setup.job.material.width_limit(tool.material) * tool.diameter
    return tuple(on_program_grid(value, setup.job.units) for value in even_steps(raw, last, limit))


def _hazard(setup: Setup, tool: Tool, roughing: tuple[SideStroke, ...]) -> str:
    """What a roughing cut threatens, by how much it takes at once."""
    most = setup.job.material.width_limit(tool.material) * tool.diameter * tool.diameter
    if max(stroke.width * stroke.depth for stroke in roughing) >= HEAVY * most:
        return "Heavy cut: the work can lift or the cutter grab; saddle or table locked, hands clear, no gloves."
    return "Light cut, yet a loose slide creeps and chips fly: saddle or table locked, hands clear, no gloves."


def _outwards(operation: SideMilling) -> float:
    return float(operation.edge.outwards)


def _stroke_path(
    setup: Setup, operation: SideMilling, tool: Tool, to: float, along: tuple[float, float]
) -> tuple[Point2, Point2, Point2]:
    """Lead-in point, start of the edge, end of the edge: all on the extended line of the side, off the raw ends."""
    axis = operation.edge.axis
    run = 1 - axis
    towards = along[run]
    ends = (setup.raw.low[run], setup.raw.high[run])
    begin, finish = ends if towards > 0 else ends[::-1]
    off = run_off(setup, tool)
    start = begin - towards * off
    values = (start - towards * lead_in(setup, tool), start, finish + towards * off)
    lead, first, last = ((to, value) if axis == 0 else (value, to) for value in values)
    return lead, first, last


def _zeroes(setup: Setup, operation: SideMilling) -> tuple[Axis, ...]:
    axis: Axis = "x" if operation.edge.axis == 0 else "y"
    on_zero = getattr(setup.zero, axis) == operation.edge and abs(operation.to) <= CONTACT
    return (axis,) if on_zero else ()


def _measuring(setup: Setup, operation: SideMilling, widths: tuple[float, ...]) -> Iterator[Measuring]:
    """The sizes to take before the last cut: those that end on this face and whose other end is as it will stay."""
    if operation.measure is False:
        return
    still = abs(widths[-1] - operation.to)
    ending = [size for size in setup.dimensions if _ends_on(setup, operation, size)]
    if operation.measure is None:
        ending = [size for size in ending if _is_last_cut(setup, operation, size)]
    for size in ending:
        yield Measuring(
            dimension=size.name,
            gauge=size.gauge,
            wanted=size.nominal + still,
            still_to_cut=still,
            lower=size.lower,
            upper=size.upper,
        )


def _ends_on(setup: Setup, operation: SideMilling, size: Dimension) -> bool:
    axis = operation.edge.axis
    if size.axis != "xyz"[axis] or size.of not in ("outside", "step"):
        return False
    height = size.through["z"]
    return (
        operation.lowest(setup.work, setup.job.tool(operation.tool)) - CONTACT <= height <= setup.finished_top + CONTACT
    )


def _is_last_cut(setup: Setup, operation: SideMilling, size: Dimension) -> bool:
    later = setup.operations[setup.operations.index(operation) + 1 :]
    return not any(isinstance(other, SideMilling) and _ends_on(setup, other, size) for other in later)
