"""What goes wrong while a block is read or executed, before line and column are known."""

from __future__ import annotations

from handwheel.errors import ProgramError


class Fault(Exception):  # noqa: N818 (the trade's word)
    """A reason to refuse a block.

    ``word`` names the word at fault (``"X"``, ``"G81"``; empty: the whole block); the reader finds its column. The
    scanner, which stands at the place, gives ``column`` and the ``text`` there instead.
    """

    def __init__(self, word: str, reason: str, instead: str = "", *, column: int = 0, text: str = "") -> None:
        self.word = word
        self.reason = reason
        self.instead = instead
        self.column = column
        self.text = text
        super().__init__(reason)

    def at(self, line: int, column: int, words: str, number: str) -> ProgramError:
        """The error that a user sees, at a line whose N word is ``number``."""
        return ProgramError(line, self.column or column, self.text or words, self.reason, self.instead, number)
