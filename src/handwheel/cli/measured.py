"""Measured parts in the terminal."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from handwheel.cli.console import Printing
from handwheel.learn import MeasuredSize, Measurements
from handwheel.show.measured_words import count_of_parts, index, size_as_measured, verdict_in_words


def show_measurements(found: Measurements) -> None:
    """Print all of it to standard output."""
    console = Printing(soft_wrap=True)
    word = "PASS" if found.passes else "FAIL"
    console.print(Text(f"{found.job}, {count_of_parts(found)}: {word}", style="bold"))
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 1))
    for heading in ("size", "lower", "upper", "parts", "mean", "deviation", "least", "most", ""):
        table.add_column(heading, justify="left" if heading in ("size", "") else "right", no_wrap=True)
    for one in found.sizes:
        table.add_row(*_row(one, found))
    console.print(table)
    for one in found.sizes:
        if one.pp is not None:
            console.print(Text(f"  {one.name}: Pp {index(one.pp)}, Ppk {index(one.ppk)}."))
        for sentence in verdict_in_words(one, found):
            console.print(Text(f"  {sentence}"))
    for correction in found.corrections:
        console.print(Text(f"Correct: {correction.reason}"))
        if correction.size in found.causes:
            console.print(Text(f"  Of the error budget this reaches furthest: {found.causes[correction.size]}."))


def _row(one: MeasuredSize, found: Measurements) -> tuple[str | Text, ...]:
    def size(length: float | None) -> str:
        return "-" if length is None else size_as_measured(length, found.units)

    verdict = one.verdict or "not measured"
    return (
        Text(one.name),
        size(one.dimension.lower),
        size(one.dimension.upper),
        str(len(one.known)),
        size(one.mean),
        size(one.deviation),
        size(min(one.known, default=None)),
        size(max(one.known, default=None)),
        Text(verdict, style="bold" if verdict == "out" else ""),
    )
