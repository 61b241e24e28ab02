"""Outlines: area, length, inside and outside, distances, and what is no outline."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import shapely
from outlines import points_along, polygon, random_outline, rounded, stadium

from handwheel.path.arc import Arc
from handwheel.path.chain import straight
from handwheel.path.line import Line
from handwheel.path.outline import Outline, chain, circle, rectangle


@pytest.mark.parametrize("seed", range(20))
def test_area_inside_and_distance_agree_with_shapely(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(5):
        outline = random_outline(dice)
        region = polygon(outline, 1e-7)
        assert outline.area == pytest.approx(region.area, abs=1e-6 * outline.length)
        assert outline.length == pytest.approx(region.length, rel=1e-6)
        low, high = outline.box2
        assert np.allclose([*low, *high], region.bounds, atol=1e-6)
        at = np.random.default_rng(seed).uniform(np.array(low) - 5, np.array(high) + 5, (300, 2))
        away = outline.distance(at)
        wanted = shapely.distance(region.exterior, shapely.points(at))
        assert np.abs(np.abs(away) - wanted).max() < 1e-6
        sure = wanted > 1e-5
        assert (outline.holds(at) == shapely.contains(region, shapely.points(at)))[sure].all()


def test_a_point_level_with_ends_of_half_circles_is_on_the_right_side() -> None:
    notch = Outline(
        (
            Line((-5.0, -5.0), (5.0, -5.0)),
            Line((5.0, -5.0), (5.0, 0.0)),
            Line((5.0, 0.0), (2.0, 0.0)),
            Arc((0.0, 0.0), (2.0, 0.0), (-2.0, 0.0), -math.pi),
            Line((-2.0, 0.0), (-5.0, 0.0)),
            Line((-5.0, 0.0), (-5.0, -5.0)),
        )
    )
    assert notch.holds(np.array([[0.0, 0.0], [1.5, 0.0], [-1.5, 0.0], [3.0, -1.0], [0.0, -3.0]])).tolist() == [
        False,
        False,
        False,
        True,
        True,
    ]
    assert circle((0.0, 0.0), 4.0).holds(np.array([[0.0, 0.0], [1.0, 0.0], [-1.0, 0.0], [3.0, 0.0]])).tolist() == [
        True,
        True,
        True,
        False,
    ]


def test_a_clockwise_chain_is_turned_about() -> None:
    outline = Outline(straight([(0, 0), (0, 5), (5, 5), (5, 0), (0, 0)]))
    assert outline.area == 25.0
    assert outline.corners[1] == (5, 0)
    assert outline.clockwise[0].end == (0, 5)


def test_radii_of_corners_inside_and_outside() -> None:
    assert circle((0, 0), 5.0).least_corner(inside=True) == 2.5
    assert circle((0, 0), 5.0).least_corner(inside=False) == math.inf
    assert rectangle((0, 0), (4, 4)).least_corner(inside=True) == 0.0
    corner = rounded([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)], [2, 2, 3, 4, 2, 2])
    assert corner.least_corner(inside=True) == pytest.approx(2.0)
    assert corner.least_corner(inside=False) == pytest.approx(4.0)
    assert (
        rounded([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)], [2, 2, 3, 0, 2, 2]).least_corner(inside=False)
        == 0
    )


def test_it_starts_where_it_is_told_to_and_stays_the_same() -> None:
    outline = stadium((0, 0), (20, 0), 8)
    for start in (None, (5.0, -9.0), (24.0, 0.0), (20.0, 4.0), (0.0, -4.0), (-3.0, 1.0)):
        moved = outline.started_at(start)
        assert moved.area == pytest.approx(outline.area, abs=1e-9)
        assert all(a.end == b.start for a, b in zip(moved.pieces, (*moved.pieces[1:], moved.pieces[0]), strict=True))
        if start is not None:
            nearest = points_along(outline.pieces, 0.001)
            best = nearest[np.argmin(np.hypot(*(nearest - start).T))]
            assert math.dist(moved.corners[0], best) < 1e-3
    assert outline.started_at().corners[0] == (10.0, -4.0)


@pytest.mark.parametrize(
    ("pieces", "said"),
    [
        (straight([(0, 0), (4, 0), (4, 3)]), r"open from \(4, 3\) to \(0, 0\)"),
        (straight([(0, 0), (4, 4), (4, 0), (0, 4), (0, 0)]), r"crosses or touches itself at \(2, 2\)"),
        (straight([(0, 0), (6, 0), (6, 4), (3, 0), (0, 4), (0, 0)]), r"touches itself at \(3, 0\)"),
        (straight([(0, 0), (6, 0), (6, 4), (6, 2), (0, 4), (0, 0)]), r"turns back on itself at \(6, 4\)"),
        (straight([(0, 0), (6, 0), (6, 4), (4, 4), (4, 0), (2, 0), (2, 4), (0, 4), (0, 0)]), "touches itself"),
        ((Line((0, 0), (4, 0)), Line((4, 0), (4, 0)), Line((4, 0), (0, 0))), r"without a length at \(4, 0\)"),
        ((Arc((0, 0), (1, 0), (1, 0), 2 * math.pi),), "fewer than two pieces"),
        (
            (
                Line((-4, 0), (4, 0)),
                Line((4, 0), (4, 3)),
                Line((4, 3), (1, 3)),
                Arc((0, 3), (1, 3), (-1, 3), -math.pi),
                Line((-1, 3), (-4, 3)),
                Line((-4, 3), (-4, 0)),
            ),
            None,
        ),
        (
            (
                Line((-4, 0), (4, 0)),
                Line((4, 0), (4, 2)),
                Line((4, 2), (3, 2)),
                Arc((0, 2), (3, 2), (-3, 2), -math.pi),
                Line((-3, 2), (-4, 2)),
                Line((-4, 2), (-4, 0)),
            ),
            "crosses or touches itself",
        ),
        ((Line((0, 0), (math.nan, 0)), Line((math.nan, 0), (0, 0))), "no number"),
    ],
)
def test_what_is_no_outline_is_told_with_its_place(pieces: tuple[Line | Arc, ...], said: str | None) -> None:
    if said is None:
        assert Outline(pieces).area > 0
        return
    with pytest.raises(ValueError, match=said):
        Outline(pieces)


def test_small_gaps_are_closed_and_arcs_made_to_fit() -> None:
    near = Outline(
        (
            Line((0, 0), (4, 5e-07)),
            Arc((4, 2), (4, 0), (4, 4 + 4e-07), math.pi),
            Line((4, 4), (0, 4)),
            Line((0, 4 - 3e-07), (0, 3e-07)),
        )
    )
    for before, after in zip(near.pieces, (*near.pieces[1:], near.pieces[0]), strict=True):
        assert before.end == after.start
        if isinstance(before, Arc):
            assert math.dist(before.centre, before.start) == pytest.approx(
                math.dist(before.centre, before.end), abs=1e-12
            )


def test_tangent_pieces_of_all_sizes_do_not_count_as_crossing() -> None:
    for radius in (0.01, 1.0, 100.0, 3000.0):
        for turned in range(12):
            angle = turned * 0.5236 + 0.1
            corners = [(0, 0), (5 * radius, 0), (5 * radius, 4 * radius), (0, 4 * radius)]
            spun = [
                (x * math.cos(angle) - y * math.sin(angle) + 77.7, x * math.sin(angle) + y * math.cos(angle) - 3.3)
                for x, y in corners
            ]
            assert rounded(spun, [radius] * 4).least_corner(inside=True) == pytest.approx(radius)


def test_a_shape_that_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="corners of radius 4 mm do not fit"):
        rectangle((0, 0), (10, 6), 4.0)
    assert chain((0, 0), [(4, 0), Arc((4, 2), (4, 0), (4, 4), math.pi), (0, 4)]).area == pytest.approx(16 + 2 * math.pi)


def test_a_wheel_of_twenty_thousand_pieces_is_judged_in_a_moment() -> None:
    turns = [2 * math.pi * k / 20000 for k in range(20001)]
    corners = [((100 + k % 2) * math.cos(t), (100 + k % 2) * math.sin(t)) for k, t in enumerate(turns)]
    corners[-1] = corners[0]
    assert Outline(straight(corners)).area == pytest.approx(math.pi * 100.5**2, rel=1e-2)
