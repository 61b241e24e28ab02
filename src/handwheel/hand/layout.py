"""How the sheet's lines are set: headings, labelled rows, numbered lines, columns; plain ASCII, 100 columns at most."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

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


def heading(text: str) -> Iterator[str]:
    """A part of the sheet."""
    yield ""
    yield plain(text).upper()
    yield "=" * WIDTH


def subheading(text: str) -> Iterator[str]:
    """A step, or a table."""
    yield ""
    yield from textwrap.wrap(plain(text), WIDTH, subsequent_indent="  ")
    yield "-" * WIDTH


def row(label: str, text: str) -> Iterator[str]:
    """``label`` in its column, the text beside it."""
    yield from _beside(f"  {label}".ljust(LABEL), text)


def numbered(number: int, text: str) -> Iterator[str]:
    """A line that begins with its number."""
    yield from _beside(f"{number:>5}  ", text)


def ticked(text: str) -> Iterator[str]:
    """A line with a box to tick."""
    yield from _beside("  [ ] ", text)


def columns(rows: Iterable[Sequence[str]], indent: int = 2) -> Iterator[str]:
    """A table: the first column to the left, the others to the right, as wide as they need."""
    table = [[plain(cell) for cell in one] for one in rows]
    widths = [max(len(one[k]) for one in table) for k in range(len(table[0]))]
    for one in table:
        cells = [one[0].ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(one[1:], widths[1:], strict=True))]
        yield (" " * indent + "  ".join(cells)).rstrip()


def _beside(start: str, text: str) -> Iterator[str]:
    yield from textwrap.wrap(
        plain(text),
        WIDTH,
        initial_indent=start,
        subsequent_indent=" " * len(start),
        break_on_hyphens=False,
        break_long_words=True,
    ) or [start.rstrip()]
