"""The machine card as lines of text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from functools import singledispatch
from typing import Final

from handwheel.hand.card import BLANK, Card, Do, Drill, Pass, Row
from handwheel.hand.layout import LABEL, WIDTH, plain

BOX: Final = "[~]"
"""A box to tick while lines are wrapped, so that none is torn."""


TIED: Final = "\x01"
"""A space at which no line may end."""


def card_text(card: Card) -> str:
    """For the terminal: plain ASCII, what the page says in the same order."""
    return "\n".join(_lines(card)) + "\n"


def _lines(card: Card) -> Iterator[str]:
    yield from textwrap.wrap(plain(f"Machine card {card.route}: {card.title}").upper(), WIDTH)
    if card.set_up:
        yield plain(card.set_up)
    yield "=" * WIDTH
    for warning in card.warnings:
        yield from _beside("  ! ", warning)
    yield f"  Name {2 * BLANK}   OK to start {BLANK}   Date {BLANK}"
    for fact in card.facts:
        yield from _beside(f"  {fact.label}".ljust(LABEL), fact.text)
    for caution in card.cautions:
        yield from _beside("  ! ", caution)
    if card.places:
        holes = "   ".join(f"{place.letter}: {place.x}, {place.y}" for place in card.places)
        yield from _beside("  Holes".ljust(LABEL), holes)
        if card.places_note:
            yield from _beside("".ljust(LABEL), card.places_note)
    for way in card.ways:
        yield ""
        yield f"  TABLE {way.name}: FEED one after the other"
        settings = "   ".join(f"{number}. {setting} {BOX}" for number, setting in enumerate(way.settings, start=1))
        yield from _beside("       ", settings.replace(" ", TIED).replace(3 * TIED, "   "))
    for block in card.blocks:
        yield ""
        yield from textwrap.wrap(plain(block.title).upper(), WIDTH)
        yield "-" * WIDTH
        for fact in block.facts:
            yield from _beside(f"  {fact.label}".ljust(LABEL), fact.text)
        for row in block.rows:
            yield from _beside(f"{row.number:>4}  ", _row(row))
    yield ""
    yield f"  Signed off {2 * BLANK}   Date {BLANK}"


@singledispatch
def _row(row: Row) -> str:
    raise TypeError(f"no way to set {row}")


@_row.register
def _(row: Do) -> str:
    return "; ".join(row.text) + f" {BOX}"


@_row.register
def _(row: Pass) -> str:
    return f"{row.what} | {'; '.join((*row.set, *row.check, *row.feed, *row.after))} {BOX}"


@_row.register
def _(row: Drill) -> str:
    places = "  ".join(f"{place} {BOX}" for place in row.places)
    after = f"; {'; '.join(row.after)}" if row.after else ""
    return f"{row.what} | {'; '.join(row.first)}; holes {places}{after} {BOX}"


def _beside(start: str, text: str) -> list[str]:
    wrapped = textwrap.wrap(
        plain(text),
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_on_hyphens=False,
        break_long_words=True,
    )
    return [line.replace(TIED, " ").replace(BOX, "[ ]") for line in wrapped] or [start.rstrip()]
