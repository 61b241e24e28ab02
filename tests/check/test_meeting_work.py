"""What of a tool meets standing work, on a plain block 80 × 60 × 40 with its left front top corner at zero."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from plain_block import END_MILL, TURNING, arc, codes, inspection, joined, moves

from handwheel.check import Finding, clearances, findings
from handwheel.check.machinery.bent_rapid import legs
from handwheel.motion import Kind, Modal, Spindle, Tool
from handwheel.plan import Route

MILLIONTH_OF_AN_INCH = 25.4e-6
OFF = (-30.0, -30.0, 20.0)


def found(code: str, *tables, **known) -> Finding | None:  # type: ignore[no-untyped-def]
    """The finding of that code, if there is one."""
    return next((one for one in findings(inspection(joined(*tables), **known)) if one.code == code), None)


def test_a_side_cut_beside_the_work_meets_nothing() -> None:
    beside = moves((-20.0, -10.0, -5.0), (100.0, -10.0, -5.0), kind=Kind.RAPID)
    assert codes(inspection(beside)) == ["low-rapid"]
    assert codes(inspection(beside, route=Route.BY_HAND)) == []


def test_a_level_rapid_at_depth_is_told_within_the_cutters_radius_of_work_and_jaws() -> None:
    """A cutter of 20 mm beside a block whose front is at Y = 0: its flank is −y − 10 away; told under 10 mm."""

    def pass_at(y: float, z: float) -> Finding | None:
        return found("low-rapid", moves((-60.0, y, z), (140.0, y, z), kind=Kind.RAPID), parallels=20.0)

    near = pass_at(-19.0, -3.0)
    assert near is not None
    assert (near.level, near.line) == ("warn", 1)
    assert "9 mm from the work" in near.message
    assert pass_at(-21.0, -3.0) is None  # 11 mm from the work, and far above the jaws
    over = pass_at(-25.0, -15.0)  # over the movable jaw, whose top is at −20 + the jaws' height over the parallels
    assert over is not None
    assert "from the movable jaw" in over.message
    assert pass_at(-11.0, 1.0) is None  # over the top of the work


def test_up_and_down_beside_the_work_is_no_low_rapid() -> None:
    assert found("low-rapid", moves((40.0, -12.0, 20.0), (40.0, -12.0, -8.0), kind=Kind.RAPID)) is None


@pytest.mark.parametrize("deep", [MILLIONTH_OF_AN_INCH, 0.01, 3.0])
def test_a_rapid_that_shaves_a_side_is_found_however_thin_the_shaving(deep: float) -> None:
    one = found("rapid-through-work", moves((-20.0, -10.0 + deep, -5.0), (100.0, -10.0 + deep, -5.0), kind=Kind.RAPID))
    assert one is not None
    assert (one.level, one.line, one.count) == ("stop", 1, 1)
    assert "5 mm below its top" in one.message


def test_a_rapid_over_ground_that_was_cut_before_is_clear() -> None:
    cut = moves((-20.0, -2.0, -5.0), (100.0, -2.0, -5.0))
    back = moves((100.0, -2.0, -5.0), (-20.0, -2.0, -5.0), kind=Kind.RAPID)
    assert found("rapid-through-work", cut, back) is None
    assert found("rapid-through-work", back, cut) is not None


def test_a_side_deeper_than_the_flutes_is_found_in_one_pass_but_not_in_two() -> None:
    """Flutes of 30 mm, a side 36 deep: in one pass 6 stands above them."""
    whole = moves((-20.0, -8.0, -36.0), (100.0, -8.0, -36.0))
    half = moves((-20.0, -8.0, -18.0), (100.0, -8.0, -18.0))
    one = found("deeper-than-flutes", whole)
    assert one is not None
    assert "6 mm above them" in one.message
    assert found("deeper-than-flutes", half, moves((100.0, -8.0, -18.0), (100.0, -8.0, -30.0)), whole) is None


@pytest.mark.parametrize("pecks", [(-36.0,), (-5.0, -10.0, -15.0, -20.0, -25.0, -30.0, -35.0, -36.0)])
def test_pecking_does_not_hide_that_a_hole_is_deeper_than_the_flutes(pecks: tuple[float, ...]) -> None:
    """Flutes of 30 mm, a hole 36 deep: 6 of it stands above them, in one go or by pecks."""
    drill = Tool(1, "drill", 8.0, 2, 30.0, 8.0, 50.0, 30.0, 60.0, point_angle=118.0, centre_cutting=True)
    points = [(40.0, 30.0, 2.0)]
    for depth in pecks:
        points += [(40.0, 30.0, depth), (40.0, 30.0, 2.0)]
    one = found("deeper-than-flutes", moves(*points), tools=[drill])
    assert one is not None
    assert one.level == "stop"
    assert found("deeper-than-flutes", moves(*points), tools=[replace(drill, flute_length=37.0)]) is None


def test_a_shank_as_thick_as_its_mill_rubs_on_the_walls_of_a_slot_cut_in_steps() -> None:
    """Flutes of 15 mm, a slot 18 deep in steps of 3: the shank is 3 deep between its walls; a thinner one goes free."""
    short = replace(END_MILL, flute_length=15.0)
    levels = [moves((-20.0, 30.0, -3.0 * k), (100.0, 30.0, -3.0 * k)) for k in range(1, 7)]
    one = found("shank-beside-wall", *levels, tools=[short])
    assert one is not None
    assert (one.level, one.line, one.count) == ("warn", 6, 1)
    assert found("deeper-than-flutes", *levels, tools=[short]) is None
    assert found("shank-beside-wall", *levels, tools=[replace(short, shank=19.0)]) is None
    assert found("shank-beside-wall", *levels[:5], tools=[short]) is None


def test_a_shank_wider_than_its_flutes_rubs_on_a_wall_that_the_flutes_have_passed() -> None:
    wide = replace(END_MILL, flute_length=10.0, shank=25.0)
    upper = moves((-20.0, -8.0, -9.0), (100.0, -8.0, -9.0))
    lower = moves((100.0, -8.0, -18.0), (-20.0, -8.0, -18.0))
    one = found("shank-rubs-work", upper, lower, tools=[wide])
    assert one is not None
    assert "8 mm deep" in one.message  # flutes end at −18 + 10
    assert one.line == 2
    assert found("shank-rubs-work", upper, lower, tools=[replace(wide, shank=20.0)]) is None


def test_a_holder_runs_into_the_work_beside_a_deep_side() -> None:
    """Reach 30 on a cutter whose tip is at −36: the holder's nose, 50 wide, is at −6 and the wall 10 from the axis."""
    short = replace(END_MILL, reach=30.0)
    tables = [moves((-20.0, -10.0 - 1e-3, z), (100.0, -10.0 - 1e-3, z)) for z in (-18.0, -36.0)]
    one = found("holder-hits-work", *tables, tools=[short])
    assert one is not None
    assert one.line == 2
    assert clearances(inspection(joined(*tables), tools=[short])).holder == pytest.approx(-6.0, abs=1e-9)


