"""The machine card as a value: what lies on the mill. Its text and its page are both drawn from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

BLANK: Final = "__________"
"""Room for a figure or a name that is written at the machine."""

CAUTIONS: Final = (
    "Safety glasses on. No gloves, rings or loose sleeves.",
    "Drawbar wrench off before the spindle starts. Remove the vise handle.",
    "Spindle off and stopped before a hand, a brush or a gauge goes in.",
    "Chips: with a brush. Never by hand, never with air.",
    "Something differs from this card? Stop and ask. Guards, the lab's rules and local codes come first.",
)
"""What stands on every card (common practice)."""

Phrases: TypeAlias = tuple[str, ...]
"""Things to do, one after the other."""


@dataclass(frozen=True, slots=True)
class Do:
    """One row: things to do, and its box to tick."""

    number: int
    text: Phrases


@dataclass(frozen=True, slots=True)
class Pass:
    """One row of a table of passes: what is set, what is checked then, what is fed, what follows.

    ``check`` is empty but where the air over the jaws is tried.
    """

    number: int
    what: str
    set: Phrases
    check: Phrases
    feed: Phrases
    after: Phrases


@dataclass(frozen=True, slots=True)
class Drill:
    """One row for the holes that one cutter makes in one step: ``places`` are letters of the card's table of holes,
    each with its box to tick."""

    number: int
    what: str
    first: Phrases
    places: Phrases
    after: Phrases


Row: TypeAlias = Do | Pass | Drill


@dataclass(frozen=True, slots=True)
class Fact:
    """Something said once: a label and a sentence."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class ToolBlock:
    """A tool, or the set-up: what is the same for all its rows, and the rows."""

    title: str
    facts: tuple[Fact, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """A hole's place by its letter: what readout or dials show there."""

    letter: str
    x: str
    y: str


@dataclass(frozen=True, slots=True)
class Way:
    """A long way of feeds as a table, one setting after the other: an arc by coordinates, a pocket. Rows name it."""

    name: str
    settings: Phrases


@dataclass(frozen=True, slots=True)
class Card:
    """A card for one set-up by one route.

    ``warnings`` say that it is not proved and why; ``places_note`` how dials come to a hole; ``ways`` are the tables
    of settings that rows name.
    """

    route: str
    title: str
    set_up: str
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    facts: tuple[Fact, ...]
    places: tuple[Place, ...]
    places_note: str
    ways: tuple[Way, ...]
    blocks: tuple[ToolBlock, ...]
