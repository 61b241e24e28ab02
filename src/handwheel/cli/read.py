"""``handwheel read``."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from handwheel.motion import Control
    from handwheel.rs274 import Event, Reading
    from handwheel.rs274.block_place import Places
    from handwheel.units import Units

_ROWS_AT_ONCE = 1000
_HEADINGS = "  line  N       move             X          Y          Z     feed     rpm spindle tool side          s"


@click.command()
@click.argument(
    "programs", metavar="PROGRAM...", nargs=-1, required=True, type=click.Path(path_type=Path, allow_dash=True)
)
@click.option(
    "--job", "job_file", type=click.Path(path_type=Path), help="Take offsets, zero and machine from this job."
)
@click.option(
    "--tool", "tools", multiple=True, metavar="N=DIAMETER[,LENGTH]", help="A tool and what the control holds for it."
)
@click.option("--strict", is_flag=True, help="Refuse inside corners and words beyond the standard, as it does.")
@click.option("--block-delete", is_flag=True, help="Leave out the blocks that begin with /.")
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object a program, a line each.")
@click.option("--setup", "setup_name", metavar="NAME", help="With --job: of several set-ups, this one.")
@click.option(
    "--shop", type=click.Path(path_type=Path), help="With --job: your own shop file, beside the one that comes along."
)
@click.pass_context
def read(
    ctx: click.Context,
    programs: tuple[Path, ...],
    job_file: Path | None,
    tools: tuple[str, ...],
    strict: bool,
    block_delete: bool,
    as_json_text: bool,
    setup_name: str | None,
    shop: Path | None,
) -> None:
    """Tell what a control would do with PROGRAM, move by move; - reads standard input.

    Positions are of the tool's tip, when the right length offset is on. With --job they count from the job's zero.
    Bare numbers of --tool are in the units in force at the program's end; a length left out is 0.
    """
    from handwheel.cli.source import program_names, program_text
    from handwheel.errors import HandwheelError
    from handwheel.motion import Control
    from handwheel.rs274 import read as read_text
    from handwheel.rs274.block_place import Places
    from handwheel.rs274.report import json_pieces
    from handwheel.rs274.tools import read_with_tools

    if job_file is not None and tools:
        raise click.UsageError("--job brings the job's own tools: leave --tool out, or leave --job out")
    control = Control() if job_file is None else _job_control(job_file, shop, setup_name)
    refused = False
    for name, path in zip(program_names(programs), programs, strict=True):
        try:
            text = program_text(path)
        except HandwheelError as error:
            click.echo(f"handwheel: {error}", err=True)
            refused = True
            continue
        if job_file is None:
            reading, control = read_with_tools(text, Control(), tools, strict=strict, block_delete=block_delete)
            units = reading.units
        else:
            reading = read_text(text, control, strict=strict, block_delete=block_delete)
            units = control.units
        if as_json_text:
            for piece in json_pieces(reading, control, units):
                click.echo(piece, nl=False)
            click.echo()
        else:
            _show(name, reading, control, units, Places(text))
        if reading.error is not None:
            refused = True
            click.echo(f"handwheel: {name}: {reading.error}", err=True)
    ctx.exit(2 if refused else 0)


def _job_control(job_file: Path, shop: Path | None, setup_name: str | None) -> Control:
    from handwheel.cli.which_setup import setup_named
    from handwheel.job import read_job
    from handwheel.setup import set_up

    return setup_named(set_up(read_job(job_file, shop)), setup_name).control


def _show(name: str, reading: Reading, control: Control, units: Units, places: Places) -> None:
    """The table, a thousand rows at a time, and what it comes to."""
    click.echo(f"{name}: {len(reading.moves)} moves, lengths in {units}, feeds in {units}/min")
    click.echo(_HEADINGS)
    rows = _rows(reading, control, units, places)
    while some := list(islice(rows, _ROWS_AT_ONCE)):
        click.echo("\n".join(some))
    for line in _summary(reading, control, units, places):
        click.echo(line)


def _rows(reading: Reading, control: Control, units: Units, places: Places) -> Iterator[str]:
    """Moves, and between them what else happens, in the order of the program."""
    from handwheel.rs274.report import move_objects

    events = deque(reading.events)
    for row, move in enumerate(move_objects(reading.moves, control, units)):
        while events and events[0].before_move <= row:
            yield _happening(events.popleft(), places)
        yield _row(move, units, places)
    for event in events:
        yield _happening(event, places)


def _happening(event: Event, places: Places) -> str:
    what = f"{event.what} T{event.tool}" if event.what == "tool change" else event.what
    text = event.text if event.text.isprintable() else ascii(event.text)
    return f"{_place(event.line, places)} {what}{': ' if text else ''}{text}"


def _place(line: int, places: Places) -> str:
    return f"{line:6}  {places.number(line):7}"


def _row(move: dict[str, Any], units: Units, places: Places) -> str:
    decimals = 4 if units == "in" else 3
    x, y, z = (f"{_plain(length, decimals):11.{decimals}f}" for length in move["to"])
    feed = "" if move["feed"] is None else f"{move['feed']:.2f}"
    kind = move["kind"]
    if kind == "arc":
        kind = "arc cw" if move["clockwise"] else "arc ccw"
    row = (
        f"{_place(move['line'], places)} {kind:7}{x}{y}{z}{feed:>9}{move['rpm']:8.0f} {move['spindle']:8}"
        f"{move['tool']:4} {move['side']:6}{move['seconds']:9.3f}"
    )
    if "centre" in move:
        row += "  centre " + ", ".join(f"{_plain(length, decimals):.{decimals}f}" for length in move["centre"])
    return row


def _plain(length: float, decimals: int) -> float:
    """Without the minus sign of a zero."""
    return round(length, decimals) + 0.0


def _summary(reading: Reading, control: Control, units: Units, places: Places) -> Iterator[str]:
    from handwheel.rs274.report import summary

    total = summary(reading, control, units)
    decimals = 4 if units == "in" else 3
    yield f"at rapid {total.rapid:.{decimals}f} {units}, at feed {total.feed:.{decimals}f} {units}"
    minutes, seconds = divmod(total.seconds, 60.0)
    yield f"time {minutes:.0f} min {seconds:04.1f} s, tool changes and stops left out"
    if total.low is not None and total.high is not None:
        for axis, low, high in zip("XYZ", total.low, total.high, strict=True):
            yield f"{axis} from {_plain(low, decimals):.{decimals}f} to {_plain(high, decimals):.{decimals}f}"
    yield "tools " + (", ".join(f"T{tool}" for tool in total.tools) or "none")
    for note in reading.notes:
        times = f", {note.count} times" if note.count > 1 else ""
        yield f"note: {note.code}: {note.message} ({places.said(note.line)}{times})"
