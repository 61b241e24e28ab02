"""What a program does when a control reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from handwheel.errors import ProgramError
from handwheel.motion import Moves
from handwheel.units import Units

Happening = Literal[
    "tool change",
    "spindle on",
    "spindle off",
    "coolant on",
    "coolant off",
    "stop",
    "optional stop",
    "pallet stop",
    "operator stop",
    "message",
    "end",
]


@dataclass(frozen=True, slots=True)
class Note:
    """Something worth saying about a line; ``count`` lines gave the same, ``line`` is the first of them."""

    code: str
    line: int
    message: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens between moves: before row ``before_move``, with ``tool`` in the spindle from then on.

    ``text`` is the message, what the operator is to do, how the spindle turns, or which coolant comes on.
    """

    line: int
    what: Happening
    before_move: int
    tool: int
    text: str = ""


@dataclass(frozen=True)
class Reading:
    """What was read, up to the end or to the first error.

    Attributes
    ----------
    moves : positions in mm, in the frame whose zero is the control's ``report``
    units : in force at the end
    parameters : as stored, by number
    end : the modal state at the end, in plain words; lengths in ``units``
    notes : in the order of their first lines
    comments : ``(line, text)`` of each comment, as the program comes to them
    comment_moves : for each comment the row of ``moves`` that it stands before
    events : in order
    error : what stopped the reading, or ``None``
    called : the first line of each word for units (G20, G21) and coordinate systems (G54 … G59.3)
    """

    moves: Moves
    units: Units
    parameters: Mapping[int, float]
    end: Mapping[str, object]
    notes: tuple[Note, ...]
    comments: tuple[tuple[int, str], ...]
    comment_moves: tuple[int, ...]
    events: tuple[Event, ...]
    error: ProgramError | None
    called: Mapping[str, int]
