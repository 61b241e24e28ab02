"""Where the commands print their tables: standard output."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import Any, NoReturn

import click
from rich.console import Console


class Printing(Console):
    """A console on standard output, plain text where that is no terminal."""

    def __init__(self, *, width: int | None = None, soft_wrap: bool = False) -> None:
        super().__init__(file=sys.stdout, highlight=False, width=width, soft_wrap=soft_wrap)

    def on_broken_pipe(self) -> NoReturn:
        """Nobody reads any more: rich would end the program here; the group of commands knows its status."""
        raise BrokenPipeError


def echo_json(told: Mapping[str, Any]) -> None:
    """One JSON object on a line of standard output; escaped where the output cannot carry every character."""
    every = (getattr(sys.stdout, "encoding", None) or "").lower().replace("-", "") in ("utf8", "utf16", "utf32")
    click.echo(json.dumps(told, ensure_ascii=not every, allow_nan=False))
