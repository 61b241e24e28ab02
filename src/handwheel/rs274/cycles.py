"""Canned cycles G81 to G89. Source: NISTIR 6556, section 3.5.16. Beyond it G73 (common practice).

A cycle works along the normal of the plane in force. What is said here of Z, X and Y holds for the normal and the two
axes of any plane.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from handwheel.motion import Spindle
from handwheel.rs274.blocks import has_axes
from handwheel.rs274.expressions import whole
from handwheel.rs274.faults import Fault
from handwheel.rs274.mover import CENTRES, Mover
from handwheel.rs274.parameters import Point
from handwheel.rs274.vocabulary import AXES
from handwheel.tolerances import CONTACT, PECK_BACK_OFF

MOST_MOVES: Final = 100_000
"""A block makes no more moves than this: a slip of the pen in L or Q, not a part."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What later blocks of a cycle take over: numbers as lengths (mm) or seconds; ``None``: not given yet."""

    cycle: str = ""
    clear: float | None = None
    depth: float | None = None
    dwell: float | None = None
    peck: float | None = None
    sideways: tuple[float, float] | None = None
    top: float | None = None
    start_level: float = 0.0
    absolute: bool = True


class Hole(NamedTuple):
    """One hole: ``place`` in the plane; levels along the normal, mm: ``clear`` (R), ``bottom``, and ``back``, where the
    cycle ends."""

    place: tuple[float, float]
    clear: float
    bottom: float
    back: float
    settings: Settings


