"""Text to blocks: words with their places, comments, settings; and the checks that need no more than the block.

Source: NISTIR 6556, sections 3.3 and 3.4 (blocks: from memory).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple, NoReturn

from handwheel.rs274.expressions import LARGEST, Values
from handwheel.rs274.faults import Fault
from handwheel.rs274.parameters import Parameters
from handwheel.rs274.vocabulary import (
    AXIS_USERS,
    CYCLE_END,
    CYCLES,
    HOMES,
    LETTERS,
    MOST_M_WORDS,
    OBEYED,
    RETURN_BESIDE,
    ROTARY,
    all_groups,
    code,
)

LONGEST: Final = 256
"""Characters in a block at most."""
_LINE_NUMBER = re.compile(r"[0-9]+")
_LINE_NUMBER_OR_NONE = re.compile(r"/?(?:N[0-9]{1,5})?")
_BLANKS = re.compile(r"[ \t]")
_STATEMENT = re.compile(r"(IF|WHILE)[\[#]|(GOTO)[0-9#\[]|(DO|END)[0-9]|(THEN|ELSE)")


class Word(NamedTuple):
    """A letter and its value; ``column`` counts from 1, ``text`` is the word without blanks."""

    letter: str
    value: float
    column: int
    text: str


class Line(NamedTuple):
    """What stands on a line: words and settings ``(number, value)``."""

    words: tuple[Word, ...]
    settings: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Words by their meaning: ``codes`` is the G or M word of each modal group, in the order in which a control obeys
    them; ``words`` are the values by letter."""

    codes: Mapping[str, str]
    words: Mapping[str, float]


def split_comments(text: str) -> tuple[str, list[str]]:
    """The line with its comments blanked out, and the comments."""
    comments: list[str] = []
    while (start := _first_comment(text)) >= 0:
        if text[start] == ";":
            comments.append(text[start + 1 :].strip())
            return text[:start], comments
        end = text.find(")", start)
        inner = text.find("(", start + 1)
        if inner >= 0 and (end < 0 or inner < end):
            raise Fault("", "a comment may not stand inside a comment", column=inner + 1, text="(")
        if end < 0:
            raise Fault("", "this comment is never closed", "end it with )", column=start + 1, text="(")
        comments.append(text[start + 1 : end])
        text = text[:start] + " " * (end + 1 - start) + text[end + 1 :]
    return text, comments


def _first_comment(text: str) -> int:
    opened, semicolon = text.find("("), text.find(";")
    return max(opened, semicolon) if opened < 0 or semicolon < 0 else min(opened, semicolon)


def scan(text: str, parameters: Parameters) -> Line:
    """Read one line without comments, its values computed with the parameters as they are before it.

    A ``/`` that begins it says nothing here.

    Raises
    ------
    Fault
        With column and text of what is wrong.
    """
    columns = [n for n, character in enumerate(text, 1) if character not in " \t"]
    compact = _BLANKS.sub("", text).upper() if text.isascii() else _refuse_foreign(text)
    values = Values(compact, columns, parameters)
    values.position = int(compact.startswith("/"))
    words = list(_line_number(values))
    settings = []
    while values.position < len(compact):
        if compact[values.position] == "#":
            settings.append(_setting(values))
        else:
            words.append(_word(values))
    return Line(tuple(words), tuple(settings))


def _refuse_foreign(text: str) -> str:
    column = next(n for n, character in enumerate(text, 1) if not character.isascii())
    raise Fault("", f"{text[column - 1]!r} is no character of the language", column=column, text=text[column - 1])


def _line_number(values: Values) -> Sequence[Word]:
    start = values.position
    if values.text[start : start + 1] != "N":
        return ()
    match = _LINE_NUMBER.match(values.text, start + 1)
    if match is None or match.end() - match.start() > 5:
        values.fault("a line number has one to five digits, from N0 to N99999")
    values.position = match.end()
    return (Word("N", float(match.group()), values.columns[start], values.text[start : match.end()]),)


def _word(values: Values) -> Word:
    start, letter = values.position, values.text[values.position]
    statement = _STATEMENT.match(values.text, start)
    if statement:
        name = next(filter(None, statement.groups()))
        values.position += len(name)
        values.fault(
            f"{name} is a macro statement of other controls; it is not taken here",
            "write the moves themselves, or a subprogram with M98",
            start=start,
        )
    if letter == "N":
        values.fault("a line number stands first in its block")
    if letter in ROTARY:
        values.fault(f"{letter} words turn a rotary axis; the machine here has the three axes X, Y and Z")
    if letter == "O":
        _refuse_o(values)
    if letter not in LETTERS:
        values.fault(f"{letter!r} begins no word of the language")
    values.position += 1
    if values.text.startswith("O", values.position):
        _refuse_o(values)
    if not values.at_value():
        values.fault(f"{letter} has no value", f"write a number after {letter}", start=start)
    value = values.value(letter)
    if abs(value) > LARGEST:
        values.fault("this number is too large", start=start)
    if letter in "GM":
        _check_taken(letter, value, values, start)
    return Word(letter, value, values.columns[start], values.text[start : values.position])


