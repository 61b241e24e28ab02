"""The packet as a PDF: which sheets there are, in which order, and what each holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from handwheel.hand.sheet import sheet_parts
from handwheel.job import Job
from handwheel.plan import Route, plan
from handwheel.proof.comparison import BothWays, Comparison
from handwheel.show.draw.lettering import elided, legible
from handwheel.show.draw.sheet import EDGE
from handwheel.show.paper.cards import by_hand, by_program
from handwheel.show.paper.comparison import comparison_page
from handwheel.show.paper.entries import Set, to_set, warning
from handwheel.show.paper.listing import listing
from handwheel.show.paper.tooling import tool_list
from handwheel.show.paper.typeset import PAPER, typeset
from handwheel.units import Units

TITLE_ROOM: Final = 81.0
NUMBER_ROOM: Final = 43.0
MATERIAL_ROOM: Final = 49.0
"""Of the title block's fields, mm."""
SIZES_IN: Final[dict[Units, str]] = {"in": "inches", "mm": "millimeters"}


def packet(comparison: Comparison, drawings: Mapping[str, bytes]) -> bytes:
    """The PDF, on Letter or A4 by the job's units; the same job gives the same bytes.

    Parameters
    ----------
    comparison : the part made both ways
    drawings : SVG by name: "part drawing", "set-up drawing", "path drawing" and the cards' "set-up card" (of several
        set-ups "set-up-1 drawing" …)
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
            "material": elided(job.material.description, MATERIAL_ROOM, bold=True),
            "sizes": SIZES_IN[job.units],
        },
        "drawing-edge": EDGE,
        "sheets": sheets,
    }
    shown = {name: svg.decode("utf-8") for name, svg in drawings.items()}
    return typeset(("card.typ", "packet.typ"), {"packet": content, "drawings": shown})


def _sheets(job: Job, comparison: Comparison, drawings: Mapping[str, bytes]) -> list[dict[str, Any]]:
    """In the order in which they are used; programs and lists of several set-ups share pages, so that none is half
    empty."""
    several = len(comparison.setups) > 1
    sheets: list[dict[str, Any]] = _drawing("part drawing", drawings)
    for both in comparison.setups:
        sheets.extend(_of_set_up(both, f", {both.setup.name}" if several else "", drawings))
    programs = {both.setup.name if several else "": both.text for both in comparison.setups}
    not_proved = [
        warning(f"NOT PROVED - do not run: {reason}")
        for both in comparison.setups
        for reason in both.by_program.reasons
    ]
    last = comparison.setups[-1]
    inspection = sheet_parts(last.setup, plan(last.setup, Route.BY_HAND), last.actions).inspection
    plans = {name: plan(both.setup, Route.BY_PROGRAM) for name, both in zip(programs, comparison.setups, strict=True)}
    sheets += [
        _sheet("Program", [*not_proved, listing(programs)]),
        _sheet("Tool and offset list", to_set(tool_list(job, plans))),
        _sheet("Inspection sheet", to_set(inspection), at_machine=True, follows=True),
        _sheet("Comparison", to_set(comparison_page(job, comparison))),
    ]
    return [sheet for sheet in sheets if sheet["kind"] != "entries" or sheet["entries"]]


def _of_set_up(both: BothWays, of: str, drawings: Mapping[str, bytes]) -> Iterable[dict[str, Any]]:
    """What is handed out for one set-up: how it stands, the cards for either machine, the way of the cutter."""
    number = f"-{both.setup.number}" if of else ""
    yield from _drawing(f"set-up{number} drawing", drawings)
    for one in (by_hand(both), by_program(both)):
        yield {"kind": "card", "name": f"{one['heading']}{of}", "card": one}
    yield from _drawing(f"path{number} drawing", drawings)


def _sheet(name: str, entries: list[Set], *, at_machine: bool = False, follows: bool = False) -> dict[str, Any]:
    """``follows``: it is short, and stands on the page where the sheet before it ends, if it has room there."""
    return {"kind": "entries", "name": name, "at-machine": at_machine, "follows": follows, "entries": entries}


def _drawing(name: str, drawings: Mapping[str, bytes]) -> list[dict[str, Any]]:
    return [{"kind": "drawing", "name": name}] if name in drawings else []
