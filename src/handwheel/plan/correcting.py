"""Correcting a size at a measuring stop: one value, from which every sentence of program, card and packet is made.

How much a number of the control's table changes, and what of it goes back, follow from which of a size's two ends were
cut with which tool and what D held then. Each end's error is written as shares of what is not known: how far each D is
off its cutter. A face that nothing was cut from is where it was touched. Source: geometry; common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from handwheel.plan.model import Measuring, Plan, Step
from handwheel.shop import load_shop
from handwheel.tolerances import CONTACT
from handwheel.units import Units

ASK: Final[Mapping[Units, float]] = {"in": 0.254, "mm": 0.25}
"""A larger error than .010 in or 0.25 mm is no wear: stop and ask (common practice)."""

OPPOSITE: Final = {"front": "back", "back": "front", "left": "right", "right": "left", "top": "bottom"}

NEAR_ENOUGH: Final = 6
"""So many lines to either side of what is wanted each reading is told, further off every second."""

Unknowns = Mapping[str, float]
"""How much of each unknown length an error is."""


@dataclass(frozen=True, slots=True)
class Correction:
    """What a size found at a measuring stop changes; lengths in mm.

    Attributes
    ----------
    measured : the size whose reading decides: the one with the closest limits
    column : ``D`` or ``H`` of the offset table, ``Z`` of the zero table; ``none`` where nothing there makes the size
    number : of the offset
    change : by how much the column's *meaning* (a diameter, a length, a coordinate) changes for each mm of error
    largest : more than this too much: stop and ask
    mendable : more than this too little cannot be mended, or is to be asked about
    is_cut_through : whether it is the cut that limits ``mendable``: that much is still to come off
    back : share of the change that goes back once the corrected step is done
    back_after : the step after which it goes back; ``None``: when the part is done, or nothing goes back
    owner : whose error it is: the cutter's that is corrected, another's, or open
    unseen : what is measured was cut without D, so that a D keyed in wrong does not show
    is_first : nothing was corrected in that column before, so that it holds what was planned
    """

    measured: Measuring
    column: Literal["D", "H", "Z", "none"]
    number: int
    change: float
    largest: float
    mendable: float
    is_cut_through: bool
    back: float
    back_after: int | None
    owner: Literal["this cutter", "another", "open"]
    unseen: bool
    is_first: bool

    def wanted(self, error: float) -> float:
        """What the gauge reads where ``error`` too much is left, mm: a gap is then too small."""
        return self.measured.wanted + (-error if self.measured.is_gap else error)

    def error(self, reading: float) -> float:
        """How much too much is left, mm."""
        return (self.measured.wanted - reading) * (1.0 if self.measured.is_gap else -1.0)


def correction(plan: Plan, step: Step, units: Units, touches_tools: bool = False) -> Correction | None:
    """The correction at a measuring stop; ``None`` at any other step.

    Parameters
    ----------
    plan, step : the steps by program, and the one asked about
    units : the job's, for where to stop and ask
    touches_tools : Z of the zero table is 0 for good, so that a face is corrected through H
    """
    if not step.measuring:
        return None
    measured = min(step.measuring, key=lambda one: one.upper - one.lower)
    index = plan.steps.index(step)
    finish = plan.steps[index + 1]
    errors = _Errors(plan, units, touches_tools)
    column: Literal["D", "H", "Z", "none"] = "D"
    if finish.kind == "face":
        column = "H" if touches_tools else "Z"
    elif step.compensation == "off" or (not finish.sides and not errors.of_d(index)):
        column = "none"  # a wall is roughed without D: with D already right the last cut comes to size by itself
    most = measured.still_to_cut * measured.walls
    mendable = 0.0 if column == "none" else min(most, ASK[units])
    change = -1.0 if column in ("H", "Z") else -2.0 / measured.walls
    back, owner = errors.goes_back(index, change) if column == "D" else (0.0, "this cutter")
    later = column == "D" and _is_used_later(plan, finish)
    return Correction(
        measured=measured,
        column=column,
        number=step.tool.number,
        change=0.0 if column == "none" else change,
        largest=ASK[units],
        mendable=mendable,
        is_cut_through=most <= ASK[units],
        back=back,
        back_after=finish.number if back > CONTACT and later else None,
        owner=owner,  # type: ignore[arg-type]
        unseen=step.compensation != "off" and not finish.sides and finish.kind != "face",
        is_first=step.tool.number not in errors.corrected(index),
    )


def gives_back(plan: Plan, step: Step, units: Units = "in") -> Correction | None:
    """The correction of which a part goes back at a stop that follows this step; ``None`` where no stop does."""
    index = plan.steps.index(step)
    if not index or not plan.steps[index - 1].measuring:
        return None
    made = correction(plan, plan.steps[index - 1], units)
    return made if made is not None and made.back_after == step.number else None


@dataclass(frozen=True, slots=True)
class _Errors:
    """The errors that a plan's cuts leave, as shares of unknown lengths."""

    plan: Plan
    units: Units
    touches_tools: bool

    def corrected(self, until: int) -> set[int]:
        """The tools whose D was corrected at a stop before this step."""
        return {
            one.tool.number
            for one, after in zip(self.plan.steps[:until], self.plan.steps[1 : until + 1], strict=True)
            if one.measuring and one.compensation != "off" and after.kind == "finish"
        }

    def goes_back(self, index: int, change: float) -> tuple[float, str]:
        """Which share of a change goes back so that D is the cutter's own afterwards, and whose error it was."""
        now = self.of_d(index)
        found = self._found(index)
        share = _multiple(now, found)
        if share is None:
            return 1.0, "open"
        # D is to change by -share of the error in all
        return 1.0 - share / -change, "this cutter" if share else "another"

    def of_d(self, index: int) -> Unknowns:
        """By how much D is more than the cutter's own diameter before the step of that index."""
        number = self.plan.steps[index].tool.number
        of_d: Unknowns = {f"diameter {number}": 1.0}
        for at in range(index):
            one, after = self.plan.steps[at], self.plan.steps[at + 1]
            if not one.measuring or one.compensation == "off" or after.kind != "finish" or one.tool.number != number:
                continue
            share = _multiple(of_d, self._found_with(at, of_d))
            # where whose error it is was found, D is right from there on; else all of it goes back
            if share is not None:
                of_d = {}
        return of_d

    def _found(self, index: int) -> Unknowns:
        return self._found_with(index, self.of_d(index))

    def _found_with(self, index: int, of_d: Unknowns) -> Unknowns:
        """What a measuring stop finds: half of what is wrong at each of a size's two ends."""
        step, finish = self.plan.steps[index], self.plan.steps[index + 1]
        number = step.tool.number
        rough: Unknowns = {f"diameter {number}": 0.5}
        if not finish.sides:
            # walls are roughed along the center's own path: only the cutter itself shows there
            first = _half(of_d) if step.measuring[0].walls == 1 else rough
            return _sum(rough, first)
        here = _half(of_d) if self._is_roughed(index) else {}
        edge = str(finish.sides[0].edge)
        return _sum(here, self._of_side(OPPOSITE[edge], index))

    def _is_roughed(self, index: int) -> bool:
        return any(one.kind == "rough" and one.sides for one in self.plan.steps[:index])

    def _of_side(self, edge: str, until: int) -> Unknowns:
        """The error of a side as it is by then: where nothing was cut from it, it is where it was touched."""
        for at in range(until - 1, -1, -1):
            one = self.plan.steps[at]
            if one.kind != "finish" or edge not in {str(side.edge) for side in one.sides}:
                continue
            if one.compensation == "off":
                return {f"diameter {one.tool.number}": 0.5}
            before = self.plan.steps[at - 1] if at else None
            if before is not None and before.measuring:
                # its size was brought to what it should be with the other end: what is wrong there is made up for here
                there = self._of_side(OPPOSITE[edge], at)
                return {name: -share for name, share in there.items()}
            return _half(self.of_d(at))
        return {}


