"""Which correction brings the next part to the middle of its limits, and whether this one can be mended.

What moves a size is found by cutting (:mod:`handwheel.learn.response`), and a correction is cut before it is advised.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from handwheel.check import Finding
from handwheel.hand.slides import slide_of
from handwheel.job import Dimension
from handwheel.learn.response import Responses, Setting, Slot
from handwheel.plan.offset_table import keyed
from handwheel.proof import Proof
from handwheel.tolerances import CONTACT
from handwheel.units import MM_PER_INCH, on_program_grid, program_number, shop_number, to_units


@dataclass(frozen=True)
class ByProgram:
    """A number of the control's table to be changed; mm. ``moves`` are the other sizes that it moves."""

    slot: Slot
    change: float
    becomes: float
    next_part: float
    moves: tuple[str, ...] = ()


@dataclass(frozen=True)
class ByHand:
    """A setting of the route sheet to be changed; mm. ``line`` is the action's number."""

    step: int
    line: int
    slide: str
    setting: float
    becomes: float
    next_part: float


@dataclass(frozen=True)
class Correction:
    """What to do about one size; mm.

    Attributes
    ----------
    size : its name
    off : how far the parts are from the middle of the limits, + too large
    by_program, by_hand : what to change; ``None`` where nothing there brings the next part into its limits
    mend : whether the last part can be saved by running the last set-up's program once more with the correction
    reason : in a few sentences
    """

    size: str
    off: float
    by_program: ByProgram | None
    by_hand: ByHand | None
    mend: bool
    reason: str

    def to_json(self, units: Any) -> dict[str, Any]:
        """The object in ``corrections``."""

        def size(length: float) -> float:
            return to_units(length, units) + 0.0

        by_program, by_hand = self.by_program, self.by_hand
        told: dict[str, Any] = {"size": self.size}
        if by_program is not None:
            told["by_program"] = {
                "column": by_program.slot.column,
                "number": by_program.slot.number,
                "change": size(by_program.change),
                "becomes": size(by_program.becomes),
                "next_part": size(by_program.next_part),
            }
        if by_hand is not None:
            told["by_hand"] = {
                "step": by_hand.step,
                "line": by_hand.line,
                "setting": size(by_hand.setting),
                "becomes": size(by_hand.becomes),
                "next_part": size(by_hand.next_part),
            }
        nearest = by_program or by_hand
        return told | {
            "next_part": None if nearest is None else size(nearest.next_part),
            "mend": self.mend,
            "reason": self.reason,
        }


def correction(responses: Responses, dimension: Dimension, typical: float, last: float) -> Correction:
    """The correction of one size.

    Parameters
    ----------
    responses : the job's sizes as its settings make them
    dimension : the drawing's size
    typical : what the parts are on the average, mm
    last : what the last one is, mm: the one that may be mended
    """
    middle = (dimension.lower + dimension.upper) / 2.0
    need = middle - typical
    by_program = _by_program(responses, dimension, typical, need)
    by_hand = _by_hand(responses, dimension, typical, need)
    mend = by_program is not None and _can_be_mended(responses, dimension, by_program.slot, last)
    reason = _reason(responses, dimension, -need, by_program, by_hand, mend, last)
    return Correction(dimension.name, -need, by_program, by_hand, mend, reason)


def _by_program(responses: Responses, dimension: Dimension, typical: float, need: float) -> ByProgram | None:
    found = responses.slot_for(dimension.name)
    if found is None:
        return None
    slot, gain = found
    units = responses.routes[0].setup.job.units
    change = on_program_grid(need / gain, units)
    if not change:
        return None
    proof = responses.proof_with_slot(slot, change)
    reached = _reached(proof, dimension, responses.by_program, typical)
    if reached is None:
        return None
    moves = tuple(
        one.name
        for one in proof.dimensions
        if one.name != dimension.name
        and one.measured is not None
        and (old := responses.by_program[one.name]) is not None
        and abs(one.measured - old) > CONTACT
    )
    machine = responses.routes[0].setup.job.by_program

    def held(length: float) -> float:
        return keyed(machine, length) if slot.column == "D" else length

    return ByProgram(slot, held(change), held(responses.holds(slot) + change), reached, moves)


