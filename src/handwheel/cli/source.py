"""Where a program's text comes from: a file, standard input, or the job's own plan."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from handwheel.errors import HandwheelError

if TYPE_CHECKING:
    from handwheel.proof import Prepared


def program_sources(prepared: Prepared, paths: Sequence[Path]) -> Iterator[tuple[str, str]]:
    """Name and text of each program; without paths the one that the job itself gives."""
    if not paths:
        yield f"{prepared.job.name}.nc", own_program(prepared)
    for path in paths:
        yield program_name(path), program_text(path)


def own_program(prepared: Prepared) -> str:
    """The program that the job's plan gives."""
    from handwheel.plan import Route, plan
    from handwheel.program import write_program

    return write_program(prepared.job, prepared.setup, plan(prepared.job, Route.BY_PROGRAM))


def program_name(path: Path) -> str:
    """What messages and reports call a program."""
    return "standard input" if str(path) == "-" else path.name


def program_text(path: Path) -> str:
    """The text of a program file; ``-`` reads standard input.

    Raises
    ------
    HandwheelError
        Where it cannot be read. Bytes that are no UTF-8 stay in as replacement marks: the reader says which line.
    """
    if str(path) == "-":
        return sys.stdin.buffer.read().decode("utf-8", errors="replace")
    try:
        return path.read_bytes().decode("utf-8-sig", errors="replace")
    except OSError as error:
        reason = (
            "is a folder; name the program in it" if path.is_dir() else f"cannot be read: {error.strerror or error}"
        )
        raise HandwheelError(f"{path}: {reason}") from error
