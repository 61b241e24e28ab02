"""The packet as a PDF: which sheets there are, in which order, and what each holds."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from importlib.resources import files
from itertools import chain
from pathlib import Path
from typing import Any, Final

from handwheel.hand.entries import Row, Subheading, Ticked
from handwheel.hand.sheet import CAUTIONS as CAUTIONS_BY_HAND
from handwheel.hand.sheet import sheet_parts
from handwheel.job import Job
from handwheel.plan import Route, plan
from handwheel.program.head import CAUTIONS as CAUTIONS_BY_PROGRAM
from handwheel.proof.comparison import BothWays, Comparison
from handwheel.show.draw.lettering import elided, legible
from handwheel.show.draw.sheet import EDGE
from handwheel.show.paper.comparison import comparison_page
from handwheel.show.paper.entries import Set, step_to_set, to_set, warning
from handwheel.show.paper.listing import listing
from handwheel.show.paper.tooling import tool_list
from handwheel.units import Units

PAPER: Final[dict[Units, str]] = {"in": "us-letter", "mm": "a4"}
TITLE_ROOM: Final = 81.0
NUMBER_ROOM: Final = 43.0
MATERIAL_ROOM: Final = 37.0
"""Of the title block's fields, mm."""
SIZES_IN: Final[dict[Units, str]] = {"in": "inches", "mm": "millimetres"}


def packet(comparison: Comparison, drawings: Mapping[str, bytes]) -> bytes:
    """The PDF, on Letter or A4 by the job's units; the same job gives the same bytes.

    Parameters
    ----------
    comparison : the part made both ways
    drawings : SVG by name; "set-up drawing" (of several set-ups "set-up-1 drawing" …) goes with its set-up sheet, "part
        drawing" with the inspection sheet
    """
    job = comparison.setups[0].setup.job
    return bound(job, _sheets(job, comparison, drawings), drawings)


def bound(job: Job, sheets: Sequence[Mapping[str, Any]], drawings: Mapping[str, bytes]) -> bytes:
    """Sheets as a PDF under the job's title; drawings are SVG by the names that the sheets call them by."""
    content = {
        "paper": PAPER[job.units],
        "title": {
            "title": legible(job.title),
            "title-short": elided(job.title, TITLE_ROOM, bold=True),
            "number": elided(job.part_number or job.name, NUMBER_ROOM, bold=True),
            "material": elided(job.material_name, MATERIAL_ROOM, bold=True),
            "sizes": SIZES_IN[job.units],
        },
        "drawing-edge": EDGE,
        "sheets": sheets,
    }
    return _compiled(content, {name: svg.decode("utf-8") for name, svg in drawings.items()})


def _sheets(job: Job, comparison: Comparison, drawings: Mapping[str, bytes]) -> list[dict[str, Any]]:
    sheets: list[dict[str, Any]] = []
    for both in comparison.setups:
        sheets.extend(_of_set_up(both, drawings))
    last = comparison.setups[-1]
    inspection = sheet_parts(last.setup, plan(last.setup, Route.BY_HAND), last.actions).inspection
    sheets += [
        *_drawing("part drawing", drawings),
        _sheet("Inspection sheet", to_set(inspection), at_machine=True),
        _sheet("Comparison", to_set(comparison_page(job, comparison))),
    ]
    return [sheet for sheet in sheets if sheet["drawing"] or sheet["entries"]]


def _of_set_up(both: BothWays, drawings: Mapping[str, bytes]) -> Iterable[dict[str, Any]]:
    """What is handed out for one set-up."""
    setup, several = both.setup, len(both.setup.job.setups) > 1
    of, number = (f", {setup.name}", f"-{setup.number}") if several else ("", "")
    by_hand_plan, by_program_plan = plan(setup, Route.BY_HAND), plan(setup, Route.BY_PROGRAM)
    parts = sheet_parts(setup, by_hand_plan, both.actions)
    not_proved = [warning(f"NOT PROVED - do not run: {reason}") for reason in both.by_program.reasons]
    steps = chain.from_iterable(step_to_set(step) for step in parts.steps)
    by_hand = [warning(f"NOT PROVED - do not work by this sheet: {fault}") for fault in both.by_hand.reasons]
    route = [*by_hand, *to_set(parts.how_to_read), *steps] if parts.steps else []
    yield _sheet(
        f"Set-up sheet{of}", to_set((Row("Title", setup.job.title), *parts.head, *parts.set_up)), at_machine=True
    )
    if setup.number == 1:
        yield _sheet("Cautions", to_set(_cautions()), at_machine=True, follows=True)
    yield from _drawing(f"set-up{number} drawing", drawings)
    yield _sheet(f"Route sheet, by hand{of}", route, at_machine=True)
    yield _sheet(f"Program{of}", [*not_proved, listing(both.text)])
    yield _sheet(f"Tool and offset list{of}", to_set(tool_list(setup.job, by_program_plan)), follows=True)


def _sheet(name: str, entries: list[Set], *, at_machine: bool = False, follows: bool = False) -> dict[str, Any]:
    """``follows``: it is short, and stands on the page where the sheet before it ends, if it has room there."""
    return {"name": name, "drawing": False, "at-machine": at_machine, "follows": follows, "entries": entries}


def _drawing(name: str, drawings: Mapping[str, bytes]) -> list[dict[str, Any]]:
    return [{"name": name, "drawing": True}] if name in drawings else []


def _cautions() -> Iterable[Subheading | Ticked]:
    yield Subheading("At either machine")
    yield from map(Ticked, CAUTIONS_BY_HAND)
    yield Subheading("Before a program runs")
    yield from map(Ticked, CAUTIONS_BY_PROGRAM)


def _compiled(content: Mapping[str, Any], drawings: Mapping[str, str]) -> bytes:
    import matplotlib
    import typst

    # the drawings' own font, which travels with matplotlib: one family throughout, and none of the machine's
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])

    inputs = {"packet": json.dumps(content), "drawings": json.dumps(drawings)}
    made = typst.compile(
        files(__package__).joinpath("packet.typ").read_bytes(),
        format="pdf",
        sys_inputs=inputs,
        font_paths=fonts,
    )
    assert isinstance(made, bytes)
    return made
