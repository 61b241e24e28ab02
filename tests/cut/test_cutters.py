import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from milling import tool

from handwheel.cut.cutter import cutter
from handwheel.path.profile import Frustum, Profile, Rounded

EVERY_SHAPE = {
    "end mill": {},
    "face mill": {},
    "ball end mill": {},
    "corner-radius end mill": {"corner_radius": 1.5},
    "drill": {"point_angle": 118.0},
    "spot drill": {"point_angle": 90.0},
    "chamfer mill": {"point_angle": 90.0, "tip_diameter": 2.0},
    "reamer": {},
    "tap": {},
}


def test_a_118_degree_drill_has_a_point_of_three_tenths_of_its_diameter() -> None:
    # D/2 / tan 59°: 0.3004 · D (geometry)
    flutes = cutter(tool("drill", 10.0, point_angle=118.0)).flutes
    assert flutes.lowest(5.0) == pytest.approx(3.004, abs=5e-4)
    assert flutes.lowest(0.0) == 0.0
    assert flutes.radius_at(3.1) == 5.0


def test_a_90_degree_chamfer_mill_opens_a_millimetre_for_each_millimetre_of_height() -> None:
    flutes = cutter(tool("chamfer mill", 12.0, point_angle=90.0, tip_diameter=2.0)).flutes
    assert flutes.radius_at([0.0, 1.0, 4.0, 5.0, 20.0]) == pytest.approx([1.0, 2.0, 5.0, 6.0, 6.0])


def test_a_spot_drill_wider_than_its_flutes_are_long_ends_at_the_flutes() -> None:
    flutes = cutter(tool("spot drill", 20.0, point_angle=90.0, flute_length=6.0)).flutes
    assert flutes.high == 6.0
    assert flutes.radius == pytest.approx(6.0)


def test_a_corner_radius_leaves_a_flat_floor_of_the_diameter_less_two_radii() -> None:
    mill = tool("corner-radius end mill", 16.0, corner_radius=3.0)
    flutes = cutter(mill).flutes
    assert mill.flat_diameter == 10.0
    assert flutes.lowest([0.0, 5.0, 8.0, 8.1]) == pytest.approx([0.0, 0.0, 3.0, math.inf])
    # a 3-4-5 triangle in the corner: 2.4 out from the flat's edge is 1.8 below the corner's centre
    assert flutes.lowest(5.0 + 2.4) == pytest.approx(3.0 - 1.8)


def test_a_ball_end_mill_of_5_mm_radius_is_3_mm_wide_1_mm_above_its_tip() -> None:
    # a 3-4-5 triangle
    assert cutter(tool("ball end mill", 10.0)).flutes.radius_at(1.0) == pytest.approx(3.0)


@pytest.mark.parametrize("shape", EVERY_SHAPE)
def test_flutes_shank_and_holder_stand_on_one_another(shape: str) -> None:
    stack = cutter(tool(shape, 8.0, flute_length=20.0, shank=6.0, reach=33.0, **EVERY_SHAPE[shape]))
    assert (stack.flutes.low, stack.flutes.high) == (0.0, 20.0)
    assert (stack.shank.low, stack.shank.high, stack.shank.radius) == (20.0, 33.0, 3.0)
    assert (stack.holder.low, stack.holder.high, stack.holder.radius) == (33.0, 73.0, 20.0)
    assert stack.flutes.radius == 4.0


def test_flutes_up_to_the_holder_leave_no_shank() -> None:
    stack = cutter(tool("face mill", 50.0, flute_length=45.0, reach=40.0))
    assert not stack.shank
    assert stack.flutes.high == 40.0


sizes = st.floats(0.1, 30.0)
pieces = st.one_of(
    st.builds(Frustum.cylinder, sizes, st.just(0.0), sizes),
    st.builds(Frustum, st.just(0.0), sizes, sizes, sizes),
    st.builds(Rounded, st.just(40.0), sizes, sizes),
)


@given(st.lists(pieces, min_size=1, max_size=3), st.floats(0.0, 1.0))
def test_a_profile_is_nowhere_lower_than_at_its_axis_and_never_falls_outwards(made_of: list, share: float) -> None:
    profile = Profile(tuple(made_of))
    heights = profile.lowest(np.linspace(0.0, profile.radius, 50))
    assert heights[0] == profile.low
    assert (np.diff(heights) >= -1e-9).all()
    height = profile.low + share * (profile.high - profile.low)
    radius = float(profile.radius_at(height))
    assert radius == -math.inf or profile.lowest(min(radius, profile.radius)) <= height + 1e-6 * profile.high


def test_a_piece_without_height_or_width_is_refused() -> None:
    with pytest.raises(ValueError, match="without height or width"):
        Frustum.cylinder(5.0, 2.0, 2.0)
    with pytest.raises(ValueError, match="wants a radius"):
        Rounded(0.0, 5.0, 0.0)