def test_the_holders_room_over_a_floor_is_the_height_of_its_nose_above_that_floor() -> None:
    """All of the top milled down to −3, then a slot 20 wide and 20 deep: the nose, 40 above the tip, is 23 above it."""
    rows = [moves((-20.0, y, -3.0), (100.0, y, -3.0)) for y in (0.0, 15.0, 30.0, 45.0, 60.0)]
    slot = moves((-20.0, 30.0, -20.0), (100.0, 30.0, -20.0))
    assert clearances(inspection(joined(*rows, slot))).holder == pytest.approx(23.0, abs=1e-9)


def test_the_holders_room_is_the_height_of_its_nose_above_the_work() -> None:
    """Reach 40, tip at −30 beside the work: the nose is 10 above the top that it overhangs."""
    beside = moves((-20.0, -12.0, -30.0), (100.0, -12.0, -30.0))
    assert clearances(inspection(beside)).holder == pytest.approx(10.0, abs=1e-9)
    assert clearances(inspection(beside.shifted([0.0, 0.0, 20.0]))).holder is None  # 30 mm: not near


def test_a_cutter_without_teeth_over_its_centre_must_not_plunge() -> None:
    face = replace(END_MILL, centre_cutting=False)
    plunge = moves((40.0, 30.0, 5.0), (40.0, 30.0, -2.0))
    one = found("plunge-not-centre-cutting", plunge, tools=[face])
    assert one is not None
    assert "2 mm" in one.message
    assert found("plunge-not-centre-cutting", plunge, tools=[END_MILL]) is None
    beside = moves((-12.0, 30.0, 5.0), (-12.0, 30.0, -2.0))
    assert found("plunge-not-centre-cutting", beside, tools=[face]) is None
    overlapping = moves((-8.0, 30.0, 5.0), (-8.0, 30.0, -2.0))  # its rim has teeth
    assert found("plunge-not-centre-cutting", overlapping, tools=[face]) is None


