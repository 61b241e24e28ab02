"""What is known about a failed program before anything is changed: its proof, and where in it the trouble shows."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

from handwheel.check import Finding
from handwheel.learn.case import Case, Word
from handwheel.motion import Moves, Tool
from handwheel.plan import Plan
from handwheel.units import from_units, program_number, shop_number, to_units

BEFORE: Final = 6
"""A mistake is looked for first in so many blocks before the one in which its trouble shows."""


@dataclass(frozen=True)
class Change:
    """One known mistake undone.

    Attributes
    ----------
    line : of the program as it was given; ``None`` where the set-up is concerned
    was, would_be : what it says, and what it should say
    because : a sentence or two in a trainee's words, up to what the proof then says
    doubt : how unlikely this mistake is here; the least is tried first
    habit : changes with the same one are what somebody does wrong wherever it comes up; empty: it comes up once
    case : program and set-up with the change
    """

    line: int | None
    was: str
    would_be: str
    because: str
    doubt: float
    case: Case
    habit: str = ""


@dataclass(frozen=True)
class Trouble:
    """A failed case with what its proof says, and how the job itself would do it (``plan``, ``reach``).

    ``findings`` and ``moves`` are of its set-up, ``codes`` of the whole part from there on; ``reach`` (2, 3) is
    where the job's own program feeds at all, mm.
    """

    case: Case
    findings: tuple[Finding, ...]
    moves: Moves
    codes: frozenset[str]
    plan: Plan
    reach: tuple[tuple[float, float, float], tuple[float, float, float]] | None

    @cached_property
    def shown(self) -> tuple[int, ...]:
        """The blocks in which something grave shows first."""
        return tuple(
            sorted(
                {
                    one.line - 1
                    for one in self.findings
                    if one.level in ("stop", "reject", "warn") and one.line is not None
                }
            )
        )

    @cached_property
    def error(self) -> int | None:
        """The block that the control refuses."""
        return next((one.line - 1 for one in self.findings if one.code == "bad-block" and one.line), None)

    def shown_by(self, *codes: str) -> int | None:
        """The first block that a finding with one of these codes names."""
        lines = [one.line - 1 for one in self.findings if one.code in codes and one.line]
        return min(lines, default=None)

    def far(self, index: int) -> float:
        """How far a block is from where trouble shows: 0 there, up to 1 a few blocks before it or anywhere else."""
        after = [self._between(index, shown) for shown in self.shown if shown >= index]
        nearest = min(after, default=BEFORE)
        return min(nearest / BEFORE, 1.0)

    def _between(self, first: int, last: int) -> int:
        coded = self.case.coded
        return sum(first < index <= last for index in coded)

    @cached_property
    def next_to(self) -> Counter[tuple[str, str]]:
        """How often a block of one shape comes right after another's."""
        shapes = [self.case.blocks[index].shape for index in self.case.coded]
        return Counter(pairwise(shapes))

    def around(self, index: int, more: int = 0) -> list[str]:
        """The shapes of a block, of ``more`` after it, and of one neighbour on either side."""
        coded = self.case.coded
        place = coded.index(index)
        return [self.case.blocks[at].shape for at in coded[max(place - 1, 0) : place + more + 2]]

    def is_out_of_line(self, shapes: list[str]) -> bool:
        """Whether no other place of the program has two of these shapes one after the other."""
        return any(self.next_to[pair] <= 1 for pair in pairwise(shapes))

    def is_in_line(self, shapes: list[str]) -> bool:
        """Whether other places of the program have all of these shapes one after another, pair by pair."""
        return all(self.next_to[pair] >= 1 for pair in pairwise(shapes))

    @cached_property
    def numbers(self) -> Counter[tuple[str, float]]:
        """How often each number comes with each letter."""
        return Counter((word.letter, word.value) for index in self.case.coded for word in self.case.blocks[index].words)

    @property
    def scale(self) -> float:
        """One unit of the program in mm, as the job has it."""
        return from_units(1.0, self.case.setup.job.units)

    def tool(self, index: int) -> Tool | None:
        """The job's tool that a block cuts with."""
        return self.case.setup.tools.get(self.case.in_force[index].tool)

    def number(self, length: float) -> str:
        """A length in mm as the program has it."""
        return program_number(length, self.case.setup.job.units)

    def size(self, length: float) -> str:
        """A length in mm as a trainee reads it."""
        units = self.case.setup.job.units
        return f"{shop_number(length, units)} {units}"

    def in_units(self, length: float) -> float:
        """A length in mm as a number of the program."""
        return to_units(length, self.case.setup.job.units)

    @cached_property
    def known(self) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
        """Coordinates that the drawing has, in the program's units, along X, Y and Z: the faces of what is to go, of
        the finished block and of the raw one, and a cutter's radius beside them."""
        setup = self.case.setup
        boxes = [setup.raw, setup.finished, *(one.box for one in setup.intended)]
        radii = [0.0, *(tool.diameter / 2 for tool in setup.tools.values())]
        found = []
        for axis in range(3):
            faces = {value for box in boxes for value in (box.low[axis], box.high[axis])}
            if axis < 2:
                faces = {face + side * radius for face in faces for radius in radii for side in (-1, 1)}
            found.append(tuple(sorted(self.in_units(face) for face in faces)))
        return found[0], found[1], found[2]

    def is_known(self, letter: str, value: float) -> bool:
        """Whether the drawing has this coordinate."""
        near = 0.6 * 10.0 ** -(4 if self.case.setup.job.units == "in" else 3)
        return letter in "XYZ" and any(
            math.isclose(value, one, abs_tol=near) for one in self.known["XYZ".index(letter)]
        )

    def in_block(self, index: int, word: Word, text: str, because: str, doubt: float, habit: str = "") -> Change:
        """The change of one word; an empty text takes it out."""
        block = self.case.blocks[index]
        return Change(
            line=block.number,
            was=word.text,
            would_be=text,
            because=f"{self.case.said(index)} says {word.text}. {because}",
            doubt=doubt,
            case=self.case.with_block(index, block.with_word(word, text)),
            habit=habit,
        )

    def put_in(self, index: int, text: str, because: str, doubt: float, habit: str = "") -> Change:
        """The change of a block put in before a place."""
        return Change(
            line=self.case.blocks[index - 1].number if index else 1,
            was="",
            would_be=text,
            because=because,
            doubt=doubt,
            case=self.case.with_new(index, text),
            habit=habit,
        )
