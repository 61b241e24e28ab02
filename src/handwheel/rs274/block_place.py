"""Where a block stands, as an operator looks for it: the line of the file, and the N word where the block has one."""

from __future__ import annotations

import io
import re

from handwheel.errors import place

_NUMBER = re.compile(r"\ufeff?[ \t]*/?[ \t]*[nN][ \t]*([0-9]+)")


def block_number(block: str) -> str:
    """The N word that a block begins with, as it is spelled; empty where there is none.

    >>> block_number("/n0230 G1 X5"), block_number("G1 X5 (N10)")
    ('N0230', '')
    """
    match = _NUMBER.match(block)
    return f"N{match[1]}" if match else ""


class Places:
    """The blocks of a program by their lines, which count from 1."""

    def __init__(self, text: str) -> None:
        self._lines = io.StringIO(text, newline=None).readlines()

    def number(self, line: int) -> str:
        """The N word of a line; empty where it has none, or where there is no such line."""
        return block_number(self._lines[line - 1]) if 1 <= line <= len(self._lines) else ""

    def said(self, line: int) -> str:
        """A line as a message names it: ``line 41 (N230)``."""
        return place(line, self.number(line))
