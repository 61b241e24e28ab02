"""What may be off, and how that goes on through what is done: a slide keeps the error of its setting until it is wound
again, a dial set there carries it on, and a face cut there is what the next cutter is touched on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from handwheel.proof.budget.inputs import Input

Floats = NDArray[np.float64]
Off = Mapping[int, float]
"""How far a thing is off for a mm of each cause, by the cause's number."""


def together(*offs: Off, times: float = 1.0) -> dict[int, float]:
    """The sum of several, each times as much."""
    found: dict[int, float] = {}
    for one in offs:
        for cause, by in one.items():
            found[cause] = found.get(cause, 0.0) + times * by
    return {cause: by for cause, by in found.items() if by}


@dataclass(frozen=True)
class Cause:
    """One thing that may be off by ``given.value`` either way, all values alike; ``always`` is off by just that."""

    given: Input
    always: bool = False

    @property
    def mean(self) -> float:
        """What it is off by on the average, mm."""
        return self.given.value if self.always else 0.0

    @property
    def width(self) -> float:
        """How far it may lie from its mean either way, mm."""
        return 0.0 if self.always else self.given.value


@dataclass
class Ledger:
    """The causes of one route as they are met, and where they get to.

    ``start`` and ``end`` hold for each move, by its row and axis, how far its two ends are off; ``diameter`` for each
    tool.
    """

    causes: list[Cause] = field(default_factory=list)
    start: dict[tuple[int, int], dict[int, float]] = field(default_factory=dict)
    end: dict[tuple[int, int], dict[int, float]] = field(default_factory=dict)
    diameter: dict[int, dict[int, float]] = field(default_factory=dict)

    def new(self, given: Input, *, always: bool = False) -> dict[int, float]:
        """Enter a cause; what follows it wholly is off by this."""
        self.causes.append(Cause(given, always))
        return {len(self.causes) - 1: 1.0}

    def shift(self, row: int, axis: int, by: Off) -> None:
        """Both ends of a move off by so much more."""
        for ends in (self.start, self.end):
            ends[row, axis] = together(ends.get((row, axis), {}), by)

    def answers(self, row: int, tool: int, follows: Floats) -> Floats:
        """(c,) how one end of a stretch goes for a mm of each cause, where it follows its move by ``follows``."""
        found = np.zeros(len(self.causes))
        offs = [*(self.start.get((row, axis), {}) for axis in range(3))]
        offs += [*(self.end.get((row, axis), {}) for axis in range(3)), self.diameter.get(tool, {})]
        for by, off in zip(follows, offs, strict=True):
            for cause, each in off.items():
                found[cause] += by * each
        return found
