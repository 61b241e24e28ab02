"""How a sheet's entries are set as lines of text: plain ASCII, 100 columns at most."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Iterator
from functools import singledispatch
from typing import Final

from handwheel.hand.entries import Columns, Entry, Gap, Heading, Numbered, PassMark, Row, Subheading, Ticked

WIDTH: Final = 98
LABEL: Final = 14
"""Columns of a row's label."""

_PLAIN: Final = str.maketrans(
    {"−": "-", "–": "-", "×": "x", "±": "+-", "°": " deg", "ø": "dia ", "Ø": "dia ", "µ": "u"}
)


def plain(text: str) -> str:
    """Text as any terminal and printer shows it; what has no plain form becomes a question mark.

    >>> plain("Führung 2 × 3 − 1")
    'Fuhrung 2 x 3 - 1'
    """
    text = unicodedata.normalize("NFKD", " ".join(text.translate(_PLAIN).split()))
    text = "".join(letter for letter in text if not unicodedata.combining(letter))
    return text.encode("ascii", "replace").decode("ascii")


def lines(entries: Iterable[Entry]) -> Iterator[str]:
    """The entries as lines of text.

    >>> list(lines([Row("Zero", "left end"), Ticked("jaws clean")]))
    ['  Zero        left end', '  [ ] jaws clean']
    """
    for entry in entries:
        yield from _set(entry)


@singledispatch
def _set(entry: Entry) -> Iterator[str]:
    raise TypeError(f"no way to set {entry}")


@_set.register
def _(entry: Heading) -> Iterator[str]:
    yield ""
    yield plain(entry.text).upper()
    yield "=" * WIDTH


@_set.register
def _(entry: Subheading) -> Iterator[str]:
    yield ""
    yield from textwrap.wrap(plain(entry.text), WIDTH, subsequent_indent="  ")
    yield "-" * WIDTH


@_set.register
def _(entry: Row) -> Iterator[str]:
    yield from _beside(f"  {entry.label}".ljust(LABEL), entry.text)


@_set.register
def _(entry: Ticked) -> Iterator[str]:
    yield from _beside("  [ ] ", entry.text)


@_set.register
def _(entry: Numbered) -> Iterator[str]:
    yield from _beside(f"{entry.number:>5}  ", entry.text)


@_set.register
def _(entry: PassMark) -> Iterator[str]:
    yield f"  {entry.text}"


@_set.register
def _(entry: Gap) -> Iterator[str]:
    del entry
    yield ""


@_set.register
def _(entry: Columns) -> Iterator[str]:
    """The first column to the left, the others to the right, as wide as they need."""
    table = [[plain(cell) for cell in one] for one in entry.rows]
    alike = [*table, *([plain(cell) for cell in one] for one in entry.like)]
    widths = [max(len(one[k]) for one in alike) for k in range(len(alike[0]))]
    for one in table:
        cells = [one[0].ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(one[1:], widths[1:], strict=True))]
        yield ("  " + "  ".join(cells)).rstrip()


def _beside(start: str, text: str) -> Iterator[str]:
    yield from textwrap.wrap(
        plain(text),
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_on_hyphens=False,
        break_long_words=True,
    ) or [start.rstrip()]
