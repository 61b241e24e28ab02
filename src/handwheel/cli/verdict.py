"""A proof in the terminal: findings first, sizes as a table, then the numbers of the set-up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import zip_longest

from rich.console import Console
from rich.table import Table
from rich.text import Text

from handwheel.check import Finding, Level
from handwheel.cli.console import Printing
from handwheel.job import Job
from handwheel.learn import Undone
from handwheel.proof import Proof, SetupProof
from handwheel.rs274.block_place import Places
from handwheel.units import Units, shop_number, to_units

STYLES = {"stop": "bold reverse", "reject": "bold", "warn": "italic", "note": "dim"}
"""Weight, not hue, tells the levels apart, so that print and colour-blind readers lose nothing."""


UNFINISHED = ("dimension-out", "left-uncut")
"""What follows of itself when a program is read no further: the part is half made."""


def show_findings(proof: Proof, texts: Sequence[str] = ()) -> None:
    """Print the verdict's line and the findings to standard output; ``texts`` are the programs, for their N words."""
    console = Printing(soft_wrap=True)
    word = "PASS" if proof.verdict == "pass" else "FAIL"
    names = ", ".join(dict.fromkeys(one.program for one in proof.setups))
    console.print(Text(f"{names} on {proof.job}: {word}", style="bold"))
    for one, text in zip_longest(proof.setups, texts[: len(proof.setups)], fillvalue=""):
        assert isinstance(one, SetupProof)
        if len(proof.setups) > 1:
            console.print(Text(f"{one.setup.name}: {one.verdict}"))
        _findings(console, one.findings, Places(text))


def _findings(console: Console, findings: Sequence[Finding], places: Places) -> None:
    stopped = next((one for one in findings if one.code == "bad-block"), None)
    following = [one for one in findings if stopped is not None and one.code in UNFINISHED]
    for one in findings:
        if one not in following:
            place = _place(one, places)
            _print(console, one.level, f"{one.code}: {one.message}", f"  ({place})" if place else "")
    if stopped is not None and following:
        counted = ", ".join(f"{times} {code}" for code, times in Counter(one.code for one in following).items())
        where = places.said(stopped.line or 0)
        _print(console, "reject", f"{counted}: the part is half made, since nothing is cut from {where} on")


def _print(console: Console, level: Level, sentence: str, place: str = "") -> None:
    console.print(Text.assemble(("  " + level.ljust(7), STYLES[level]), sentence, place))


def _place(one: Finding, places: Places) -> str:
    """Block, step and count; no block where the message begins with it."""
    line = "" if one.line is None or one.code == "bad-block" else places.said(one.line)
    step = "" if one.step is None else f"step {one.step}"
    times = "" if one.count == 1 else f"{one.count} times"
    return ", ".join(filter(None, (line, step, times)))


def show_verdict(proof: Proof, job: Job, texts: Sequence[str] = ()) -> None:
    """Print all of it to standard output."""
    show_findings(proof, texts)
    console, units = Printing(soft_wrap=True), job.units

    def size(length: float | None) -> str:
        return "-" if length is None else shop_number(length, units)

    if proof.dimensions:
        table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 2))
        for heading in ("size", "wanted", "lower", "upper", "measured", ""):
            table.add_column(heading, justify="left" if heading in ("size", "") else "right")
        for gauged in proof.dimensions:
            table.add_row(
                Text(gauged.name),
                size(gauged.nominal),
                size(gauged.lower),
                size(gauged.upper),
                size(gauged.measured),
                "in limits" if gauged.ok else Text("OUT", style="bold"),
            )
        console.print(table)
    for one in proof.setups:
        if len(proof.setups) > 1:
            console.print(
                Text(f"  {one.setup.name}, {one.setup.entry.up} up, {one.setup.entry.fixed_jaw} on the fixed jaw")
            )
        _numbers(console, one, units)


def show_why(proof: Proof, causes: Sequence[Undone]) -> None:
    """Print which mistakes, undone, make the part pass, to standard output."""
    console = Printing(soft_wrap=True)
    if not causes and proof.verdict == "pass":
        console.print("Why: nothing failed.")
    elif not causes:
        console.print("Why: no known mistake, undone, makes it better. It is something else.")
    for number, one in enumerate(causes, start=1):
        where = f"{one.setup}: " if len(proof.setups) > 1 else ""
        which = f"{number}. " if len(causes) > 1 else ""
        console.print(Text(f"Why: {which}{where}{one.change}"))


def _numbers(console: Console, proof: SetupProof, units: Units) -> None:
    """How the work is held, how near the tools came, what was cut and how long it took."""

    def size(length: float) -> str:
        return shop_number(length, units)

    def clear_by(length: float | None) -> str:
        away = "more than 1 in away" if units == "in" else "more than 25 mm away"
        return away if length is None else f"{size(length)} {units}"

    setup = proof.setup
    clear = proof.clearance
    air = "no cut planned over the jaws" if setup.air is None else f"air {size(setup.air)} {units}"
    console.print(
        f"  clear of vise: {clear_by(clear.vise)}, of parallels: {clear_by(clear.parallels)}, "
        f"of table: {clear_by(clear.table)}; holder clear of work: {clear_by(clear.holder)}; "
        f"stick-out {size(setup.stick_out)} {units}, grip {size(setup.grip)} {units}, {air}"
    )
    cubed = to_units(1.0, units) ** 3
    minutes, seconds = divmod(round(proof.seconds.total), 60)
    console.print(
        f"  removed {proof.volume.removed * cubed:.3f} of {proof.volume.stock * cubed:.3f} {units}³; "
        f"{len(proof.moves)} moves, {minutes} min {seconds:02d} s by the machine's clock, without stops"
    )
