"""A correction said: the sentences at a measuring stop and at the one where a part of it goes back, in the units of the
control's own column."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.plan.correcting import Correction, correction, gives_back, readings
from handwheel.plan.model import Plan, Step
from handwheel.plan.offset_table import column, keyed, touches_tools
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import PROGRAM_DECIMALS, Units, rounded, shop_number

A_LINE = 3
"""Readings in a line of the table: a comment that a control can show."""


def at_stop(setup: Setup, plan: Plan, step: Step) -> tuple[str, ...]:
    """What to do at a measuring stop with what the gauge reads."""
    made = correction(plan, step, setup.job.units, touches_tools(setup))
    return () if made is None else tuple(_said(setup, step, made))


def going_back(setup: Setup, plan: Plan, step: Step) -> str:
    """What to do at the stop after the step that was corrected."""
    made = gives_back(plan, step, setup.job.units)
    assert made is not None
    return f"Put {_share(made)} of the {column(setup, made.column, made.number)} change back now."


def _said(setup: Setup, step: Step, made: Correction) -> Iterator[str]:
    if len(step.measuring) > 1:
        yield f"Correct once, for {made.measured.dimension}: it has the closest limits."
    if made.unseen:
        yield f"Rough cut made without D: first compare D{made.number} with the cutter."
    if made.column == "none":
        yield (
            f"D{made.number} was corrected before: leave it."
            if step.compensation != "off"
            else "There is no D to correct here: what is found cannot be mended in this part. Note it for the next."
        )
        return
    where = f"Z of {setup.entry.origin}" if made.column == "Z" else column(setup, made.column, made.number)
    shows_new = made.column == "D" and made.is_first and not setup.job.by_program.wear_column
    yield f"Gauge reads, change {where} by{' = new' if shows_new else ''}:"
    yield from _table(setup, made, shows_new)
    yield from _bounds(setup, made)
    yield from _after(made)


def _table(setup: Setup, made: Correction, shows_new: bool) -> Iterator[str]:
    """Each reading with its change, all with the decimals that the finest of them needs."""
    units, machine = setup.job.units, setup.job.by_program
    planned = keyed(machine, setup.control.offsets[made.number].diameter) if shows_new else 0.0
    rows = [
        (reading, keyed(machine, change) if made.column == "D" else change) for reading, change in readings(made, units)
    ]
    decimals = _decimals([length for row in rows for length in (*row, planned)], units)

    def said(length: float) -> str:
        return shop_number(length, units, decimals)

    pairs = [
        f"{said(reading)} {'+' if held > CONTACT else ''}{said(held) if abs(held) > CONTACT else '0'}"
        + (f" = {said(planned + held)}" if shows_new else "")
        for reading, held in rows
    ]
    yield from (", ".join(pairs[at : at + A_LINE]) for at in range(0, len(pairs), A_LINE))


def _decimals(lengths: Sequence[float], units: Units) -> int:
    """The fewest decimals, of those that a shop writes, that tell all these lengths apart from their neighbors."""
    finest = PROGRAM_DECIMALS[units]
    return next(
        (
            few
            for few in range(finest - 1, finest)
            if all(rounded(one, units, few) == rounded(one, units, finest) for one in lengths)
        ),
        finest,
    )


def _bounds(setup: Setup, made: Correction) -> Iterator[str]:
    units, gap = setup.job.units, made.measured.is_gap
    most, least = made.wanted(made.largest), made.wanted(-made.mendable)
    decimals = _decimals((most, least), units)
    far, near = ("Below", "above") if gap else ("Above", "below")
    yield f"{far} {shop_number(most, units, decimals)}: stop and ask."
    end = shop_number(least, units, decimals)
    if made.is_cut_through:
        yield f"{end} or {near}: {'oversize' if gap else 'undersize'}. Stop and ask."
    else:
        yield f"{near.capitalize()} {end}: stop and ask."


def _after(made: Correction) -> Iterator[str]:
    if made.column != "D":
        yield "Leave the change in for this set-up."
        return
    if made.owner == "open":
        yield f"The other end was not cut with D{made.number} alone: ask whose error it is."
    if made.back < CONTACT:
        yield "Leave the change in."
    elif made.back_after is None:
        yield f"After this part put {_share(made)} of it back."
    else:
        yield f"Note it: {_share(made)} goes back after step {made.back_after}."


def _share(made: Correction) -> str:
    return "all" if made.back > 1.0 - CONTACT else "half" if abs(made.back - 0.5) < CONTACT else f"{made.back:.0%}"
