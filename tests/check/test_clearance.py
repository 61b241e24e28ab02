"""Clearances against distances that other libraries measure."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from plain_block import END_MILL, arc, joined, moves
from shapely.geometry import LineString, Point, box

from handwheel.check.machinery.nearest import nearest
from handwheel.motion import Moves, Plane, Tool
from handwheel.path.box import Box

MILLIONTH_OF_AN_INCH = 25.4e-6
JAW = Box((0.0, 0.0, -50.0), (100.0, 30.0, -10.0))

BALL = Tool(1, "ball end mill", 12.0, 2, 20.0, 12.0, 30.0, 40.0, 50.0, corner_radius=6.0)
BULL = Tool(1, "corner-radius end mill", 16.0, 4, 25.0, 16.0, 35.0, 40.0, 50.0, corner_radius=3.0)
DRILL = Tool(1, "drill", 10.0, 2, 40.0, 10.0, 60.0, 30.0, 50.0, point_angle=118.0)
CHAMFER = Tool(1, "chamfer mill", 12.0, 4, 10.0, 8.0, 30.0, 30.0, 50.0, point_angle=90.0, tip_diameter=3.0)


def gap(of: Moves, tool: Tool = END_MILL, against: Box = JAW) -> float:
    approach = nearest(of, {1: tool}, [against]).approach
    assert approach is not None
    return approach.gap


coordinate = st.floats(-60.0, 160.0).map(lambda value: round(value, 3))


@settings(max_examples=60, deadline=None)
@given(coordinate, coordinate, coordinate, coordinate)
def test_beside_a_jaw_the_clearance_is_the_distance_of_the_path_less_the_radius(
    x0: float, y0: float, x1: float, y1: float
) -> None:
    """A cylinder at the jaw's height is as far from it as its axis is in plan, less its radius (shapely's distance)."""
    upright = Tool(1, "end mill", 20.0, 4, 60.0, 20.0, 60.0, 20.0, 60.0)
    away = box(0, 0, 100, 30).distance(LineString([(x0, y0), (x1, y1)])) - 10.0
    found = nearest(moves((x0, y0, -40.0), (x1, y1, -40.0)), {1: upright}, [JAW])
    if away > 1e-5:
        got = found.approach.gap if found.approach else 25.0
        assert got == pytest.approx(min(away, 25.0), abs=1e-9)
        assert not found.hits
    elif away < -1e-5:
        assert found.hits[0].lift == pytest.approx(30.0, abs=1e-9)  # from −40 to the jaw's top at −10


@settings(max_examples=40, deadline=None)
@given(coordinate, coordinate, st.floats(5.0, 60.0), st.floats(-6.2, 6.2).filter(lambda turn: abs(turn) > 0.1))
def test_a_level_arc_is_as_far_off_as_its_path_is_in_plan(x: float, y: float, radius: float, turn: float) -> None:
    """Shapely's distance from a path of 20,000 chords, each within r·(turn/20,000)²/8 < 1e-6 mm of the arc."""
    upright = Tool(1, "end mill", 20.0, 4, 60.0, 20.0, 60.0, 20.0, 60.0)
    angles = np.linspace(0.0, turn, 20_001)
    path = LineString(np.column_stack((x - radius + radius * np.cos(angles), y + radius * np.sin(angles))))
    away = box(0, 0, 100, 30).distance(path) - 10.0
    found = nearest(arc((x, y, -40.0), (x - radius, y), turn), {1: upright}, [JAW])
    if away > 1e-5:
        got = found.approach.gap if found.approach else 25.0
        assert got == pytest.approx(min(away, 25.0), abs=2e-6)
    elif away < -1e-5:
        assert found.hits


