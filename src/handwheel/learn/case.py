"""A program under suspicion: its blocks, each with the line it had when it was given, and its set-up."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Final, NamedTuple

from handwheel.errors import place
from handwheel.rs274.block_place import block_number
from handwheel.setup import Setup

_COMMENT: Final = re.compile(r"\([^()]*\)|;.*")
_WORD: Final = re.compile(r"([A-MP-Za-mp-z])[ \t]*([-+]?(?:[0-9]{1,12}\.?[0-9]{0,12}|\.[0-9]{1,12}))")
_NUMBER: Final = re.compile(r"\ufeff?[ \t]*/?[ \t]*[nN][ \t]*[0-9]+[ \t]*")


class Word(NamedTuple):
    """A letter and its number as it is spelled; ``begin`` and ``end`` are its columns in the line, from 0."""

    letter: str
    spelled: str
    begin: int
    end: int

    @property
    def value(self) -> float:
        """The number."""
        return float(self.spelled)

    @property
    def text(self) -> str:
        """The word as a control reads it: ``G41``, ``X-1.25``."""
        return f"{self.letter}{self.spelled}"


@dataclass(frozen=True)
class Block:
    """A line of the program. ``number`` is its line in the program as it was given, also once others are put in."""

    number: int
    text: str

    @cached_property
    def code(self) -> str:
        """The line without its comments, column for column."""
        return _COMMENT.sub(lambda match: " " * len(match[0]), self.text)

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """Its words in order, without N; a letter without a number is none."""
        begin = match.end() if (match := _NUMBER.match(self.code)) else 0
        return tuple(
            Word(match[1].upper(), _plain(match[2]) if match[1] in "GMgm" else match[2], match.start(), match.end())
            for match in _WORD.finditer(self.code, begin)
        )

    @cached_property
    def names(self) -> frozenset[str]:
        """Its G and M words: ``G1``, ``M6``."""
        return frozenset(word.text for word in self.words if word.letter in "GM")

    @cached_property
    def shape(self) -> str:
        """What kind of block it is: its G and M words and its other letters, without numbers; empty without words.

        >>> Block(1, "N10 G1 X4.5 F20 (go)").shape
        'G1 X F'
        """
        return " ".join(word.text if word.letter in "GM" else word.letter for word in self.words)

    @property
    def bare(self) -> str:
        """The words as they stand, without N word and comments."""
        return " ".join(word.text for word in self.words)

    def get(self, letter: str) -> Word | None:
        """The first word with this letter."""
        return next((word for word in self.words if word.letter == letter), None)

    def with_word(self, word: Word, text: str) -> Block:
        """The block with a word replaced; an empty text takes it out."""
        return replace(self, text=self.text[: word.begin] + text + self.text[word.end :])

    def with_first(self, text: str) -> Block:
        """The block with words put in before its own, after its N word."""
        begin = match.end() if (match := _NUMBER.match(self.code)) else 0
        return replace(self, text=f"{self.text[:begin]}{text} {self.text[begin:]}")

    def with_last(self, text: str) -> Block:
        """The block with words put in after its own."""
        end = self.words[-1].end if self.words else len(self.text.rstrip())
        return replace(self, text=f"{self.text[:end]} {text}{self.text[end:]}")

    def saying(self, text: str) -> Block:
        """The same line with other words; its N word and comments go, for they belonged to what it said."""
        return replace(self, text=text)


def _plain(spelled: str) -> str:
    """``01`` and ``1.0`` as ``1``, so that G01 is G1."""
    return f"{float(spelled):g}"


@dataclass(frozen=True)
class InForce:
    """What is in force as a block begins; lengths in the program's units, as they are spelled.

    Attributes
    ----------
    tool, selected : in the spindle and last called, 0: none
    motion : the motion word
    side : the compensation, ``G40`` where it is off
    spindle : ``M3``, ``M4`` or ``M5``
    feed, speed : as last said, 0: never
    at : where the axes were sent last, by letter; empty before the first move
    incremental : whether G91 is in force
    """

    tool: int = 0
    selected: int = 0
    motion: str = "G1"
    side: str = "G40"
    spindle: str = "M5"
    feed: float = 0.0
    speed: float = 0.0
    at: Mapping[str, float] = field(default_factory=dict)
    incremental: bool = False


@dataclass(frozen=True)
class Case:
    """A program and the set-up it is run in, as they are or as they would be."""

    blocks: tuple[Block, ...]
    setup: Setup

    @cached_property
    def text(self) -> str:
        """The program."""
        return "\n".join(block.text for block in self.blocks) + "\n"

    @cached_property
    def coded(self) -> tuple[int, ...]:
        """Which blocks have words."""
        return tuple(index for index, block in enumerate(self.blocks) if block.words)

    @cached_property
    def in_force(self) -> tuple[InForce, ...]:
        """What is in force as each block begins."""
        return tuple(_followed(self.blocks))

    def named(self, index: int) -> str:
        """A block as a trainee finds it, within a sentence: ``line 41 (N230)``."""
        block = self.blocks[index]
        return place(block.number, block_number(block.text))

    def said(self, index: int) -> str:
        """The same at the beginning of a sentence."""
        named = self.named(index)
        return named[0].upper() + named[1:]

    def with_block(self, index: int, block: Block) -> Case:
        """The case with another block in a place."""
        return self.with_blocks({index: block})

    def with_blocks(self, changed: Mapping[int, Block]) -> Case:
        """The case with other blocks in some places."""
        return replace(self, blocks=tuple(changed.get(index, block) for index, block in enumerate(self.blocks)))

    def with_new(self, index: int, text: str) -> Case:
        """The case with a block put in before a place; it counts as the line before it."""
        number = self.blocks[index - 1].number if index else 1
        return replace(self, blocks=(*self.blocks[:index], Block(number, text), *self.blocks[index:]))

    def swapped(self, first: int, second: int) -> Case:
        """The case with two blocks exchanged; each place keeps its line."""
        one, other = self.blocks[first], self.blocks[second]
        return self.with_blocks({first: replace(other, number=one.number), second: replace(one, number=other.number)})


def case_of(text: str, setup: Setup) -> Case:
    """The case of a program as it was given."""
    lines = io.StringIO(text, newline=None).read().split("\n")
    if lines and not lines[-1]:
        lines.pop()
    return Case(tuple(Block(number, line) for number, line in enumerate(lines, start=1)), setup)


def _followed(blocks: tuple[Block, ...]) -> Iterator[InForce]:
    now = InForce()
    for block in blocks:
        yield now
        names = block.names
        change: dict[str, Any] = {}
        if word := block.get("T"):
            change["selected"] = int(word.value)
        if "M6" in names:
            change["tool"], change["spindle"] = change.get("selected", now.selected), "M5"
        for what, group in _GROUPS.items():
            for name in group & names:
                change[what] = name
        for what, letter in (("feed", "F"), ("speed", "S")):
            if word := block.get(letter):
                change[what] = word.value
        if names & {"G90", "G91"}:
            change["incremental"] = "G91" in names
        if not names & _NO_PLACE and not change.get("incremental", now.incremental):
            moved = {word.letter: word.value for word in block.words if word.letter in "XYZ"}
            change["at"] = {**now.at, **moved}
        now = replace(now, **change)


_GROUPS: Final = {
    "motion": frozenset(
        {"G0", "G1", "G2", "G3", "G80", *(f"G{number}" for number in (73, 81, 82, 83, 84, 85, 86, 89))}
    ),
    "side": frozenset({"G40", "G41", "G42"}),
    "spindle": frozenset({"M3", "M4", "M5"}),
}
_NO_PLACE: Final = frozenset({"G4", "G10", "G28", "G30", "G53", "G92"})
"""Words whose axis words are no place in the work's own system."""
