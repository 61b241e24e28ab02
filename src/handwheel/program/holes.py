"""A step's holes as canned cycles. Source: NISTIR 6556, section 3.5.16."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.plan import Plan, Step
from handwheel.program.strokes import feed_word
from handwheel.setup import Setup
from handwheel.units import program_number


def hole_blocks(setup: Setup, plan: Plan, step: Step) -> Iterator[str]:
    """A canned cycle at the first hole, places alone for the others: between them the cutter keeps the clear level."""
    units = setup.job.units
    first, *others = step.holes
    surface = first.stops[0] - first.stops[1] if len(first.stops) > 1 else None
    yield f"G0 X{program_number(first.at[0], units)} Y{program_number(first.at[1], units)}"
    depth = f"Z{program_number(first.bottom, units)} R{program_number(first.clear, units)}"
    feed = feed_word(step.speeds.feed_mm_min, units)
    if first.stops:
        peck = surface if surface is not None else first.clear - plan.approach - first.stops[0]
        cycle = f"G83 {depth} Q{program_number(peck, units)}"
    elif first.pitch:
        cycle = f"G84 {depth}"
    elif first.feeds_out:
        cycle = f"G85 {depth}"
    elif first.dwell:
        cycle = f"G82 {depth} P{first.dwell:g}"
    else:
        cycle = f"G81 {depth}"
    yield f"G98 {cycle} F{feed}"
    for hole in others:
        yield f"X{program_number(hole.at[0], units)} Y{program_number(hole.at[1], units)}"
    yield "G80"
