"""What a ray still passes through, against lengths that anybody can work out."""

import math

import numpy as np
import pytest
from milling import BLOCK, Path, cut, tool

from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.motion import Kind, Modal, MovesBuilder, Plane
from handwheel.path.box import Box

ALL = 1e-9 * 100.0
"""Of the stock's size."""


def along(part: Part, axis: str, *at: float) -> np.ndarray:
    """The stretches that are left on one ray."""
    return left(part, Rays("xyz".index(axis), np.array([at]))).of(0)


@pytest.mark.parametrize("off", [0.0, 1.5, -3.0, 4.9])
def test_a_slot_is_as_long_as_its_path_and_the_cutters_chord_at_both_ends(off: float) -> None:
    part = cut(Path(20.0, 30.0, 5.0).to(20.0, 30.0, -6.0).to(70.0, 30.0, -6.0), tool())
    chord = math.sqrt(5.0**2 - off**2)
    assert along(part, "x", 30.0 + off, -3.0) == pytest.approx(
        np.array([[0.0, 20.0 - chord], [70.0 + chord, 100.0]]), abs=ALL
    )
    assert along(part, "y", 45.0, -3.0) == pytest.approx(np.array([[0.0, 25.0], [35.0, 60.0]]), abs=ALL)
    assert along(part, "z", 45.0, 30.0 + off) == pytest.approx(np.array([[-40.0, -6.0]]), abs=ALL)


@pytest.mark.parametrize("turn", [2.0 * math.pi, -2.0 * math.pi, 3.0 * math.pi])
def test_a_ring_groove_is_cut_by_its_two_circles(turn: float) -> None:
    part = cut(Path(70.0, 30.0, -4.0).round((50.0, 30.0, 0.0), turn), tool())
    outer, inner = math.sqrt(25.0**2 - 7.0**2), math.sqrt(15.0**2 - 7.0**2)  # 24 and 13.266…
    assert outer == 24.0
    expected = [[0.0, 50.0 - outer], [50.0 - inner, 50.0 + inner], [50.0 + outer, 100.0]]
    assert along(part, "x", 37.0, -2.0) == pytest.approx(np.array(expected), abs=ALL)
    # between the circles the ray meets only the outer one
    assert along(part, "x", 50.0, -2.0) == pytest.approx(np.array([[0.0, 35.0], [65.0, 100.0]]), abs=ALL)
    assert along(part, "y", 50.0, -2.0) == pytest.approx(np.array([[0.0, 5.0], [15.0, 45.0], [55.0, 60.0]]), abs=ALL)


def test_a_half_ring_ends_in_half_the_cutters_circle() -> None:
    part = cut(Path(70.0, 30.0, -4.0).round((50.0, 30.0, 0.0), math.pi), tool())
    assert along(part, "y", 70.0, -2.0)[0] == pytest.approx([0.0, 25.0], abs=ALL)
    assert along(part, "y", 73.0, -2.0)[0] == pytest.approx([0.0, 26.0], abs=ALL)  # 3-4-5 triangle


def test_a_drilled_hole_has_the_cone_of_its_point() -> None:
    part = cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -20.0), tool("drill", 10.0, point_angle=118.0))
    slope = math.tan(math.radians(59.0))
    for r in (0.0, 2.0, 4.0):
        assert along(part, "z", 50.0 + r, 30.0)[0, 1] == pytest.approx(-20.0 + r / slope, abs=ALL)
    half = math.sqrt((2.0 * slope) ** 2 - 1.0)
    assert along(part, "x", 31.0, -18.0) == pytest.approx(np.array([[0, 50.0 - half], [50.0 + half, 100.0]]), abs=ALL)
    assert along(part, "x", 34.0, -10.0) == pytest.approx(np.array([[0, 47.0], [53.0, 100.0]]), abs=ALL)


def test_a_ray_just_where_the_drills_point_meets_its_side_finds_no_web_of_metal() -> None:
    part = cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -20.0), tool("drill", 10.0, point_angle=118.0))
    height = -20.0 + 5.0 / math.tan(math.radians(59.0))
    for z in height + np.array([-2e-9, -1e-12, 0.0, 1e-12, 2e-9]):
        assert len(along(part, "x", 30.0, float(z))) == 2


