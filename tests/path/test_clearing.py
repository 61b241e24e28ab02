"""Pockets and surroundings cleared by even offsets, beside what shapely says a cutter can reach."""

from __future__ import annotations

import math
import random
from time import perf_counter

import numpy as np
import pytest
import shapely
from outlines import polygon, random_outline, rounded, stadium

from handwheel.path.arc import Arc
from handwheel.path.chain import Chain, straight
from handwheel.path.clearing import Clearing, clear_inside, clear_outside
from handwheel.path.outline import Outline, circle, rectangle

SAG = 1e-4


def _buffered(lines: np.ndarray, by: float) -> shapely.Geometry:
    return shapely.union_all(shapely.buffer(lines, by, quad_segs=64))


def _sides(chain: Chain) -> np.ndarray:
    corners = [np.array([chain[0].start])]
    for piece in chain:
        assert math.dist(piece.start, corners[-1][-1]) < 1e-6, "a chain is torn"
        if isinstance(piece, Arc):
            count = max(2, math.ceil(abs(piece.turn) / (2 * math.sqrt(2 * SAG / max(piece.radius, SAG)))))
            angle = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
            angles = angle + np.linspace(0, piece.turn, count + 1)[1:]
            corners.append(np.column_stack([np.cos(angles), np.sin(angles)]) * piece.radius + piece.centre)
        else:
            corners.append(np.array([piece.end]))
    points = np.concatenate(corners)
    return shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))


def _cleared(ways: tuple[Clearing, ...], radius: float) -> shapely.Geometry:
    """Chords lie inside an arc of the centre and so do those of the cutter's edge: as large as both together again."""
    return _buffered(np.concatenate([_sides(way.chain) for way in ways]), radius)


def _plain_band(region: shapely.Geometry, by: float) -> shapely.Geometry:
    parts = [ring for one in shapely.get_parts(region) for ring in (one.exterior, *one.interiors)]
    corners = [shapely.get_coordinates(ring) for ring in parts]
    return _buffered(shapely.linestrings(np.concatenate([np.stack([c[:-1], c[1:]], axis=1) for c in corners])), by)


def _nothing_left(left: shapely.Geometry, radius: float, around: float) -> None:
    assert left.area <= 1e-4 * radius * around, left.area
    assert left.buffer(-1e-3 * radius).is_empty, left


def _check_pocket(outline: Outline, radius: float, width: float, finish: float, **how: bool) -> int:
    ways = clear_inside(outline, radius, width, finish, **how)
    region = polygon(outline, SAG)
    centre = region.difference(_plain_band(region, radius + finish))
    if not ways:
        assert centre.area < 1e-3
        return 0
    cleared = _cleared(ways, radius)
    wall = region if finish == 0.0 else region.difference(_plain_band(region, finish))
    assert cleared.difference(wall.buffer(1e-4 * radius + 2 * SAG)).area < 1e-9
    if not centre.is_empty:
        reached = centre.union(_plain_band(centre, radius)) if centre.area > 0 else centre
        _nothing_left(reached.difference(cleared), radius, outline.length)
    return len(ways)


