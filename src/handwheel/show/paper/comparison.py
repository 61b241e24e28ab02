"""Both routes on one page: sizes, time, findings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.check import Finding
from handwheel.hand.entries import Cells, Columns, Entry, Row, Subheading
from handwheel.job import Job
from handwheel.proof import Proof
from handwheel.units import Units, shop_number

MICRO = {"in": 4, "mm": 3}
"""Decimals of a measured size."""


def comparison(job: Job, by_hand: Proof, by_program: Proof) -> Iterator[Entry]:
    """What came out of each route, beside the drawing."""
    yield Subheading("Sizes of the part that each route makes, before anything is corrected")
    rows: list[Cells] = [("size", "least", "most", "by hand", "by program")]
    rows += [
        (
            hand.name,
            shop_number(hand.lower, job.units),
            shop_number(hand.upper, job.units),
            _measured(hand.measured, ok=hand.ok, units=job.units),
            _measured(program.measured, ok=program.ok, units=job.units),
        )
        for hand, program in zip(by_hand.dimensions, by_program.dimensions, strict=True)
    ]
    yield Columns(tuple(rows))
    yield Subheading("Time, after the vise is set")
    yield Columns(
        (
            ("route", "cutting", "rapid", "all else", "together"),
            *(
                (
                    name,
                    clock_time(proof.seconds.cutting),
                    clock_time(proof.seconds.rapid),
                    clock_time(proof.seconds.other),
                    clock_time(proof.seconds.total),
                )
                for name, proof in (("by hand", by_hand), ("by program", by_program))
            ),
        )
    )
    for name, proof in (("by hand", by_hand), ("by program", by_program)):
        yield Subheading(f"Findings {name}: {proof.verdict}")
        yield from _findings(proof.findings)


def clock_time(seconds: float) -> str:
    """
    >>> clock_time(754.4), clock_time(59.6)
    ('12:34', '1:00')
    """
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def _measured(value: float | None, *, ok: bool, units: Units) -> str:
    if value is None:
        return "nothing met"
    text = shop_number(value, units, MICRO[units])
    return text if ok else f"{text} OUT"


def _findings(findings: Sequence[Finding]) -> Iterator[Entry]:
    if not findings:
        yield Row("none", "Nothing was found.")
    for one in findings:
        where = f" (step {one.step})" if one.step else ""
        times = f"; {one.count} times" if one.count > 1 else ""
        yield Row(one.level, f"{one.message}{where}{times}")
