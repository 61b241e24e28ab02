"""Blocks that differ in their numbers alone are understood once: the shape of a block and what it means.

Most blocks of a long program are of a handful of shapes (``N G1 X Y``). A shape is the text with the numbers of its
coordinate words cut out. What has comments, parameters, expressions or odd spelling has no shape and is read in full.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Final

from handwheel.rs274.blocks import Word, assemble
from handwheel.rs274.faults import Fault

_CUT = re.compile(r"([FI-KNP-SX-Zfi-knp-sx-z])[ \t]*([-+]?[0-9.]{1,12})")
_REST = re.compile(r"[ \t]*(?:[GMTDHLgmtdhl][ \t]*[0-9]+(?:\.[0-9]+)?[ \t]*)*\n?")
_STRAIGHT_LETTERS: Final = frozenset("NXYZF")
_LINE_NUMBER = re.compile(r"[0-9]{1,5}")
_MOST: Final = 4096
LENGTHS: Final = frozenset("XYZIJKQR")
"""Letters whose numbers many controls count in their smallest step where they have no decimal point."""


@dataclass(frozen=True, slots=True)
class Shape:
    """``letters`` of the numbers in order; ``codes`` by modal group; ``fixed`` words that are part of the shape;
    ``straight`` where it is a bare G0 or G1 move or takes over whichever of them is in force (``motion`` is
    ``None``); ``bare`` where it has a motion word, coordinates and a feed at most; ``fed`` where it has an F;
    ``lengths`` are the places of the numbers that are lengths. ``pick`` takes X, Y, Z and F out of the numbers, the
    last number standing for words that are not there."""

    letters: tuple[str, ...]
    codes: Mapping[str, str]
    fixed: Mapping[str, float]
    numbered: bool
    straight: bool
    motion: str | None
    pick: Callable[[Sequence[float]], tuple[float, ...]]
    fed: bool
    lengths: tuple[int, ...]
    bare: bool

    def words(self, numbers: Sequence[float]) -> dict[str, float]:
        """The values of a block of this shape by letter."""
        words = dict(zip(self.letters, numbers, strict=True))
        return {**self.fixed, **words} if self.fixed else words


Key = tuple[str, ...]


def understood(key: Key, words: tuple[Word, ...]) -> Shape | None:
    """The shape of a block whose words were read in full; ``None`` where its spelling allows no shape."""
    if not all(_REST.fullmatch(piece) for piece in key[::2]):
        return None
    letters = tuple(letter.upper() for letter in key[1::2])
    if "N" in letters[1:]:
        return None
    fixed = tuple(word for word in words if word.letter not in letters)
    block = assemble((*fixed, *(Word(letter, 0.0, 0, letter) for letter in letters)))
    plain = not (block.codes.keys() - {"motion"}) and set(block.words) <= _STRAIGHT_LETTERS
    motion = block.codes.get("motion")
    straight = plain and motion in (None, "G0", "G1") and bool({"X", "Y", "Z"} & set(letters))
    return Shape(
        letters,
        block.codes,
        {word.letter: word.value for word in fixed if word.letter not in "GM"},
        letters[:1] == ("N",),
        straight,
        motion,
        itemgetter(*(letters.index(letter) if letter in letters else -1 for letter in "XYZF")),
        "F" in letters,
        tuple(n for n, letter in enumerate(letters) if letter in LENGTHS),
        not (block.codes.keys() - {"motion"}) and not {"S", "T"} & block.words.keys(),
    )


class Shapes:
    """The shapes met so far; forgets all when there are too many to be a program's few."""

    def __init__(self) -> None:
        self._known: dict[Key, Shape] = {}
        self.repeated: dict[str, tuple[Shape, dict[str, float]]] = {}
        """Blocks by their text, with the values of their words: what is written again and again is taken apart once."""
        self.pointless = ""
        """The first length without a decimal point in a block of a known shape, as ``X10``; zero does not count."""

    def read(self, text: str) -> tuple[Shape, list[float]] | None:
        """Shape and numbers of a block; ``None`` where its shape is new or a number in it is spelled wrong."""
        pieces = _CUT.split(text)
        spelled = pieces[2::3]
        del pieces[2::3]
        shape = self._known.get(tuple(pieces))
        if shape is None:
            return None
        try:
            numbers = list(map(float, spelled))
        except ValueError:
            return None
        if not self.pointless and text.count(".") < len(spelled):
            for n in shape.lengths:
                if "." not in spelled[n] and numbers[n]:
                    self.pointless = shape.letters[n] + spelled[n]
                    break
        if shape.numbered and not _LINE_NUMBER.fullmatch(spelled[0]):
            return None
        return shape, numbers

    def keep(self, text: str, shape: Shape, words: dict[str, float]) -> None:
        """Remember a block that may be written again; one with a line number is not."""
        if not shape.numbered and not shape.straight:
            if len(self.repeated) >= _MOST:
                self.repeated.clear()
            self.repeated[text] = shape, words

    def learn(self, text: str, words: tuple[Word, ...]) -> None:
        """Remember the shape of a block that was read in full, where it has one."""
        key = tuple(piece for n, piece in enumerate(_CUT.split(text)) if n % 3 != 2)
        try:
            shape = understood(key, words)
        except Fault:
            return
        if shape is not None:
            if len(self._known) >= _MOST:
                self._known.clear()
            self._known[key] = shape
