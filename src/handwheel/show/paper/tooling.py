"""The tool and offset list: what stands in the holders, what the control's table holds, what each step runs at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.hand.entries import Cells, Columns, Entry, Subheading
from handwheel.job import Job
from handwheel.plan import Plan
from handwheel.plan.offset_table import keyed
from handwheel.plan.words import tool_name
from handwheel.units import program_number, shop_number, to_units

BLANK = "_" * 10


def tool_list(job: Job, plans: Mapping[str, Plan]) -> Iterator[Entry]:
    """Tools, offsets, and speeds and feeds by program; ``plans`` by the name of their set-up (one alone has none)."""
    tools = {tool.number: tool for by_program in plans.values() for tool in by_program.tools}

    def size(length: float) -> str:
        return shop_number(length, job.units)

    yield Subheading("Tools in their holders")
    rows: list[Cells] = [("no.", "tool", "flute length", "out of holder", "holder", "gauge line to tip")]
    rows += [
        (
            str(tool.number),
            tool_name(tool, job.units),
            size(tool.flute_length),
            size(tool.reach),
            f"{size(tool.holder_diameter)} x {size(tool.holder_length)}",
            size(tool.length),
        )
        for _, tool in sorted(tools.items())
    ]
    yield Columns(tuple(rows))
    # a tool that is touched to the work has another H in each set-up: its sheet says it
    touched = job.by_program.length_offsets == "touch to work"
    yield Subheading("Offset table")
    rows = [("slot", "length H", "H as set", f"{job.by_program.offset_holds} D", "D as set")]
    rows += [
        (
            str(slot),
            "touch it" if touched else program_number(offset.length, job.units),
            BLANK,
            program_number(keyed(job.by_program, offset.diameter), job.units),
            BLANK,
        )
        for slot, offset in sorted(job.offsets.items())
    ]
    yield Columns(tuple(rows))
    for name, by_program in plans.items():
        yield from _speeds(job, by_program, f", {name}" if name else "")


def _speeds(job: Job, by_program: Plan, of: str) -> Iterator[Entry]:
    cutting = [step for step in by_program.steps if step.cuts]
    if not cutting:
        return
    yield Subheading(f"Speeds and feeds by program{of}")
    rows: list[Cells] = [("step", "operation", "tool", "rev/min", f"{job.units}/min", f"{job.units} a tooth", "cut")]
    rows += [
        (
            str(step.number),
            step.operation,
            str(step.tool.number),
            f"{step.speeds.rpm:g}",
            f"{to_units(step.speeds.feed_mm_min, job.units):g}",
            shop_number(step.speeds.feed_per_tooth, job.units),
            step.cutting or "",
        )
        for step in cutting
    ]
    yield Columns(tuple(rows))