def test_on_a_ramp_the_trailing_edge_of_a_flat_cutter_cuts_deepest() -> None:
    part = cut(Path(20.0, 30.0, 0.0).to(80.0, 30.0, -12.0), tool())  # 1 down in 5
    assert along(part, "z", 50.0, 30.0)[0, 1] == pytest.approx(-(50.0 + 5.0 - 20.0) / 5.0, abs=ALL)
    assert along(part, "z", 50.0, 33.0)[0, 1] == pytest.approx(-(50.0 + 4.0 - 20.0) / 5.0, abs=ALL)
    assert along(part, "z", 82.0, 30.0)[0, 1] == pytest.approx(-12.0, abs=ALL)
    # level, 7 down: the cutter's end is at that height at x = 55, and goes on to 80
    assert along(part, "x", 30.0, -7.0) == pytest.approx(np.array([[0.0, 50.0], [85.0, 100.0]]), abs=ALL)


def test_a_ball_leaves_a_round_groove_and_a_tilted_one_on_a_ramp() -> None:
    level = cut(Path(20.0, 30.0, -6.0).to(80.0, 30.0, -6.0), tool("ball end mill"))
    assert along(level, "z", 50.0, 33.0)[0, 1] == pytest.approx(-6.0 + 5.0 - 4.0, abs=ALL)
    assert along(level, "y", 50.0, -5.0)[:, 0] == pytest.approx([0.0, 33.0], abs=ALL)
    # a tube of radius 5 about the centres' line, which falls 3 in 4: straight down its wall is 5 · 5/4 away
    ramp = cut(Path(20.0, 30.0, -1.0).to(60.0, 30.0, -31.0), tool("ball end mill"))
    assert along(ramp, "z", 40.0, 30.0)[0, 1] == pytest.approx(-16.0 + 5.0 - 6.25, abs=ALL)
    assert along(ramp, "z", 40.0, 33.0)[0, 1] == pytest.approx(-16.0 + 5.0 - 5.0, abs=ALL)


@pytest.mark.parametrize("turn", [2.0 * math.pi, -2.0 * math.pi])
def test_a_helix_leaves_its_last_pass_over_each_point(turn: float) -> None:
    part = cut(Path(70.0, 30.0, 0.0).round((50.0, 30.0, 0.0), turn, rise=-9.0), tool())
    # a flat cutter of radius 5 on a circle of 20 is over a point of that circle for 2 · asin(5/40) each side
    half = 2.0 * math.asin(5.0 / 40.0)
    for share in (0.25, 0.5, 0.75):
        x, y = 50.0 + 20.0 * math.cos(share * turn), 30.0 + 20.0 * math.sin(share * turn)
        lowest = -9.0 * (share + half / (2.0 * math.pi))
        assert along(part, "z", x, y)[0, 1] == pytest.approx(lowest, abs=ALL)
    assert along(part, "z", 70.0, 30.0)[0, 1] == pytest.approx(-9.0, abs=ALL)


def test_the_wall_of_a_helical_hole_is_round_at_every_height_below_the_first_turn() -> None:
    path = Path(57.0, 30.0, 0.0).round((50.0, 30.0, 0.0), 6.0 * math.pi, rise=-12.0)
    part = cut(path.round((50.0, 30.0, 0.0), 2.0 * math.pi), tool())
    for z in (-0.5, -5.0, -11.9):
        for off in (0.0, 3.0, 7.2):
            half = math.sqrt(12.0**2 - off**2)
            assert along(part, "x", 30.0 + off, z)[0, 1] == pytest.approx(50.0 - half, abs=ALL)
            assert along(part, "y", 50.0 + off, z)[-1, 0] == pytest.approx(30.0 + half, abs=ALL)


