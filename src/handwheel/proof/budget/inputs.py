"""The inputs of the error budget: each with its value and source, and the job's own value where it gives one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from handwheel.job import Job
from handwheel.job.assumptions import LENGTHS, NUMBERS, SLIDE_NAMES
from handwheel.shop.machines import Slide
from handwheel.units import PROGRAM_DECIMALS, from_units

PRACTICE: Final = "common practice"
THE_JOB: Final = "the job file"


@dataclass(frozen=True, slots=True)
class Input:
    """``value`` in mm (plus and minus), or a plain number; ``source`` of it."""

    name: str
    value: float
    source: str


@dataclass(frozen=True)
class Inputs:
    """All inputs for one job."""

    job: Job

    def length(self, name: str) -> Input:
        """One of :data:`LENGTHS`."""
        inches, millimeters = LENGTHS[name]
        usual = from_units(inches, "in") if self.job.units == "in" else millimeters
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
