"""Coordinate systems and axis offsets: G10 L2, G54 to G59.3, the G92 family. Source: NISTIR 6556, sections 3.5.5,
3.5.13 and 3.5.18. Beyond it (common practice): the systems of G54.1 P, which G10 L20 sets, and the shift of G52."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from handwheel.rs274 import parameters as numbers
from handwheel.rs274.blocks import has_axes
from handwheel.rs274.expressions import whole
from handwheel.rs274.faults import Fault
from handwheel.rs274.parameters import Point
from handwheel.rs274.state import State
from handwheel.rs274.vocabulary import AXES, SYSTEMS

_NONE: Final[Point] = (0.0, 0.0, 0.0)
MOST_FURTHER: Final = 48
"""Systems after the ninth: G54.1 P1 to P48."""


def select(state: State, number: int) -> None:
    """Take coordinate system 1…9 into force, or one after the ninth: those start at the machine's own zero."""
    state.system = number
    state.parameters[numbers.ACTIVE_SYSTEM] = float(number)
    if number <= len(SYSTEMS):
        state.origin = state.parameters.point(numbers.system_origin(number))
    else:
        state.origin = state.further_origins.get(number, _NONE)
    state.update_shift()


def further(words: Mapping[str, float], code: str) -> int:
    """The number of the coordinate system that ``P`` names after the ninth: 10 for P1."""
    number = whole(words.get("P", 0.0))
    if number is None or not 1 <= number <= MOST_FURTHER:
        raise Fault("P" if "P" in words else code, f"P names a coordinate system of G54.1: P1 to P{MOST_FURTHER}")
    return len(SYSTEMS) + number


def define_further(state: State, words: Mapping[str, float]) -> None:
    """G10 L20: set the origin of a coordinate system after the ninth along the axes named; nothing moves."""
    number = further(words, "G10")
    state.further_origins[number] = _named(state, words, state.further_origins.get(number, _NONE))
    if number == state.system:
        select(state, number)


def shift(state: State, words: Mapping[str, float]) -> None:
    """G52: shift every coordinate system along the axes named, by as much as they say; zero takes it back."""
    if not has_axes(words):
        raise Fault(
            "G52", "G52 needs an axis word", "write how far to shift along X, Y or Z; G52 X0 Y0 Z0 takes it back"
        )
    state.local_shift = _named(state, words, state.local_shift)
    state.update_shift()


def unshift(state: State) -> None:
    """The end of G52's shift."""
    state.local_shift = _NONE
    state.update_shift()


def define(state: State, words: Mapping[str, float]) -> None:
    """G10 L2: set the origin of a coordinate system along the axes named; nothing moves."""
    if whole(words.get("L", 0.0)) != 2:
        raise Fault("G10", "G10 is known with L2 alone", "write G10 L2 P… X… Y… Z…")
    number = whole(words.get("P", 0.0))
    if number is None or not 1 <= number <= len(SYSTEMS):
        raise Fault("P" if "P" in words else "G10", "P names a coordinate system: P1 is G54, P9 is G59.3")
    first = numbers.system_origin(number)
    old = state.parameters.point(first)
    state.parameters.store_point(first, _named(state, words, old))
    if number == state.system:
        select(state, number)


def offset_axes(state: State, words: Mapping[str, float]) -> None:
    """G92: give the present point new coordinates along the axes named."""
    if not has_axes(words):
        raise Fault("G92", "G92 needs an axis word", "write the coordinates that the present point is to have")
    old, position = state.axis_offset, state.position
    here: Point = tuple(position[n] - state.shift[n] + old[n] for n in range(3))  # type: ignore[assignment]
    wanted = _named(state, words, _NONE)
    new: Point = tuple(here[n] - wanted[n] if axis in words else old[n] for n, axis in enumerate(AXES))  # type: ignore[assignment]
    state.parameters.store_point(numbers.AXIS_OFFSET, new)
    _take(state, new)


def clear_offset(state: State, forget: bool) -> None:
    """G92.1 (``forget``: the parameters too) or G92.2."""
    if forget:
        state.parameters.store_point(numbers.AXIS_OFFSET, _NONE)
    _take(state, _NONE)


def restore_offset(state: State) -> None:
    """G92.3."""
    _take(state, state.parameters.point(numbers.AXIS_OFFSET))


def _take(state: State, offset: Point) -> None:
    state.axis_offset = offset
    state.update_shift()


def _named(state: State, words: Mapping[str, float], otherwise: Point) -> Point:
    """The axis words as lengths; ``otherwise`` where an axis has none."""
    return tuple(words[axis] * state.scale if axis in words else otherwise[n] for n, axis in enumerate(AXES))  # type: ignore[return-value]