class Cycles:
    """The canned cycles, with what is sticky."""

    def __init__(self, mover: Mover) -> None:
        self._mover = mover
        self._settings: Settings | None = None

    def cancel(self) -> None:
        """Another motion word is in force: the series of cycles is over, and nothing sticks."""
        self._settings = None

    def run(self, cycle: str, words: Mapping[str, float]) -> None:
        """One block of a cycle, with its repeats."""
        state = self._mover.state
        if self._mover.compensation is not None:
            raise Fault(cycle, "no cycle is possible while cutter compensation is on", "write G40 before it")
        if state.inverse_time:
            raise Fault(cycle, "no cycle is possible in inverse time (G93)", "write G94 before it")
        if not has_axes(words):
            raise Fault(cycle, f"{cycle} needs an axis word: X, Y or Z")
        repeats = whole(words.get("L", 1.0))
        if repeats is None or repeats < 1:
            raise Fault("L", "L is how often the cycle is made: a whole number above zero")
        settings = self._settings = self._taken_over(cycle, words)
        self._mover.feed_of(words)
        _check_spindle(cycle, state.modal.spindle)
        _check_numbers(settings)
        if cycle in _DWELLING and "P" in words:
            self._mover.ask_about_dwell(words["P"])
        self._drill(settings, words, repeats)

    def _taken_over(self, cycle: str, words: Mapping[str, float]) -> Settings:
        """The settings of this block: what it says, and what sticks from the blocks before."""
        state = self._mover.state
        first, second, normal = state.axes
        level = state.position[normal]
        before = self._settings or Settings(start_level=level)
        same = before.cycle == cycle and before.absolute == state.absolute
        if same and AXES[normal] not in words and _STICKING.isdisjoint(words):
            return before
        if not same:
            clear = before.clear if before.absolute == state.absolute else None
            before = Settings(cycle, clear, start_level=before.start_level, absolute=state.absolute)

        def length(letter: str, kept: float | None, along: int | None = None) -> float | None:
            if letter not in words:
                return kept
            shift = state.shift[along] if along is not None and state.absolute else 0.0
            return words[letter] * state.scale + shift

        sideways = before.sideways
        if CENTRES[first] in words or CENTRES[second] in words:
            sideways = (words.get(CENTRES[first], 0.0) * state.scale, words.get(CENTRES[second], 0.0) * state.scale)
        return replace(
            before,
            clear=length("R", before.clear, normal),
            depth=length(AXES[normal], before.depth, normal),
            dwell=words.get("P", before.dwell),
            peck=length("Q", before.peck),
            sideways=sideways,
            top=length(CENTRES[normal], before.top, normal),
        )

    def _drill(self, settings: Settings, words: Mapping[str, float], repeats: int) -> None:
        cycle, state = settings.cycle, self._mover.state
        first, second, normal = state.axes
        if settings.clear is None:
            raise Fault(cycle, f"{cycle} needs R, the level from which it feeds")
        if settings.depth is None:
            raise Fault(cycle, f"{cycle} needs {AXES[normal]}, the depth to which it feeds")
        level = state.position[normal]
        clear = settings.clear if state.absolute else level + settings.clear
        bottom = settings.depth if state.absolute else clear + settings.depth
        if clear < bottom:
            raise Fault("R" if "R" in words else "", "R, where the feed begins, is below the bottom of the hole")
        back = max(settings.start_level, clear) if state.return_to_start else clear
        made = _CYCLES[cycle]
        if repeats * _moves_a_hole(settings, clear - bottom) > MOST_MOVES:
            raise Fault("L" if "L" in words else "", f"this block would make more than {MOST_MOVES} moves")
        if level < clear:
            self._mover.rapid(_with(state.position, (normal, clear)))
        for _ in range(repeats):
            target = state.target(words)
            place = (target[first], target[second])
            self._mover.rapid(_with(state.position, (first, place[0]), (second, place[1])))
            if abs(state.position[normal] - clear) > CONTACT:
                self._along(clear, rapid=True)
            made(self, Hole(place, clear, bottom, back, settings))

    def _along(self, level: float, *, rapid: bool = False) -> None:
        """Move along the normal alone."""
        normal = self._mover.state.axes[2]
        target = _with(self._mover.state.position, (normal, level))
        (self._mover.rapid if rapid else self._mover.feed)(target)

    def _across(self, place: tuple[float, float]) -> None:
        """Rapid within the plane alone."""
        first, second, _ = self._mover.state.axes
        self._mover.rapid(_with(self._mover.state.position, (first, place[0]), (second, place[1])))

    def _dwell(self, settings: Settings) -> None:
        assert settings.dwell is not None
        self._mover.dwell(settings.dwell)

    def _g81(self, hole: Hole) -> None:
        self._along(hole.bottom)
        self._along(hole.back, rapid=True)

    def _g82(self, hole: Hole) -> None:
        self._along(hole.bottom)
        self._dwell(hole.settings)
        self._along(hole.back, rapid=True)

    def _g83(self, hole: Hole) -> None:
        peck = hole.settings.peck
        assert peck is not None
        pecks = _pecks(hole.clear - hole.bottom, peck)
        for done in range(1, pecks):
            depth = hole.clear - done * peck
            self._along(depth)
            self._along(hole.back, rapid=True)
            self._along(min(depth + PECK_BACK_OFF, hole.back), rapid=True)
        self._along(hole.bottom)
        self._along(hole.back, rapid=True)

    def _g73(self, hole: Hole) -> None:
        peck = hole.settings.peck
        assert peck is not None
        for done in range(1, _pecks(hole.clear - hole.bottom, peck)):
            depth = hole.clear - done * peck
            self._along(depth)
            self._along(min(depth + PECK_BACK_OFF, hole.clear), rapid=True)
        self._along(hole.bottom)
        self._along(hole.back, rapid=True)

    def _g84(self, hole: Hole) -> None:
        self._along(hole.bottom)
        self._mover.modal(spindle=Spindle.CCW)
        self._along(hole.back)
        self._mover.modal(spindle=Spindle.CW)

    def _g85(self, hole: Hole) -> None:
        self._along(hole.bottom)
        self._along(hole.back)

    def _g86(self, hole: Hole) -> None:
        turning = self._mover.state.modal.spindle
        self._along(hole.bottom)
        self._dwell(hole.settings)
        self._mover.modal(spindle=Spindle.OFF)
        self._along(hole.back, rapid=True)
        self._mover.modal(spindle=turning)

    def _g87(self, hole: Hole) -> None:
        settings, state = hole.settings, self._mover.state
        normal = state.axes[2]
        assert settings.sideways is not None
        assert settings.top is not None
        top = settings.top if state.absolute else hole.bottom + settings.top
        if top < hole.bottom:
            raise Fault(CENTRES[normal], "the level to bore up to is below the level to bore from")
        aside = (hole.place[0] + settings.sideways[0], hole.place[1] + settings.sideways[1])
        turning = state.modal.spindle
        self._across(aside)
        self._mover.modal(spindle=Spindle.OFF)
        self._along(hole.bottom, rapid=True)
        self._across(hole.place)
        self._mover.modal(spindle=turning)
        self._along(top)
        self._along(hole.bottom)
        self._mover.modal(spindle=Spindle.OFF)
        self._across(aside)
        self._along(hole.back, rapid=True)
        self._across(hole.place)
        self._mover.modal(spindle=turning)

    def _g88(self, hole: Hole) -> None:
        turning = self._mover.state.modal.spindle
        self._along(hole.bottom)
        self._dwell(hole.settings)
        self._mover.modal(spindle=Spindle.OFF)
        self._mover.event("operator stop", "retract the spindle by hand")
        self._along(hole.back, rapid=True)
        self._mover.modal(spindle=turning)

    def _g89(self, hole: Hole) -> None:
        self._along(hole.bottom)
        self._dwell(hole.settings)
        self._along(hole.back)


