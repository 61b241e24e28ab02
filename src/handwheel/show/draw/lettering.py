"""Lettering: one font that travels with matplotlib, measured in millimeters on paper, so that nothing depends on the
machine that draws."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

import matplotlib
from matplotlib.font_manager import FontProperties, get_font
from matplotlib.textpath import text_to_path

SMALL: Final = 2.5
"""Height of the capitals of ordinary lettering, mm: the least that a drawing may have (ISO 3098-1, from memory)."""
LARGE: Final = 3.5
"""Height of the capitals of titles, mm (the next size of ISO 3098-1, from memory)."""
PITCH: Final = 1.6
"""From one baseline to the next, in heights of the capitals."""

_CAPITAL: Final = 1493 / 2048
"""Height of a capital of DejaVu Sans as a share of the font's size."""
ASCENT: Final = 0.76 / _CAPITAL
"""What the tallest letters and brackets rise above the baseline, in heights of the capitals."""
DESCENT: Final = 0.24 / _CAPITAL
"""What letters hang below the baseline, in heights of the capitals."""
_POINTS_PER_MM: Final = 72 / 25.4
_BREAK: Final = re.compile(r"(?<!\b[XYZ]) (?!pass|row|spring)")
"""Where a line may break: not between an axis and its coordinate, nor between a count and what it counts."""


@cache
def font(height: float, bold: bool = False) -> FontProperties:
    """The font whose capitals are ``height`` mm high."""
    return FontProperties(fname=_file(bold), size=height / _CAPITAL * _POINTS_PER_MM)


def _file(bold: bool) -> str:
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name)


@cache
def _known() -> frozenset[int]:
    return frozenset(get_font(_file(bold=False)).get_charmap())


def legible(text: str) -> str:
    """The text with every sign that the font lacks, or that is no printing sign, made a ``?``.

    >>> legible("10 ± 0.1\\n漢")
    '10 ± 0.1 ?'
    """
    known = _known()
    spaced = " ".join(text.split())
    return "".join(sign if ord(sign) in known and sign.isprintable() else "?" for sign in spaced)


@cache
def width(text: str, height: float = SMALL, bold: bool = False) -> float:
    """How long a line of text is on paper, mm."""
    length, _, _ = text_to_path.get_text_width_height_descent(text, font(height, bold), ismath=False)
    return float(length) / _POINTS_PER_MM


def elided(text: str, room: float, height: float = SMALL, bold: bool = False) -> str:
    """The text, or as much of it as ``room`` mm hold, with ``…`` at its end.

    >>> elided("plate", 50.0), elided("a very long title", 12.0)
    ('plate', 'a ve…')
    """
    text = legible(text)
    if width(text, height, bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        fits = width(text[:middle].rstrip() + "…", height, bold) <= room
        low, high = (middle, high) if fits else (low, middle - 1)
    return text[:low].rstrip() + "…"


def wrapped(text: str, room: float, height: float = SMALL, lines: int = 99) -> list[str]:
    """The text in lines of at most ``room`` mm; the last of ``lines`` is elided where that is not enough."""
    found = list(_lines(legible(text), room, height))
    if len(found) <= lines:
        return found
    return [*found[: lines - 1], elided(" ".join(found[lines - 1 :]), room, height)]


def _lines(text: str, room: float, height: float) -> Iterator[str]:
    line = ""
    for word in _BREAK.split(text):
        longer = f"{line} {word}" if line else word
        if line and width(longer, height) > room:
            yield elided(line, room, height)
            line = word
        else:
            line = longer
    if line:
        yield elided(line, room, height)
