"""The inspection report of measured parts: what each size is, by which rule, what to correct, and who says so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from handwheel.hand.entries import Columns, Entry, Row, Subheading, Ticked
from handwheel.job import Job
from handwheel.learn.measure import EDITION, MeasuredSize, Measurements
from handwheel.show.measured_words import index, size_as_measured, verdict_in_words
from handwheel.show.paper.entries import to_set
from handwheel.show.paper.packet import bound
from handwheel.units import Units, shop_number

MOST_PARTS: Final = 40
"""So many parts are listed one by one; of more, the charts and the statistics speak."""

BLANK = "_" * 18


def inspection_report(job: Job, found: Measurements, charts: Mapping[str, bytes]) -> bytes:
    """The PDF; ``charts`` are SVG by their names."""
    report = {"kind": "entries", "name": "Inspection report", "at-machine": False, "follows": False}
    sheets: list[Mapping[str, Any]] = [
        report | {"entries": to_set(_entries(job, found))},
        *({"kind": "drawing", "name": name} for name in charts),
    ]
    return bound(job, sheets, charts)


def _entries(job: Job, found: Measurements) -> Iterator[Entry]:
    units = found.units
    yield Row("Part", f"{job.title}{f', {job.part_number}' if job.part_number else ''}")
    yield Row("Parts", f"{len(found.parts)}: {'all in, or too close to call' if found.passes else 'not all in'}")
    yield Row("Decided", f"by {EDITION}, guard band 1.65 u" if found.guarded else "at the drawing's own limits")
    yield Subheading("Sizes")
    yield Columns(
        (
            ("size", "lower", "upper", "gauge", "its U", "parts", "out", "verdict"),
            *(
                (
                    one.name,
                    shop_number(one.dimension.lower, units),
                    shop_number(one.dimension.upper, units),
                    one.dimension.gauge,
                    size_as_measured(one.uncertainty, units),
                    str(len(one.known)),
                    str(one.out),
                    one.verdict or "not measured",
                )
                for one in found.sizes
            ),
        )
    )
    yield Subheading("Mean and spread")
    yield Columns(
        (
            ("size", "mean", "deviation", "least", "most"),
            *((one.name, *_statistics(one, units)) for one in found.sizes),
        )
    )
    if any(found.run):
        yield Row("Corrected", "mean, deviation, Pp and Ppk are of the parts since the last correction.")
    indices = [one for one in found.sizes if one.pp is not None]
    if indices:
        yield Subheading("Spread (with limits at 95 %)")
        yield Columns(
            (("size", "Pp", "Ppk"), *((one.name, index(one.pp), index(one.ppk)) for one in indices)),
        )
    said = [sentence for one in found.sizes for sentence in verdict_in_words(one, found)]
    if said:
        yield Subheading("To be said")
        yield from map(Ticked, said)
    if found.corrections:
        yield Subheading("To correct")
        yield from (Ticked(one.reason) for one in found.corrections)
    if len(found.parts) <= MOST_PARTS:
        yield Subheading("Part by part")
        yield Columns(
            (
                ("part", *(one.name for one in found.sizes)),
                *(
                    (
                        part,
                        *(
                            ""
                            if one.verdicts[row] is None
                            else f"{size_as_measured(one.values[row], units)} {one.verdicts[row]}"
                            for one in found.sizes
                        ),
                    )
                    for row, part in enumerate(found.parts)
                ),
            )
        )
    yield Subheading("Measured by")
    for label in ("Name", "Date", "Gauges, number", "Instructor"):
        yield Row(label, BLANK)


def _statistics(one: MeasuredSize, units: Units) -> Iterator[str]:
    for value in (one.mean, one.deviation, min(one.known, default=None), max(one.known, default=None)):
        yield "" if value is None else size_as_measured(value, units)
