"""A proof in the terminal: findings first, sizes as a table, then the numbers of the set-up."""

from __future__ import annotations

import sys

from rich.console import Console
from rich.table import Table
from rich.text import Text

from handwheel.proof import Proof
from handwheel.units import Units, shop_number, to_units

STYLES = {"stop": "bold reverse", "reject": "bold", "warn": "italic", "note": "dim"}
"""Weight, not hue, tells the levels apart, so that print and colour-blind readers lose nothing."""


def show_findings(proof: Proof) -> None:
    """Print the verdict's line and the findings to standard output."""
    console = _console()
    word = "PASS" if proof.verdict == "pass" else "FAIL"
    console.print(Text(f"{proof.program} on {proof.job}: {word}", style="bold"))
    for one in proof.findings:
        place = ", ".join(
            part
            for part in (
                f"line {one.line}" if one.line else "",
                f"step {one.step}" if one.step else "",
                f"{one.count} times" if one.count > 1 else "",
            )
            if part
        )
        console.print(
            Text.assemble(
                ("  " + one.level.ljust(7), STYLES[one.level]),
                f"{one.code}: {one.message}",
                f"  ({place})" if place else "",
            )
        )


def show_verdict(proof: Proof, units: Units) -> None:
    """Print all of it to standard output."""
    show_findings(proof)
    console = _console()

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
    clear = proof.clearance
    console.print(
        f"  clear of vise {size(clear.vise)}, parallels {size(clear.parallels)}, table {size(clear.table)}; "
        f"stick-out {size(proof.stick_out)}, grip {size(proof.grip)}, air {size(proof.air)} {units}"
    )
    cubed = to_units(1.0, units) ** 3
    minutes, seconds = divmod(round(proof.seconds.total), 60)
    console.print(
        f"  removed {proof.volume.removed * cubed:.3f} of {proof.volume.stock * cubed:.3f} {units}³; "
        f"{len(proof.moves)} moves, {minutes} min {seconds:02d} s by the machine's clock, without stops"
    )


def _console() -> Console:
    return Console(file=sys.stdout, highlight=False, soft_wrap=True)
