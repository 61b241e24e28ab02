"""Text in, :class:`Reading` out: the lines of a program, one after another."""

from __future__ import annotations

import re
from collections.abc import Iterable
from types import MappingProxyType
from typing import Final

from handwheel.errors import ProgramError
from handwheel.motion import Control
from handwheel.rs274.block_place import block_number
from handwheel.rs274.blocks import LONGEST, Word, assemble, scan, split_comments
from handwheel.rs274.controller import Call, Controller
from handwheel.rs274.faults import Fault
from handwheel.rs274.reading import Reading
from handwheel.rs274.record import Record
from handwheel.rs274.shapes import LENGTHS, Shape, Shapes
from handwheel.rs274.straights import FEWEST, run_at
from handwheel.rs274.subprograms import DEEPEST, MOST_BLOCKS, Subprograms
from handwheel.rs274.vocabulary import code

_BLANKS: Final = " \t\r\n"
_BYTE_ORDER_MARK: Final = "\ufeff"
_SPECIAL: Final = frozenset("#[/")
_POINTLESS = re.compile(r"([XYZ])[ \t]*([-+]?0*[1-9][0-9]*)(?![0-9.])")
_POINTLESS_WORD = re.compile(r"[-+]?0*[1-9][0-9]*")
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
    strict : refuse inside corners under cutter compensation and words beyond the standard, as the standard does
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
    return _Reader(_whole(source), control, strict, block_delete).read()


def _whole(source: str | Iterable[str]) -> str:
    """The text, its lines ended by line feeds."""
    if not isinstance(source, str):
        source = "\n".join(line.removesuffix("\n") for line in source)
    return source.replace("\r\n", "\n").replace("\r", "\n") if "\r" in source else source


