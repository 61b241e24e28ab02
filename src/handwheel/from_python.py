"""What the commands do, for a notebook or a school's own script: the same values, by the same functions.

Lengths in values are mm; ``to_json()`` gives what the command prints, in the job's units. What is wrong with an input
raises :class:`handwheel.HandwheelError`, whose text names the place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

from handwheel import proof as proving
from handwheel.cli.source import program_text
from handwheel.cli.which_setup import setup_named
from handwheel.job import Job, read_job
from handwheel.learn import Measurements, Undone, read_sizes
from handwheel.learn import measure as judge
from handwheel.learn import why as search
from handwheel.learn.sizes import sizes_of
from handwheel.motion import Control
from handwheel.proof import Program, routes_of
from handwheel.proof.compare_report import comparison_json
from handwheel.rs274 import Reading
from handwheel.rs274 import read as read_text
from handwheel.rs274.report import as_json as reading_json
from handwheel.setup import set_up
from handwheel.shop import load_shop
from handwheel.units import Units

__all__ = ["Comparison", "Proof", "ReadProgram", "compare", "load_job", "measure", "prove", "read_program", "why"]

Row = Mapping[str, object]


@dataclass(frozen=True)
class Proof(proving.Proof):
    """A proof that shows its verdict and its backplots where a notebook asks for it."""

    def _repr_html_(self) -> str:
        from handwheel.show.draw.drawings import path_drawing, save

        word = "PASS" if self.verdict == "pass" else "FAIL"
        found = "".join(
            f"<li>{escape(f'{one.level}: {one.message}')}</li>" for one in self.findings if one.level != "note"
        )
        drawings = "".join(
            save(path_drawing(one.setup, routes.by_program, one), "svg").decode()
            for one, routes in zip(self.setups, map(proving.Routes, (each.setup for each in self.setups)), strict=True)
        )
        return f"<p><strong>{escape(f'{self.program} on {self.job}: {word}')}</strong></p><ul>{found}</ul>{drawings}"


@dataclass(frozen=True)
class Comparison(proving.Comparison):
    """Both ways side by side, as ``compare --json`` prints them too."""

    def to_json(self) -> dict[str, Any]:
        """The object that ``compare --json`` prints."""
        return comparison_json(self, self.by_hand.units)


@dataclass(frozen=True)
class ReadProgram:
    """What a control would do with a program: the ``reading``, by the ``control`` that made it, told in ``units``."""

    reading: Reading
    control: Control
    units: Units

    def to_json(self) -> dict[str, Any]:
        """The object that ``read --json`` prints."""
        return reading_json(self.reading, self.control, self.units)


def load_job(path: str | Path, shop: str | Path | None = None) -> Job:
    """The job in a file, complete.

    Parameters
    ----------
    path : of the job file
    shop : your own shop file, beside the one that comes along

    Examples
    --------
    >>> job = load_job("examples/gauge-stand-base/job.toml")
    >>> job.units, len(job.setups)
    ('in', 1)
    """
    return read_job(Path(path), None if shop is None else Path(shop))


def prove(job: Job, program: str | Path | None = None, setup: str | None = None, *, strict: bool = False) -> Proof:
    """Cut a program on the set-up of a job, gauge the part, look for trouble.

    Parameters
    ----------
    job : as :func:`load_job` gives it
    program : its text, or the ``Path`` of its file; the job's own where left out
    setup : of several set-ups, the name or number of the one that the program is for; the others are done as planned
    strict : refuse what the standard refuses though many controls take it

    Examples
    --------
    >>> proof = prove(load_job("examples/gauge-stand-base/job.toml"))
    >>> proof.verdict, [one.ok for one in proof.dimensions if not one.ok]
    ('pass', [])
    """
    routes = routes_of(job)
    return Proof(proving.prove(routes, _given(routes, program, setup), strict=strict).setups)


def read_program(text: str | Path, job: Job | None = None, setup: str | None = None) -> ReadProgram:
    """What a control would do with a program.

    Parameters
    ----------
    text : of the program, or the ``Path`` of its file
    job : its offsets, zero and machine; without one every origin and every offset is zero
    setup : of several set-ups, the name or number of the one whose zero is taken

    Examples
    --------
    >>> read = read_program("G21 G90 G17\\nG0 X10\\nG1 Y5 F100\\nM30\\n")
    >>> [(move["kind"], move["to"]) for move in read.to_json()["moves"]]
    [('rapid', [10.0, 0.0, 0.0]), ('feed', [10.0, 5.0, 0.0])]
    """
    control = Control() if job is None else setup_named(set_up(job), setup, "setup").control
    reading = read_text(_text(text), control)
    return ReadProgram(reading, control, reading.units if job is None else control.units)


def compare(job: Job) -> Comparison:
    """A job made both ways, side by side.

    Examples
    --------
    >>> both = compare(load_job("examples/gauge-stand-base/job.toml"))
    >>> both.by_hand.verdict, both.by_program.verdict, both.to_json()["steps"][0]["step"]
    ('pass', 'pass', 1)
    """
    both = proving.compare(routes_of(job))
    return Comparison(both.by_hand, both.by_program, both.difference, both.setups, both.budget)


def why(job: Job, program: str | Path, setup: str | None = None) -> tuple[Undone, ...]:
    """Which known mistakes, undone together, make a failed program pass, else leave least; each was cut.

    Empty where the program passes, and where no known mistake explains what failed. Parameters as for :func:`prove`.

    Examples
    --------
    >>> from handwheel.proof import routes_of
    >>> job = load_job("examples/gauge-stand-base/job.toml")
    >>> right = routes_of(job)[0].text
    >>> why(job, right)
    ()
    >>> why(job, right.replace("G41", "G42", 1))[0].verdict
    'pass'
    """
    routes = routes_of(job)
    given = _given(routes, program, setup)
    return search(routes, proving.prove(routes, given), given)


def measure(job: Job, rows: str | Path | Iterable[Row], *, guarded: bool = False) -> Measurements:
    """Measured parts against the drawing: verdicts, spread, corrections.

    Parameters
    ----------
    job : as :func:`load_job` gives it
    rows : the path of a spreadsheet's file (CSV), or a mapping a part: ``part`` and sizes by the drawing's names, in
        the job's units; one that is missing or ``None`` was not measured
    guarded : decide by ISO 14253-1, with its guard band
    """
    if isinstance(rows, str | Path):
        measured = read_sizes(Path(rows), job)
    else:
        measured = sizes_of(_as_table(list(rows)), "rows", job)
    uncertainty = {name: gauge.uncertainty(job.units) for name, gauge in load_shop(None).gauge.items()}
    return judge(routes_of(job), measured, uncertainty, guarded=guarded)


def _as_table(rows: list[Row]) -> str:
    import csv
    import io

    names = list(dict.fromkeys(["part", *(name for row in rows for name in row)]))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([["" if row.get(name) is None else row[name] for name in names] for row in rows])
    return out.getvalue()


def _given(
    routes: tuple[proving.Routes, ...], program: str | Path | None, setup: str | None
) -> dict[int, Program] | None:
    if program is None:
        return None
    number = setup_named([one.setup for one in routes], setup, "setup").number
    name = program.name if isinstance(program, Path) else "program"
    return {number: Program(name, _text(program))}


def _text(program: str | Path) -> str:
    return program_text(program) if isinstance(program, Path) else program
