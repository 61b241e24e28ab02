"""Where the commands print their tables: standard output."""

from __future__ import annotations

import sys
from typing import NoReturn

from rich.console import Console


class Printing(Console):
    """A console on standard output, plain text where that is no terminal."""

    def __init__(self, *, width: int | None = None, soft_wrap: bool = False) -> None:
        super().__init__(file=sys.stdout, highlight=False, width=width, soft_wrap=soft_wrap)

    def on_broken_pipe(self) -> NoReturn:
        """Nobody reads any more: rich would end the program here; the group of commands knows its status."""
        raise BrokenPipeError
