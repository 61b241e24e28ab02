"""What a proof says."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from handwheel.check import Clearance, Finding, Gauged
from handwheel.cut.heightmap import HeightMap, Volume
from handwheel.cut.part import Part
from handwheel.motion import Moves
from handwheel.setup import Setup
from handwheel.units import Units, to_units

STRUCK: Final = frozenset(
    (
        *("cutter-hits-vise", "cutter-hits-parallels", "cutter-hits-stop", "cutter-hits-table"),
        *("holder-hits-vise", "holder-hits-work", "rapid-through-work", "spindle-stopped"),
    )
)
"""What ends a job at the machine, by its code: a standing cutter that is fed into the work strikes it."""


Verdict = Literal["pass", "fail"]


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
class SetupProof:
    """One set-up, by one route, cut and checked.

    ``moves`` are those commanded, ``tip`` those of the true tip, row by row; lengths in mm, in the set-up's frame.
    ``part`` is the part after it, seen from there. ``power`` is what each move asks of the spindle, (n,) W.
    ``dimensions`` are gauged after the part's last set-up, and empty before.
    """

    job: str
    program: str
    setup: Setup
    findings: tuple[Finding, ...]
    dimensions: tuple[Gauged, ...]
    clearance: Clearance
    heights: HeightMap
    power: NDArray[np.float64]
    seconds: Seconds
    moves: Moves
    tip: Moves
    part: Part

    @property
    def volume(self) -> Volume:
        """How much was there, was removed and is left, mm³, with the bound of its error."""
        return self.heights.volume

    @property
    def verdict(self) -> Verdict:
        """``fail`` exactly when there is a stop or a reject."""
        return verdict_of(self.findings)

    @property
    def struck(self) -> Finding | None:
        """What was struck first, if anything was: there the job ends at a machine, and nobody measures the part."""
        found = [one for one in self.findings if one.code in STRUCK]
        return min(found, key=lambda one: math.inf if one.line is None else one.line, default=None)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it failed, a sentence each."""
        return tuple(one.message for one in self.findings if one.level in ("stop", "reject"))

    def to_json(self) -> dict[str, Any]:
        """How the set-up lies and is held, how near the tools came, what was cut, how long it took; in the job's
        units, unrounded."""
        size, cubed = _sizes_in(self.setup.job.units), to_units(1.0, self.setup.job.units) ** 3
        setup, volume, seconds, clearance = self.setup, self.volume, self.seconds, self.clearance
        return {
            "name": setup.name,
            "program": self.program,
            "up": setup.entry.up.value,
            "fixed_jaw": setup.entry.fixed_jaw.value,
            "clearance": {
                "vise": size(clearance.vise),
                "parallels": size(clearance.parallels),
                "table": size(clearance.table),
                "holder": size(clearance.holder),
            },
            "volume": {
                "stock": volume.stock * cubed,
                "removed": volume.removed * cubed,
                "left": volume.left * cubed,
                "error": volume.error * cubed,
            },
            "seconds": {
                "cutting": seconds.cutting,
                "rapid": seconds.rapid,
                "other": seconds.other,
                "total": seconds.total,
            },
            "moves": len(self.moves),
            "stick_out": size(setup.stick_out),
            "grip": size(setup.grip),
            "air": size(setup.air),
        }

    def engagement_json(self) -> list[dict[str, Any]]:
        """What each move takes: volume, greatest depth and width of cut, removal rate a minute, and power in W."""
        one = to_units(1.0, self.setup.job.units)
        engaged, moves = self.heights.engagement, self.moves
        minutes = np.divide(moves.length, moves.feed, out=np.full(len(moves), np.inf), where=moves.feed > 0)
        rate = np.divide(engaged.volume, minutes, out=np.zeros(len(moves)), where=minutes > 0)
        return [
            {
                "line": int(moves.line[row]),
                "step": int(moves.step[row]) or None,
                "volume": float(engaged.volume[row]) * one**3,
                "depth": float(engaged.depth[row]) * one,
                "width": float(engaged.width[row]) * one,
                "removal_rate": float(rate[row]) * one**3,
                "power_w": float(self.power[row]),
            }
            for row in range(len(moves))
        ]


@dataclass(frozen=True)
class Proof:
    """A part by one route: every set-up in order, and the part gauged after the last."""

    setups: tuple[SetupProof, ...]

    @property
    def job(self) -> str:
        """The job's name."""
        return self.setups[0].job

    @property
    def program(self) -> str:
        """What is proved: the programs' names."""
        return ", ".join(one.program for one in self.setups)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that was found, set-up after set-up."""
        return tuple(finding for one in self.setups for finding in one.findings)

    @property
    def dimensions(self) -> tuple[Gauged, ...]:
        """Every size as it came out."""
        return self.setups[-1].dimensions

    @property
    def part(self) -> Part:
        """The part in its own frame."""
        last = self.setups[-1]
        return last.part.seen_from(last.setup.placement.inverse())

    @property
    def verdict(self) -> Verdict:
        """``fail`` exactly when there is a stop or a reject in any set-up."""
        return verdict_of(self.findings)

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it failed, a sentence each."""
        return tuple(reason for one in self.setups for reason in one.reasons)

    @property
    def struck(self) -> Finding | None:
        """What was struck first, in the first set-up in which anything was."""
        return next((one.struck for one in self.setups if one.struck is not None), None)

    @property
    def seconds(self) -> Seconds:
        """The clock of all set-ups together."""
        each = [one.seconds for one in self.setups]
        cutting, rapid, other = (sum(getattr(one, name) for one in each) for name in ("cutting", "rapid", "other"))
        return Seconds(cutting, rapid, other)

    @property
    def units(self) -> Units:
        """The job's."""
        return self.setups[0].setup.job.units

    def to_json(self, *, engagement: bool = False) -> dict[str, Any]:
        """The object that ``prove --json`` prints and ``report.json`` holds: lengths in the job's units, unrounded;
        names, never paths; with ``engagement`` what each move takes."""
        size = _sizes_in(self.units)
        return {
            "handwheel": 1,
            "job": self.job,
            "program": self.program,
            "units": self.units,
            "verdict": self.verdict,
            "findings": [
                {
                    "level": one.level,
                    "code": one.code,
                    "setup": one.setup,
                    "line": one.line,
                    "step": one.step,
                    "at": None if one.at is None else [size(value) for value in one.at],
                    "count": one.count,
                    "message": one.message,
                }
                for one in self.findings
            ],
            "dimensions": [
                {
                    "name": one.name,
                    "nominal": size(one.nominal),
                    "lower": size(one.lower),
                    "upper": size(one.upper),
                    "measured": size(one.measured),
                    "ok": one.ok,
                }
                for one in self.dimensions
            ],
            "setups": [
                one.to_json() | ({"engagement": one.engagement_json()} if engagement else {}) for one in self.setups
            ],
        }


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    """``fail`` exactly when there is a stop or a reject among them."""
    return "fail" if any(one.level in ("stop", "reject") for one in findings) else "pass"


def _sizes_in(units: Units) -> Callable[[float | None], float | None]:
    """How a length in mm, or none, is told in those units."""
    return lambda length: None if length is None else to_units(length, units) + 0.0
