"""Lettering on indexed pictures, in the drawings' own font; heights are of capitals, in pixels."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from pathlib import Path
from typing import Final, Literal

import matplotlib
import numpy as np
from numpy.typing import NDArray
from PIL import ImageFont

from handwheel.show.draw.lettering import font as paper_font
from handwheel.show.draw.lettering import legible

Pixels = NDArray[np.uint8]
Face = Literal["plain", "bold", "mono"]

_BREAK: Final = re.compile(r"(?<!\b[XYZ]) ")
"""A line breaks between words, but not between an axis and its coordinate."""


@cache
def _font(face: Face, height: float) -> ImageFont.FreeTypeFont:
    paper = paper_font(1.0, face == "bold")
    file = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSansMono.ttf"
    size = height * paper.get_size_in_points() / 72 * 25.4
    return ImageFont.truetype(str(file) if face == "mono" else str(paper.get_file()), size)


@lru_cache(maxsize=4096)
def lettered(text: str, height: float, face: Face = "plain") -> Pixels:
    """A line of text as ink on paper, (rows, columns): from the top of the tallest letters to below the deepest."""
    font = _font(face, height)
    ascent, descent = font.getmetrics()
    mask, (left, top) = font.getmask2(text, mode="L", anchor="ls")
    picture = np.zeros((ascent + descent, max(1, mask.size[0] + max(0, left))), dtype=np.uint8)
    if mask.size[0] and mask.size[1]:
        ink = np.array(mask, dtype=np.uint16).reshape(mask.size[1], mask.size[0])
        row, column = max(0, ascent + top), max(0, left)
        picture[row : row + ink.shape[0], column : column + ink.shape[1]] = ((ink * 15 + 127) // 255)[
            : picture.shape[0] - row
        ]
    return picture


def length(text: str, height: float, face: Face = "plain") -> float:
    """How long a line of text is, pixels."""
    return float(_font(face, height).getlength(text))


def write(
    canvas: Pixels, at: tuple[float, float], text: str, height: float, face: Face = "plain", *, right: bool = False
) -> None:
    """Write a line whose baseline begins (or ends) at ``(x, y)``; what goes past the picture's edge is cut off."""
    picture = lettered(text, height, face)
    ascent = _font(face, height).getmetrics()[0]
    row, column = round(at[1]) - ascent, round(at[0]) - (picture.shape[1] if right else 0)
    rows, columns = canvas.shape
    top, left = max(0, -row), max(0, -column)
    bottom, end = min(picture.shape[0], rows - row), min(picture.shape[1], columns - column)
    if top < bottom and left < end:
        place = canvas[row + top : row + bottom, column + left : column + end]
        np.maximum(place, picture[top:bottom, left:end], out=place)


@lru_cache(maxsize=1024)
def wrapped(text: str, room: float, height: float, lines: int, face: Face = "plain") -> tuple[str, ...]:
    """The text in at most so many lines of ``room`` pixels; what is left over is told by an ellipsis."""
    found: list[str] = []
    words = _BREAK.split(legible(text))
    while words and len(found) < lines:
        line = words.pop(0)
        while words and length(f"{line} {words[0]}", height, face) <= room:
            line = f"{line} {words.pop(0)}"
        left_over = bool(words) and len(found) == lines - 1
        if left_over or length(line, height, face) > room:
            line = _cut(f"{line}…" if left_over else line, room, height, face)
        found.append(line)
    return tuple(found)


def _cut(text: str, room: float, height: float, face: Face) -> str:
    if length(text, height, face) <= room:
        return text
    while text and length(f"{text}…", height, face) > room:
        text = text[:-1].rstrip("…")
    return f"{text}…"
