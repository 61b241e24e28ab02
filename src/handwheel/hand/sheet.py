"""The route sheet on paper: set-up sheet, the steps with every figure, inspection sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.hand.actions import Action
from handwheel.hand.clock import clock
from handwheel.hand.execute import execute
from handwheel.hand.layout import columns, heading, row, ticked
from handwheel.hand.scales import Scales
from handwheel.hand.sheet_set_up import set_up_sheet
from handwheel.hand.sheet_steps import StepSheet
from handwheel.job import Job
from handwheel.plan import Plan
from handwheel.setup import Setup

CAUTIONS = (
    "Safety glasses on; sleeves, hair and rings out of the way; no gloves at a turning spindle.",
    "The spindle stands still before a hand, a brush or a gauge goes near the cutter.",
    "Figures on paper do not make a set-up safe. Guards, the lab's rules and a qualified instructor come first; "
    "local codes stand above this sheet.",
    "The figures are those of this set-up alone. Anything that differs at the machine: stop and ask.",
)


def sheet(job: Job, setup: Setup, plan: Plan, actions: Sequence[Action]) -> str:
    """The text for ``route-sheet.txt`` and the terminal.

    Parameters
    ----------
    job, setup, plan : what is made, where it stands, its steps by hand
    actions : what :func:`handwheel.hand.actions` gave for them
    """
    execution = execute(job, setup, actions)
    scales = Scales(job)
    seconds = clock(job, actions, execution)
    lines = [*_head(job, seconds), *set_up_sheet(job, setup, plan, scales)]
    lines += heading("Route by hand")
    lines += _how_to_read(job)
    steps = StepSheet(job, plan, scales, execution, seconds)
    for step in plan.steps:
        lines += steps.lines(step)
    lines += _inspection(job, scales)
    return "\n".join(lines).lstrip("\n") + "\n"


def minutes(seconds: float) -> str:
    """
    >>> minutes(45), minutes(754)
    ('1 min', '13 min')
    """
    return f"{max(1, round(seconds / 60))} min"


def _head(job: Job, seconds: dict[int, float]) -> Iterator[str]:
    yield from heading(f"Route sheet: {job.title}")
    units = "inches" if job.units == "in" else "millimetres"
    if job.part_number:
        yield from row("Part", job.part_number)
    yield from row("Material", f"{job.material_name}; all sizes in {units}")
    if job.notes:
        yield from row("Notes", job.notes)
    if seconds:
        yield from row("Time", f"about {minutes(sum(seconds.values()))} by hand, after the vise is set")
    yield ""
    for caution in CAUTIONS:
        yield from ticked(caution)


def _how_to_read(job: Job) -> Iterator[str]:
    yield from row(
        "Dials",
        "3 turns + 50 means three whole turns from the dial's zero, then on to graduation 50. Turns below zero have a "
        "minus, the graduation is always what the dial shows: -1 turn + 90 is ten short of zero on a dial of 100. "
        "Knee dial: up as the knee is raised. Table dial: up as the table goes to your left. Saddle dial: up as "
        "the saddle comes towards you.",
    )
    if job.by_hand.readout_step:
        yield from row(
            "Readout",
            "X and Y say where the spindle's centre is over the work. The readout sees the slide and decides; the dial "
            "is its witness and may differ by the play of the screw.",
        )
    else:
        yield from row(
            "No readout",
            "Every setting of a slide ends in the same direction as its touch-off. Coming the other way, go half a "
            "turn past the figure and come back: only so does one zero serve both sides of the work.",
        )
    yield from row(
        "Knee", "Every depth is set raising. Past the figure? Lower half a turn and come up again. Then lock."
    )
    yield from row("Feed", "Only lines with FEED cut. All other winding is clear of the work.")


def _inspection(job: Job, scales: Scales) -> Iterator[str]:
    if not job.dimensions:
        return
    yield from heading("Inspection sheet")
    rows: list[Sequence[str]] = [("size", "drawing", "least", "most", "gauge", "measured", "good?")]
    rows += [
        (
            size.name,
            scales.length(size.nominal),
            scales.length(size.lower),
            scales.length(size.upper),
            size.gauge,
            "__________",
            "[ ]",
        )
        for size in job.dimensions
    ]
    yield from columns(rows)
    yield ""
    yield from row("Made by", "____________________   Date ____________   Checked by ____________________")
