"""Chip and rim speed against the shop's table, on a plain block 80 × 60 × 40 of S235 and an HSS end mill of 20 mm.

The table has 28 m/min and 0.075 mm a tooth for it; handbooks reach up to about twice the gentle values of a training
shop (common practice).
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from plain_block import END_MILL, TURNING, inspection, moves

from handwheel.check import Finding, findings
from handwheel.check.cutting import greatest_chip_thickness
from handwheel.job import read_job
from handwheel.motion import Tool
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import prove_setup, prove_setup_by_hand
from handwheel.setup import set_up

ROOT = Path(__file__).resolve().parents[2]
CODES = ("feed-far-too-high", "feed-too-high", "feed-too-low", "speed-far-too-high", "speed-too-high")


def told(*, feed: float, rpm: float = 445.0, wide: float = 10.0, tool: Tool = END_MILL, deep: float = 5.0) -> list[str]:
    """The codes found where that width of cut is milled off the front at this feed (mm/min) and speed."""
    y = wide - tool.diameter / 2
    side = moves((-20.0, y, -deep), (100.0, y, -deep), modal=replace(TURNING, rpm=rpm), feed=feed)
    return [one.code for one in findings(inspection(side, [tool])) if one.code in CODES]


def first(feed: float, rpm: float) -> Finding:
    side = moves((-20.0, 0.0, -5.0), (100.0, 0.0, -5.0), modal=replace(TURNING, rpm=rpm), feed=feed)
    return next(one for one in findings(inspection(side)) if one.code in CODES)


def test_the_tables_own_feed_and_speed_are_in_order() -> None:
    """28 m/min on 20 mm: 445.6 rev/min; 4 teeth of 0.075 mm: 133.5 mm/min (Machinery's Handbook, from memory)."""
    assert told(feed=133.0) == []


def test_a_feed_with_a_nought_too_many_is_told_with_its_block_and_its_measure() -> None:
    """1330 mm/min at 445 rev/min and 4 teeth: 0.747 mm a tooth, ten times the table's 0.075."""
    one = first(1330.0, 445.0)
    assert (one.level, one.code, one.line, one.count) == ("stop", "feed-far-too-high", 1, 1)
    assert "a chip of 0.747 mm" in one.message
    assert "10 times the 0.075 mm" in one.message


def test_a_speed_with_a_nought_too_many_is_told() -> None:
    """4450 rev/min on 20 mm: π · 0.020 · 4450 = 279.6 m/min, ten times the table's 28."""
    one = first(1330.0, 4450.0)
    assert (one.level, one.code, one.line) == ("stop", "speed-far-too-high", 1)
    assert "280 m/min" in one.message
    assert "10 times the 28 m/min" in one.message


@pytest.mark.parametrize(
    ("share", "codes"), [(1.9, []), (2.1, ["feed-too-high"]), (3.9, ["feed-too-high"]), (4.1, ["feed-far-too-high"])]
)
def test_up_to_twice_the_tables_chip_is_a_matter_of_the_handbook(share: float, codes: list[str]) -> None:
    assert told(feed=133.5 * share) == codes


@pytest.mark.parametrize(("share", "codes"), [(1.4, []), (1.6, ["speed-too-high"]), (4.1, ["speed-far-too-high"])])
def test_up_to_half_above_the_tables_speed_is_a_matter_of_the_handbook(share: float, codes: list[str]) -> None:
    assert told(feed=133.0 * share, rpm=445.6 * share) == codes


def test_a_spindle_too_slow_for_its_feed_takes_a_thick_chip() -> None:
    assert told(feed=133.0, rpm=44.5) == ["feed-far-too-high"]


@pytest.mark.parametrize(("share", "codes"), [(0.3, []), (0.24, ["feed-too-low"]), (0.0006, ["feed-too-low"])])
def test_a_chip_load_typed_as_a_feed_is_told(share: float, codes: list[str]) -> None:
    """0.075 mm a tooth typed where 133 mm a minute are meant is 0.0006 of it."""
    assert told(feed=133.5 * share) == codes


def test_a_thin_cut_may_be_fed_faster_since_its_chip_is_thinner() -> None:
    """Chip thinning: three times the feed on a width of a twentieth of the diameter (common practice)."""
    assert told(feed=400.0, wide=1.0) == []
    assert told(feed=400.0, wide=10.0) == ["feed-too-high"]


@pytest.mark.parametrize("share", [0.02, 0.1, 0.25, 0.5, 0.8, 1.0])
def test_the_chip_is_as_thick_as_the_stretch_between_two_teeths_arcs(share: float) -> None:
    """Two circles of the cutter, a feed apart: the widest gap between them within the width of cut, along a radius."""
    radius, feed = 10.0, 1e-4
    leaves = math.acos(1.0 - 2.0 * share)
    gaps = []
    for k in range(2001):
        angle = leaves * k / 2000
        # from the older circle's centre, its point at this angle; how far it is from the newer circle
        x, y = radius * math.sin(angle), radius * math.cos(angle)
        gaps.append(math.hypot(x + feed, y) - radius)
    assert float(greatest_chip_thickness(feed, share * 2 * radius, 2 * radius)) == pytest.approx(max(gaps), rel=1e-4)


def test_a_ball_that_cuts_with_its_nose_may_turn_faster() -> None:
    """0.2 mm deep a ball of 6 mm cuts 2·√(0.2·5.8) = 2.15 mm wide (geometry): 4000 rev/min are 27 m/min there."""
    ball = Tool(1, "ball end mill", 6.0, 2, 20.0, 6.0, 30.0, 40.0, 50.0, corner_radius=3.0)
    assert told(feed=240.0, rpm=4000.0, tool=ball, wide=4.0, deep=0.2) == []
    assert told(feed=240.0, rpm=4000.0, tool=ball, wide=4.0, deep=3.0) == ["speed-too-high"]


def test_a_tap_is_fed_by_its_pitch_and_not_by_a_chip_load() -> None:
    tap = Tool(1, "tap", 12.0, 4, 20.0, 9.0, 30.0, 40.0, 50.0, pitch=1.75)
    down = moves((40.0, 30.0, 5.0), (40.0, 30.0, -10.0), modal=replace(TURNING, rpm=200.0), feed=350.0)
    assert [one.code for one in findings(inspection(down, [tap])) if one.code in CODES] == []


def test_what_meets_no_metal_may_be_fed_as_it_likes() -> None:
    above = moves((-20.0, 0.0, 5.0), (100.0, 0.0, 5.0), feed=5000.0)
    assert [one.code for one in findings(inspection(above)) if one.code in CODES] == []


@pytest.mark.parametrize("path", sorted(ROOT.glob("examples/*/job.toml")), ids=lambda path: path.parent.name)
def test_the_plans_own_feeds_and_speeds_are_in_order_on_either_route(path: Path) -> None:
    setup = set_up(read_job(path))[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    for proof in (prove_setup(setup, text, "own.nc"), prove_setup_by_hand(setup)):
        assert [one.code for one in proof.findings if one.code in CODES] == []
