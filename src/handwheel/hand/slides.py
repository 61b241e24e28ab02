"""The slides of a knee mill as a table: which way each one counts, its screw with its play, what its dial can show."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final, Literal

from handwheel.shop import KneeMill
from handwheel.shop.machines import Slide
from handwheel.tolerances import CONTACT

SlideName = Literal["x", "y", "knee", "quill"]


@dataclass(frozen=True, slots=True)
class SlideFacts:
    """What is the same on every knee mill.

    ``axis`` is 0, 1, 2 for X, Y, Z; ``sign`` tells which way the *cutter* goes over the work while the dial counts up;
    ``up`` and ``down`` are the operator's words for the slide's own travel then.
    """

    name: str
    axis: int
    sign: Literal[1, -1]
    up: str
    down: str


SLIDES: Final[Mapping[SlideName, SlideFacts]] = MappingProxyType(
    {
        "x": SlideFacts("table", 0, 1, "to your left", "to your right"),
        "y": SlideFacts("saddle", 1, 1, "towards you", "away from you"),
        "knee": SlideFacts("knee", 2, -1, "up", "down"),
        "quill": SlideFacts("quill", 2, -1, "down", "up"),
    }
)
"""Raising the knee is Z−, and its dial counts up then. Source: ISO 841 for the axes; the rest common practice."""


def slide_of(mill: KneeMill, slide: SlideName) -> Slide:
    """A slide's own figures on this mill."""
    found: Slide = getattr(mill.slides, slide)
    return found


@dataclass(frozen=True, slots=True)
class Screw:
    """One slide with its screw; all in mm, along the way that the dial counts.

    ``turned`` is where the slide stands when the play is taken up counting up: the slide is never behind it, and never
    more than the backlash ahead of it. ``zero`` is what is turned when the dial shows 0 (``None``: never set).
    """

    at: float
    turned: float
    zero: float | None = None
    locked: bool = False

    def turn_to(self, turned: float, backlash: float) -> Screw:
        """The handwheel turned that far: the slide follows once the play is used up."""
        return replace(self, turned=turned, at=min(max(self.at, turned), turned + backlash))

    def pushed_to(self, at: float, backlash: float, ends: int) -> Screw:
        """Turned until the *slide* is seen to stand there, ``ends`` (1 or −1) being the last way it went."""
        return replace(self, at=at, turned=at if ends > 0 else at - backlash)

    @property
    def reading(self) -> float | None:
        """What the dial shows, whole turns counted by the operator, mm."""
        return None if self.zero is None else self.turned - self.zero


def turns_and_graduations(reading: float, per_turn: float, graduation: float) -> tuple[int, float]:
    """A dial reading as whole turns from its zero and what the dial then shows; it always shows zero or more.

    >>> turns_and_graduations(8.89, 2.54, 0.0254)
    (3, 50.0)
    >>> turns_and_graduations(-0.5, 2.5, 0.02)
    (-1, 100.0)

    Source: 0.350 in at 0.100 in a turn is 3 turns and 50 graduations of 0.001 in: common practice.
    """
    turns = math.floor((reading + CONTACT) / per_turn)
    shown = (reading - turns * per_turn) / graduation
    whole = round(shown)
    return turns, float(whole) if abs(shown - whole) * graduation <= CONTACT else shown


def on_dial(value: float, per_turn: float, graduation: float, towards: int) -> float:
    """The reading nearest to ``value`` that stands on a graduation; with ``towards`` 1 or −1 the next one that way."""
    turns, shown = turns_and_graduations(value, per_turn, graduation)
    below, above = math.floor(shown), math.ceil(shown)
    whole = above if towards > 0 or (towards == 0 and shown - below > 0.5) else below
    return min(turns * per_turn + whole * graduation, (turns + 1) * per_turn)


def on_step(value: float, step: float, towards: int) -> float:
    """The same for a readout, which knows no turns."""
    shown = value / step
    whole = round(shown)
    if towards and abs(shown - whole) * step > CONTACT:
        whole = math.ceil(shown) if towards > 0 else math.floor(shown)
    return whole * step