class _Reader:
    def __init__(self, text: str, control: Control, strict: bool, block_delete: bool) -> None:
        self.record = Record()
        self.controller = Controller(control, self.record, strict)
        self._text = text
        self._block_delete = block_delete
        self._shapes = Shapes()
        self._subprograms = Subprograms(text)
        self._depth = 0
        self._blocks_of_subprograms = 0
        self._bounded = False
        self._begun = False
        self._pointless = False

    def read(self) -> Reading:
        error: ProgramError | None = None
        self.record.line = 1
        try:
            self._run(0, 1)
        except ProgramError as found:
            error = found
        self.controller.finish()
        state = self.controller.state
        return Reading(
            moves=self.record.moves.build(),
            units=state.units,
            parameters=MappingProxyType(state.parameters.stored()),
            end=MappingProxyType(state.plain_words()),
            notes=self.record.notes,
            comments=tuple(self.record.comments),
            comment_moves=tuple(self.record.comment_moves),
            events=tuple(self.record.events),
            error=error,
            called=MappingProxyType(self.record.called),
        )

    def _run(self, position: int, number: int, head: int = 0) -> None:
        """Execute from a place of the text on, until the program leaves it or ends; ``number`` is the line there, whose
        first ``head`` characters are passed over.

        Raises
        ------
        ProgramError
            Where a block is refused, or the text ends before the program.
        """
        text, controller, at_once = self._text, self.controller, self.controller.mover.at_once
        shapes = self._shapes
        known, repeated = shapes.read, shapes.repeated
        end, line, no_run_before, at_place = len(text), "", 0, False
        try:
            while position < end:
                until = text.find("\n", position)
                line = text[position : until if until >= 0 else end].rstrip(_BLANKS)
                if head:
                    line, head = " " * head + line[head:], 0
                self.record.line, number = number, number + 1
                position = until + 1 if until >= 0 else end
                if line in repeated:
                    controller.execute_shape(*repeated[line])
                elif "(" in line or len(line) > LONGEST or (block := known(line)) is None:
                    self._new(line)
                elif block[0].straight and at_once(*block):
                    at_place = position >= no_run_before
                else:
                    self._execute(line, *block)
                if shapes.pointless and not self._pointless:
                    self._ask_about_point(shapes.pointless)
                if at_place:
                    at_place = False
                    position, number, no_run_before = self._run_of_straights(position, number)
                if controller.leaving and self._leave():
                    return
            raise Fault("", *_unended(self._bounded, self._depth), column=len(line) + 1)
        except Fault as fault:
            raise self._located(fault, line) from None

    def _run_of_straights(self, position: int, number: int) -> tuple[int, int, int]:
        """Execute the plain straight blocks at a place together; where the text goes on, the line there, and before
        which place there is no run worth it."""
        run = run_at(self._text, position)
        blocks = self._text[position : run.end]
        if run.blocks < FEWEST or not self.controller.mover.run(blocks, run.blocks):
            return position, number, run.end
        self._look_for_point(blocks, number)
        self.record.line = number + run.blocks - 1
        return run.end, number + run.blocks, run.end

    def _look_for_point(self, blocks: str, number: int) -> None:
        """The first length without a decimal point in a run of blocks, if none was found before."""
        if self._pointless or blocks.count(".") >= sum(map(blocks.count, "XYZF")):
            return
        found = _POINTLESS.search(blocks)
        if found:
            self.record.line = number + blocks.count("\n", 0, found.start())
            self._ask_about_point(found[1] + found[2])

    def _ask_about_point(self, word: str) -> None:
        """Say once that other controls read a number without a point otherwise."""
        self._pointless = True
        units, number = self.controller.state.units, word[1:].lstrip("+")
        step = "ten-thousandths of an inch" if units == "in" else "thousandths of a millimeter"
        self.record.note(
            "no-decimal-point",
            f"{word} has no decimal point: it is {number} {units} here, but {number} {step} on many controls; write "
            f"{word}. with a point, and so every length",
        )

    def _leave(self) -> bool:
        """Go where the program goes on; whether that is not the next line."""
        controller = self.controller
        if controller.leaving == "call":
            controller.leaving = ""
            self._call(controller.call)
        elif controller.leaving == "return" and not self._depth:
            raise Fault("M99", "M99 ends a subprogram, and none is running here", "end the program with M30")
        return controller.leaving != ""

    def _call(self, call: Call) -> None:
        """Run a subprogram, as often as it is called."""
        line = self.record.line
        one = self._subprograms.called(call.number)
        if self._depth >= DEEPEST:
            raise Fault("M98", f"subprograms call each other more than {DEEPEST} deep here", "does one call itself?")
        self._depth += 1
        made = len(self.record.moves)
        for _ in range(call.times):
            if max(self._blocks_of_subprograms, len(self.record.moves) - made) > MOST_BLOCKS:
                raise Fault("M98", f"the subprograms run for more than {MOST_BLOCKS:,} blocks here", "check L")
            self._run(one.begin, one.line, one.head)
            self._blocks_of_subprograms += self.record.line - one.line + 1
            if self.controller.leaving == "end":
                break
            self.controller.leaving = ""
            self.record.line = line
        self._depth -= 1

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
            self._execute(bare, *block)

    def _execute(self, text: str, shape: Shape, numbers: list[float]) -> None:
        words = shape.words(numbers)
        self._shapes.keep(text, shape, words)
        self.controller.execute_shape(shape, words)

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
            if not self._pointless:
                self._look_at_words(line.words)
            if _SPECIAL.isdisjoint(bare):
                self._shapes.learn(bare, line.words)
            self.controller.execute(block.codes, block.words)

    def _look_at_words(self, words: Iterable[Word]) -> None:
        for word in words:
            if word.letter in LENGTHS and _POINTLESS_WORD.fullmatch(word.text, 1):
                self._ask_about_point(word.text)
                return

    def _bound(self) -> None:
        """A line of ``%`` alone: the first opens the program, the second closes it."""
        if self._bounded:
            self.controller.leaving = "end"
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
            self._place(comment)
            match = _MESSAGE.match(comment)
            if match:
                self.controller.mover.event("message", comment[match.end() :].strip())

    def _place(self, comment: str) -> None:
        """Keep a comment, and the move that it stands before."""
        record, place = self.record, len(self.record.comments)
        record.comments.append((record.line, comment))
        record.comment_moves.append(len(record.moves))

        def before_move() -> None:
            record.comment_moves[place] = len(record.moves)

        self.controller.mover.when_there(before_move)

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


def _unended(bounded: bool, depth: int) -> tuple[str, str]:
    if depth:
        return "the subprogram never ends", "write M99 on its last line"
    if bounded:
        return "the program ends without its closing %", "end the file with a line of % alone, or write M30"
    return "the program never ends", "write M30 or M2 on its last line"
