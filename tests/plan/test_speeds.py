"""Spindle speed and feed against the handbook's formulas and the shop's rules."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from jobs import sides

from handwheel.plan import Route, plan, spindle_speed, table_feed
from handwheel.setup import set_up

FOOT = 0.3048
INCH = 25.4


@pytest.mark.parametrize(
    ("feet_a_minute", "inches", "rpm"),
    [
        (100, 0.5, 763.9),  # Machinery's Handbook, cutting-speed formulas (from memory): 12·V / (π·D)
        (60, 0.75, 305.6),  # the same formula by hand: 12 · 60 / (3.14159 · 0.75)
        (300, 2.0, 573.0),
    ],
)
def test_spindle_speed_is_the_handbooks(feet_a_minute: float, inches: float, rpm: float) -> None:
    assert spindle_speed(feet_a_minute * FOOT, inches * INCH) == pytest.approx(rpm, abs=0.05)


def test_metric_spindle_speed_is_the_handbooks() -> None:
    # Machinery's Handbook (from memory): 1000·V / (π·D); 30 m/min on 10 mm is 955 rev/min
    assert spindle_speed(30, 10) == pytest.approx(954.93, abs=0.01)


def test_feed_is_speed_times_teeth_times_chip_load() -> None:
    # Machinery's Handbook (from memory): 400 rev/min, 4 teeth, 0.004 in a tooth: 6.4 in/min
    assert table_feed(400, 4, 0.004 * INCH) == pytest.approx(6.4 * INCH)


def test_the_spindle_gets_the_highest_step_not_above_the_calculated_speed() -> None:
    job = sides("front").job()
    step = plan(set_up(job)[0], Route.BY_HAND).steps[-1]
    steps = job.by_hand.rpm.steps
    assert step.speeds.rpm in steps
    assert step.speeds.rpm <= step.speeds.calculated
    assert not any(step.speeds.rpm < other <= step.speeds.calculated for other in steps)


def test_the_feed_follows_from_the_step_and_not_from_the_calculated_speed() -> None:
    step = plan(set_up(sides("front").job())[0], Route.BY_PROGRAM).steps[-1]
    assert step.speeds.feed_mm_min == pytest.approx(step.speeds.rpm * 4 * step.speeds.feed_per_tooth)


def test_by_hand_nobody_is_asked_to_turn_faster_than_once_a_second() -> None:
    # common practice
    draft = sides("front")
    fast = replace(draft, operations=tuple({**one, "rpm": 1500, "feed_per_tooth": 0.3} for one in draft.operations))
    job = fast.job()
    step = plan(set_up(job)[0], Route.BY_HAND).steps[-1]
    assert step.speeds.feed_mm_min == pytest.approx(60 * job.by_hand.slides.x.per_turn)
    assert step.speeds.held


def test_cutting_speed_is_that_of_the_step_used() -> None:
    step = plan(set_up(sides("front").job())[0], Route.BY_HAND).steps[-1]
    assert step.speeds.cutting_speed == pytest.approx(math.pi * 0.020 * step.speeds.rpm)
