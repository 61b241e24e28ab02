"""Arcs and oblique lines by coordinates: cusps as on paper, and never a cut into the work."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import numpy as np
import pytest
import shapely
from coordinates import by_coordinates, cusp_along, cusp_inside, cusp_outside, gouge
from outlines import polygon, random_outline, rounded, star

from handwheel.path.arc import Arc
from handwheel.path.chain import straight
from handwheel.path.line import Line
from handwheel.path.outline import Outline, circle, rectangle
from handwheel.path.outline_offset import offset


@pytest.mark.parametrize(("degrees", "cusp"), [(10.0, 0.00192), (5.0, 0.00048)])
def test_the_cusp_round_a_quarter_inch_corner(degrees: float, cusp: float) -> None:
    """By pencil, r = R = .25 in: .5·cos(Δ/2) − √(.0625 − .25·sin²(Δ/2)) − .25."""
    assert cusp_outside(0.25, 0.25, math.radians(degrees)) == pytest.approx(cusp, abs=5e-6)


def _two_settings(rho: float, half: float, cutter: float) -> list[shapely.Geometry]:
    at = [shapely.Point(rho * math.cos(turn), rho * math.sin(turn)) for turn in (-half, half)]
    return [point.buffer(cutter, quad_segs=20000) for point in at]


def test_cusps_measured_on_circles_by_shapely() -> None:
    for r, cutter, degrees in ((6.0, 5.0, 20.0), (20.0, 4.0, 8.0), (0.0, 5.0, 30.0)):
        rho, half = r + cutter, math.radians(degrees) / 2
        two = [
            shapely.Point(rho * math.cos(a), rho * math.sin(a)).buffer(cutter, quad_segs=20000) for a in (-half, half)
        ]
        ray = shapely.LineString([(0, 0), (rho, 0)]).difference(shapely.union_all(two))
        assert cusp_outside(r, cutter, 2 * half) == pytest.approx(max(x for x, _ in ray.coords) - r, abs=1e-6)
    for r, cutter, degrees in ((12.0, 5.0, 20.0), (40.0, 4.0, 5.0)):
        rho, half = r - cutter, math.radians(degrees) / 2
        two = [
            shapely.Point(rho * math.cos(a), rho * math.sin(a)).buffer(cutter, quad_segs=20000) for a in (-half, half)
        ]
        ray = shapely.LineString([(rho, 0), (r, 0)]).difference(shapely.union_all(two))
        assert cusp_inside(r, cutter, 2 * half) == pytest.approx(r - min(x for x, _ in ray.coords), abs=1e-6)
    assert cusp_along(3.0, 2.5) == pytest.approx(0.5)


def _swept(stairs: object, radius: float) -> shapely.Geometry:
    lines = [shapely.LineString([move.start, move.end]) for move in stairs.moves]  # type: ignore[attr-defined]
    return shapely.union_all([line.buffer(radius, quad_segs=400) for line in lines])


def _check(outline: Outline, radius: float, bound: float, *, inside: bool, clockwise: bool) -> None:
    """Nothing of the part is cut, and what stands on it is nowhere thicker than the bound."""
    for centre in offset(outline, -radius if inside else radius):
        path = centre.clockwise if clockwise else centre.pieces
        stairs = by_coordinates(path, radius, bound, work_left=clockwise if inside else not clockwise, wall=outline)
        assert all(abs(m.start[0] - m.end[0]) < 1e-9 or abs(m.start[1] - m.end[1]) < 1e-9 for m in stairs.moves)
        assert np.abs(centre.table.distance(np.array(stairs.points))).max() < 1e-9
        part, middle = polygon(outline, 1e-6), polygon(centre, 1e-6)
        swept, exact = _swept(stairs, radius), _swept_path(centre, radius)
        if inside:
            assert swept.difference(part.buffer(1e-4)).area < 1e-9
            wall_side = part.buffer(radius).difference(middle)
        else:
            assert swept.intersection(part.buffer(-1e-4)).area < 1e-9
            wall_side = middle
        left = wall_side.intersection(exact).difference(swept)
        beyond = shapely.difference(wall_side, exact, grid_size=1e-7)
        assert left.difference(beyond.buffer(bound * 1.01 + 2e-4, quad_segs=100)).area < 1e-7
        assert gouge(stairs.moves, outline, radius, inside=inside) < 1e-6


def _swept_path(centre: Outline, radius: float) -> shapely.Geometry:
    points = shapely.get_coordinates(polygon(centre, 1e-4).exterior)
    return shapely.union_all(shapely.buffer(shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1)), radius))


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize("bound", [0.05, 0.3])
def test_outside_of_round_things_is_never_cut_into_and_left_within_the_cusp(bound: float, clockwise: bool) -> None:
    for outline in (
        circle((3.0, -2.0), 50.0),
        rectangle((0, 0), (40, 25), 6.0),
        rounded([(0, 0), (50, 8), (40, 40), (-5, 30)], [5.0, 8.0, 3.0, 10.0]),
        rounded([(0, 0), (50, 8), (40, 40), (-5, 30)], [0.0] * 4),
    ):
        _check(outline, 5.0, bound, inside=False, clockwise=clockwise)


@pytest.mark.parametrize("clockwise", [False, True])
def test_inside_of_round_things_likewise(clockwise: bool) -> None:
    for outline in (circle((3.0, -2.0), 50.0), rectangle((0, 0), (40, 25), 6.0)):
        _check(outline, 5.0, 0.05, inside=True, clockwise=clockwise)


@pytest.mark.parametrize("seed", range(6))
def test_outlines_with_inside_corners_are_not_cut_into_beside_these(seed: int) -> None:
    dice = random.Random(seed)
    for inside in (False, True):
        _check(random_outline(dice), 3.0, 0.05, inside=inside, clockwise=dice.random() < 0.5)


def test_without_its_wall_the_stair_beside_an_inside_corner_cuts_into_the_next_wall() -> None:
    wedge = rounded([(0, 0), (60, 20), (20, 50)], [0.0, 0.0, 0.0])
    (centre,) = offset(wedge, -5.0)
    blind = by_coordinates(centre.pieces, 5.0, 0.05, work_left=False)
    assert gouge(blind.moves, wedge, 5.0, inside=True) > 0.1
    told = by_coordinates(centre.pieces, 5.0, 0.05, work_left=False, wall=wedge)
    assert gouge(told.moves, wedge, 5.0, inside=True) < 1e-6


def test_convex_outlines_of_any_kind_are_never_gouged() -> None:
    dice = random.Random(3)
    for _ in range(20):
        hull = polygon(star(dice)).convex_hull
        corners = [(x, y) for x, y in shapely.get_coordinates(hull.simplify(2.0).exterior)[:-1][::-1].tolist()]
        outline = Outline(straight([*corners, corners[0]]))
        (centre,) = offset(outline, 4.0)
        stairs = by_coordinates(centre.pieces, 4.0, 0.05, work_left=True)
        assert gouge(stairs.moves, outline, 4.0, inside=False) < 1e-6


def test_the_wrong_wheel_first_gouges_as_on_paper() -> None:
    """r = R = .25 in at 10°: between 40° and 50° the wrong corner is at X = ρ·cos 50°, Y = ρ·sin 40°, as far from the
    centre as .909 ρ: .045 in into the work (geometry)."""
    corner = rectangle((0, 0), (100, 100), 6.35)
    arc = Arc((93.65, 93.65), (106.35, 93.65), (93.65, 106.35), math.pi / 2)
    right = by_coordinates((arc,), 6.35, cusp_outside(6.35, 6.35, math.radians(10.0)) * 1.001, work_left=True)
    assert len(right.points) == 10
    assert gouge(right.moves, corner, 6.35, inside=False) < 1e-9
    way = [right.points[0]]
    for a, b in pairwise(right.points):
        way += [(b[0], a[1]), b]
    depth = gouge(straight(way), corner, 6.35, inside=False)
    assert depth == pytest.approx(12.7 * (1 - math.sqrt(2) * math.sin(math.radians(40))), abs=1e-6)
    assert depth / 25.4 == pytest.approx(0.045, abs=6e-4)


def test_settings_are_at_even_angles_and_no_more_than_needed() -> None:
    arc = Arc((0, 0), (12.7, 0), (0, 12.7), math.pi / 2)
    stairs = by_coordinates((arc,), 6.35, 0.0508, work_left=True)
    turns = np.degrees(np.arctan2(*np.array(stairs.points).T[::-1]))
    assert np.diff(turns) == pytest.approx([10.0] * 9)
    assert cusp_outside(6.35, 6.35, math.radians(10.0)) <= 0.0508 < cusp_outside(6.35, 6.35, math.radians(11.25))


def test_what_runs_along_an_axis_is_one_move_and_an_oblique_line_as_many_as_its_cusp_needs() -> None:
    assert len(by_coordinates((Line((0, 0), (90, 0)),), 5.0, 0.05, work_left=True).moves) == 1
    oblique = by_coordinates((Line((0, 0), (30, 40)),), 5.0, 0.05, work_left=True)
    step = math.dist(*oblique.points[:2])
    assert cusp_along(step, 5.0) <= 0.05 < cusp_along(50 / (len(oblique.points) - 2), 5.0)
    # Work on the left of a line up to the right: X, which leads away from it, goes first.
    assert oblique.moves[0].end[1] == 0.0
    assert by_coordinates((Line((0, 0), (30, 40)),), 5.0, 0.05, work_left=False).moves[0].end[0] == 0.0


def test_no_bound_is_no_stair() -> None:
    with pytest.raises(ValueError, match="more than zero"):
        by_coordinates((Line((0, 0), (9, 9)),), 5.0, 0.0, work_left=True)
    with pytest.raises(ValueError, match="does not run on"):
        by_coordinates((Arc((0, 0), (3, 0), (0, 3), math.pi / 2),), 5.0, 0.1, work_left=True)
