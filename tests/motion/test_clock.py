"""The machine's clock against closed forms of mechanics: distance to full speed is v²/(2a)."""

from __future__ import annotations

import math
import time
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.motion import Control, Kind, Modal, Moves, MovesBuilder, PathMode, Plane
from handwheel.motion.clock import CORNER_TIME, seconds

EXACT_STOP = Modal(path_mode=PathMode.EXACT_STOP)
EXACT_PATH = Modal(path_mode=PathMode.EXACT_PATH)
CONTINUOUS = Modal(path_mode=PathMode.CONTINUOUS)
CONTROL = Control(rapid=6000.0, feed_max=3000.0, acceleration=100.0)


def straight(points: list[tuple[float, float, float]], modal: Modal, feed: float = 600.0) -> Moves:
    builder = MovesBuilder()
    for start, end in pairwise(points):
        builder.add(Kind.FEED, start, end, modal, feed=feed)
    return builder.build()


def test_a_long_move_gains_holds_and_loses_speed() -> None:
    # 10 mm/s at 100 mm/s²: 0.5 mm and 0.1 s each end, 9 mm at full speed
    times = seconds(straight([(0, 0, 0), (10, 0, 0)], EXACT_STOP), CONTROL)
    assert times == pytest.approx([1.1])


def test_a_short_move_never_reaches_its_speed() -> None:
    # 0.25 mm up and down again: 2·sqrt(0.25/100) s
    times = seconds(straight([(0, 0, 0), (0.25, 0, 0)], EXACT_STOP), CONTROL)
    assert times == pytest.approx([0.1])


def test_a_feed_beyond_the_machine_is_held_to_its_limit() -> None:
    # 50 mm/s at 100 mm/s²: 12.5 mm and 0.5 s each end
    times = seconds(straight([(0, 0, 0), (125, 0, 0)], EXACT_STOP, feed=1e6), CONTROL)
    assert times == pytest.approx([3.0])


def test_a_rapid_takes_as_long_as_its_slowest_axis() -> None:
    builder = MovesBuilder()
    builder.add(Kind.RAPID, (0, 0, 0), (300, 400, -100), EXACT_PATH)
    # 100 mm/s at 100 mm/s²: 50 mm and 1 s each end of 400 mm
    assert seconds(builder.build(), CONTROL) == pytest.approx([5.0])


def test_an_arc_is_as_long_as_its_path() -> None:
    builder = MovesBuilder()
    builder.add(Kind.ARC, (5, 0, 0), (5, 0, 0), EXACT_STOP, feed=600.0, centre=(0, 0, 0), turn=2 * math.pi)
    assert seconds(builder.build(), CONTROL) == pytest.approx([math.pi + 0.1])


def test_a_helix_counts_its_rise() -> None:
    builder = MovesBuilder()
    rise = 10 * math.pi * math.sqrt(3)
    builder.add(Kind.ARC, (5, 0, 0), (5, 0, rise), EXACT_STOP, feed=600.0, centre=(0, 0, 0), turn=2 * math.pi)
    # the path makes 60° with the plane: twice the turn's length
    assert seconds(builder.build(), CONTROL) == pytest.approx([2 * math.pi + 0.1])


def test_a_dwell_takes_its_own_time_and_a_move_of_no_length_none() -> None:
    builder = MovesBuilder()
    builder.add(Kind.DWELL, (0, 0, 0), (0, 0, 0), EXACT_PATH, seconds=2.5)
    builder.add(Kind.FEED, (0, 0, 0), (0, 0, 0), EXACT_PATH, feed=100.0)
    builder.add(Kind.RAPID, (0, 0, 0), (0, 0, 0), EXACT_PATH)
    assert seconds(builder.build(), CONTROL) == pytest.approx([2.5, 0.0, 0.0])


