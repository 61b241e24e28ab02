"""Facing: no ridge and no corner is left, whatever the sizes of work and cutter."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import Draft
from shapely import LineString, Point, box

from handwheel.motion import Side
from handwheel.path.chain import corners
from handwheel.plan import Route, plan
from handwheel.setup import set_up


def _face(**keys: object) -> Draft:
    return replace(
        Draft(),
        tools=(
            {"number": 1, "shape": "face mill", "diameter": 50.0, "flutes": 5, "flute_length": 10.0, "reach": 40.0},
        ),
        operations=({"do": "face", "name": "top", "tool": 1, **keys},),
    )


def _passes(draft: Draft, route: Route = Route.BY_PROGRAM):  # type: ignore[no-untyped-def]
    return [stroke for step in plan(set_up(draft.job())[0], route).steps for stroke in step.strokes]


@given(
    length=st.integers(20, 300),
    width=st.integers(20, 140),
    diameter=st.integers(10, 80),
    overhang=st.integers(147, 500),
    overlap=st.integers(2, 40),
    path=st.sampled_from(["perimeter", "rows"]),
    cut=st.sampled_from(["conventional", "climb"]),
)
@settings(max_examples=150, deadline=None)
def test_facing_clears_the_whole_top(
    length: int, width: int, diameter: int, overhang: int, overlap: int, path: str, cut: str
) -> None:
    # reference library: shapely, the union of the swept discs; its circles are polygons inside the true ones
    draft = replace(
        _face(path=path, overhang=overhang / 1000, overlap=overlap / 100, cut=cut),
        size=(float(length), float(width), 30.0),
        allowance={"top": 1.0},
        tools=(
            {
                "number": 1,
                "shape": "end mill",
                "diameter": float(diameter),
                "flute_length": 20.0,
                "flutes": 4,
                "reach": 30.0,
            },
        ),
    )
    sliver = diameter / 2 * 2e-4
    swept = LineString([(0, 0), (0, 0)]).buffer(0)
    for stroke in _passes(draft):
        swept = swept.union(LineString(corners(stroke.chain)).buffer(diameter / 2 + sliver, quad_segs=64))
    assert box(0, 0, length, width).difference(swept).area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("cut", ["conventional", "climb"])
def test_round_the_edge_the_greater_width_decides_the_direction(cut: str) -> None:
    draft = replace(_face(cut=cut), size=(200.0, 140.0, 30.0))
    stroke = _passes(draft)[0]
    area = sum(
        x0 * y1 - x1 * y0
        for (x0, y0), (x1, y1) in zip(
            corners(stroke.chain)[1:], corners(stroke.chain)[2:] + corners(stroke.chain)[1:2], strict=True
        )
    )
    # geometry; common practice: with the work on the left, conventional goes anticlockwise (positive area)
    assert (area > 0) == (cut == "conventional")
    assert stroke.cutting == cut
    assert stroke.side is Side.OFF


def test_a_single_row_down_the_middle_is_mixed() -> None:
    # common practice: a centred row is half conventional, half climb
    passes = _passes(replace(_face(), size=(160.0, 30.0, 30.0)))
    assert [stroke.cutting for stroke in passes] == ["mixed"]


@pytest.mark.parametrize("overhang", [0.147, 0.25, 0.5])
def test_the_overhang_hangs_off_the_edge(overhang: float) -> None:
    draft = replace(_face(overhang=overhang), size=(200.0, 140.0, 30.0), allowance={"top": 1.0})
    reach = LineString(corners(_passes(draft)[0].chain)[:2]).buffer(25.0, cap_style="flat").bounds[1]
    assert -reach == pytest.approx(overhang * 50.0)


def test_each_stroke_starts_and_ends_off_the_work() -> None:
    draft = replace(_face(), size=(200.0, 140.0, 30.0))
    raw = draft.job().raw_block
    work = box(raw.low[0], raw.low[1], raw.high[0], raw.high[1])
    for stroke in _passes(draft):
        assert Point(corners(stroke.chain)[0]).distance(work) > 25.0
        assert Point(corners(stroke.chain)[-1]).distance(work) > 25.0


def test_a_thick_skin_comes_off_in_even_depths_and_the_last_makes_z_zero() -> None:
    draft = replace(_face(pass_depth=1.0), allowance={"top": 2.5})
    steps = [step for step in plan(set_up(draft.job())[0], Route.BY_HAND).steps if step.kind == "face"]
    assert [step.strokes[0].level for step in steps] == pytest.approx([2.5 * 2 / 3, 2.5 / 3, 0.0])
    assert [step.zeroes for step in steps] == [(), (), ("z",)]
