"""Text in, :class:`Reading` out: the lines of a program, one after another."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from types import MappingProxyType
from typing import Final

from handwheel.errors import ProgramError
from handwheel.motion import Control
from handwheel.rs274.blocks import LONGEST, Word, assemble, scan, split_comments
from handwheel.rs274.controller import Controller
from handwheel.rs274.faults import Fault
from handwheel.rs274.places import block_number
from handwheel.rs274.reading import Reading
from handwheel.rs274.record import Record
from handwheel.rs274.shapes import Shapes
from handwheel.rs274.vocabulary import code

_BLANKS: Final = " \t\r\n"
_BYTE_ORDER_MARK: Final = "\ufeff"
_SPECIAL: Final = frozenset("#[/")
_PROGRAM_NUMBER = re.compile(r"\s*[oO][ \t]*[0-9]+")
_MESSAGE = re.compile(r"\s*MSG\s*,", re.IGNORECASE)


def read(
    source: str | Iterable[str],
    control: Control = Control(),  # noqa: B008 (frozen)
    *,
    strict: bool = False,
    block_delete: bool = False,
) -> Reading:
    """Read a program as a control would.

    Parameters
    ----------
    source : the text, or its lines (a file object)
    control : offsets, origins, homes, units, where the axes stand
    strict : refuse inside corners under cutter compensation, as the standard does
    block_delete : leave out blocks that begin with ``/``

    Returns
    -------
    Reading
        With ``error`` where the program was refused; what came before it is there. Nothing is raised.

    Source
    ------
    NISTIR 6556, *The NIST RS274NGC Interpreter – Version 3*, August 2000.

    Examples
    --------
    >>> reading = read("G21 G90 G17 G40\\nG0 X10\\nG1 Y5 F100\\nM2\\n")
    >>> [(move.kind.name, move.end) for move in reading.moves]
    [('RAPID', (10.0, 0.0, 0.0)), ('FEED', (10.0, 5.0, 0.0))]
    """
    lines = io.StringIO(source, newline=None) if isinstance(source, str) else source
    return _Reader(control, strict, block_delete).read(lines)


class _Reader:
    def __init__(self, control: Control, strict: bool, block_delete: bool) -> None:
        self.record = Record()
        self.controller = Controller(control, self.record, strict)
        self._block_delete = block_delete
        self._shapes = Shapes()
        self._bounded = False
        self._begun = False
        self._closed = False

    def read(self, lines: Iterable[str]) -> Reading:
        error: ProgramError | None = None
        text = ""
        known, at_once = self._shapes.read, self.controller.mover.at_once
        try:
            for self.record.line, line in enumerate(lines, 1):
                text = line.rstrip(_BLANKS)
                block = None if "(" in text or len(text) > LONGEST else known(text)
                if block is None:
                    self._new(text)
                elif block[0].straight and at_once(*block):
                    continue
                else:
                    self.controller.execute(block[0].codes, block[0].words(block[1]))
                if self.controller.ended or self._closed:
                    break
            else:
                self.record.line = max(self.record.line, 1)
                raise Fault("", *_unended(self._bounded), column=len(text) + 1)
        except Fault as fault:
            error = self._located(fault, text)
        self.controller.finish()
        state = self.controller.state
        return Reading(
            moves=self.record.moves.build(),
            units=state.units,
            parameters=MappingProxyType(state.parameters.stored()),
            end=MappingProxyType(state.plain_words()),
            notes=self.record.notes,
            comments=tuple(self.record.comments),
            events=tuple(self.record.events),
            error=error,
            called=MappingProxyType(self.record.called),
        )

    def _new(self, text: str) -> None:
        """Read a line whose shape is not known, or that has none."""
        if len(text) > LONGEST:
            raise Fault("", f"a block has at most {LONGEST} characters", "break it into several", column=LONGEST + 1)
        stripped = text.strip(_BLANKS + _BYTE_ORDER_MARK)
        if stripped == "%":
            self._bound()
            return
        if self._block_delete and stripped.startswith("/"):
            return
        bare, comments = split_comments(text)
        self._say(comments)
        bare = bare.rstrip(_BLANKS)
        if not bare:
            return
        block = self._shapes.read(bare) if comments else None
        if block is None:
            self._full(bare)
        elif not (block[0].straight and self.controller.mover.at_once(*block)):
            self.controller.execute(block[0].codes, block[0].words(block[1]))

    def _full(self, bare: str) -> None:
        """Read all of a line without its comments."""
        if not self._begun:
            bare = self._opening(bare)
        line = scan(bare, self.controller.state.parameters)
        for number, value in line.settings:
            self.controller.state.parameters[number] = value
        self._begun |= bool(line.words or line.settings)
        if line.words:
            block = assemble(line.words)
            if _SPECIAL.isdisjoint(bare):
                self._shapes.learn(bare, line.words)
            self.controller.execute(block.codes, block.words)

    def _bound(self) -> None:
        """A line of ``%`` alone: the first opens the program, the second closes it."""
        if self._bounded:
            self._closed = True
        elif self._begun:
            raise Fault("", "this % closes a program that no % opened", "begin the file with a line of % alone")
        self._bounded = True

    def _opening(self, text: str) -> str:
        """A line before the first block, without what is allowed there alone."""
        text = text.removeprefix(_BYTE_ORDER_MARK)
        match = _PROGRAM_NUMBER.match(text)
        if match is None:
            return text
        self.record.note("program-number", f"the program number {match.group().strip()} says nothing here")
        self._begun = True
        return " " * match.end() + text[match.end() :]

    def _say(self, comments: Iterable[str]) -> None:
        for comment in comments:
            self.record.comments.append((self.record.line, comment))
            match = _MESSAGE.match(comment)
            if match:
                self.controller.mover.event("message", comment[match.end() :].strip())

    def _located(self, fault: Fault, text: str) -> ProgramError:
        """The error with its place: the word at fault, else the whole block."""
        column, words = 1, ""
        if not fault.column:
            found = self._words_of(text)
            chosen = [word for word in found if fault.word in (word.letter, _spelled(word))] or found
            if chosen:
                column = chosen[0].column
                words = chosen[0].text if fault.word and chosen is not found else " ".join(w.text for w in found)
        return fault.at(self.record.line, column, words, block_number(text))

    def _words_of(self, text: str) -> tuple[Word, ...]:
        try:
            return scan(split_comments(text)[0], self.controller.state.parameters).words
        except Fault:
            return ()


def _spelled(word: Word) -> str:
    try:
        return code(word.letter, word.value) if word.letter in "GM" else word.letter
    except Fault:
        return word.text


def _unended(bounded: bool) -> tuple[str, str]:
    if bounded:
        return "the program ends without its closing %", "end the file with a line of % alone, or write M30"
    return "the program never ends", "write M30 or M2 on its last line"
