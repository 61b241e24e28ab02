"""Where a program's text comes from: a file, or standard input."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import BinaryIO, Final

from handwheel.errors import HandwheelError

LARGEST_PROGRAM: Final = 200_000_000
"""Bytes; a program of a million blocks has some thirty millions."""


def program_names(paths: Sequence[Path]) -> list[str]:
    """What reports call each program: its shortest tail that no other one has.

    >>> program_names([Path("a", "x.nc"), Path("b", "x.nc"), Path("b", "y.nc")])
    ['a/x.nc', 'b/x.nc', 'y.nc']
    """
    return [_name_among(path, [other for other in paths if other != path]) for path in paths]


def _name_among(path: Path, others: Sequence[Path]) -> str:
    if str(path) == "-":
        return "standard input"
    for count in range(1, len(path.parts)):
        tail = path.parts[-count:]
        if all(other.parts[-count:] != tail for other in others):
            return "/".join(tail)
    return path.as_posix()


def program_text(path: Path) -> str:
    """The text of a program file; ``-`` reads standard input.

    Raises
    ------
    HandwheelError
        Where it cannot be read. Bytes that are no UTF-8 stay in as replacement marks: the reader says which line.
    """
    if str(path) == "-":
        return _bounded(sys.stdin.buffer, "standard input").decode("utf-8", errors="replace")
    try:
        if path.is_dir():
            raise HandwheelError(f"{path}: is a folder; name the program in it")
        if path.exists() and not path.is_file():
            raise HandwheelError(f"{path}: is a pipe or a device; name the program's file")
        with path.open("rb") as stream:
            return _bounded(stream, str(path)).decode("utf-8-sig", errors="replace")
    except (OSError, ValueError) as error:
        raise HandwheelError(f"{path}: cannot be read: {getattr(error, 'strerror', None) or error}") from error


def _bounded(stream: BinaryIO, name: str) -> bytes:
    content = stream.read(LARGEST_PROGRAM + 1)
    if len(content) > LARGEST_PROGRAM:
        raise HandwheelError(f"{name}: is longer than {LARGEST_PROGRAM // 1_000_000} MB; split the program")
    return content