def _by_hand(responses: Responses, dimension: Dimension, typical: float, need: float) -> ByHand | None:
    found = responses.setting_for(dimension.name, need)
    if found is None:
        return None
    setting, gain = found
    step = _step_of(responses, setting)
    change = round(need / gain / step) * step
    if not change:
        return None  # the scale cannot show so little
    proof = responses.proof_with_setting(setting, change)
    reached = _reached(proof, dimension, responses.by_hand, typical)
    if reached is None:
        return None
    return ByHand(
        setting.step,
        setting.numbers[0],
        setting.slide,
        setting.to,
        setting.to + change,
        reached,
    )


def _step_of(responses: Responses, setting: Setting) -> float:
    """What the scale of a setting counts in, mm."""
    mill = responses.routes[0].setup.job.by_hand
    if setting.slide in ("x", "y") and mill.readout_step:
        return mill.readout_step
    graduation: float = slide_of(mill, setting.slide).graduation  # type: ignore[arg-type]
    return graduation


def _reached(proof: Proof, dimension: Dimension, before: Mapping[str, float | None], typical: float) -> float | None:
    """What the next part comes to: as the parts were, and what the cut changed.

    ``None`` where something is unsafe with the correction, or the next part is still out: it is not advised then.
    """
    after = next(one.measured for one in proof.dimensions if one.name == dimension.name)
    old = before[dimension.name]
    if after is None or old is None or any(_is_unsafe(one) for one in proof.findings):
        return None
    reached = typical + after - old
    return reached if dimension.lower - CONTACT <= reached <= dimension.upper + CONTACT else None


def _is_unsafe(finding: Finding) -> bool:
    # a corrected length differs from the planned tool's: that is what it is for
    return finding.level == "stop" and finding.code != "wrong-length-offset"


def _can_be_mended(responses: Responses, dimension: Dimension, slot: Slot, last: float) -> bool:
    """Whether the part, run once more in its last set-up with the correction, comes into its limits.

    It is made as it is by the program with the error in the table, and then cut again without it.
    """
    if dimension.lower - CONTACT <= last <= dimension.upper + CONTACT:
        return False
    found, plain = responses.slot_for(dimension.name), responses.by_program[dimension.name]
    if found is None or plain is None:
        return False
    middle = (dimension.lower + dimension.upper) / 2.0
    wrong = responses.with_slot(slot, (last - plain) / found[1])
    right = responses.with_slot(slot, (middle - plain) / found[1])
    mended = responses.sizes_by_program(wrong, again=right)[dimension.name]
    return mended is not None and dimension.lower - CONTACT <= mended <= dimension.upper + CONTACT


def _reason(
    responses: Responses,
    dimension: Dimension,
    off: float,
    by_program: ByProgram | None,
    by_hand: ByHand | None,
    mend: bool,
    last: float,
) -> str:
    units = responses.routes[0].setup.job.units

    def size(length: float) -> str:
        return f"{shop_number(length, units, 4 if units == 'in' else 3)} {units}"

    told = [f"{dimension.name} is {size(abs(off))} {'over' if off > 0 else 'under'} the middle of its limits."]
    if by_program is not None:
        way, to = ("add", "to") if by_program.change > 0 else ("take", "off")
        told.append(
            f"By program: {way} {size(abs(by_program.change))} {to} {by_program.slot}, which then holds "
            f"{program_number(by_program.becomes, units)}; the next part comes to {size(by_program.next_part)}."
        )
        if by_program.moves:
            told.append(f"It moves {' and '.join(by_program.moves)} as well.")
    if by_hand is not None:
        slide = by_hand.slide if by_hand.slide == "knee" else by_hand.slide.upper()
        told.append(
            f"By hand: in step {by_hand.step}, line {by_hand.line}, set {slide} to {size(by_hand.becomes)} instead of "
            f"{size(by_hand.setting)}; the next part comes to {size(by_hand.next_part)}."
        )
    if by_program is None and by_hand is None:
        told.append(
            "No offset and no setting brings the next part into its limits: look for another cause before anything is "
            "changed."
        )
        told += [
            f"Was it measured in {names}?"
            for factor, names in ((MM_PER_INCH, "inches"), (1.0 / MM_PER_INCH, "millimeters"))
            if math.isclose(last * factor, dimension.nominal, rel_tol=0.05)
        ]
    if not dimension.lower - CONTACT <= last <= dimension.upper + CONTACT and not math.isnan(last):
        told.append(
            "The last part can be mended: leave it in the vise and run the last set-up once more with the correction."
            if mend
            else "The last part cannot be mended by cutting again: stop and tell the instructor."
        )
    return " ".join(told)