def solid(tool: Tool, at: tuple[float, float, float], segments: int) -> Manifold:
    """A tool's flutes as flat-sided solids; all circles are drawn outside, so that they are too near, never too far."""
    grow = 1.0 / math.cos(math.pi / segments)
    r = tool.diameter / 2
    if tool.shape == "ball end mill":
        body = Manifold.sphere(r * grow**2, segments).translate((0, 0, r))
        body += Manifold.cylinder(tool.flute_length - r, r * grow, r * grow, segments).translate((0, 0, r))
    elif tool.point_angle < 180.0:
        tip = tool.tip_diameter / 2
        height = (r - tip) / math.tan(math.radians(tool.point_angle / 2))
        body = Manifold.cylinder(height, tip * grow, r * grow, segments)
        if tool.flute_length > height:
            body += Manifold.cylinder(tool.flute_length - height, r * grow, r * grow, segments).translate(
                (0, 0, height)
            )
    else:
        body = Manifold.cylinder(tool.flute_length, r * grow, r * grow, segments)
    return body.translate(at)


@pytest.mark.parametrize("tool", [END_MILL, BALL, DRILL, CHAMFER], ids=lambda tool: tool.shape)
def test_any_cutter_on_a_slope_agrees_with_its_faceted_hull_the_better_the_finer_it_is(tool: Tool) -> None:
    """manifold3d's least gap between box and hull of the two end positions; facets stand out by r·(1/cos²(π/n) − 1)."""
    rng = np.random.default_rng(4)
    jaw = Manifold.cube((100.0, 30.0, 40.0)).translate((0.0, 0.0, -50.0))
    for _ in range(8):
        start, end = ((rng.uniform(-25, 125), rng.uniform(-25, -14), rng.uniform(-16, 2)) for _ in range(2))
        ours = nearest(moves(start, end), {1: tool}, [JAW], parts=("flutes",)).approach
        off = []
        for segments in (32, 128):
            hull = (solid(tool, start, segments) + solid(tool, end, segments)).hull()
            stands_out = tool.diameter / 2 * (1.0 / math.cos(math.pi / segments) ** 2 - 1.0)
            theirs = hull.min_gap(jaw, 60.0)
            assert ours is not None
            assert -1e-9 <= ours.gap - theirs <= stands_out + 1e-6
            off.append(ours.gap - theirs)
        assert off[1] <= off[0] + 1e-9


def test_a_helix_beside_a_corner_is_as_near_as_its_nearest_moment() -> None:
    """Of 200,000 moments, each with its distance in plan from the jaw less the radius, and its height above the top."""
    turn, rise, radius = 4.0, 15.0, 20.0
    helix = arc((-5.0, -30.0, -17.0), (-25.0, -30.0), turn, rise)
    share = np.linspace(0.0, 1.0, 200_001)
    x, y = -25.0 + radius * np.cos(turn * share), -30.0 + radius * np.sin(turn * share)
    z = -17.0 + rise * share
    plan = np.hypot(np.maximum(-x, 0.0), np.maximum(-y, 0.0)) - 10.0
    moments = np.hypot(np.maximum(plan, 0.0), np.maximum(z + 10.0, 0.0))
    ours = nearest(helix, {1: END_MILL}, [JAW], parts=("flutes",)).approach
    assert ours is not None
    assert moments.min() - 1e-4 <= ours.gap <= moments.min() + 1e-7


@pytest.mark.parametrize("plane", [Plane.ZX, Plane.YZ])
def test_an_upright_arc_comes_as_low_as_its_lowest_point(plane: Plane) -> None:
    """A half circle of radius 8 hanging from Z 0 over the jaw, whose top is at −10, stays 2 mm above it."""
    start = (58.0, 15.0, 0.0) if plane is Plane.ZX else (50.0, 23.0, 0.0)
    over = arc(
        start,
        (0.0, 50.0) if plane is Plane.ZX else (15.0, 0.0),
        math.pi if plane is Plane.ZX else -math.pi,
        plane=plane,
    )
    assert min(over.at(0, 0.5)[2], 0.0) == pytest.approx(-8.0)
    assert gap(over) == pytest.approx(2.0, abs=1e-6)


@pytest.mark.parametrize("height", [-8.0, -12.0, -20.0])
def test_over_a_jaw_the_lift_is_the_jaws_top_less_the_tip(height: float) -> None:
    assert gap(moves((20.0, 10.0, height), (60.0, 20.0, height))) == pytest.approx(height + 10.0, abs=1e-9)


