"""The route sheet on paper: set-up sheet, the steps with every figure, inspection sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from handwheel.hand.actions import Action
from handwheel.hand.clock import clock
from handwheel.hand.entries import Cells, Columns, Entry, Gap, Heading, Row, Ticked
from handwheel.hand.execute import execute
from handwheel.hand.layout import lines
from handwheel.hand.scales import Scales
from handwheel.hand.sheet_set_up import set_up_sheet
from handwheel.hand.sheet_steps import StepSheet, minutes
from handwheel.hand.slides import SLIDES, SlideName, slide_of
from handwheel.hand.words import to_face, turns_past
from handwheel.plan import Plan
from handwheel.setup import Setup, touches

CAUTIONS = (
    "Safety glasses on; sleeves, hair and rings out of the way; no gloves at a turning spindle.",
    "The spindle is stopped before a hand, a brush or a gauge goes near the cutter.",
    "Figures on paper do not make a set-up safe. Guards, the lab's rules and a qualified instructor come first; "
    "local codes stand above this sheet.",
    "The figures are those of this set-up alone. Anything that differs at the machine: stop and ask.",
)


@dataclass(frozen=True, slots=True)
class SheetParts:
    """The sheet by its parts, each as entries still to be set."""

    head: tuple[Entry, ...]
    set_up: tuple[Entry, ...]
    how_to_read: tuple[Entry, ...]
    steps: tuple[tuple[Entry, ...], ...]
    inspection: tuple[Entry, ...]


def sheet(setup: Setup, plan: Plan, actions: Sequence[Action], faults: Sequence[str] = ()) -> str:
    """The text for ``route-sheet.txt`` and the terminal.

    Parameters
    ----------
    setup, plan : what is made, where it stands, its steps by hand
    actions : what :func:`handwheel.hand.actions` gave for them
    faults : why the proof of them failed, where it did; they stand above everything else
    """
    parts = sheet_parts(setup, plan, actions)
    entries = [
        Heading(f"Route sheet: {_titled(setup)}"),
        *(Row("NOT PROVED", f"do not work by this sheet: {fault}") for fault in faults),
        *parts.head,
        Gap(),
        *(Ticked(caution) for caution in CAUTIONS),
        Heading("Set-up sheet"),
        *parts.set_up,
        Heading("Route by hand"),
        *parts.how_to_read,
        *chain.from_iterable(parts.steps),
    ]
    if parts.inspection:
        entries += [Heading("Inspection sheet"), *parts.inspection]
    return "\n".join(lines(entries)).lstrip("\n") + "\n"


def _titled(setup: Setup) -> str:
    """The job's title; of several set-ups which one, too."""
    count = len(setup.job.setups)
    return setup.job.title if count == 1 else f"{setup.job.title}, set-up {setup.number} of {count}: {setup.name}"


def sheet_parts(setup: Setup, plan: Plan, actions: Sequence[Action]) -> SheetParts:
    """The same, part by part, for whoever sets it otherwise."""
    execution = execute(setup, actions)
    scales = Scales(setup.job)
    seconds = clock(setup.job, actions, execution)
    steps = StepSheet(setup, plan, scales, execution, seconds)
    return SheetParts(
        head=tuple(_head(setup, scales, seconds)),
        set_up=tuple(set_up_sheet(setup, plan, scales)),
        how_to_read=tuple(_how_to_read(setup, scales)),
        steps=tuple(tuple(steps.entries(step)) for step in plan.steps),
        inspection=tuple(_inspection(setup, scales)),
    )


def _head(setup: Setup, scales: Scales, seconds: dict[int, float]) -> Iterator[Entry]:
    units = "inches" if setup.job.units == "in" else "millimeters"
    if setup.job.part_number:
        yield Row("Part", setup.job.part_number)
    yield Row("Material", f"{setup.job.material.description}; all sizes in {units}")
    if setup.job.notes:
        yield Row("Notes", setup.job.notes)
    yield Row("Mill", _mill(scales))
    if seconds:
        yield Row("Time", f"about {minutes(sum(seconds.values()))} by hand, after the vise is set")


def _mill(scales: Scales) -> str:
    """What the dials and the readout must be for the figures to hold."""
    slides: tuple[SlideName, ...] = ("x", "y", "knee")
    step = scales.job.by_hand.readout_step
    names: dict[str, list[str]] = {}
    for slide in slides:
        facts = slide_of(scales.job.by_hand, slide)
        dial = (
            f"one turn {scales.whole(facts.per_turn)}, one line {scales.whole(facts.graduation)}, "
            f"{scales.lines_a_turn(slide)} lines a turn{'' if step else f', backlash {scales.whole(facts.backlash)}'}"
        )
        names.setdefault(dial, []).append(SLIDES[slide].name)
    readout = f"readout of table and saddle in steps of {scales.whole(step)}" if step else "no readout"
    dials = "; ".join(f"{' and '.join(named)}: {dial}" for dial, named in names.items())
    return f"{dials}; {readout}. Check these against your own dials before you start"


def _how_to_read(setup: Setup, scales: Scales) -> Iterator[Entry]:
    yield Row(
        "Dials",
        "3 turns + 50 means three whole turns from the dial's zero, then on to graduation 50. Turns below zero have a "
        "minus, the graduation is always what the dial shows: -1 turn + 90 is ten short of zero on a dial of 100. A "
        "graduation of 37.5 is half way between lines 37 and 38. "
        "Knee dial: up as the knee is raised. Table dial: up as the table goes to your left. Saddle dial: up as "
        "the saddle comes towards you.",
    )
    if setup.job.by_hand.readout_step:
        yield Row(
            "Readout",
            "X and Y say where the spindle's center is over the work. The readout sees the slide and decides; the dial "
            "is its witness and may differ by the backlash.",
        )
    else:
        x, y, _ = touches(setup, 0.0)
        yield Row(
            "No readout",
            f"Every setting of a slide ends in the same direction as its touch-off: the table {to_face(x.face)}, the "
            f"saddle {to_face(y.face)}. Coming the other way, go past the setting as far as the line says and come "
            "back: only so does one zero serve both sides of the work. A FEED never comes back: the other way, it "
            "has the backlash in its setting.",
        )
    back = turns_past(scales, "knee")
    yield Row(
        "Knee", f"Set every depth with the knee coming up. If you overshoot, lower {back} and come up again. Then lock."
    )
    yield Row("Feed", "Only lines with FEED cut, one way and never back. All other winding is clear of the work.")


def _inspection(setup: Setup, scales: Scales) -> Iterator[Entry]:
    if not setup.dimensions:
        return
    rows: list[Cells] = [("size", "drawing", "least", "most", "gauge", "measured", "good?")]
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
        for size in setup.dimensions
    ]
    yield Columns(tuple(rows))
    yield Gap()
    yield Row("Made by", "____________________   Date ____________   Checked by ____________________")
