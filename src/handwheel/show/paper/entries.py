"""Entries of a sheet, as the page setter takes them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import singledispatch
from typing import Any, Final, TypeAlias

from handwheel.hand.entries import Columns, Entry, Gap, Row, Subheading, Ticked
from handwheel.show.draw.lettering import elided, legible

Set: TypeAlias = dict[str, Any]

HEADER_ROOM: Final = 150.0
"""For what a page goes on with, mm."""

_MINUS: Final = re.compile(r"(?<![^\s(/])-(?=\.?\d)|(?<= )-(?= )")
"""A sign before a figure, or between two terms: a hyphen is too short for it at the machine."""

_WORD: Final = re.compile(r"[^\W\d_]{3}")
"""A column with words in it stands to the left, one of figures to the right."""

_BLANK: Final = re.compile(r"_{10}")

_LONG: Final = re.compile(r"[^\s_]{31,}")
_PIECE: Final = re.compile(r"\S{8}(?=\S)")


def to_set(entries: Iterable[Entry]) -> list[Set]:
    """The entries, ready to be set; nothing in their text is taken for markup."""
    return [_to_set(entry) for entry in entries]


def warning(text: str) -> Set:
    """What nobody may miss."""
    return {"kind": "warning", "text": printed(text)}


def printed(text: str) -> str:
    """Text as it is printed: signs that the font has, a true minus, and a word too long for a line may break.

    >>> printed("to X -.25, 2-1/2 in")
    'to X −.25, 2-1/2 in'
    """
    return _LONG.sub(lambda word: _PIECE.sub("\\g<0>\u200b", word[0]), _MINUS.sub("−", legible(text)))


@singledispatch
def _to_set(entry: Entry) -> Set:
    raise TypeError(f"no way to set {entry}")


@_to_set.register
def _(entry: Subheading) -> Set:
    return {"kind": "subheading", "text": printed(entry.text), "short": elided(entry.text, HEADER_ROOM)}


@_to_set.register
def _(entry: Row) -> Set:
    return {"kind": "row", "label": printed(entry.label), "text": printed(entry.text)}


@_to_set.register
def _(entry: Ticked) -> Set:
    return {"kind": "ticked", "text": printed(entry.text)}


@_to_set.register
def _(entry: Columns) -> Set:
    rows = [[printed(cell) for cell in row] for row in entry.rows]
    body = rows if entry.headless else rows[1:]
    width = [max(len(row[k]) for row in (*entry.rows, *entry.like)) for k in range(len(rows[0]))]
    return {
        "kind": "columns",
        "rows": rows,
        "headless": entry.headless,
        "alike": bool(entry.like),
        "shares": width,
        "words": [any(_WORD.search(row[k]) for row in body) for k in range(len(rows[0]))],
        "to-fill": any(_BLANK.search(cell) for row in body for cell in row),
    }


@_to_set.register
def _(entry: Gap) -> Set:
    del entry
    return {"kind": "gap"}
