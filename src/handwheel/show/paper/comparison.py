"""Both routes on one page: step beside step, part beside part, clock beside clock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.check import Finding, Gauged
from handwheel.hand.entries import Cells, Columns, Entry, Row, Subheading
from handwheel.job import Job
from handwheel.plan import Route
from handwheel.proof import Proof
from handwheel.proof.budget import Budget
from handwheel.proof.comparison import Comparison
from handwheel.units import Units, shop_number

FINE = {"in": 4, "mm": 3}
"""Decimals of a measured size."""
EXPECTED = "Expected out of limits is from the error budget: corrected where the size is measured on the way, else not."


def comparison_page(job: Job, comparison: Comparison) -> Iterator[Entry]:
    """What each step asks of the operator and of the program, what came out, and what may be expected in a shop."""
    if comparison.steps:
        yield Subheading("Step by step")
        yield _steps(comparison)
        yield Row(
            "With stops",
            "cleaning, deburring and measuring where the program waits for them are counted as by hand; the machine's "
            f"own clock says {clock_time(comparison.by_program.seconds.total)} without them.",
        )
    if comparison.by_hand.dimensions:
        yield Subheading("The two parts")
        yield _sizes(comparison, job.units)
        yield Row(
            "Computed",
            "both parts are cut as planned, nothing corrected; their faces differ by "
            f"{shop_number(comparison.difference.largest, job.units, FINE[job.units])} {job.units} at most."
            + (f" {EXPECTED}" if comparison.budget else ""),
        )
    several = len(comparison.setups) > 1
    for name, proof in (("by hand", comparison.by_hand), ("by program", comparison.by_program)):
        yield Subheading(f"Findings {name}: {proof.verdict}")
        yield from _findings(proof.findings, several)


def clock_time(seconds: float) -> str:
    """
    >>> clock_time(754.4), clock_time(59.6)
    ('12:34', '1:00')
    """
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def _steps(comparison: Comparison) -> Columns:
    """A row a step; of several set-ups the set-up's number stands before the step's."""
    pairs, several = comparison.steps, len(comparison.setups) > 1
    rows: list[Cells] = [
        (
            "set-up.step" if several else "step",
            "actions",
            "turns",
            "readings",
            "decisions",
            "time by hand",
            "lines",
            "blocks",
            "by program, with stops",
        )
    ]
    rows += [
        (
            f"{one.setup.number}.{pair.number}" if several else str(pair.number),
            _from_to(pair.actions),
            f"{pair.counts.turns:.1f}",
            str(pair.counts.readings),
            str(pair.counts.decisions),
            clock_time(pair.seconds_by_hand),
            _from_to(pair.lines),
            str(pair.counts.blocks),
            clock_time(pair.seconds_by_program),
        )
        for one in comparison.setups
        for pair in one.steps
    ]
    rows.append(
        (
            "all",
            "",
            f"{sum(pair.counts.turns for pair in pairs):.0f}",
            str(sum(pair.counts.readings for pair in pairs)),
            str(sum(pair.counts.decisions for pair in pairs)),
            clock_time(sum(pair.seconds_by_hand for pair in pairs)),
            "",
            str(sum(pair.counts.blocks for pair in pairs)),
            clock_time(sum(pair.seconds_by_program for pair in pairs)),
        )
    )
    return Columns(tuple(rows))


def _from_to(numbers: tuple[int, int] | None) -> str:
    return "" if numbers is None else f"{numbers[0]}-{numbers[1]}"


def _sizes(comparison: Comparison, units: Units) -> Columns:
    """Both parts' sizes, and what the error budget expects, where there is one."""
    expected = {(one.dimension, one.route): one for one in comparison.budget}
    rows: list[Cells] = [
        ("size", "least", "most", "by hand", "by program", *_if(expected, "expected out by hand", "by program"))
    ]
    rows += [
        (
            hand.name,
            shop_number(hand.lower, units),
            shop_number(hand.upper, units),
            _measured(comparison.by_hand, hand, units),
            _measured(comparison.by_program, program, units),
            *_if(expected, *(_out(expected.get((hand.name, route))) for route in (Route.BY_HAND, Route.BY_PROGRAM))),
        )
        for hand, program in zip(comparison.by_hand.dimensions, comparison.by_program.dimensions, strict=True)
    ]
    return Columns(tuple(rows))


def _if(there: object, *cells: str) -> Cells:
    return cells if there else ()


def _measured(proof: Proof, size: Gauged, units: Units) -> str:
    if proof.struck is not None:
        return "struck"
    if size.measured is None:
        return "nothing met"
    text = shop_number(size.measured, units)
    return text if size.ok else f"{text} OUT"


def _out(expected: Budget | None) -> str:
    if expected is None:
        return ""
    return f"{expected.out_of_limits if expected.out_if_corrected is None else expected.out_if_corrected:.1%}"


def _findings(findings: Sequence[Finding], several: bool) -> Iterator[Entry]:
    if not findings:
        yield Row("none", "Nothing was found.")
    for one in findings:
        place = [one.setup] if several else []
        where = ", ".join([*place, *([f"step {one.step}"] if one.step else [])])
        where = f" ({where})" if where else ""
        times = f"; {one.count} times" if one.count > 1 else ""
        yield Row(one.level, f"{one.message}{where}{times}")
