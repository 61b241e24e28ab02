"""Sides of the block: which way round, how far off the ends, how divided."""

from __future__ import annotations

from dataclasses import replace

import pytest
from jobs import Draft, sides

from handwheel.motion import Side
from handwheel.path.chain import corners
from handwheel.plan import Plan, Route, plan
from handwheel.setup import set_up


def _passes(one: Plan, kind: str | None = None) -> list:  # type: ignore[type-arg]
    return [stroke for step in one.steps if kind in (None, step.kind) for stroke in step.strokes]


def _way(stroke) -> tuple[int, int]:  # type: ignore[no-untyped-def]
    (x0, y0), (x1, y1) = stroke.chain[0].start, stroke.chain[-1].end
    return ((x1 > x0) - (x1 < x0), (y1 > y0) - (y1 < y0))


# geometry; common practice: conventional goes anticlockwise round a block seen from above, climb the other way
ANTICLOCKWISE = {"front": (1, 0), "right": (0, 1), "back": (-1, 0), "left": (0, -1)}


@pytest.mark.parametrize("route", Route)
@pytest.mark.parametrize("edge", ANTICLOCKWISE)
def test_conventional_goes_anticlockwise_with_the_cutter_on_the_right(edge: str, route: Route) -> None:
    for stroke in _passes(plan(set_up(sides(edge).job())[0], route)):
        assert _way(stroke) == ANTICLOCKWISE[edge]
        assert stroke.side is Side.RIGHT


@pytest.mark.parametrize("route", Route)
@pytest.mark.parametrize("edge", ANTICLOCKWISE)
def test_climb_goes_clockwise_with_the_cutter_on_the_left(edge: str, route: Route) -> None:
    x, y = ANTICLOCKWISE[edge]
    for stroke in _passes(plan(set_up(sides(edge, cut="climb").job())[0], route)):
        assert _way(stroke) == (-x, -y)
        assert stroke.side is Side.LEFT


@pytest.mark.parametrize("edge", ANTICLOCKWISE)
def test_each_route_keeps_its_own_direction(edge: str) -> None:
    draft = sides(edge)
    both = tuple({**one, "cut": {"by_hand": "conventional", "by_program": "climb"}} for one in draft.operations)
    job = replace(draft, operations=both).job()
    assert {stroke.side for stroke in _passes(plan(set_up(job)[0], Route.BY_HAND))} == {Side.RIGHT}
    assert {stroke.side for stroke in _passes(plan(set_up(job)[0], Route.BY_PROGRAM))} == {Side.LEFT}


@pytest.mark.parametrize(
    ("edge", "axis", "centre"),
    # readout at the finished face (geometry): front −R, back W + R, left −R, right L + R; 80 − 4 and 45 − 4.5 finished
    [("front", 1, -10.0), ("back", 1, 50.5), ("left", 0, -10.0), ("right", 0, 86.0)],
)
def test_the_spindle_stands_a_radius_off_the_finished_face(edge: str, axis: int, centre: float) -> None:
    finish = _passes(plan(set_up(sides(edge).job())[0], Route.BY_HAND), "finish")[-1]
    assert {round(point[axis], 9) for point in corners(finish.centre(10.0))} == {centre}


@pytest.mark.parametrize("edge", ANTICLOCKWISE)
@pytest.mark.parametrize("cut", ["conventional", "climb"])
def test_strokes_start_and_end_wholly_off_the_work(edge: str, cut: str) -> None:
    job = sides(edge, cut=cut).job()
    run = 0 if edge in ("front", "back") else 1
    for stroke in _passes(plan(set_up(job)[0], Route.BY_PROGRAM)):
        entry, start, end = (point[run] for point in corners(stroke.followed_edge()))
        nearest = min(abs(start - job.raw_block.low[run]), abs(start - job.raw_block.high[run]))
        assert nearest > 10.0 + 0.5  # the radius and what the stock may be longer
        assert abs(start - entry) > 10.0  # compensation comes on over more than a radius
        assert not job.raw_block.low[run] <= end <= job.raw_block.high[run]


