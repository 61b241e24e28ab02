"""A run of plain straight blocks, taken together: what most of a long program consists of.

A plain straight block has a line number, G0 or G1, coordinates and a feed at most, in this order and in the usual
spelling. A run of them is found by one regular expression and computed in columns; the same moves come out as block by
block, to the last bit.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from handwheel.motion.moves import Floats
from handwheel.rs274.state import State

FEWEST: Final = 12
"""Fewer blocks than this are sooner read one by one."""
MOST: Final = 4096
"""No more at a time, which bounds memory."""

_UNSIGNED: Final = r"(?:[0-9]{1,8}+(?:\.[0-9]{0,7}+)?+|\.[0-9]{1,8}+)"
_GAP: Final = r"[ \t]?+"
_X, _Y, _Z = (rf"{axis}{_GAP}[-+]?{_UNSIGNED}{_GAP}" for axis in "XYZ")
_BLOCK: Final = (
    rf"(?:N[0-9]{{1,5}}{_GAP})?(?:G0?[01]{_GAP}(?![0-9.]))?"
    rf"(?:{_X}(?:{_Y})?(?:{_Z})?|{_Y}(?:{_Z})?|{_Z})(?:F{_GAP}\+?{_UNSIGNED})?\n"
)
_RUN = re.compile(rf"(?:{_BLOCK}){{1,{MOST}}}+")
_FEED, _MOTION, _LINE_NUMBER = 3, 4, 5
_ZERO, _POINT, _MINUS, _NEW_LINE = (np.uint8(ord(character)) for character in "0.-\n")
_POWERS: Final = 10.0 ** np.arange(16)
_ROW_OF: Final = np.zeros(128, dtype=np.intp)
_ROW_OF[[ord(letter) for letter in "XYZFGN"]] = range(6)
"""The row of each letter in the table of a run."""


class Run(NamedTuple):
    """Where a run ends in the text, and how many blocks it has."""

    end: int
    blocks: int


class Rows(NamedTuple):
    """(n + 1, 3) the points from the start on, mm; (n,) rapid or feed; (n,) mm/min, NaN at rapid; the feed and the
    motion word in force after them."""

    points: Floats
    kinds: NDArray[np.int8]
    feeds: Floats
    feed: float
    motion: str


def run_at(text: str, position: int) -> Run:
    """The run of plain straight blocks that begins at a place of the text; it may have none."""
    match = _RUN.match(text, position)
    return Run(match.end(), text.count("\n", position, match.end())) if match else Run(position, 0)


def rows(blocks: str, count: int, state: State) -> Rows | None:
    """The rows that ``count`` plain straight blocks make; G0 or G1 is in force before them.

    ``None`` where one of them cannot be executed: then they are to be read one by one.
    """
    table = _table(blocks, count)
    table[: _FEED + 1] *= state.scale
    if state.absolute:
        table[:3] += np.array(state.shift)[:, np.newaxis]
    table[:3, 0] = state.position
    table[_FEED, 0], table[_MOTION, 0] = state.feed, float(state.motion[1:])
    if not state.absolute:
        table[:3] = np.add.accumulate(np.nan_to_num(table[:3], copy=False), axis=1)
    held = _held(table[:_LINE_NUMBER])
    rapid, feeds = held[_MOTION, 1:] == 0.0, held[_FEED, 1:]
    if not ((feeds > 0.0) | rapid).all():
        return None
    feed = float(feeds[-1])
    feeds[rapid] = np.nan
    return Rows(held[:3].T, (~rapid).view(np.int8), feeds, feed, "G0" if rapid[-1] else "G1")


def _table(blocks: str, count: int) -> Floats:
    """(6, count + 1) the numbers as they are written: X, Y, Z, F, G, N of each block, NaN where it has none; the first
    column is for what is in force before."""
    characters = np.frombuffer(blocks.encode("ascii"), dtype=np.uint8)
    words = np.flatnonzero(characters >= ord("A"))
    block = np.searchsorted(np.flatnonzero(characters == _NEW_LINE), words) + 1
    table = np.full((6, count + 1), np.nan)
    table[_ROW_OF[characters[words]], block] = _numbers(characters, words)
    return table


def _numbers(characters: NDArray[np.uint8], words: NDArray[np.intp]) -> Floats:
    """The number after each letter, to the last bit what :class:`float` makes of it: up to 15 digits and the power of
    ten that divides them are exact."""
    digits = np.flatnonzero(characters - _ZERO < 10)
    first = np.searchsorted(digits, words)
    last = np.append(first[1:], len(digits)) - 1
    places = np.repeat(last, last - first + 1) - np.arange(len(digits))
    numbers: Floats = np.add.reduceat((characters[digits] - _ZERO) * _POWERS[places], first)
    points = np.flatnonzero(characters == _POINT)
    pointed = np.searchsorted(words, points) - 1
    numbers[pointed] /= _POWERS[np.maximum(digits[last[pointed]] - points, 0)]
    numbers[np.searchsorted(words, np.flatnonzero(characters == _MINUS)) - 1] *= -1.0
    return numbers


def _held(table: Floats) -> Floats:
    """The same table, each row's numbers holding until its next; the first column has one in each row."""
    width = table.shape[1]
    columns = np.where(np.isnan(table), 0, np.arange(width))
    np.maximum.accumulate(columns, axis=1, out=columns)
    columns += np.arange(len(table))[:, np.newaxis] * width
    return table.ravel()[columns]
