"""The machine card of a route by program: zero table, lengths and diameters as measured, checks above the work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from handwheel.hand.card import BLANK, Card, Do, Fact, ToolBlock
from handwheel.hand.card_by_hand import holding, set_up_name, standing
from handwheel.hand.scales import Scales
from handwheel.motion import Moves, Tool
from handwheel.plan import Plan
from handwheel.plan.offset_table import (
    of_size_and_depth,
    planned_diameter,
    planned_length,
    touches_tools,
    what_d_holds,
    what_h_holds,
    where_wear_goes,
)
from handwheel.plan.words import size_name
from handwheel.program.head import CAUTIONS
from handwheel.setup import Setup, touches
from handwheel.tolerances import CONTACT
from handwheel.units import program_number

TOUCHED = Fact("Touch", "each face; set the table so that the position reads as the row says")
"""How the zero table is filled."""

GLASSES = "Safety glasses on. No gloves, rings or loose sleeves. Vise handle off, doors shut."
"""What the program's own cautions do not say (common practice)."""


def card(setup: Setup, plan: Plan, tip: Moves, faults: Sequence[str] = ()) -> Card:
    """What lies at the control.

    Parameters
    ----------
    setup, plan : how the work is clamped, its steps by program
    tip : what the program does, as it was read back; the tip's moves in the job's frame, mm
    faults : why the proof failed, where it did
    """
    scales = Scales(setup.job)
    count = iter(range(1, 10_000))
    held = holding(setup, scales)
    blocks = [ToolBlock("Set-up", (), tuple(Do(next(count), row.text) for row in held))]
    if plan.tools:
        zero = tuple(Do(next(count), row) for row in _zero_table(setup, plan, scales))
        offsets = tuple(Do(next(count), row) for row in _offsets(setup, plan))
        checks = [row for tool in plan.tools for row in _above_work(setup, plan, tip, tool, scales)]
        dry = tuple(Do(next(count), row) for row in checks)
        blocks += [
            ToolBlock(f"Zero table {setup.entry.origin}", (TOUCHED,), zero),
            ToolBlock(
                "Tool lengths and diameters",
                (Fact("H", what_h_holds(setup)), Fact("D", what_d_holds(setup)), *_wear(setup)),
                offsets,
            ),
            ToolBlock(
                "Above the work, single block, hand on feed hold",
                (
                    Fact("Gap", "from the tip to the raw top, by rule or block, before the tool goes down"),
                    Fact("To go", "the distance to go that the control shows as that line begins; wrong: stop"),
                ),
                dry,
            ),
        ]
    first = tuple(Do(next(count), row) for row in _first_part(setup, scales))
    blocks.append(ToolBlock("First part", _corrections(setup) if setup.dimensions else (), first))
    return Card(
        route="by program",
        title=setup.job.title,
        set_up=set_up_name(setup),
        warnings=tuple(f"NOT PROVED - do not run: {fault}" for fault in faults),
        cautions=(GLASSES, *CAUTIONS),
        facts=(*standing(setup, scales), Fact("Zero", f"finished {setup.zero.x}, {setup.zero.y}, {setup.zero.z}")),
        places=(),
        places_note="",
        ways=(),
        blocks=tuple(blocks),
    )


def _corrections(setup: Setup) -> tuple[Fact, ...]:
    """What a size that is out does to the offset table."""
    size, depth = of_size_and_depth(setup)
    return (
        Fact("Oversize", f"{size}."),
        Fact("Depth", f"{depth}."),
        Fact("Undersize", "stop and tell the instructor."),
    )


def _wear(setup: Setup) -> Iterator[Fact]:
    yield from (Fact("Wear", text) for text in where_wear_goes(setup))


def _zero_table(setup: Setup, plan: Plan, scales: Scales) -> Iterator[tuple[str, ...]]:
    *_, z = found = touches(setup, plan.tools[0].diameter)
    for one in found:
        if one is z and touches_tools(setup):
            yield ("Z 0 in the zero table: each tool is touched to the work", f"in the table {BLANK}")
            continue
        axis = one.axis.upper()
        raw = "raw " if one.is_raw else ""
        with_ = f"T{plan.tools[0].number}" if one.with_ == "cutter" else one.with_
        length = f", H{plan.tools[0].number} in force" if axis == "Z" else ""
        yield (
            f"{raw}{one.face}, {with_}{length}: {axis} {scales.length(one.spindle_at)}",
            f"in the table {BLANK}",
        )


def _offsets(setup: Setup, plan: Plan) -> Iterator[tuple[str, ...]]:
    units = setup.job.units
    for tool in plan.tools:
        number = tool.number
        yield (
            f"T{number} {size_name(tool.diameter, units)} {tool.shape}",
            f"H{number} {planned_length(setup, number)}: {BLANK}",
            f"D{number} {planned_diameter(setup, number)}: {BLANK}",
        )


def _above_work(setup: Setup, plan: Plan, tip: Moves, tool: Tool, scales: Scales) -> Iterator[tuple[str, ...]]:
    """The tool at the height for rapids, and what its first way down has to go."""
    start, end = tip.start, tip.end
    down = (
        (tip.of_modal("tool") == tool.number)
        & (np.abs(start[:, 2] - plan.clear) <= CONTACT)
        & (end[:, 2] < start[:, 2] - CONTACT)
    )
    rows = np.flatnonzero(down)
    gap = f"gap {scales.length(plan.clear - setup.raw.high[2])}: {BLANK}"
    at = f"T{tool.number} at Z {program_number(plan.clear, setup.job.units)}, {gap}"
    if not len(rows):
        yield (at,)
        return
    row = int(rows[0])
    togo = program_number(float(start[row, 2] - end[row, 2]), setup.job.units)
    yield (at, f"line {int(tip.line[row])}, Z to go {togo}: {BLANK}")


def _first_part(setup: Setup, scales: Scales) -> Iterator[tuple[str, ...]]:
    yield ("zero raised above the work: whole program in single block", "zero back")
    if setup.dimensions:
        sizes = tuple(
            f"{size.name} {BLANK} ({scales.length(size.lower)} to {scales.length(size.upper)})"
            for size in setup.dimensions
        )
        yield ("spindle off, work still clamped: measure what can be reached", *sizes)
