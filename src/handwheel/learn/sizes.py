"""Measured sizes from a spreadsheet: a head line ``part,NAME,NAME,…``, then a row a part."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from handwheel.errors import HandwheelError
from handwheel.job import Job
from handwheel.units import Units, quantity

LARGEST: Final = 20_000_000
"""Bytes; a hundred thousand parts have some five millions."""

CORRECTION: Final = "correction"
"""A row that begins so says that something was corrected between the parts before and after it."""

SEPARATORS: Final = ";\t,"
"""As spreadsheets write them; where the head has a semicolon, commas are decimal commas."""


@dataclass(frozen=True)
class Measured:
    """Measured sizes, mm.

    Attributes
    ----------
    parts : the parts' names, in order
    values : by the size's name, one a part; NaN where it was not measured
    run : the number of corrections made before each part
    """

    parts: tuple[str, ...]
    values: dict[str, tuple[float, ...]]
    run: tuple[int, ...]


def read_sizes(path: Path, job: Job) -> Measured:
    """The sizes in a file.

    Raises
    ------
    HandwheelError
        Where it cannot be read, has other columns than the drawing's sizes, or a cell is no length; with its line.
    """
    try:
        if not path.is_file():
            what = "is a folder; name the file in it" if path.is_dir() else "there is no such file"
            raise HandwheelError(f"{path}: {what}")
        content = path.read_bytes() if path.stat().st_size <= LARGEST else None
    except (OSError, ValueError) as error:
        raise HandwheelError(f"{path}: cannot be read: {getattr(error, 'strerror', None) or error}") from error
    if content is None:
        raise HandwheelError(f"{path}: is longer than {LARGEST // 1_000_000} MB")
    return sizes_of(decoded(content), str(path), job)


def decoded(content: bytes) -> str:
    """The text of a spreadsheet's file: UTF-8 with or without its mark, UTF-16 with one, else Windows' own.

    >>> decoded("\\ufeffhöhe".encode()), decoded("höhe".encode("cp1252")), decoded("höhe".encode("utf-16"))
    ('höhe', 'höhe', 'höhe')
    """
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def sizes_of(text: str, file: str, job: Job) -> Measured:
    """The sizes in a text; ``file`` is named in errors."""
    head, *_ = [line for line in text.splitlines() if line.strip()] or [""]
    separator = next((one for one in SEPARATORS if one in head), ",")
    try:
        table = [
            (number, [cell.strip() for cell in row])
            for number, row in _numbered(text, separator)
            if any(cell.strip() for cell in row)
        ]
    except csv.Error as error:
        raise HandwheelError(f"{file}: is no table of cells: {error}") from None
    if not table:
        raise HandwheelError(f"{file}: is empty; begin with a line part,NAME,NAME with the drawing's names")
    names = _names(table[0][1], f"{file}: line {table[0][0]}", job)
    parts: list[str] = []
    run: list[int] = []
    rows: list[list[float]] = []
    corrections = 0
    for number, cells in table[1:]:
        place = f"{file}: line {number}"
        if cells[0].casefold() == CORRECTION:
            corrections += 1
            continue
        while len(cells) > len(names) + 1 and not cells[-1]:
            cells.pop()
        if len(cells) > len(names) + 1:
            raise HandwheelError(
                f"{place}: has {len(cells)} cells, and the head has {len(names) + 1}; where a comma is the decimal "
                "sign, separate the cells by semicolons"
            )
        sizes = [
            _size(cell, f"{place}, {name}", job.units)
            for cell, name in zip([*cells[1:], *[""] * len(names)], names, strict=False)
        ]
        parts.append(cells[0] or f"part {len(parts) + 1}")
        run.append(corrections)
        rows.append(sizes)
    if not parts:
        raise HandwheelError(f"{file}: has a head and no part; write a row for each")
    columns = {name: tuple(row[index] for row in rows) for index, name in enumerate(names)}
    return Measured(tuple(parts), columns, tuple(run))


def _numbered(text: str, separator: str) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    return [(reader.line_num, row) for row in reader]


def _names(head: Sequence[str], place: str, job: Job) -> list[str]:
    drawing = [size.name for size in job.dimensions]
    known = {name.casefold(): name for name in drawing}
    has = f"the drawing has {', '.join(drawing)}" if drawing else "the job's drawing has no sizes"
    if head[0].casefold() != "part":
        raise HandwheelError(
            f"{place}: the first column is {head[0]!r} and should be 'part'; then come the sizes, {has}"
        )
    cells = list(head[1:])
    while cells and not cells[-1]:
        cells.pop()
    for cell in cells:
        if cell.casefold() not in known:
            raise HandwheelError(f"{place}: {cell!r} is no size of the drawing; {has}")
    names = [known[cell.casefold()] for cell in cells]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise HandwheelError(f"{place}: {twice!r} has two columns; give each size one")
    if not names:
        raise HandwheelError(f"{place}: has no size beside 'part'; {has}")
    return names


def _size(cell: str, place: str, units: Units) -> float:
    """A cell, mm; NaN where it is empty."""
    if not cell:
        return math.nan
    number = cell.replace("−", "-").replace("\xa0", " ")
    if "," in number:
        if number.count(",") > 1 or "." in number:
            raise HandwheelError(f"{place}: {cell!r} has more than one decimal sign; leave out what parts thousands")
        number = number.replace(",", ".")
    try:
        return quantity(number if not _is_plain(number) else float(number), "length", units)
    except ValueError as error:
        raise HandwheelError(f"{place}: {cell!r} {error}; write a length, or leave the cell empty") from None


def _is_plain(number: str) -> bool:
    try:
        return math.isfinite(float(number)) and "_" not in number
    except ValueError:
        return False