@pytest.mark.parametrize(("angle", "steep"), [(3.0, False), (8.0, True)])
def test_it_may_ramp_a_little(angle: float, steep: bool) -> None:
    """Common practice: about 5 degrees."""
    face = replace(END_MILL, centre_cutting=False)
    ramp = moves((20.0, 30.0, 0.0), (60.0, 30.0, -40.0 * math.tan(math.radians(angle))))
    assert (found("plunge-not-centre-cutting", ramp, tools=[face]) is not None) == steep
    drop = 2 * math.pi * 10.0 * math.tan(math.radians(angle))
    helix = arc((50.0, 30.0, 0.0), (40.0, 30.0), 2 * math.pi, -drop)
    assert (found("plunge-not-centre-cutting", helix, tools=[face]) is not None) == steep


@pytest.mark.parametrize(
    ("modal", "code"),
    [
        (replace(TURNING, spindle=Spindle.OFF), "spindle-stopped"),
        (replace(TURNING, rpm=0.0), "spindle-stopped"),
        (replace(TURNING, spindle=Spindle.CCW), "spindle-reversed"),
    ],
)
def test_a_spindle_that_does_not_turn_rightly_is_found_at_the_first_cut(modal: Modal, code: str) -> None:
    in_air = moves((-40.0, -40.0, 0.0), (-20.0, -8.0, -5.0), modal=modal)
    one = found(code, in_air, moves((-20.0, -8.0, -5.0), (100.0, -8.0, -5.0), modal=modal))
    assert one is not None
    assert (one.level, one.line, one.count) == ("stop", 2, 1)
    assert found(code, in_air) is None


def test_a_tap_may_turn_backwards() -> None:
    tap = replace(END_MILL, shape="tap", diameter=8.0, shank=8.0, pitch=1.25)
    backwards = replace(TURNING, spindle=Spindle.CCW)
    assert found("spindle-reversed", moves((40.0, 30.0, 5.0), (40.0, 30.0, -5.0), modal=backwards), tools=[tap]) is None


def test_a_rapid_bends_where_its_axes_are_there_at_different_times() -> None:
    """All start at one rate: 10 along X, Y and Z together, then 20 more along Y and Z, then 30 more along Z."""
    first, second, third = legs(moves((0.0, 0.0, 0.0), (10.0, -30.0, 60.0), kind=Kind.RAPID))
    assert first.end[0].tolist() == [10.0, -10.0, 10.0]
    assert second.end[0].tolist() == [10.0, -30.0, 30.0]
    assert third.end[0].tolist() == [10.0, -30.0, 60.0]


def test_a_rapid_that_is_clear_only_on_the_straight_line_is_told() -> None:
    """Up over the block's edge, twice as far up as along; at equal rates it goes into the edge first."""
    away = moves((-15.0, 30.0, -10.0), (65.0, 30.0, 150.0), kind=Kind.RAPID)
    assert found("dog-leg", away) is not None
    assert found("rapid-through-work", away) is None
    assert found("dog-leg", away, route=Route.BY_HAND) is None
    assert found("dog-leg", moves((-15.0, 30.0, 5.0), (65.0, 30.0, 150.0), kind=Kind.RAPID)) is None


def test_a_rapid_whose_bent_path_meets_the_vise_is_told() -> None:
    """Towards the fixed jaw from 27.5 mm beside it and 40 below its top, rising twice as fast: 15 clear at its edge.
    At equal rates the cutter is still 12.5 too low there."""
    fixed = inspection(moves(OFF, OFF)).setup.fixed_jaw
    edge, back, top = fixed.low[0] - 10.0, fixed.centre[1], fixed.high[2]
    away = moves((edge - 27.5, back, top - 40.0), (edge + 72.5, back, top + 160.0), kind=Kind.RAPID)
    one = found("dog-leg", away)
    assert one is not None
    assert "vise" in one.message
    assert "12.5 mm too low" in one.message
    assert found("cutter-hits-vise", away) is None