def _multiple(one: Unknowns, of: Unknowns) -> float | None:
    """By how much ``of`` is multiplied to give ``one``: 0 where there is nothing to give; ``None`` where none does."""
    if not one:
        return 0.0
    shares = {one.get(name, 0.0) / share for name, share in of.items() if share}
    if set(one) - set(of) or len(shares) != 1:
        return None
    return shares.pop()


def _half(one: Unknowns) -> Unknowns:
    return {name: share / 2.0 for name, share in one.items()}


def _sum(one: Unknowns, other: Unknowns) -> Unknowns:
    both = {name: one.get(name, 0.0) + other.get(name, 0.0) for name in (*one, *other)}
    return {name: share for name, share in both.items() if abs(share) > CONTACT}


def _uses(step: Step, number: int) -> bool:
    return bool(step.strokes) and step.compensation != "off" and step.tool.number == number


def _is_used_later(plan: Plan, step: Step) -> bool:
    later = plan.steps[plan.steps.index(step) + 1 :]
    return any(_uses(one, step.tool.number) and one.kind != "face" for one in later)


def readings(made: Correction, units: Units) -> Iterator[tuple[float, float]]:
    """Readings of the gauge and the change of the column's meaning for each, from too little to too much; mm.

    Every .001 in or 0.02 mm, half of that where the limits are closer, and never closer than the gauge can tell.
    """
    if made.column == "none":
        return
    line = {"in": 0.0254, "mm": 0.02}[units]
    if made.measured.upper - made.measured.lower < 2.0 * line:
        line /= 2.0
    gauge = load_shop().gauge.get(made.measured.gauge)
    if gauge is not None:
        line *= max(1, math.ceil(gauge.uncertainty(units) / line - 1e-9))
    count = int(made.largest / line + 1e-9)
    fewest = int(made.mendable / line + 1e-9)
    if made.is_cut_through and abs(fewest * line - made.mendable) < CONTACT:
        fewest -= 1  # nothing would be left to cut
    for number in range(-fewest, count + 1):
        if abs(number) > NEAR_ENOUGH and number % 2:
            continue
        yield made.wanted(number * line), made.change * number * line
