"""Outlines moved outwards and inwards, beside shapely's buffers of the same outlines."""

from __future__ import annotations

import math
import random
from time import perf_counter

import numpy as np
import pytest
import shapely
from outlines import points_along, polygon, random_outline, rounded, stadium, stairs, star

from handwheel.path.arc import Arc
from handwheel.path.chain import straight
from handwheel.path.outline import Outline, circle, rectangle
from handwheel.path.outline_offset import enclosed, offset

SAG = 1e-5


def _plain_buffer(region: shapely.Polygon, by: float) -> shapely.Geometry:
    """Side by side: shapely's own buffer first smooths the outline by a hundredth of the distance."""
    corners = shapely.get_coordinates(region.exterior)
    sides = shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1))
    band = shapely.union_all(shapely.buffer(sides, abs(by), quad_segs=100))
    return region.union(band) if by > 0.0 else region.difference(band)


def _agrees(outline: Outline, by: float) -> None:
    """Every point at its distance, the area shapely's."""
    got, gaps = offset(outline, by), enclosed(outline, by)
    for one in (*got, *gaps):
        at = points_along(one.pieces, 0.7)
        away = outline.distance(at)
        assert np.abs(away - by).max() <= 1e-6, (by, np.abs(away - by).max())
        assert all(math.dist(a.end, b.start) == 0.0 for a, b in zip(one.pieces, one.pieces[1:], strict=False))
    area = sum(one.area for one in got) - sum(one.area for one in gaps)
    slack = 1e-4 * max(abs(by), 1.0) * (outline.length + 2.0 * math.pi * abs(by))
    wanted = polygon(outline, SAG).buffer(by, quad_segs=400).area
    if abs(area - wanted) > slack:
        wanted = _plain_buffer(polygon(outline, SAG), by).area
    assert abs(area - wanted) <= slack, (area, wanted)
    for one in (*got, *gaps):
        try:
            Outline(one.pieces)
        except ValueError as error:  # where two fronts run into each other the tip may be as sharp as a needle
            assert "turns back" in str(error), error  # noqa: PT017


@pytest.mark.parametrize("seed", range(40))
def test_moved_outlines_agree_with_shapely(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(5):
        outline = random_outline(dice)
        for by in (dice.uniform(0.1, 4.0), -dice.uniform(0.1, 4.0), dice.choice([-5.0, -3.175, 3.175, 10.0, 25.0])):
            _agrees(outline, by)


def test_a_rectangle_shrinks_to_nothing_at_half_its_width() -> None:
    assert offset(rectangle((0, 0), (8, 6)), -3.0) == ()
    assert offset(rectangle((0, 0), (6, 6)), -3.0) == ()
    assert offset(circle((1, 1), 6.0), -3.0) == ()
    assert offset(stadium((0, 0), (9, 0), 6.0), -3.0) == ()
    assert offset(rectangle((0, 0), (8, 6)), -3.1) == ()
    (thread,) = offset(rectangle((0, 0), (8, 6)), -2.9999)
    assert thread.area == pytest.approx(2.0002 * 0.0002, rel=1e-9)


def test_a_rounding_as_large_as_the_move_leaves_a_sharp_corner() -> None:
    (inner,) = offset(rectangle((0, 0), (20, 10), 2.0), -2.0)
    assert [type(piece).__name__ for piece in inner.pieces] == ["Line"] * 4
    assert inner.area == pytest.approx(16 * 6, abs=1e-9)


def test_a_rounding_a_hair_larger_or_smaller_than_the_move_is_no_trouble() -> None:
    for radius in (2.0 + 1e-12, 2.0 - 1e-12, 2.0 + 1e-7, 2.0 - 1e-7, 2.0 + 3e-6, 2.0 - 3e-6, 2.00001, 1.99999):
        (inner,) = offset(rectangle((0, 0), (20, 10), radius), -2.0)
        assert inner.area == pytest.approx(16 * 6, abs=1e-6 * 44)


def test_a_sharp_outside_corner_is_rolled_round() -> None:
    (outer,) = offset(rectangle((0, 0), (20, 10)), 3.0)
    assert outer.area == pytest.approx(200 + 60 * 3 + math.pi * 9, abs=1e-9)
    assert sum(isinstance(piece, Arc) for piece in outer.pieces) == 4


def test_a_dumbbell_falls_apart_at_its_neck_and_just_at_it() -> None:
    corners = [
        (0, 0),
        (10, 0),
        (10, 4),
        (20, 4),
        (20, 0),
        (30, 0),
        (30, 10),
        (20, 10),
        (20, 6),
        (10, 6),
        (10, 10),
        (0, 10),
    ]
    bell = Outline(straight([*corners, corners[0]]))
    assert len(offset(bell, -0.99)) == 1
    assert [one.area for one in offset(bell, -1.0)] == pytest.approx([66.0 - math.pi / 2, 66.0 - math.pi / 2], abs=1e-6)
    assert len(offset(bell, -1.01)) == 2
    assert offset(bell, -5.0) == ()


def test_a_c_encloses_a_gap_when_its_mouth_closes() -> None:
    corners = [
        (0, 0),
        (20, 0),
        (20, 9),
        (16, 9),
        (16, 4),
        (4, 4),
        (4, 16),
        (16, 16),
        (16, 11),
        (20, 11),
        (20, 20),
        (0, 20),
    ]
    c = Outline(straight([*corners, corners[0]]))
    assert enclosed(c, 0.9) == ()
    (gap,) = enclosed(c, 1.5)
    assert gap.area == pytest.approx(shapely.Polygon(polygon(c).buffer(1.5, quad_segs=400).interiors[0]).area, rel=1e-5)
    assert len(offset(c, 1.5)) == 1


def test_moved_out_and_in_again_a_convex_outline_is_itself() -> None:
    outline = rounded([(0, 0), (30, 0), (40, 20), (10, 30)], [1.0, 0.0, 4.0, 2.0])
    (there,) = offset(outline, 5.0)
    (back,) = offset(there, -5.0)
    assert back.area == pytest.approx(outline.area, abs=1e-6)


def test_five_hundred_arcs_take_no_long_time() -> None:
    pieces = []
    ring = [(50.0 * math.cos(k * math.pi / 250), 50.0 * math.sin(k * math.pi / 250)) for k in range(500)]
    for index, start in enumerate(ring):
        end = ring[(index + 1) % 500]
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        turn = math.pi if index % 2 else -math.pi
        pieces.append(Arc(middle, start, end, turn))
    outline = Outline(tuple(pieces))
    begun = perf_counter()
    for by in (0.1, -0.1, 2.0, -2.0, -20.0):
        _agrees(outline, by)
    assert perf_counter() - begun < 20.0


def test_stars_and_stairs_at_moves_that_fit_them_exactly() -> None:
    dice = random.Random(7)
    for _ in range(15):
        for by in (-2.5, -5.0, 5.0, 2.5):
            _agrees(stairs(dice), by)
        for by in (-2.0, -3.175, 3.175, 2.0, -6.0):
            _agrees(star(dice), by)
