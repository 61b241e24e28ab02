"""The program's text: each step's comment, then its blocks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from handwheel.plan import Plan, Step, at_stop, gives_back, going_back
from handwheel.program.comment import comment
from handwheel.program.head import head
from handwheel.program.holes import hole_blocks
from handwheel.program.seal import sealed
from handwheel.program.strokes import stroke_blocks
from handwheel.rs274 import validate_block
from handwheel.setup import Setup
from handwheel.units import program_number, shop_number

_COOLANT = {"flood": "M8", "mist": "M7", "off": ""}


def write_program(setup: Setup, plan: Plan, unproved: Sequence[str] = ()) -> str:
    """The RS-274/NGC text of a plan, marked so that a later edit by hand is known.

    Parameters
    ----------
    setup, plan : the set-up, and its steps by program
    unproved : why the proof failed; empty where it passed or has not been made

    Raises
    ------
    ValueError
        Where a block is none (each is parsed as it is written).

    Source
    ------
    Codes and their order: NISTIR 6556, section 3.
    """
    lines = ["%"]
    for text in head(setup, plan, unproved):
        lines.extend(comment(text))
    writer = _Blocks(lines)
    writer.block(f"G17 {'G20' if setup.job.units == 'in' else 'G21'} G40 G49 {setup.entry.origin} G61 G80 G90 G94")
    writer.block("G53 G0 Z0")
    for step, following in zip_longest(plan.steps, plan.steps[1:]):
        for text in _step_comments(setup, plan, step):
            lines.extend(comment(text))
        for words in _step_blocks(setup, plan, step, first=step is plan.steps[0]):
            writer.block(words)
        if gives_back(plan, step):
            lines.extend(comment(going_back(setup, plan, step)))
            for words in _stop(setup, plan, step, goes_on=following.kind != "load"):
                writer.block(words)
    lines.extend(comment("End: spindle off, coolant off, Z home"))
    for words in (*_still(setup), "M30"):
        writer.block(words)
    lines.append("%")
    return sealed("\n".join(lines) + "\n")


class _Blocks:
    """Adds numbered blocks to the lines, each read by the grammar as it is written."""

    def __init__(self, lines: list[str]) -> None:
        self._lines = lines
        self._number = 0

    def block(self, words: str) -> None:
        # a long program starts its numbers again: N has at most five digits and orders nothing
        self._number = self._number % 99990 + 10
        text = f"N{self._number} {words}"
        validate_block(text)
        self._lines.append(text)


def _step_comments(setup: Setup, plan: Plan, step: Step) -> Iterator[str]:
    yield f"STEP {step.number}: {step.title}"
    for size in step.measuring:
        yield (
            f"Measure: {size.dimension} should read {shop_number(size.wanted, setup.job.units)} now: "
            f"{shop_number(size.still_to_cut, setup.job.units)} still to cut"
        )
    if step.measuring:
        yield from at_stop(setup, plan, step)


def _step_blocks(setup: Setup, plan: Plan, step: Step, *, first: bool) -> Iterator[str]:
    if step.kind == "load":
        if not first:
            yield from _still(setup)
        yield f"T{step.tool.number} M6"
        yield f"G43 H{step.tool.number}"
        yield from _start(setup, plan, step)
    elif step.kind == "measure":
        yield from _stop(setup, plan, step)
    for stroke in step.strokes:
        yield from stroke_blocks(setup, plan, step, stroke)
    if step.holes:
        yield from hole_blocks(setup, plan, step)


def _stop(setup: Setup, plan: Plan, step: Step, *, goes_on: bool = True) -> Iterator[str]:
    """Everything still and out of the way until the operator says go; then, if cutting ``goes_on``, as it was."""
    yield from _still(setup)
    yield "M0"
    if goes_on:
        yield from _start(setup, plan, step)


def _start(setup: Setup, plan: Plan, step: Step) -> Iterator[str]:
    yield f"S{_speed(step.speeds.rpm)} M3"
    if _COOLANT[setup.job.coolant]:
        yield _COOLANT[setup.job.coolant]
    yield f"G0 Z{program_number(plan.clear, setup.job.units)}"


def _still(setup: Setup) -> Iterator[str]:
    yield "G53 G0 Z0"
    yield "M5"
    if _COOLANT[setup.job.coolant]:
        yield "M9"


def _speed(rpm: float) -> str:
    return f"{rpm:.3f}".rstrip("0").rstrip(".")
