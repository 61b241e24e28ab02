"""How the scales of the job's mill are written on paper."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.hand.slides import SlideName, slide_of, turns_and_graduations
from handwheel.job import Job
from handwheel.tolerances import CONTACT
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

    def between(self, slide: SlideName, reading: float) -> str:
        """Says where a dial stands that is set between two lines; nothing where it stands on one."""
        return "" if self._split(slide, reading)[1].isdigit() else ", half way between two lines"

    def short_dial(self, slide: SlideName, reading: float | None) -> str:
        """``3 t + 50``, to the nearest graduation or the half; a dash where the dial was not set yet."""
        if reading is None:
            return "not set"
        turns, shown = self._split(slide, _to_half(reading, slide_of(self.job.by_hand, slide).graduation))
        return f"{turns} t + {shown}"

    def readout(self, reading: float | None) -> str:
        """A reading as the readout shows it; half way between two figures, the half."""
        if reading is None:
            return "not set"
        step = self.job.by_hand.readout_step
        figure = _to_half(reading, step)
        decimals = self._decimals(step if is_on(figure, step) else step / 2)
        return shop_number(figure, self.job.units, decimals)

    def neighbours(self, reading: float) -> tuple[str, str] | None:
        """The figures next to a reading that stands half way between two; ``None`` for one that the readout shows."""
        step = self.job.by_hand.readout_step
        if is_on(reading, step):
            return None
        return self.readout(reading - step / 2), self.readout(reading + step / 2)

    def length(self, length: float) -> str:
        """A plain size."""
        return shop_number(length, self.job.units)

    def whole(self, length: float) -> str:
        """A size of the mill itself, with every decimal that it has."""
        return shop_number(length, self.job.units, max(3 if self.job.units == "in" else 0, self._decimals(length)))

    def lines_a_turn(self, slide: SlideName) -> str:
        """How many graduations there are round a dial."""
        facts = slide_of(self.job.by_hand, slide)
        return f"{facts.per_turn / facts.graduation:.6g}"

    def about(self, length: float) -> str:
        """A size that is judged by eye: two decimals in inches, one in millimeters, and no noughts at the end."""
        return shop_number(length, self.job.units, 2 if self.job.units == "in" else 1).rstrip("0").rstrip(".")

    def _decimals(self, step: float) -> int:
        number = to_units(step, self.job.units)
        return next(
            (n for n in range(MOST_DECIMALS) if abs(number * 10**n - round(number * 10**n)) < 1e-6), MOST_DECIMALS
        )

    def _split(self, slide: SlideName, reading: float) -> tuple[int, str]:
        facts = slide_of(self.job.by_hand, slide)
        turns, shown = turns_and_graduations(reading, facts.per_turn, facts.graduation)
        return turns, f"{shown:.0f}" if shown == round(shown) else f"{shown:.2f}".rstrip("0")


def is_on(reading: float, step: float) -> bool:
    """Whether a reading stands on a mark of its scale."""
    return abs(reading - round(reading / step) * step) <= CONTACT


def _to_half(reading: float, step: float) -> float:
    """The nearest mark, or the middle of two where the reading stands there."""
    half = round(2 * reading / step) * step / 2
    return half if abs(half - reading) <= CONTACT else round(reading / step) * step