@pytest.mark.parametrize("modal", [EXACT_PATH, CONTINUOUS])
def test_smooth_joints_are_passed_at_full_speed(modal: Modal) -> None:
    parts = seconds(straight([(0, 0, 0), (2, 0, 0), (3, 0, 0), (10, 0, 0)], modal), CONTROL)
    assert parts.sum() == pytest.approx(1.1)
    assert parts[1] == pytest.approx(0.1)


def test_exact_stop_comes_to_rest_at_every_joint() -> None:
    parts = seconds(straight([(0, 0, 0), (5, 0, 0), (10, 0, 0)], EXACT_STOP), CONTROL)
    assert parts == pytest.approx([0.6, 0.6])


def test_speed_is_lost_in_time_for_a_slower_move() -> None:
    builder = MovesBuilder()
    builder.add(Kind.FEED, (0, 0, 0), (10, 0, 0), EXACT_PATH, feed=600.0)
    builder.add(Kind.FEED, (10, 0, 0), (20, 0, 0), EXACT_PATH, feed=300.0)
    # first: up to 10 mm/s over 0.5 mm, down to 5 over 0.375 mm; second: from 5 to rest over 0.125 mm
    first = 0.1 + 0.05 + (10 - 0.875) / 10
    second = 0.05 + (10 - 0.125) / 5
    assert seconds(builder.build(), CONTROL) == pytest.approx([first, second])


def test_a_corner_of_an_exact_path_turns_the_velocity_within_the_acceleration() -> None:
    corner = [(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (5.0, 5.0, 0.0)]
    slow = 100.0 * CORNER_TIME / math.sqrt(2)
    each = (10 - slow) / 100 + 0.1 + (5 - (100 - slow**2) / 200 - 0.5) / 10
    assert seconds(straight(corner, EXACT_PATH), CONTROL) == pytest.approx([each, each])


def test_modes_are_ordered_by_their_time() -> None:
    corner = [(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (9.0, 3.0, 0.0)]
    stop, exact, smooth = (seconds(straight(corner, m), CONTROL).sum() for m in (EXACT_STOP, EXACT_PATH, CONTINUOUS))
    assert smooth < exact < stop


def test_an_arc_joins_its_tangent_smoothly() -> None:
    builder = MovesBuilder()
    builder.add(Kind.FEED, (0, 0, 0), (10, 0, 0), EXACT_PATH, feed=600.0)
    builder.add(
        Kind.ARC, (10, 0, 0), (15, 5, 0), EXACT_PATH, feed=600.0, centre=(10, 5, 0), turn=math.pi / 2, plane=Plane.XY
    )
    assert seconds(builder.build(), CONTROL).sum() == pytest.approx((10 + 2.5 * math.pi) / 10 + 0.1)


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=2, max_size=12), st.floats(60, 3000))
def test_a_path_backwards_takes_the_same_time(points: list[tuple[float, float]], feed: float) -> None:
    there = [(x, y, 0.0) for x, y in points]
    total = seconds(straight(there, CONTINUOUS, feed), CONTROL).sum()
    assert seconds(straight(there[::-1], CONTINUOUS, feed), CONTROL).sum() == pytest.approx(total, abs=1e-6)


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=2, max_size=12), st.floats(60, 3000))
def test_no_path_beats_its_feed(points: list[tuple[float, float]], feed: float) -> None:
    moves = straight([(x, y, 0.0) for x, y in points], CONTINUOUS, feed)
    assert seconds(moves, CONTROL).sum() >= moves.length.sum() / feed * 60 - 1e-9


def test_no_moves_take_no_time() -> None:
    assert len(seconds(MovesBuilder().build(), CONTROL)) == 0


def test_a_million_moves_are_timed_within_seconds() -> None:
    count = 1_000_000
    one = straight([(0, 0, 0), (1, 0, 0)], EXACT_PATH)
    moves = one.rows(np.zeros(count, dtype=np.int64))
    begun = time.perf_counter()
    assert len(seconds(moves, CONTROL)) == count
    assert time.perf_counter() - begun < 10
