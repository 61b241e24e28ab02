"""Where the subprograms of a file begin: an O number at the head of a line. Common practice; the standard has none."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from handwheel.rs274.faults import Fault

DEEPEST: Final = 10
"""Subprograms call each other no deeper than this."""
MOST_BLOCKS: Final = 1_000_000
"""All runs of subprograms together have no more blocks, and make no more moves, than this."""
_HEAD = re.compile(r"^[ \t]*[oO][ \t]*([0-9]{1,9})(?![0-9.])", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Subprogram:
    """``begin`` is where its line begins in the text, ``head`` how many characters of the line its O number takes;
    ``line`` counts from 1."""

    number: int
    begin: int
    head: int
    line: int


class Subprograms:
    """The subprograms of a text, looked for when the first is called.

    >>> Subprograms("M98 P7\\nM30\\nO7\\nG0 X1.\\nM99\\n").called(7).line
    3
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self._found: dict[int, list[Subprogram]] | None = None

    def called(self, number: int) -> Subprogram:
        """The subprogram of an O number. Raises :class:`Fault` where there is none, or more than one."""
        if self._found is None:
            self._found = self._all()
        found = self._found.get(number, [])
        if not found:
            raise Fault(
                "P", f"there is no subprogram O{number} in this file", f"write O{number} before its first block"
            )
        if len(found) > 1:
            lines = " and ".join(str(one.line) for one in found[:2])
            raise Fault("P", f"there are several subprograms O{number}, on lines {lines}", "give each its own number")
        return found[0]

    def _all(self) -> dict[int, list[Subprogram]]:
        found: dict[int, list[Subprogram]] = {}
        line, counted = 1, 0
        for match in _HEAD.finditer(self._text):
            line += self._text.count("\n", counted, match.start())
            counted = match.start()
            one = Subprogram(int(match[1]), match.start(), match.end() - match.start(), line)
            found.setdefault(one.number, []).append(one)
        return found
