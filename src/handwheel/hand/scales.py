"""How the scales of the job's mill are written on paper."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from handwheel.hand.slides import SlideName, slide_of, turns_and_graduations
from handwheel.job import Job
from handwheel.units import shop_number, to_units

MOST_DECIMALS = 6


@dataclass(frozen=True)
class Scales:
    """Dials and readout of a job's mill, as text; readings in mm."""

    job: Job

    def dial(self, slide: SlideName, reading: float) -> str:
        """``3 turns + 50 (.350)``: whole turns from the dial's zero, then what the dial shows; the sum in brackets."""
        turns, shown = self._split(slide, reading)
        graduation = slide_of(self.job.by_hand, slide).graduation
        # a ring set between two graduations needs a digit more
        decimals = self._decimals(graduation if shown.isdigit() else graduation / 2)
        sum_ = shop_number(reading, self.job.units, decimals)
        return f"{turns} {'turn' if abs(turns) == 1 else 'turns'} + {shown} ({sum_})"

    def short_dial(self, slide: SlideName, reading: float | None) -> str:
        """``3 t + 50``, to the nearest graduation; a dash where the dial was not set yet."""
        if reading is None:
            return "not set"
        graduation = slide_of(self.job.by_hand, slide).graduation
        turns, shown = self._split(slide, round(reading / graduation) * graduation)
        return f"{turns} t + {shown}"

    def readout(self, reading: float | None) -> str:
        """A reading as the readout shows it."""
        if reading is None:
            return "not set"
        step = self.job.by_hand.readout_step
        return shop_number(round(reading / step) * step, self.job.units, self._readout_decimals)

    def length(self, length: float) -> str:
        """A plain size."""
        return shop_number(length, self.job.units)

    def about(self, length: float) -> str:
        """A size that is judged by eye: two decimals in inches, one in millimetres."""
        return shop_number(length, self.job.units, 2 if self.job.units == "in" else 1)

    @cached_property
    def _readout_decimals(self) -> int:
        return self._decimals(self.job.by_hand.readout_step)

    def _decimals(self, step: float) -> int:
        number = to_units(step, self.job.units)
        return next(
            (n for n in range(MOST_DECIMALS) if abs(number * 10**n - round(number * 10**n)) < 1e-6), MOST_DECIMALS
        )

    def _split(self, slide: SlideName, reading: float) -> tuple[int, str]:
        facts = slide_of(self.job.by_hand, slide)
        turns, shown = turns_and_graduations(reading, facts.per_turn, facts.graduation)
        return turns, f"{shown:.0f}" if shown == round(shown) else f"{shown:.2f}".rstrip("0")
