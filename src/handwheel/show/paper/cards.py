"""The machine cards to print: one for each set-up by either route."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, Final

from handwheel.hand import card
from handwheel.hand.card import Card, Do, Drill, Pass, Row
from handwheel.plan import Route, plan
from handwheel.program.card import card as program_card
from handwheel.proof.comparison import BothWays, Comparison
from handwheel.show.draw.lettering import elided
from handwheel.show.paper.entries import printed
from handwheel.show.paper.typeset import PAPER, typeset

FOOT_ROOM: Final = 60.0
PICTURE_WIDTH: Final = 94.0
"""Of a card's fields, mm."""

LOOSE: Final = 1.0
TIGHT: Final = 0.6
"""Room above and below the lettering of a row, mm."""

MANY: Final = {"by hand": 26, "by program": 14}
"""With more rows than that a card is set tight, so that it keeps to its pages."""

_SETTING: Final = re.compile(r"\b([XYZHD]) (?=[−.\d])")

KINDS: Final[dict[type[Row], str]] = {Do: "do", Pass: "pass", Drill: "drill"}


def cards(comparison: Comparison, drawings: Mapping[str, bytes]) -> bytes:
    """The PDF ``card.pdf``, on Letter or A4 by the job's units; the same job gives the same bytes.

    Parameters
    ----------
    comparison : the part made both ways
    drawings : SVG by name; "set-up card" (of several set-ups "set-up-1 card" …) is the picture along the jaws
    """
    job = comparison.setups[0].setup.job
    content = {"title": job.title, "paper": PAPER[job.units], "cards": [*of_comparison(comparison)]}
    pictures = {name: svg.decode("utf-8") for name, svg in drawings.items() if name.endswith(" card")}
    return typeset(("card.typ", "cards.typ"), {"cards": content, "drawings": pictures})


def of_comparison(comparison: Comparison) -> Sequence[dict[str, Any]]:
    """Every card, ready to be set."""
    return [one(both) for one in (by_hand, by_program) for both in comparison.setups]


def by_hand(both: BothWays) -> dict[str, Any]:
    """A set-up's card by hand, ready to be set."""
    setup = both.setup
    return card_to_set(card(setup, plan(setup, Route.BY_HAND), both.actions, both.by_hand.reasons), both)


def by_program(both: BothWays) -> dict[str, Any]:
    """A set-up's card by program, ready to be set."""
    setup, proof = both.setup, both.by_program
    return card_to_set(program_card(setup, plan(setup, Route.BY_PROGRAM), proof.tip, proof.reasons), both)


def card_to_set(one: Card, both: BothWays) -> dict[str, Any]:
    """A card as the page setter takes it; nothing in its text is taken for markup."""
    job = both.setup.job
    several = len(job.setups) > 1
    told: dict[str, Any] = _printed(asdict(one))
    number = elided(job.part_number or job.name, FOOT_ROOM)
    blocks = [
        block
        | {"rows": [row | {"kind": KINDS[type(made)]} for row, made in zip(block["rows"], whole.rows, strict=True)]}
        for block, whole in zip(told["blocks"], one.blocks, strict=True)
    ]
    return {
        **{key.replace("_", "-"): value for key, value in told.items()},
        "blocks": [_without_feed(block) for block in blocks],
        "set-up": elided(one.set_up, FOOT_ROOM),
        "heading": f"Machine card, {one.route}",
        "foot": f"{number}, card {one.route}" + (f", set-up {both.setup.number}" if several else ""),
        "picture": f"set-up-{both.setup.number} card" if several else "set-up card",
        "gap": TIGHT if sum(len(block.rows) for block in one.blocks) > MANY[one.route] else LOOSE,
        "picture-width": PICTURE_WIDTH,
    }


def _without_feed(block: dict[str, Any]) -> dict[str, Any]:
    """The column's head says FEED for all of its settings."""
    rows = [
        row | {"feed": [one.removeprefix("FEED ") for one in row["feed"]]} if row["kind"] == "pass" else row
        for row in block["rows"]
    ]
    return block | {"rows": rows}


def _printed(told: Any) -> Any:
    if isinstance(told, str):
        # an axis and its setting are never on two lines
        return _SETTING.sub("\\1\u00a0", printed(told))
    if isinstance(told, dict):
        return {key: _printed(value) for key, value in told.items()}
    if isinstance(told, (list, tuple)):
        return [_printed(value) for value in told]
    return told