_CYCLES: Final[dict[str, Callable[[Cycles, Hole], None]]] = {
    f"G{number}": getattr(Cycles, f"_g{number}") for number in (73, *range(81, 90))
}
_STICKING: Final = frozenset("IJKPQR")
_DWELLING: Final = frozenset({"G82", "G86", "G88", "G89"})
_PECKING: Final = frozenset({"G73", "G83"})


def _check_spindle(cycle: str, spindle: Spindle) -> None:
    if cycle == "G84" and spindle != Spindle.CW:
        raise Fault(cycle, "right-hand tapping wants the spindle turning clockwise", "write M3 before it")
    if cycle in ("G86", "G87", "G88") and spindle == Spindle.OFF:
        raise Fault(cycle, f"{cycle} stops the spindle and starts it again: it must be turning", "write M3 before it")


def _check_numbers(settings: Settings) -> None:
    """Refuse a cycle whose own numbers (P, Q, I, J, K) are missing or make no sense."""
    cycle = settings.cycle
    if cycle in _DWELLING:
        if settings.dwell is None:
            raise Fault(cycle, f"{cycle} needs P, the seconds to dwell")
        if settings.dwell < 0.0:
            raise Fault("P", "a dwell cannot last less than no time")
    if cycle in _PECKING:
        if settings.peck is None:
            raise Fault(cycle, f"{cycle} needs Q, the depth of a peck")
        if settings.peck <= 0.0:
            raise Fault("Q", "Q, the depth of a peck, is above zero")
    if cycle == "G87" and (settings.sideways is None or settings.top is None):
        raise Fault(cycle, "G87 needs I, J and K: how far to go sideways, and how far up to bore")


def _pecks(depth: float, peck: float) -> int:
    return max(1, math.ceil((depth - CONTACT) / peck))


def _moves_a_hole(settings: Settings, depth: float) -> float:
    if settings.cycle in _PECKING and settings.peck is not None and settings.peck > 0.0:
        return 3.0 * depth / settings.peck + 4.0
    return 13.0 if settings.cycle == "G87" else 4.0


def _with(point: Point, *changes: tuple[int, float]) -> Point:
    changed = list(point)
    for axis, value in changes:
        changed[axis] = value
    return (changed[0], changed[1], changed[2])
