"""The inputs of the error budget: each with its value and source, and the job's own value where it gives one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from handwheel.errors import JobError, Problem
from handwheel.job import Job
from handwheel.shop.machines import Slide
from handwheel.units import PROGRAM_DECIMALS, from_units

PRACTICE: Final = "common practice"
THE_JOB: Final = "the job file"

SLIDE_NAMES: Final[Mapping[str, str]] = MappingProxyType({"x": "table", "y": "saddle", "knee": "knee"})

LENGTHS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "touch-off feel, cutter": (0.001, 0.02),
        "touch-off feel, edge finder": (0.0005, 0.01),
        "touch-off feel, paper": (0.0005, 0.01),
        "touch-off feel, gauge block": (0.0005, 0.01),
        "cutter diameter, as marked": (0.001, 0.025),
        "cutter diameter, as keyed in": (0.0003, 0.008),
        "tool length, as keyed in": (0.0005, 0.01),
        "repeatability by hand": (0.0005, 0.01),
        "repeatability by program": (0.0002, 0.005),
        "backlash left, by program": (0.0001, 0.002),
    }
)
"""Plus and minus so much, in inches and in millimetres. Source: common practice."""

NUMBERS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "share of backlash left on a dial": 0.1,
        "stiff share of the diameter": 0.8,
        "elasticity of HSS, GPa": 210.0,
        "elasticity of carbide, GPa": 600.0,
        "share by which the cutting force may differ": 0.3,
    }
)
"""Plain numbers. Source: common practice."""

FROM_JOB: Final = (
    *(f"setting step, {name}" for name in SLIDE_NAMES.values()),
    "setting step, by program",
    *(f"backlash left, {name}" for name in SLIDE_NAMES.values()),
)
"""These follow from the job's machines, unless the job's ``[budget]`` says otherwise."""


@dataclass(frozen=True, slots=True)
class Input:
    """``value`` in mm (plus and minus), or a plain number; ``source`` of it."""

    name: str
    value: float
    source: str


@dataclass(frozen=True)
class Inputs:
    """All inputs for one job.

    Raises
    ------
    JobError
        Where the job's ``[budget]`` names one that there is not.
    """

    job: Job

    def __post_init__(self) -> None:
        known = {*LENGTHS, *NUMBERS, *FROM_JOB}
        wrong = [name for name in self.job.budget if name not in known]
        if wrong:
            wanted = f"the inputs are {', '.join(sorted(known))}"
            raise JobError(
                self.job.file,
                [Problem(f'budget."{name}"', None, "is no input of the error budget", wanted) for name in wrong],
            )

    def length(self, name: str) -> Input:
        """One of :data:`LENGTHS`."""
        inches, millimetres = LENGTHS[name]
        usual = from_units(inches, "in") if self.job.units == "in" else millimetres
        return self._own(name) or Input(name, usual, PRACTICE)

    def number(self, name: str) -> float:
        """One of :data:`NUMBERS`."""
        return self.job.budget.get(name, NUMBERS[name])

    def setting(self, slide: str) -> Input:
        """A figure is met within half the readout's step, or half a graduation of the dial."""
        name = f"setting step, {SLIDE_NAMES[slide]}"
        step = self.job.by_hand.readout_step if self._has_readout(slide) else self._slide(slide).graduation
        what = "half the readout's step" if self._has_readout(slide) else "half a graduation"
        return self._own(name) or Input(name, step / 2, what)

    def program_step(self) -> Input:
        """A printed number is within half its last digit."""
        name = "setting step, by program"
        digit = from_units(10.0 ** -PROGRAM_DECIMALS[self.job.units], self.job.units)
        return self._own(name) or Input(name, digit / 2, "half the last digit of a word")

    def play(self, slide: str) -> Input:
        """A readout sees the slide itself; on a dial a share of the play stays in."""
        name = f"backlash left, {SLIDE_NAMES[slide]}"
        if self._has_readout(slide):
            return self._own(name) or Input(name, 0.0, "the readout sees the slide")
        share = self.number("share of backlash left on a dial")
        return self._own(name) or Input(
            name, share * self._slide(slide).backlash, f"{share:g} of the backlash, {PRACTICE}"
        )

    def _own(self, name: str) -> Input | None:
        value = self.job.budget.get(name)
        return None if value is None else Input(name, from_units(value, self.job.units), THE_JOB)

    def _has_readout(self, slide: str) -> bool:
        return bool(self.job.by_hand.readout_step) and slide in ("x", "y")

    def _slide(self, slide: str) -> Slide:
        found: Slide = getattr(self.job.by_hand.slides, slide)
        return found