def test_roughing_takes_even_widths_under_the_limit_and_leaves_the_finish() -> None:
    job = sides("back").job()
    limit = job.material.width_limit("HSS") * 20.0
    widths = [stroke.width for stroke in _passes(plan(set_up(job)[0], Route.BY_PROGRAM), "rough")]
    assert sum(widths) == pytest.approx(3.0 - 0.25)
    assert max(widths) <= limit + 1e-6
    assert max(widths) - min(widths) <= 0.001  # even, on the program's grid
    assert [stroke.width for stroke in _passes(plan(set_up(job)[0], Route.BY_PROGRAM), "finish")] == pytest.approx(
        [0.25]
    )


def test_roughing_takes_the_full_width_at_each_depth_and_finishing_goes_at_full_depth() -> None:
    draft = sides("back")
    deep = replace(draft, operations=tuple({**one, "pass_depth": 5.0} for one in draft.operations))
    one = plan(set_up(deep.job())[0], Route.BY_PROGRAM)
    levels = [stroke.level for stroke in _passes(one, "rough")]
    assert levels == sorted(levels, reverse=True)
    assert len(set(levels)) == 3
    assert [stroke.level for stroke in _passes(one, "finish")] == [-12.0]


@pytest.mark.parametrize(
    ("draft", "heavy"),
    # what the shop's table allows in this steel, one diameter deep, is 0.15 · 20 · 20 = 60 mm²; half of it counts as
    # heavy (common practice). Each cut is 13 deep: 12 below the finished top, 1 of raw top above it
    [
        (sides("back"), True),  # 2.75 wide: 36 mm²
        (sides("front"), False),  # 1.25 wide: 16 mm²
        (sides("back", depth=8.0), False),  # 2.75 wide, 9 deep: 25 mm²
        (replace(sides("back"), material="aluminium-6082"), False),  # 0.25 · 20 · 20 = 100 mm²
    ],
)
@pytest.mark.parametrize("route", Route)
def test_a_roughing_cut_is_called_heavy_only_where_it_takes_much(draft: Draft, heavy: bool, route: Route) -> None:
    (step,) = [one for one in plan(set_up(draft.job())[0], route).steps if one.kind == "rough"]
    assert step.hazard.startswith("Heavy cut") is heavy
    assert "locked, hands clear, no gloves" in step.hazard


def test_measuring_waits_until_both_ends_of_the_size_are_cut() -> None:
    draft = sides("front", "back")
    width = {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5, "gauge": "micrometer"}
    steps = plan(set_up(replace(draft, dimensions=(width,)).job())[0], Route.BY_HAND).steps
    measuring = [step for step in steps if step.kind == "measure"]
    assert [step.operation for step in measuring] == ["back side"]
    assert measuring[0].measuring[0].wanted == pytest.approx(40.75)


def test_the_finished_zero_side_makes_the_zero() -> None:
    steps = plan(set_up(sides("front", "back").job())[0], Route.BY_HAND).steps
    assert [step.operation for step in steps if "y" in step.zeroes] == ["front side"]


def test_a_face_that_is_finished_as_it_is_takes_nothing_off() -> None:
    """In floats, 5.181 in less 0.249 in of allowance ends a rounding error inside 4.932 in."""
    draft = replace(
        sides("front", to={"front": -4.932}, depth=0.079),
        units="in",
        size=(0.984, 5.181, 0.71),
        allowance={"back": 0.249, "top": 0.001},
        tolerance=0.0,
        zero={"y": "back"},
        tools=({"number": 1, "shape": "end mill", "diameter": 0.236, "flute_length": 0.984, "reach": 1.7},),
        material="aluminium-6061",
    )
    assert set_up(draft.job())[0].intended[0].box.size[1] == pytest.approx(0.0, abs=1e-9)