@pytest.mark.parametrize("seed", range(12))
def test_pockets_of_all_forms_are_cleared_to_their_walls_and_no_further(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(3):
        outline = random_outline(dice)
        radius = dice.choice([2.0, 3.175, 5.0])
        how = {"climb": dice.random() < 0.5, "inwards": dice.random() < 0.5}
        _check_pocket(outline, radius, radius * dice.choice([0.5, 1.0, 1.3, 1.8]), dice.choice([0.0, 0.25]), **how)


@pytest.mark.parametrize("seed", range(12))
def test_all_round_an_outline_is_cleared_to_the_raw_sides(seed: int) -> None:
    dice = random.Random(seed + 100)
    for _ in range(2):
        outline = random_outline(dice)
        radius = dice.choice([2.0, 3.175, 5.0])
        finish = dice.choice([0.0, 0.25])
        (a, b), (c, d) = outline.box2
        more = [dice.choice([0.0, 1.0, 12.0]) for _ in range(4)]
        raw = ((a - more[0], b - more[1]), (c + more[2], d + more[3]))
        ways = clear_outside(outline, raw, radius, radius * dice.choice([0.5, 1.0, 1.5]), finish, run_off=1.0)
        cleared = _cleared(ways, radius) if ways else shapely.Polygon()
        part = polygon(outline, SAG)
        around = part.union(_plain_band(part, radius + finish))
        spared = around.difference(_plain_band(around, radius))
        assert cleared.intersection(part.buffer(-1e-4 * radius - SAG)).area < 1e-9
        block = shapely.box(*raw[0], *raw[1])
        _nothing_left(block.difference(spared).difference(cleared), radius, outline.length + block.length)
        for way in ways:
            if not way.full_metal:
                assert shapely.Point(way.chain[0].start).distance(block) >= radius + 1.0 - 1e-6
                assert shapely.Point(way.chain[-1].end).distance(block) >= radius + 1.0 - 1e-6


def test_a_pocket_starts_in_the_middle_and_ends_at_the_wall() -> None:
    (way,) = clear_inside(rectangle((0, 0), (60, 40), 6.0), 5.0, 5.0, 0.25)
    assert way.full_metal
    (back,) = clear_inside(rectangle((0, 0), (60, 40), 6.0), 5.0, 5.0, 0.25, inwards=True)
    at_wall = rectangle((0, 0), (60, 40), 6.0).distance(np.array([way.chain[-1].end, back.chain[0].start]))
    assert at_wall == pytest.approx([-5.25, -5.25])


def test_a_pocket_of_two_rooms_has_a_start_in_each() -> None:
    corners = [(0, 0), (30, 0), (30, 9), (50, 9), (50, 0), (80, 0), (80, 30), (50, 30), (50, 21), (30, 21), (30, 30)]
    rooms = Outline(straight([*corners, (0, 30), (0, 0)]))
    ways = clear_inside(rooms, 5.0, 4.0)
    assert [way.full_metal for way in ways] == [True, True]
    back = clear_inside(rooms, 5.0, 4.0, inwards=True)
    assert [way.full_metal for way in back] == [True, False]
    # The second way begins where the first one has been.
    first = shapely.union_all(_sides(back[0].chain))
    assert shapely.Point(back[1].chain[0].start).distance(first) < 1e-6


def test_climbing_in_a_pocket_goes_anticlockwise_and_round_a_boss_clockwise() -> None:
    (pocket,) = clear_inside(circle((0, 0), 20.0), 4.0, 4.0)
    assert all(piece.turn > 0 for piece in pocket.chain if isinstance(piece, Arc))
    ways = clear_outside(circle((0, 0), 40.0), ((-25, -25), (25, 25)), 6.0, 6.0)
    assert all(piece.turn < 0 for way in ways for piece in way.chain if isinstance(piece, Arc))
    ways = clear_outside(circle((0, 0), 40.0), ((-25, -25), (25, 25)), 6.0, 6.0, climb=False)
    assert all(piece.turn > 0 for way in ways for piece in way.chain if isinstance(piece, Arc))


def test_rings_wider_than_the_radius_come_nearer_where_they_would_leave_a_ridge() -> None:
    sharp = rounded([(0, 0), (60, 0), (30, 40)], [0.0, 0.0, 0.0])
    for width in (2.0, 4.0, 5.9, 7.9):
        assert _check_pocket(sharp, 4.0, width, 0.0) == 1


def test_a_cutter_as_large_as_the_pocket_finds_no_room() -> None:
    assert clear_inside(stadium((0, 0), (30, 0), 10.0), 5.0, 5.0) == ()
    with pytest.raises(ValueError, match="leave ridges"):
        clear_inside(rectangle((0, 0), (30, 30)), 5.0, 10.0)


def test_a_bay_that_the_cutter_cannot_get_into_from_beside_is_entered_from_above() -> None:
    corners = [
        (0, 0),
        (60, 0),
        (60, 27),
        (45, 27),
        (45, 10),
        (10, 10),
        (10, 50),
        (45, 50),
        (45, 33),
        (60, 33),
        (60, 60),
    ]
    bay = Outline(straight([*corners, (0, 60), (0, 0)]))
    ways = clear_outside(bay, ((-5, -5), (65, 65)), 4.0, 4.0)
    assert [way.full_metal for way in ways].count(True) == 1
    assert ways[-1].full_metal


def test_a_pocket_of_two_thousand_moves_takes_seconds() -> None:
    wavy = [
        ((60 + 3 * (k % 2)) * math.cos(k * math.pi / 60), (60 + 3 * (k % 2)) * math.sin(k * math.pi / 60))
        for k in range(120)
    ]
    begun = perf_counter()
    ways = clear_inside(rounded(wavy, [1.0] * 120), 3.0, 3.0)
    assert sum(len(way.chain) for way in ways) > 1000
    assert perf_counter() - begun < 20.0
