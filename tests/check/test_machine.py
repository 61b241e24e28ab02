"""Tools, offsets, travel, grip, speeds and power."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from plain_block import END_MILL, TURNING, as_number, codes, inspection, joined, moves
from scipy.integrate import quad

from handwheel.check import LEVELS, Finding, findings, level_of, spindle_power
from handwheel.check.power import cutting_power, mean_chip_thickness
from handwheel.motion import Kind, Modal, Plane, Side
from handwheel.motion.extent import extents
from handwheel.path.box import Box
from handwheel.plan import Route

AIR = (moves((-40.0, -40.0, 20.0), (120.0, -40.0, 20.0)),)


def found(code: str, of) -> Finding | None:  # type: ignore[no-untyped-def]
    return next((one for one in findings(of) if one.code == code), None)


def test_every_code_has_the_level_that_the_reports_promise() -> None:
    assert {level: sum(one == level for one in LEVELS.values()) for level in ("stop", "reject", "warn")} == {
        "stop": 24,
        "reject": 3,
        "warn": 23,
    }
    assert level_of("whatever else") == "note"


def test_the_gravest_comes_first_and_each_level_in_the_order_of_the_blocks() -> None:
    path = joined(
        moves((-40.0, -40.0, 20.0), (-40.0, -40.0, 19.0), modal=replace(TURNING, length=90.0)),
        moves((-20.0, -8.0, -5.0), (100.0, -8.0, -5.0), kind=Kind.RAPID),
    )
    listed = findings(inspection(path, parallels=20.0))
    ranks = [("stop", "reject", "warn", "note").index(one.level) for one in listed]
    assert ranks == sorted(ranks)
    assert [one.code for one in listed if one.level == "stop"] == ["wrong-length-offset", "rapid-through-work"]


def test_feeding_without_a_tool_or_with_one_that_the_job_has_not_is_found() -> None:
    empty = moves((0.0, 0.0, 20.0), (10.0, 0.0, 20.0), modal=replace(TURNING, tool=0))
    strange = moves((0.0, 0.0, 20.0), (10.0, 0.0, 20.0), modal=replace(TURNING, tool=7))
    assert codes(inspection(empty)) == ["no-tool"]
    one = found("no-tool", inspection(strange))
    assert one is not None
    assert "7" in one.message


@pytest.mark.parametrize(
    ("modal", "code"),
    [
        (replace(TURNING, length_slot=None, length=0.0), "no-length-offset"),
        (replace(TURNING, length_slot=0, length=0.0), "no-length-offset"),
        (replace(TURNING, length_slot=2, length=98.0), "wrong-length-offset"),
        (replace(TURNING, length_slot=1, length=100.01), None),  # within the job's tolerance of 0.02
    ],
)
def test_a_length_offset_is_wanted_that_is_the_tools_own(modal: Modal, code: str | None) -> None:
    of = inspection(moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), modal=modal))
    assert codes(of) == ([code] if code else [])
    assert codes(replace(of, route=Route.BY_HAND)) == []


def test_a_wrong_length_says_by_how_much_and_which_way() -> None:
    long = moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), modal=replace(TURNING, length_slot=2, length=98.0))
    one = found("wrong-length-offset", inspection(long))
    assert one is not None
    assert "H2" in one.message
    assert "2 mm lower than the program thinks" in one.message


def test_travelling_home_without_an_offset_hurts_nobody() -> None:
    up = moves(
        (0.0, 0.0, 20.0), (0.0, 0.0, 80.0), kind=Kind.RAPID, modal=replace(TURNING, length_slot=None, length=0.0)
    )
    assert codes(inspection(up)) == []


@pytest.mark.parametrize(("slot", "wrong"), [(1, False), (None, False), (2, True), (9, True)])
def test_a_diameter_offset_is_wanted_that_is_the_cutters(slot: int | None, wrong: bool) -> None:
    small = replace(as_number(END_MILL, 2), diameter=12.0)
    on = moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), modal=replace(TURNING, side=Side.LEFT, diameter_slot=slot))
    assert codes(inspection(on, tools=(END_MILL, small))) == (["wrong-diameter-offset"] if wrong else [])


def test_the_nose_must_stay_within_the_travel_arcs_with_their_bulge() -> None:
    """Tip and nose are 100 apart; travel ends at X 60, at Z 130 upwards."""
    from plain_block import arc

    travel = Box((-100.0, -100.0, 50.0), (60.0, 100.0, 130.0))
    assert found("beyond-travel", inspection(moves((0.0, -40.0, 20.0), (60.0, -40.0, 30.0)), travel=travel)) is None
    high = found("beyond-travel", inspection(moves((0.0, -40.0, 20.0), (60.0, -40.0, 32.5)), travel=travel))
    assert high is not None
    assert high.message == "Z is sent 2.5 mm past its + end of travel"
    bulge = arc((55.0, -60.0, 20.0), (55.0, -50.0), math.pi)
    assert bulge.end[0, 0] == pytest.approx(55.0)
    right = found("beyond-travel", inspection(bulge, travel=travel))
    assert right is not None
    assert right.message == "X is sent 5 mm past its + end of travel"


@pytest.mark.parametrize("plane", list(Plane))
@pytest.mark.parametrize("turn", [-6.0, -2.0, 0.3, 3.0, 2 * math.pi])
def test_an_arc_reaches_as_far_as_its_furthest_moment(plane: Plane, turn: float) -> None:
    from plain_block import arc

    start = [1.0, 2.0, 3.0]
    first, second, _ = plane.axes
    of = arc((1.0, 2.0, 3.0), (start[first] - 3.0, start[second] + 4.0), turn, 2.0, plane)
    points = np.array([of.at(0, share) for share in np.linspace(0.0, 1.0, 10_001)])
    low, high = extents(of)
    assert low[0] == pytest.approx(points.min(axis=0), abs=1e-5)
    assert high[0] == pytest.approx(points.max(axis=0), abs=1e-5)


def test_less_than_a_quarter_of_the_height_is_a_thin_grip() -> None:
    """Work 40 high in jaws of the 125 mm vise: at least 10 is to be held (common practice)."""
    setup = inspection(*AIR).setup
    held = setup.grip
    assert found("thin-grip", inspection(*AIR, parallels=22.0 + held - 10.0)) is None
    one = found("thin-grip", inspection(*AIR, parallels=22.0 + held - 9.9))
    assert one is not None
    assert "9.9 mm" in one.message


def test_the_machine_must_have_the_speed_and_the_feed() -> None:
    job = inspection(*AIR).job
    top = job.by_program.rpm.greatest
    fast = moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), modal=replace(TURNING, rpm=top + 1.0))
    assert codes(inspection(fast)) == ["beyond-machine"]
    hasty = moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), feed=job.by_program.feed_max * 1.1)
    assert codes(inspection(hasty)) == ["beyond-machine"]
    assert codes(inspection(moves((0.0, -40.0, 60.0), (10.0, -40.0, 60.0), feed=0.0))) == ["no-feed"]


def test_air_between_the_cutter_and_the_jaws_is_asked_for() -> None:
    """Half a millimetre (common practice)."""
    setup = inspection(*AIR).setup
    for air, low in ((0.5, False), (0.4, True)):
        over = moves((-20.0, 80.0, setup.jaw_top + air), (100.0, 80.0, setup.jaw_top + air))
        assert (found("low-clearance", inspection(over)) is not None) == low


@pytest.mark.parametrize("width", [1.0, 5.0, 10.0, 20.0])
def test_the_mean_chip_is_that_of_a_tooth_on_its_way_through(width: float) -> None:
    """h = f·sin φ (Kienzle's chip in milling), averaged over the angle of engagement with scipy."""
    last = math.acos(1.0 - 2.0 * width / 20.0)
    mean = quad(lambda angle: 0.1 * math.sin(angle), 0.0, last)[0] / last
    assert mean_chip_thickness(0.1, width, 20.0) == pytest.approx(mean, rel=1e-12)


def test_the_power_of_a_cut_is_its_force_times_its_volume() -> None:
    """Kienzle with kc1.1 = 1500 N/mm², m_c = 0.25 at h = 1/16: (1/16)^−0.25 = 2; 3000 N/mm² · 20 cm³/min = 1 kW."""
    assert cutting_power(1500.0, 0.25, 0.0625, 20_000.0) == pytest.approx(1000.0, rel=1e-12)


def test_the_power_of_a_pass_follows_from_its_width_and_depth() -> None:
    """Slot 20 wide and 6 deep at 100 mm/min: 12 cm³/min; h = 2/π of 100/(500·4) mm."""
    slot = inspection(moves((-20.0, 30.0, -6.0), (100.0, 30.0, -6.0)))
    force = slot.job.material.force
    chip = 2.0 / math.pi * 0.05
    wanted = force.kc11 * chip ** (-force.m_c) * 12_000.0 / 60_000.0
    assert spindle_power(slot)[0] == pytest.approx(wanted, rel=0.05)  # the map's width is within a cell


def test_a_cut_beyond_the_spindles_power_is_an_overload() -> None:
    light, heavy = (moves((-20.0, 30.0, -20.0), (100.0, 30.0, -20.0), feed=feed) for feed in (100.0, 1500.0))
    assert found("overload", inspection(light)) is None
    one = found("overload", inspection(heavy))
    assert one is not None
    assert one.level == "warn"
    assert "kW" in one.message


def test_a_slide_that_is_wound_further_than_it_goes_is_told_by_hand() -> None:
    """Where the work stands on the table is free, how far the table can be wound is not (common practice)."""
    short = inspection(AIR[0], route=Route.BY_HAND)
    assert found("beyond-travel", short) is None
    mill = short.job.by_hand.model_copy(update={"travel": (159.0, 300.0, 400.0)})
    told = found("beyond-travel", replace(short, setup=replace(short.setup, job=replace(short.job, by_hand=mill))))
    assert told is not None
    assert "table is wound over 160 mm, and has 159 mm" in told.message
