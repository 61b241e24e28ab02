"""What a class handed in: the submissions in a folder, by name."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from handwheel.errors import HandwheelError
from handwheel.learn.whole_class.kinds import KINDS, kind_of

LARGEST_FILE: Final = 200_000_000
"""Bytes; a program of a million blocks has some thirty millions."""


@dataclass(frozen=True)
class Submission:
    """One piece of work as it was handed in.

    Attributes
    ----------
    name : its path within the folder, without its ending unless another has the same name
    kind : which of :data:`handwheel.learn.whole_class.kinds.KINDS`
    files : one; of several set-ups one for each, in order
    error : what is wrong with it before it is read
    """

    name: str
    kind: str
    files: tuple[Path, ...]
    error: str | None = None

    def contents(self) -> tuple[bytes, ...]:
        """The bytes of its files.

        Raises
        ------
        HandwheelError
            Where a file cannot be read, or is too long; the message names no folder.
        """
        return tuple(_content(file) for file in self.files)


def _content(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise HandwheelError(f"{file.name}: is no file")
        with file.open("rb") as stream:
            content = stream.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        raise HandwheelError(f"{file.name}: cannot be read: {getattr(error, 'strerror', None) or error}") from error
    if len(content) > LARGEST_FILE:
        raise HandwheelError(f"{file.name}: is longer than {LARGEST_FILE // 1_000_000} MB; split the program")
    return content


def find_submissions(
    folder: Path, setups: int, without: Sequence[Path] = ()
) -> tuple[tuple[Submission, ...], tuple[str, ...]]:
    """The submissions in a folder and in the folders in it, in the order of their names, and what is none.

    A folder with exactly one program a set-up is one submission. Hidden files are left alone.

    Parameters
    ----------
    folder : what was handed in
    setups : how many the job has
    without : folders that are not looked into

    Raises
    ------
    HandwheelError
        Where there is no such folder, or where it cannot be read.
    """
    if not folder.is_dir():
        raise HandwheelError(f"{folder}: is no folder; name the folder with the submissions")
    passed = {one.resolve() for one in without}
    found: list[Submission] = []
    others: list[str] = []
    try:
        _look(folder, folder, setups, passed, found, others)
    except OSError as error:
        raise HandwheelError(f"{folder}: cannot be read: {error.strerror or error}") from error
    return tuple(sorted(_distinct(found), key=lambda one: _natural(one.name))), tuple(sorted(others, key=_natural))


def _look(top: Path, folder: Path, setups: int, passed: set[Path], found: list[Submission], others: list[str]) -> None:
    inside = sorted(
        (one for one in folder.iterdir() if not one.name.startswith(".")), key=lambda one: _natural(one.name)
    )
    folders = [one for one in inside if one.is_dir()]
    files = [one for one in inside if not one.is_dir()]
    by_kind: dict[str, list[Path]] = {}
    for file in files:
        kind = kind_of(file.suffix)
        if kind is None:
            others.append(_name(top, file))
        else:
            by_kind.setdefault(kind, []).append(file)
    for kind, those in by_kind.items():
        found.extend(_of_kind(top, folder, kind, those, setups))
    for one in folders:
        if one.is_symlink() or one.resolve() in passed:
            continue
        _look(top, one, setups, passed, found, others)


def _of_kind(top: Path, folder: Path, kind: str, files: list[Path], setups: int) -> Iterator[Submission]:
    a_setup = KINDS[kind].a_setup
    if a_setup and folder != top and len(files) == setups:
        yield Submission(_name(top, folder), kind, tuple(files))
    elif not a_setup or setups == 1:
        for file in files:
            yield Submission(_name(top, file), kind, (file,))
    elif folder == top:
        for file in files:
            error = f"the job has {setups} set-ups; hand in a folder with one program for each"
            yield Submission(_name(top, file), kind, (file,), error)
    else:
        counted = "1 program" if len(files) == 1 else f"{len(files)} programs"
        yield Submission(_name(top, folder), kind, (), f"{counted} in the folder; the job has {setups} set-ups")


def _distinct(found: Sequence[Submission]) -> Iterator[Submission]:
    """Those of one name keep their endings."""
    short = [_short(one) for one in found]
    times = Counter(short)
    for one, name in zip(found, short, strict=True):
        yield replace(one, name=name if times[name] == 1 else one.name)


def _short(one: Submission) -> str:
    last = one.files[0].suffix if len(one.files) == 1 else ""
    return one.name[: -len(last)] if last and one.name.endswith(last) else one.name


def _name(top: Path, one: Path) -> str:
    """The path within the folder; bytes of a name that are no text are shown as question marks."""
    return one.relative_to(top).as_posix().encode("utf-8", errors="replace").decode("utf-8")


def _natural(name: str) -> tuple[list[tuple[int, int, str]], str]:
    """Sorts ``part 2`` before ``part 10``."""
    pieces = re.findall(r"\d+|\D+", name.casefold())
    return [(0, int(one), "") if one.isdecimal() else (1, 0, one) for one in pieces], name
