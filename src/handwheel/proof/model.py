"""What a proof says."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from handwheel.check import Clearance, Finding, Gauged
from handwheel.cut.heightmap import HeightMap, Volume
from handwheel.cut.part import Part
from handwheel.motion import Moves

STRUCK: Final = frozenset(
    (
        *("cutter-hits-vise", "cutter-hits-parallels", "cutter-hits-table"),
        *("holder-hits-vise", "holder-hits-work", "rapid-through-work", "spindle-stopped"),
    )
)
"""What ends a job at the machine, by its code: a standing cutter that is fed into the work strikes it."""


@dataclass(frozen=True, slots=True)
class Seconds:
    """Time by the machine's clock; ``other`` is dwells and cutter changes."""

    cutting: float
    rapid: float
    other: float

    @property
    def total(self) -> float:
        """All of it."""
        return self.cutting + self.rapid + self.other


@dataclass(frozen=True)
class Proof:
    """One program, or one job by hand, cut, gauged and checked.

    ``moves`` are those commanded, ``tip`` those of the true tip, row by row; lengths in mm. ``power`` is what each move
    asks of the spindle, (n,) W.
    """

    job: str
    program: str
    setup: str
    findings: tuple[Finding, ...]
    dimensions: tuple[Gauged, ...]
    clearance: Clearance
    heights: HeightMap
    power: NDArray[np.float64]
    seconds: Seconds
    moves: Moves
    tip: Moves
    part: Part
    stick_out: float
    grip: float
    air: float | None

    @property
    def volume(self) -> Volume:
        """How much was there, was removed and is left, mm³, with the bound of its error."""
        return self.heights.volume

    @property
    def verdict(self) -> Literal["pass", "fail"]:
        """``fail`` exactly when there is a stop or a reject."""
        return "fail" if any(one.level in ("stop", "reject") for one in self.findings) else "pass"

    @property
    def struck(self) -> Finding | None:
        """What was struck first, if anything was: there the job ends at a machine, and nobody measures the part."""
        found = [one for one in self.findings if one.code in STRUCK]
        return min(found, key=lambda one: math.inf if one.line is None else one.line, default=None)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it failed, a sentence each."""
        return tuple(one.message for one in self.findings if one.level in ("stop", "reject"))
