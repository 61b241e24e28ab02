"""What a sheet is made of, before it is set: in columns of plain text, or as pages to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

Cells: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """A part of the sheet begins."""

    text: str


@dataclass(frozen=True, slots=True)
class Subheading:
    """A step or a table begins."""

    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """A label and what belongs to it; without a label it goes on with the row above."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Ticked:
    """Something to tick off."""

    text: str


@dataclass(frozen=True, slots=True)
class Numbered:
    """One action."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class PassMark:
    """The actions of a pass begin."""

    text: str


@dataclass(frozen=True, slots=True)
class Columns:
    """A table, its first row being its head unless ``headless``; ``like`` are rows elsewhere in the same columns."""

    rows: tuple[Cells, ...]
    like: tuple[Cells, ...] = ()
    headless: bool = False


@dataclass(frozen=True, slots=True)
class Gap:
    """A little room."""


Entry: TypeAlias = Heading | Subheading | Row | Ticked | Numbered | PassMark | Columns | Gap
