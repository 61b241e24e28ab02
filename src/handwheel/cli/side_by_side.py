"""A comparison in the terminal, for print as well: steps, ideas, parts, error budget, slips; 100 columns at most."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from handwheel.cli.console import Printing
from handwheel.plan.words import counted
from handwheel.proof.budget import BESIDE_THE_PROOF, Budget
from handwheel.proof.comparison import Comparison, StepPair
from handwheel.proof.slips import SlipResult
from handwheel.units import Units, shop_number, to_units

WIDTH = 100
LABEL = 13

FINE = {"in": 5, "mm": 4}
"""Decimals of what is far smaller than a size."""


def show_comparison(comparison: Comparison, units: Units) -> None:
    """Print it to standard output."""
    console = _console()
    _steps(console, comparison)
    _ideas(console, comparison.steps)
    _parts(console, comparison, units)
    if comparison.budget:
        _budget(console, comparison.budget, units)


def show_slips(results: Iterable[SlipResult], units: Units) -> None:
    """Print each slip: what is done, what arithmetic expects, what the cut shows, how one notices."""
    console = _console()
    for result in results:
        _heading(console, f"{result.name}, {result.route.value}")
        rows = [("What", result.what)]
        if result.cannot is not None:
            rows.append(("Not here", result.cannot))
        rows += _outcome(result, units)
        if result.notice:
            rows.append(("Notice", result.notice))
        _labelled(console, rows)


def _outcome(result: SlipResult, units: Units) -> Iterable[tuple[str, str]]:
    expected, proof = result.expected, result.proof
    if expected is None or proof is None:
        return
    yield "Reckoned", expected.reckoning
    if proof.struck is not None:
        yield "Struck", f"first: {proof.struck.message}. There the job ends, and the part is not measured."
    for one in proof.dimensions if proof.struck is None else ():
        measured = "nothing to measure" if one.measured is None else shop_number(one.measured, units)
        reckoned = ""
        if one.name in expected.sizes:
            value = expected.sizes[one.name]
            reckoned = f", reckoned {'nothing to measure' if value is None else shop_number(value, units)}"
        yield "Measures", f"{one.name} {measured}{reckoned}: {'in limits' if one.ok else 'OUT'}"
    if expected.lift:
        yield "Jaws", f"the cutter is reckoned {shop_number(expected.lift, units)} {units} below the jaws' top"
    for found in proof.findings:
        if found.level != "note" and found.code != "dimension-out":
            yield found.level.capitalize(), f"{found.code}: {found.message}"


def _steps(console: Console, comparison: Comparison) -> None:
    by_hand, by_program = comparison.by_hand, comparison.by_program
    _heading(
        console,
        f"{by_hand.job}: by hand {by_hand.verdict.upper()}, by program {by_program.verdict.upper()}",
    )
    for pair in comparison.steps:
        console.print(Text(f"Step {pair.number}  {pair.title}", style="bold"))
        counts = pair.counts
        touched = f"{counted(counts.touches, 'touch-off')}, " if counts.touches else ""
        actions = "-" if pair.actions is None else f"actions {pair.actions[0]} to {pair.actions[1]}"
        blocks = "-"
        if pair.blocks is not None and pair.lines is not None:
            blocks = f"{pair.blocks[0]} to {pair.blocks[1]} (lines {pair.lines[0]} to {pair.lines[1]})"
        _labelled(
            console,
            [
                (
                    "by hand",
                    f"{_clock(pair.seconds_by_hand)}  {actions}: {touched}{counts.turns:.1f} turns, "
                    f"{counted(counts.readings, 'reading')}, {counted(counts.decisions, 'decision')}",
                ),
                ("by program", f"{_clock(pair.seconds_by_program)}  {blocks}: {counted(counts.blocks, 'block')}"),
                ("shared", "; ".join(idea.name for idea in pair.ideas)),
            ],
        )
    pairs = comparison.steps
    touches, turns, readings, decisions, blocks = (
        sum(getattr(one.counts, name) for one in pairs)
        for name in ("touches", "turns", "readings", "decisions", "blocks")
    )
    console.print(Text("In all", style="bold"))
    _labelled(
        console,
        [
            (
                "by hand",
                f"{_clock(sum(one.seconds_by_hand for one in pairs))}  {touches} touch-offs, {turns:.0f} turns, "
                f"{readings} readings, {decisions} decisions",
            ),
            ("by program", f"{_clock(sum(one.seconds_by_program for one in pairs))}  {blocks} blocks"),
        ],
    )
    console.print(
        "Clocks: by hand from turns, feeds and times (common practice; [times] in the job sets others); by "
        "program, with stops, from the machine's speeds, its cutter changes, and cleaning and measuring at its stops; "
        "the machine's own clock, without stops, is what prove and the lesson tell.",
        markup=False,
    )


def _ideas(console: Console, steps: Sequence[StepPair]) -> None:
    _heading(console, "What a handwheel move and a block share, and where either one's error comes from")
    for idea in dict.fromkeys(idea for pair in steps for idea in pair.ideas):
        where = ", ".join(str(pair.number) for pair in steps if idea in pair.ideas)
        console.print(Text(f"{idea.name} (step {where})", style="bold"))
        _labelled(
            console,
            [
                ("by hand", f"{idea.by_hand}. Error: {idea.error_by_hand}."),
                ("by program", f"{idea.by_program}. Error: {idea.error_by_program}."),
            ],
        )


def _parts(console: Console, comparison: Comparison, units: Units) -> None:
    _heading(console, "The two parts")
    difference = comparison.difference
    largest = shop_number(difference.largest, units, FINE[units])
    volume = difference.volume * to_units(1.0, units) ** 3
    console.print(
        f"Over the whole part no face differs by more than {largest} {units}; in volume {volume:.6f} {units}³."
    )
    table = _table(["size", "limits", "by hand", "by program"])
    for one, other in zip(comparison.by_hand.dimensions, comparison.by_program.dimensions, strict=True):
        limits = f"{shop_number(one.lower, units)} to {shop_number(one.upper, units)}"
        sizes = ["-" if value is None else shop_number(value, units) for value in (one.measured, other.measured)]
        table.add_row(Text(one.name), limits, *sizes)
    if table.row_count:
        console.print(table)


def _budget(console: Console, budget: Sequence[Budget], units: Units) -> None:
    _heading(console, "Error budget: what the sizes may do in a shop that is not ideal")

    def fine(length: float) -> str:
        return shop_number(length, units, FINE[units])

    table = _table(["size", "route", "average off", "spread", "out of limits", "if corrected"])
    for one in budget:
        corrected = "" if one.out_if_corrected is None else f"{one.out_if_corrected:.1%} (step {one.measured_in})"
        out = f"{one.out_of_limits:.1%}"
        table.add_row(
            Text(one.dimension),
            one.route.value,
            fine(one.shift),
            fine(one.spread),
            out,
            corrected,
        )
    console.print(table)
    console.print(BESIDE_THE_PROOF, markup=False)
    console.print(
        "Spread: one standard uncertainty, root-sum-square; every input lies anywhere within its limits alike. Out of "
        "limits: of 20 000 simulated parts. Corrected: the size is taken in that step and the difference cut."
    )
    for route in dict.fromkeys(one.route for one in budget):
        mine = [one for one in budget if one.route is route]
        console.print(Text(f"\nHow often each input enters, {route.value}", style="bold"))
        inputs = _table(["input", "plus or minus, or one way", *(one.dimension for one in mine), "source"])
        for index, share in enumerate(mine[0].shares):
            enters = [len(one.shares[index].enters) for one in mine]
            if any(enters):
                widest = max((one.shares[index] for one in mine), key=lambda each: len(each.enters))
                times = ["twice" if n == 2 else "once" if n == 1 else f"{n} times" if n else "-" for n in enters]
                inputs.add_row(Text(share.name), fine(widest.value), *times, widest.source)
        console.print(inputs)
    console.print("A job's \\[budget] sets other values, by these names.")


def _console() -> Console:
    console = Printing()
    return Printing(width=min(WIDTH, console.width) if console.is_terminal else WIDTH)


def _heading(console: Console, text: str) -> None:
    console.print()
    console.print(Text(text, style="bold"))
    console.print("=" * min(len(text), console.width))


def _labelled(console: Console, rows: Iterable[tuple[str, str]]) -> None:
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=LABEL)
    grid.add_column(ratio=1)
    for label, text in rows:
        grid.add_row(Text(f"  {label}"), Text(text))
    console.print(grid)


def _table(headings: Sequence[str]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for index, heading in enumerate(headings):
        left = index == 0 or heading == "source"
        table.add_column(Text(heading), justify="left" if left else "right", no_wrap=index == 0)
    return table


def _clock(seconds: float) -> str:
    """
    >>> _clock(81.4)
    ' 1:21'
    """
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes:>2}:{rest:02d}"