def test_a_tip_under_the_jaws_underside_is_lifted_through_the_whole_jaw() -> None:
    """Geometry: 5 mm under a jaw 40 mm high, only the upright side overlaps it; but all of the tool must come out."""
    below = BULL.corner_radius - 1.0
    assert gap(moves((50.0, 15.0, -50.0 - below), (60.0, 15.0, -50.0 - below)), BULL) == pytest.approx(-(40.0 + below))
    short = Tool(1, "end mill", 16.0, 4, 4.0, 16.0, 60.0, 40.0, 50.0)
    assert gap(moves((50.0, 15.0, -55.0), (60.0, 15.0, -55.0)), short) == pytest.approx(-45.0)


def test_a_ball_beside_an_edge_needs_less_lift_than_its_tip_is_deep() -> None:
    """A ball of radius 6, its axis 3.6 beside the edge, is √(6² − 3.6²) = 4.8 lower than its centre over the edge."""
    tip = -13.0
    over = moves((20.0, -3.6, tip), (60.0, -3.6, tip))
    assert gap(over, BALL) == pytest.approx((tip + 6.0 - 4.8) + 10.0, abs=1e-9)


def test_a_ramp_is_as_deep_as_it_gets_over_the_jaw() -> None:
    """Down from −5 to −25 along Y, 60 long: the rim reaches the jaw's front while the axis is 10 before it and leaves
    its back once it is 10 behind; there, at Y 40, the tip is 70/80 of the way down."""
    ramp = moves((50.0, -30.0, -5.0), (50.0, 50.0, -25.0))
    assert gap(ramp) == pytest.approx(-(5.0 + 20.0 * 70.0 / 80.0 - 10.0), abs=1e-9)


@pytest.mark.parametrize("offset", [1.0, -1.0])
@pytest.mark.parametrize("direction", ["beside", "above", "round the corner"])
def test_a_millionth_of_an_inch_decides_between_clear_and_hit(offset: float, direction: str) -> None:
    by = offset * MILLIONTH_OF_AN_INCH
    table = {
        "beside": moves((-20.0, -10.0 - by, -30.0), (120.0, -10.0 - by, -30.0)),
        "above": moves((-20.0, 15.0, -10.0 + by), (120.0, 15.0, -10.0 + by)),
        "round the corner": arc((-10.0 - by, 0.0, -30.0), (0.0, 0.0), math.pi / 2),
    }[direction]
    found = nearest(table, {1: END_MILL}, [JAW])
    assert bool(found.hits) == (offset < 0)
    if offset > 0:
        assert found.approach is not None
        assert found.approach.gap == pytest.approx(by, abs=1e-9)


def test_touching_is_not_hitting() -> None:
    assert gap(moves((-20.0, -10.0, -30.0), (120.0, -10.0, -30.0))) == 0.0


def test_shank_and_holder_are_as_wide_as_they_are() -> None:
    """Beside the jaw with 5 mm of room for the 20 mm cutter, a holder of 50 mm hits as soon as its nose is lower."""
    clear = moves((-40.0, -15.0, -49.9), (140.0, -15.0, -49.9))  # nose at −9.9, the jaw's top at −10
    assert gap(clear) == pytest.approx(0.1, abs=1e-9)
    hit = nearest(moves((-40.0, -15.0, -52.0), (140.0, -15.0, -52.0)), {1: END_MILL}, [JAW])
    assert [(one.part, one.lift) for one in hit.hits] == [("holder", pytest.approx(2.0, abs=1e-9))]


def test_moves_that_hit_are_counted_and_the_first_is_named() -> None:
    path = joined(
        moves((-40.0, 15.0, 10.0), (-40.0, 15.0, -20.0)),
        moves((-40.0, 15.0, -20.0), (50.0, 15.0, -20.0), (50.0, 15.0, -25.0), (-40.0, 15.0, -25.0)),
    )
    (hit,) = nearest(path, {1: END_MILL}, [JAW]).hits
    assert (hit.rows, hit.first, hit.lift) == (3, 1, pytest.approx(15.0))


def test_what_stays_further_away_than_an_inch_has_not_come_near() -> None:
    assert nearest(moves((0.0, 0.0, 20.0), (90.0, 0.0, 20.0)), {1: END_MILL}, [JAW]).approach is None


