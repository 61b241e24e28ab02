"""A correction said: the sentences at a measuring stop and at the one where a part of it goes back, in the units of the
control's own column."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.plan.correcting import Correction, correction, gives_back, readings
from handwheel.plan.model import Plan, Step
from handwheel.plan.offset_table import column, keyed, touches_tools
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import PROGRAM_DECIMALS, program_number, shop_number

A_LINE = 2
"""Readings in a line of the table: a comment that a control can show."""


def at_stop(setup: Setup, plan: Plan, step: Step) -> tuple[str, ...]:
    """What to do at a measuring stop with what the gauge reads."""
    made = correction(plan, step, setup.job.units, touches_tools(setup))
    return () if made is None else tuple(_said(setup, step, made))


def going_back(setup: Setup, plan: Plan, step: Step) -> str:
    """What to do at the stop after the step that was corrected."""
    made = gives_back(plan, step, setup.job.units)
    assert made is not None
    where = column(setup, made.column, made.number)
    what = "all" if made.back > 1.0 - CONTACT else "half" if abs(made.back - 0.5) < CONTACT else f"{made.back:.0%}"
    return (
        f"Put {what} of what you changed {where} by back now: what was taken off is added again, what was added is "
        "taken off."
    )


def _said(setup: Setup, step: Step, made: Correction) -> Iterator[str]:
    units = setup.job.units
    if len(step.measuring) > 1:
        yield f"Correct once, for {made.measured.dimension}: it has the closest limits."
    if made.unseen:
        yield (f"The rough cut was made without D: first compare D{made.number} with the cutter.")
    if made.column == "none":
        yield (
            f"D{made.number} was corrected before: leave it."
            if step.compensation != "off"
            else "There is no D to correct here: what is found cannot be mended in this part. Note it for the next."
        )
        return
    where = f"Z of {setup.entry.origin}" if made.column == "Z" else column(setup, made.column, made.number)
    table = list(readings(made, units))
    yield f"For each reading change {where} by{_first(setup, made)}:"
    pairs = [_pair(setup, made, reading, change) for reading, change in table]
    yield from ("Reads " + ", ".join(pairs[at : at + A_LINE]) for at in range(0, len(pairs), A_LINE))
    yield from _bounds(setup, made)
    yield from _after(made)


def _first(setup: Setup, made: Correction) -> str:
    """How the table says what the column then holds."""
    return " (= what it then holds, if as planned)" if _shows_new(setup, made) else ""


def _shows_new(setup: Setup, made: Correction) -> bool:
    return made.column == "D" and made.is_first and not setup.job.by_program.wear_column


def _pair(setup: Setup, made: Correction, reading: float, change: float) -> str:
    units, machine = setup.job.units, setup.job.by_program
    held = keyed(machine, change) if made.column == "D" else change
    sign = "+" if held > 0 else ""
    text = "0" if abs(held) < CONTACT else f"{sign}{program_number(held, units)}"
    if _shows_new(setup, made):
        text += f" = {program_number(keyed(machine, setup.control.offsets[made.number].diameter) + held, units)}"
    return f"{shop_number(reading, units, PROGRAM_DECIMALS[units])}: {text}"


def _bounds(setup: Setup, made: Correction) -> Iterator[str]:
    units = setup.job.units

    def reading(error: float) -> str:
        return shop_number(made.wanted(error), units, PROGRAM_DECIMALS[units])

    over, under = ("below", "above") if made.measured.is_gap else ("above", "below")
    yield f"Reads {over} {reading(made.largest)}: stop and ask."
    yield (
        f"Reads {reading(-made.mendable)} or {under}: no metal is left to cut. Stop and ask."
        if made.is_cut_through
        else f"Reads {under} {reading(-made.mendable)}: stop and ask."
    )


def _after(made: Correction) -> Iterator[str]:
    if made.column != "D":
        yield "Leave the change in for this set-up."
        return
    if made.owner == "open":
        yield f"The other end was not cut with D{made.number} alone: whose error it is stays open."
    if made.back < CONTACT:
        yield "Leave the change in, for what follows and the next part."
        return
    what = "all" if made.back > 1.0 - CONTACT else "half" if abs(made.back - 0.5) < CONTACT else f"{made.back:.0%}"
    if made.back_after is None:
        yield f"Put {what} of it back when the part is done, for the next part."
    else:
        yield f"Note what you changed: step {made.back_after} ends in a second stop, and {what} of it goes back there."
