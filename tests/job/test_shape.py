"""Shapes as a job writes them: each form, and each way to write one that is none."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from handwheel.job.shape import Shape, ShapeError
from handwheel.path.arc import Arc
from handwheel.path.box import Box
from handwheel.shop.reading import Reader
from handwheel.units import Units

BLOCK = Box((0.0, 0.0, -20.0), (80.0, 50.0, 0.0))


def _shape(units: Units = "mm", **keys: Any) -> Shape:
    reader = Reader(units)
    shape = reader.table(Shape, keys, "operation[1].shape")
    assert shape is not None, reader.problems
    return shape


def _problem(units: Units = "mm", **keys: Any) -> str:
    reader = Reader(units)
    assert reader.table(Shape, keys, "operation[1].shape") is None
    return "\n".join(str(problem) for problem in reader.problems)


def test_each_form_gives_its_outline() -> None:
    assert _shape(rectangle=[10, 5, 40, 25]).outline(BLOCK, Path()).area == pytest.approx(600)
    rounded = _shape(rectangle=[10, 5, 40, 25], corner_radius=4).outline(BLOCK, Path())
    assert rounded.area == pytest.approx(600 - (4 - math.pi) * 16)
    assert _shape(block=True).outline(BLOCK, Path()).box2 == ((0.0, 0.0), (80.0, 50.0))
    assert _shape("in", circle=["1/2", 1], diameter=1).outline(BLOCK, Path()).box2[0] == pytest.approx((0.0, 12.7))
    path = [{"to": [30, 0]}, {"to": [30, 20], "turn": "ccw", "radius": 10}, {"to": [0, 20]}]
    assert _shape(start=[0, 0], path=path).outline(BLOCK, Path()).area == pytest.approx(600 + math.pi * 50)


def test_an_arc_by_its_radius_is_the_shorter_one_and_one_by_its_centre_may_be_the_longer() -> None:
    by_radius = [{"to": [10, 0]}, {"to": [0, 10], "turn": "ccw", "radius": 10}]
    outline = _shape(start=[0, 0], path=by_radius).outline(BLOCK, Path())
    assert outline.area == pytest.approx(math.pi * 25)
    inwards = [{"to": [20, 0]}, {"to": [20, 10]}, {"to": [10, 20], "turn": "cw", "radius": 10}, {"to": [0, 20]}]
    assert _shape(start=[0, 0], path=inwards).outline(BLOCK, Path()).area == pytest.approx(400 - math.pi * 25)
    longer = [{"to": [0, -10], "turn": "cw", "centre": [0, 0]}, {"to": [0, 0]}]
    three_quarters = _shape(start=[-10, 0], path=longer).outline(BLOCK, Path())
    (arc,) = (piece for piece in three_quarters.pieces if isinstance(piece, Arc))
    assert abs(arc.turn) == pytest.approx(1.5 * math.pi)
    assert three_quarters.area == pytest.approx(75 * math.pi)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({}, "operation[1].shape = {  }: says no shape; give one of rectangle"),
        ({"rectangle": [0, 0, 9, 9], "block": True}, "shape.block = true: stands beside rectangle"),
        ({"block": False}, "shape.block = false: is not true"),
        ({"circle": [0, 0]}, "shape.circle = [0, 0]: stands without diameter"),
        ({"start": [0, 0]}, "shape.start = [0, 0]: stands without path"),
        ({"dxf": "plate.dxf"}, 'shape.dxf = "plate.dxf": stands without layer'),
        ({"circle": [0, 0], "diameter": 5, "corner_radius": 1}, "shape.corner_radius = 1: does not go with circle"),
        ({"rectangle": [9, 0, 0, 9]}, "shape.rectangle = [9, 0, 0, 9]: has no size"),
        (
            {"rectangle": [0, 0, 30, 20], "corner_radius": 11},
            "corner_radius = 11: does not fit into 30 by 20; at most 10",
        ),
        ({"start": [0, 0], "path": []}, "shape.path"),
        ({"start": [0, 0], "path": [{"to": [5, 5]}]}, "shape.path = [{ to = [5, 5] }]: turns back on itself at (5, 5)"),
        (
            {"start": [0, 0], "path": [{"to": [5, 5]}, {"to": [5, 0]}, {"to": [0, 5]}]},
            "crosses or touches itself at (2.5, 2.5); a path goes once round",
        ),
        (
            {"start": [0, 0], "path": [{"to": [9, 0]}, {"to": [9, 0]}]},
            "shape.path[2].to = [9, 0]: is where the path already is",
        ),
        (
            {"start": [0, 0], "path": [{"to": [20, 0]}, {"to": [20, 30], "turn": "cw", "radius": 14}]},
            "shape.path[2].radius = 14: does not reach: its ends are 30 apart; at least 15",
        ),
        (
            {"start": [0, 0], "path": [{"to": [20, 0]}, {"to": [20, 30], "turn": "cw", "centre": [20, 10]}]},
            "shape.path[2].centre = [20, 10]: is 10 from its start and 20 from its end",
        ),
        ({"start": [0, 0], "path": [{"to": [5, 5], "radius": 9}]}, "shape.path[1].radius = 9: belongs to an arc"),
        ({"start": [0, 0], "path": [{"to": [5, 5], "turn": "cw"}]}, "shape.path[1].turn"),
        (
            {"start": [0, 0], "path": [{"to": [5, 5], "turn": "cw", "radius": 9, "centre": [0, 5]}]},
            "path[1].radius = 9: stands beside a centre",
        ),
        ({"start": [0, 0], "path": [{"to": [5, 5], "turn": "left", "radius": 9}]}, "shape.path[1].turn"),
        ({"recangle": [0, 0, 1, 1]}, "did you mean rectangle?"),
    ],
)
def test_what_is_no_shape_is_told_at_its_key(keys: dict[str, Any], said: str) -> None:
    assert said in _problem(**keys)


def test_inches_are_told_in_inches() -> None:
    said = _problem("in", start=[0, 0], path=[{"to": [1, 1]}, {"to": [1, 0]}, {"to": [0, 1]}])
    assert "at (.500, .500)" in said


def test_a_block_without_room_for_its_corners_is_told_where_the_block_is_known() -> None:
    shape = _shape(block=True, corner_radius=30)
    with pytest.raises(ShapeError, match="does not fit into 80 by 50; at most 25"):
        shape.outline(BLOCK, Path())