def _refuse_o(values: Values) -> NoReturn:
    """The letter O: a program's number where it begins a block, else a zero that was meant."""
    start = values.position
    if not _LINE_NUMBER_OR_NONE.fullmatch(values.text[:start]) or not values.text[start + 1 : start + 2].isdigit():
        values.fault("this is the letter O, not a zero", "write the digit 0")
    number = _LINE_NUMBER.match(values.text, start + 1)
    values.position = number.end() if number else start + 1
    values.fault(
        "an O word begins another program here, and the one before it has not ended",
        "end a program with M30 and a subprogram with M99; write the digit 0 where a zero is meant",
        start=start,
    )


def _check_taken(letter: str, value: float, values: Values, start: int) -> None:
    """Refuse a word that is not taken here before the words that belong to it are looked at."""
    try:
        code(letter, value)
    except Fault as fault:
        values.fault(fault.reason, fault.instead, start=start)


def _setting(values: Values) -> tuple[int, float]:
    start = values.position
    values.position += 1
    number = values.parameter_number()
    if values.text[values.position : values.position + 1] != "=":
        values.fault("a parameter at the beginning of a word is set with =", f"write #{number}=…", start=start)
    values.position += 1
    return number, values.value(f"#{number}")


def assemble(words: Sequence[Word]) -> Block:
    """The block that the words make.

    Raises :class:`Fault` for unknown codes, two words of a group, a letter twice, words without use, and axis words
    that two codes claim.
    """
    codes: dict[str, str] = {}
    values: dict[str, float] = {}
    for word in words:
        try:
            _enter(word, codes, values)
        except Fault as fault:
            raise Fault("", fault.reason, fault.instead, column=word.column, text=word.text) from None
    if sum(word.letter == "M" for word in words) > MOST_M_WORDS:
        raise Fault("M", f"a block has at most {MOST_M_WORDS} M words")
    once = codes.get("once")
    motion = codes.get("motion")
    if once in HOMES and motion in ("G0", "G1"):
        codes[RETURN_BESIDE] = once
    elif once in AXIS_USERS and motion not in (None, "G80"):
        raise Fault(once, f"{motion} and {once} both use the axis words", "write them in two blocks")
    _check_users(codes, values)
    return Block({group: codes[group] for group in OBEYED if group in codes}, values)


def _enter(word: Word, codes: dict[str, str], values: dict[str, float]) -> None:
    if word.letter in "GM":
        name = code(word.letter, word.value)
        group = all_groups()[name]
        if group in codes:
            if group == "motion" and CYCLE_END not in codes and (name == "G80") != (codes[group] == "G80"):
                codes[group] = name if codes[group] == "G80" else codes[group]
                codes[CYCLE_END] = "G80"
                return
            raise Fault(name, f"{codes[group]} and {name} exclude each other", "write one of them in a block")
        codes[group] = name
        return
    if word.letter in values:
        raise Fault(word.letter, f"{word.letter} stands twice in this block")
    values[word.letter] = word.value


_ARCS = frozenset({"G2", "G3"})
_USERS: Final = {
    "D": ("compensation", frozenset({"G41", "G42"}), "G41 or G42"),
    "H": ("length offset", frozenset({"G43"}), "G43"),
}
_SHARED: Final = {
    "I": (_ARCS | {"G87"}, frozenset(), "an arc or G87"),
    "J": (_ARCS | {"G87"}, frozenset(), "an arc or G87"),
    "K": (_ARCS | {"G87"}, frozenset(), "an arc or G87"),
    "L": (CYCLES, frozenset({"G10", "M98"}), "a cycle, G10 or M98"),
    "P": (
        frozenset({"G82", "G86", "G88", "G89"}),
        frozenset({"G4", "G10", "G54.1", "M98"}),
        "G4, G10, G54.1, G82, G86, G88, G89 or M98",
    ),
    "Q": (frozenset({"G73", "G83"}), frozenset(), "G73 or G83"),
    "R": (_ARCS | CYCLES, frozenset(), "an arc in radius form or a cycle"),
}


def _check_users(codes: Mapping[str, str], values: Mapping[str, float]) -> None:
    claimed = [name for name in codes.values() if name in ("G4", "G10", "G54.1", "M98")]
    if len(claimed) > 1 and ("P" in values or "L" in values):
        raise Fault(claimed[1], f"{claimed[0]} and {claimed[1]} both use the P word", "write them in two blocks")
    if "U" in values and codes.get("once") != "G4":
        raise Fault("U", "a U word is the time of G4 here, and no axis", "write X, Y or Z for a move")
    for letter, (group, users, names) in _USERS.items():
        if letter in values and codes.get(group) not in users:
            raise Fault(letter, f"nothing in this block uses the {letter} word: it belongs to {names}")
    if "motion" in codes:
        check_motion_users(codes["motion"], codes, values)


def check_motion_users(motion: str, codes: Mapping[str, str], values: Mapping[str, float]) -> None:
    """Refuse I, J, K, L, P, Q and R words that neither the motion nor another code of the block uses."""
    for letter, (motions, others, names) in _SHARED.items():
        if letter in values and motion not in motions and others.isdisjoint(codes.values()):
            raise Fault(letter, f"nothing in this block uses the {letter} word: it belongs to {names}")


def has_axes(values: Mapping[str, float]) -> bool:
    """Whether X, Y or Z is among the words."""
    return "X" in values or "Y" in values or "Z" in values
