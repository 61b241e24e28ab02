"""Holes drawn as they come out, whatever cutters made them one after the other."""

from __future__ import annotations

import math

import pytest

from handwheel.path.meant import Bore
from handwheel.show.draw.hole_profile import profile, together


def test_a_spot_leaves_only_what_the_drill_does_not_take() -> None:
    spot = Bore(2, (0.0, 0.0), 4.0, 0.0, 0.0, -4.0)
    drill = Bore(2, (0.0, 0.0), 3.0, 0.0, -20.0, -20.0 - 3.0 / math.tan(math.radians(59.0)))
    point, wall, mouth = profile([spot, drill], -30.0, 0.0)
    # a 90 degree spot 8 wide is 6 wide 1 below the surface (geometry)
    assert tuple(mouth) == pytest.approx((-1.0, 0.0, 3.0, 4.0), abs=1e-4)
    assert tuple(wall) == pytest.approx((-20.0, -1.0, 3.0, 3.0), abs=1e-4)
    assert tuple(point) == pytest.approx((-21.8026, -20.0, 0.0, 3.0), abs=1e-4)


def test_a_hole_made_from_both_sides_is_one() -> None:
    above = Bore(2, (5.0, 5.0), 3.0, 1.0, -12.0, -12.0)
    below = Bore(2, (5.0, 5.0004), 4.0, -21.0, -12.0, -12.0)
    assert together([above, below]) == [[above, below]]
    assert [tuple(one) for one in profile([above, below], -20.0, 0.0)] == [
        (-20.0, -12.0, 4.0, 4.0),
        (-12.0, 0.0, 3.0, 3.0),
    ]