def test_an_upright_arc_leaves_its_own_curve_shifted_by_the_cutters_radius() -> None:
    # half a circle of radius 20 hanging down in the ZX plane from the top; the flat end's edges cut the floor
    path = Path(30.0, 30.0, 0.0).round((50.0, 0.0, 0.0), -math.pi, plane=Plane.ZX)
    part = cut(path, tool())
    assert along(part, "z", 50.0, 30.0)[0, 1] == pytest.approx(-20.0, abs=ALL)
    assert along(part, "z", 67.0, 30.0)[0, 1] == pytest.approx(-16.0, abs=ALL)  # 12 along the arc, 5 by the edge
    assert along(part, "x", 30.0, -16.0) == pytest.approx(np.array([[0.0, 33.0], [67.0, 100.0]]), abs=ALL)
    assert along(part, "y", 50.0, -19.0) == pytest.approx(np.array([[0.0, 25.0], [35.0, 60.0]]), abs=ALL)


def test_a_curve_without_closed_form_stands_as_chords_a_tenth_of_a_micrometre_off() -> None:
    # a corner-radius cutter on a helix: its side still cuts a round wall
    mill = tool("corner-radius end mill", 10.0, corner_radius=2.0)
    path = Path(57.0, 30.0, 0.0).round((50.0, 30.0, 0.0), 2.0 * math.pi, rise=-12.0)
    part = cut(path.round((50.0, 30.0, 0.0), 2.0 * math.pi), mill)
    assert along(part, "x", 30.0, -5.0)[0, 1] == pytest.approx(38.0, abs=1e-4)
    assert along(part, "x", 30.0, -10.4)[0, 1] == pytest.approx(50.0 - 12.0 + 2.0 - math.sqrt(4.0 - 0.16), abs=1e-4)


def test_flutes_too_short_leave_metal_standing_above_them() -> None:
    short = tool(flute_length=8.0)
    part = cut(Path(-20.0, 30.0, -20.0).to(120.0, 30.0, -20.0), short)
    assert along(part, "z", 50.0, 30.0) == pytest.approx(np.array([[-40.0, -20.0], [-12.0, 0.0]]), abs=ALL)


def test_a_ball_cuts_up_to_the_end_of_its_flutes() -> None:
    part = cut(Path(-20.0, 30.0, -25.0).to(120.0, 30.0, -25.0), tool("ball end mill", flute_length=28.0))
    assert along(part, "z", 50.0, 30.0) == pytest.approx(np.array([[-40.0, -25.0]]), abs=ALL)


@pytest.mark.parametrize("inside", [1e-6, -1e-6])
def test_touching_is_not_cutting(inside: float) -> None:
    part = cut(Path(-20.0, -5.0 + inside, -6.0).to(120.0, -5.0 + inside, -6.0), tool())
    on_the_face = along(part, "x", 0.0, -3.0)
    assert len(on_the_face) == (0 if inside > 0.0 else 1)
    exactly = cut(Path(-20.0, -5.0, -6.0).to(120.0, -5.0, -6.0), tool())
    assert along(exactly, "x", 0.0, -3.0) == pytest.approx(np.array([[0.0, 100.0]]))
    assert along(part, "x", 30.0, -6.0) == pytest.approx(np.array([[0.0, 100.0]]))


def test_moves_without_a_tool_cut_nothing_and_a_dwell_nothing_new() -> None:
    builder = MovesBuilder()
    for number in (0, 7):
        builder.add(Kind.FEED, (0.0, 30.0, -5.0), (100.0, 30.0, -5.0), Modal(tool=number))
    builder.add(Kind.DWELL, (50.0, 30.0, -5.0), (50.0, 30.0, -5.0), Modal(tool=1), seconds=1.0)
    part = Part(BLOCK, (Cut(builder.build(), {1: tool()}),))
    assert along(part, "z", 50.0, 30.0) == pytest.approx(np.array([[-40.0, 0.0]]))


def test_a_rapid_through_the_work_cuts_it() -> None:
    part = cut(Path(-20.0, 30.0, -5.0).to(120.0, 30.0, -5.0, kind=Kind.RAPID), tool())
    assert along(part, "z", 50.0, 30.0)[0, 1] == -5.0


def test_a_ray_beside_the_stock_passes_through_nothing() -> None:
    stretches = left(Part(Box((0, 0, -10), (10, 10, 0))), Rays(2, np.array([[5.0, 5.0], [11.0, 5.0]])))
    assert stretches.total() == pytest.approx([10.0, 0.0])
