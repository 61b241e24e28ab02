"""One family of errors. Each says what is wrong, where, and what would be right, and knows its exit status."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class HandwheelError(Exception):
    """Base of every error that a user can cause; its text is all that is shown."""

    exit_status = 2


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a job file.

    ``key`` is the whole path of the key (``operation[2].to``), ``value`` the text found there (``None`` when the key is
    missing), ``reason`` what is wrong and ``wanted`` what would be right.
    """

    key: str
    value: str | None
    reason: str
    wanted: str = ""

    def __str__(self) -> str:
        text = self.key or "the file"
        if len(text) > LONGEST_KEY:
            text = f"{text[: LONGEST_KEY - 1]}…"
        if self.value is not None:
            text += f" = {self.value}"
        text += f": {self.reason}"
        return f"{text}; {self.wanted}" if self.wanted else text


MOST_PROBLEMS = 40
"""Problems that are told one by one; the first ones mended, the others show."""
LONGEST_KEY = 120
"""Characters of a key's path in a message; no key of ours is near that."""


class JobError(HandwheelError):
    """A job or shop file that cannot be used; holds every :class:`Problem` found in it."""

    def __init__(self, file: str, problems: Sequence[Problem]) -> None:
        self.file = file
        self.problems = tuple(problems)
        told = [f"{file}: {problem}" for problem in self.problems[:MOST_PROBLEMS]]
        if len(self.problems) > MOST_PROBLEMS:
            told.append(f"{file}: and {len(self.problems) - MOST_PROBLEMS} more problems")
        super().__init__("\n".join(told))


def place(line: int, number: str) -> str:
    """A line of a program and its N word, as a message names them.

    >>> place(41, "N230"), place(41, "")
    ('line 41 (N230)', 'line 41')
    """
    return f"line {line} ({number})" if number else f"line {line}"


class ProgramError(HandwheelError):
    """A program that a control would refuse.

    ``line`` and ``column`` count from 1; ``words`` are the words concerned as they stand in the text; ``reason`` is one
    sentence; ``instead`` says what to write, where that can be said; ``number`` is the block's N word, if it has one.
    """

    def __init__(self, line: int, column: int, words: str, reason: str, instead: str = "", number: str = "") -> None:
        self.line = line
        self.column = column
        self.words = words
        self.reason = reason
        self.instead = instead
        self.number = number
        text = f"{place(line, number)}, column {column}: {words + ': ' if words else ''}{reason}"
        super().__init__(f"{text}; {instead}" if instead else text)


class OutputError(HandwheelError):
    """Something that cannot be written: a folder, or a file that somebody edited by hand."""