def test_a_corner_radius_cutter_clears_an_edge_that_a_square_one_hits() -> None:
    """Radius 3 at the foot of a 16 mm cutter, 0.5 over the edge and 0.5 deep: the edge is 2.5·√2 from the radius's
    centre, more than 3."""
    beside = moves((-20.0, -7.5, -10.5), (120.0, -7.5, -10.5))
    square = Tool(1, "end mill", 16.0, 4, 25.0, 16.0, 35.0, 40.0, 50.0)
    assert nearest(beside, {1: square}, [JAW]).hits
    assert gap(beside, BULL) == pytest.approx(2.5 * math.sqrt(2.0) - 3.0, abs=1e-9)


def test_a_still_tool_is_measured_where_it_stands() -> None:
    still = moves((50.0, -25.0, -30.0), (50.0, -25.0, -30.0))
    assert gap(still) == pytest.approx(box(0, 0, 100, 30).distance(Point(50, -25)) - 10.0, abs=1e-12)


size = st.floats(2.0, 60.0).map(lambda value: round(value, 2))


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_whole_tools_agree_with_solids_on_random_vises(data: st.DataObject) -> None:
    """Flutes, shank and holder as 96-sided solids drawn outside; manifold3d's least gap to a random jaw."""
    draw = data.draw
    diameter, shank, nose = draw(size), draw(size), draw(size)
    flutes, neck, length = draw(size), draw(size), draw(size)
    tool = Tool(1, "end mill", diameter, 4, flutes, shank, flutes + neck, nose, length)
    low = [draw(coordinate), draw(coordinate), -draw(size) - 20.0]
    jaw = Box(tuple(low), tuple(corner + draw(size) for corner in low))  # type: ignore[arg-type]
    start, end = ((draw(coordinate), draw(coordinate), draw(st.floats(-60.0, 40.0))) for _ in range(2))
    grow = 1.0 / math.cos(math.pi / 96)
    solid_jaw = Manifold.cube(jaw.size).translate(jaw.low)
    theirs = math.inf
    for radius, bottom, height in (
        (diameter / 2, 0.0, flutes),
        (shank / 2, flutes, neck),
        (nose / 2, flutes + neck, length),
    ):
        part = Manifold.cylinder(height, radius * grow, radius * grow, 96).translate((0, 0, bottom))
        theirs = min(theirs, (part.translate(start) + part.translate(end)).hull().min_gap(solid_jaw, 25.0))
    found = nearest(moves(start, end), {1: tool}, [jaw])
    stands_out = max(diameter, shank, nose) / 2 * (grow - 1.0)
    if found.hits:
        assert theirs <= 1e-6
    else:
        ours = found.approach.gap if found.approach else 25.0
        assert -1e-6 <= ours - theirs <= stands_out + 1e-6


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_a_path_run_backwards_is_as_near(data: st.DataObject) -> None:
    start, end = ((data.draw(coordinate), data.draw(coordinate), data.draw(st.floats(-30.0, 10.0))) for _ in range(2))
    tool = data.draw(st.sampled_from([END_MILL, BALL, BULL, DRILL, CHAMFER]))
    there, back = (nearest(moves(*ends), {1: tool}, [JAW]).approach for ends in ((start, end), (end, start)))
    assert (there is None) == (back is None)
    if there is not None and back is not None:
        assert there.gap == pytest.approx(back.gap, abs=1e-8)


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_lifting_by_what_is_needed_frees_the_cutter_and_by_less_does_not(data: st.DataObject) -> None:
    start, end = ((data.draw(coordinate), data.draw(coordinate), data.draw(st.floats(-30.0, 0.0))) for _ in range(2))
    tool = data.draw(st.sampled_from([END_MILL, BALL, BULL, DRILL, CHAMFER]))
    path = moves(start, end)
    found = nearest(path, {1: tool}, [JAW], parts=("flutes",))
    if not found.hits:
        return
    lift = found.hits[0].lift
    assert not nearest(path.shifted(np.array([0.0, 0.0, lift + 1e-6])), {1: tool}, [JAW], parts=("flutes",)).hits
    if lift > 1e-4:
        assert nearest(path.shifted(np.array([0.0, 0.0, lift - 1e-4])), {1: tool}, [JAW], parts=("flutes",)).hits
