"""What an operator does, one value each. A route sheet *is* the list of them; a slip is another number in one of them,
or one left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from handwheel.hand.slides import SlideName
from handwheel.motion import Tool
from handwheel.path.face import Face
from handwheel.plan import Measuring

Scale = Literal["dial", "readout"]


@dataclass(frozen=True, slots=True)
class EdgeFinder:
    """A touching tool in the spindle; mm. It cuts nothing and has no number."""

    diameter: float
    length: float = 100.0
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """``step`` is the plan's step, from 1; ``stroke`` the pass within it that this belongs to, from 1 (0: none)."""

    step: int
    stroke: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Act):
    """Put a cutter or an edge finder into the spindle."""

    tool: Tool | EdgeFinder


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSpeed(Act):
    """Set the spindle's speed, rev/min; the spindle stands still."""

    rpm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Start(Act):
    """Start the spindle, clockwise seen from above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop(Act):
    """Stop the spindle and wait until it has stopped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bring(Act):
    """Wind a slide by eye, before there is a reading: the cutter's rim or tip ``off`` a face of the work, mm.

    + is outside the work, − past the face; ``face`` ``None`` means the middle of the work.
    """

    slide: SlideName
    face: Face | None
    off: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind(Act):
    """Turn a handwheel, cutting nothing, until the dial or the readout shows ``to``, mm.

    ``ends`` is the way the dial counts last (1 or −1): coming the other way, the operator goes past the figure and
    comes back, so that the play is always on the same side. 0: no matter.
    """

    slide: SlideName
    to: float
    on: Scale
    ends: Literal[-1, 0, 1] = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed(Wind):
    """The same, cutting, evenly, at ``feed_mm_min``.

    It goes one way alone and never past its setting, so ``ends`` stays 0.
    """

    feed_mm_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedPast(Feed):
    """The same past a face of the work, which is what the cut leaves."""

    leaves: Face


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch(Act):
    """Wind a slide slowly until what is in the spindle just touches a face of the work.

    ``between`` is what stands between them (paper, gauge block), mm; ``with_`` is the touch's name.
    """

    slide: SlideName
    face: Face
    with_: Literal["cutter", "edge finder", "paper", "gauge block"]
    between: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SetStop(Act):
    """Set the quill's depth stop so that the quill goes ``down`` so far from its upper end, mm."""

    down: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever(Act):
    """Feed the quill by its lever from its upper end until it is ``down`` so far, and let it up again; mm.

    ``feed_mm_min`` down; ``feeds_out``: up at the same feed, the spindle turning. ``to_stop``: until the stop holds it.
    """

    down: float
    feed_mm_min: float
    feeds_out: bool = False
    to_stop: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Neutral(Act):
    """Take the spindle out of gear, so that a hand turns it, or put it back (``free`` false)."""

    free: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnTap(Act):
    """Let the quill down until the tap stands on its hole, ``start`` from the quill's upper end, turn it in by hand
    until the quill is ``down`` so far, and turn it out again; mm. ``turns_a_minute``: those back counted in."""

    start: float
    down: float
    pitch: float
    turns_a_minute: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAway(Act):
    """Take away what stood between cutter and face at a touch, the spindle standing."""

    what: Literal["paper", "gauge block"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDial(Act):
    """Turn a dial's ring, the handwheel held, so that it shows ``reads``, mm: 0 zeroes the dial."""

    slide: SlideName
    reads: float
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preset(Act):
    """Key a number into the readout, mm; ``cutter`` names the side of the work on which the cutter stands."""

    slide: Literal["x", "y"]
    reads: float
    cutter: Face
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock(Act):
    """Lock a slide."""

    slide: SlideName


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlock(Act):
    """Unlock a slide."""

    slide: SlideName


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil(Act):
    """Bring cutting oil or coolant on, or none."""

    with_: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clean(Act):
    """Brush the chips off and wipe the work, the spindle standing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deburr(Act):
    """Break the edges with a file, the spindle standing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure(Act):
    """Measure a size, the spindle standing."""

    size: Measuring


Action: TypeAlias = (
    Load
    | SetSpeed
    | Start
    | Stop
    | Bring
    | Wind
    | Feed
    | FeedPast
    | Touch
    | SetStop
    | Lever
    | Neutral
    | TurnTap
    | TakeAway
    | SetDial
    | Preset
    | Lock
    | Unlock
    | Oil
    | Clean
    | Deburr
    | Measure
)
