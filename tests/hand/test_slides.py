"""Dials and screws."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.hand.slides import Screw, on_dial, on_step, turns_and_graduations

INCH = 25.4
LENGTHS = st.floats(-500, 500)
DIALS = st.sampled_from(
    [
        (0.1 * INCH, 0.001 * INCH),
        (0.2 * INCH, 0.001 * INCH),
        (0.125 * INCH, 0.001 * INCH),
        (5.0, 0.02),
        (4.0, 0.05),
        (2.5, 0.02),
    ]
)


def test_350_thou_of_knee_is_three_turns_and_fifty_graduations() -> None:
    """Source: common practice, 0.100 in a turn in 0.001 in graduations."""
    assert turns_and_graduations(0.350 * INCH, 0.1 * INCH, 0.001 * INCH) == (3, 50)


def test_ten_thou_below_zero_is_one_turn_back_and_ninety_on_the_dial() -> None:
    assert turns_and_graduations(-0.010 * INCH, 0.1 * INCH, 0.001 * INCH) == (-1, 90)


def test_a_full_turn_shows_zero_again() -> None:
    assert turns_and_graduations(10.0, 2.5, 0.02) == (4, 0)
    assert turns_and_graduations(10.0 - 1e-10, 2.5, 0.02) == (4, 0)


@given(reading=LENGTHS, dial=DIALS)
def test_turns_and_graduations_add_up_to_the_reading_on_any_slide(reading: float, dial: tuple[float, float]) -> None:
    turns, shown = turns_and_graduations(reading, *dial)
    assert turns * dial[0] + shown * dial[1] == pytest.approx(reading, abs=1e-6)
    assert -1e-9 <= shown * dial[1] < dial[0]


@given(value=LENGTHS, dial=DIALS, towards=st.sampled_from([-1, 1]))
def test_a_setting_is_the_next_graduation_on_the_side_that_was_asked_for(
    value: float, dial: tuple[float, float], towards: int
) -> None:
    setting = on_dial(value, *dial, towards)
    assert -1e-6 <= (setting - value) * towards < dial[1] + 1e-6
    shown = turns_and_graduations(setting, *dial)[1]
    assert shown == pytest.approx(round(shown), abs=1e-6)


@given(value=LENGTHS, step=st.sampled_from([0.005, 0.001, 0.0005 * INCH]), towards=st.sampled_from([-1, 1]))
def test_a_readout_is_set_to_the_next_step_on_the_side_that_was_asked_for(
    value: float, step: float, towards: int
) -> None:
    assert -1e-6 <= (on_step(value, step, towards) - value) * towards < step + 1e-6


def test_a_screw_turned_back_moves_nothing_until_its_play_is_used_up() -> None:
    screw = Screw(at=10.0, turned=10.0, zero=0.0)
    back = screw.turn_to(9.9, backlash=0.25)
    assert (back.at, back.reading) == (10.0, 9.9)
    further = back.turn_to(9.0, backlash=0.25)
    assert (further.at, further.reading) == (9.25, 9.0)
    assert further.turn_to(10.0, backlash=0.25).at == 10.0


@given(figures=st.lists(st.floats(-50, 50), min_size=1, max_size=12), play=st.floats(0, 1))
def test_a_figure_met_in_the_same_direction_is_always_the_same_place(figures: list[float], play: float) -> None:
    screw = Screw(at=0.0, turned=0.0, zero=0.0)
    for figure in figures:
        screw = screw.turn_to(figure - 2.0, play).turn_to(figure, play)
        assert screw.at == pytest.approx(figure, abs=1e-9)
