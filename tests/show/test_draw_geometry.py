"""Views, edges, dimension figures and moves as they are put on paper."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import union_all
from shapely.geometry import LineString, box

from handwheel.job import Dimension
from handwheel.motion import Kind, Modal, Moves, MovesBuilder
from handwheel.motion.strokes import strokes
from handwheel.path.blocks import blocks, spans
from handwheel.path.box import Box
from handwheel.show.draw.dimensioning import figure
from handwheel.show.draw.labels import Rect, Room, clipped
from handwheel.show.draw.passes import read_passes, tracks
from handwheel.show.draw.solids import edges
from handwheel.show.draw.strokes import distinct
from handwheel.show.draw.views import largest_scale, third_angle

BLOCK = Box((0.0, 0.0, -20.0), (60.0, 40.0, 0.0))
FRONT_STEP = Box((0.0, 0.0, -8.0), (60.0, 10.0, 0.0))
RIGHT_STEP = Box((45.0, 0.0, -5.0), (60.0, 40.0, 0.0))


def test_third_angle_puts_the_plan_above_and_the_right_side_to_the_right() -> None:
    views = third_angle(Rect(0, 0, 260, 150), BLOCK, "mm")
    plan, front, right = views
    assert plan.window.y0 > front.window.y1
    assert right.window.x0 > front.window.x1
    # the same X stands above itself, the same Z beside itself
    corner = (60.0, 40.0, 0.0)
    assert plan.on_paper(corner)[0] == pytest.approx(front.on_paper(corner)[0])
    assert right.on_paper(corner)[1] == pytest.approx(front.on_paper(corner)[1])
    # what is nearest the front view in the side view is the front of the work
    assert right.on_paper((0, 0, 0))[0] < right.on_paper((0, 40, 0))[0]


def test_the_scale_is_the_largest_standard_one_that_fits() -> None:
    # 110 x 60 drawn full size fits a field of 260 x 150, twice that is 220 x 120 and fits, five times does not
    assert largest_scale((110, 60), (260, 150), "mm") == 2.0
    assert largest_scale((110, 80), (260, 150), "mm") == 1.0


def test_a_step_at_the_front_is_seen_from_the_front_and_cuts_the_corner_of_the_side_view() -> None:
    part = blocks(BLOCK, [FRONT_STEP])
    front = edges(part, "front")
    assert [[0, -8], [60, -8]] in front.visible.tolist()
    assert len(front.hidden) == 0
    right = edges(part, "right").visible
    assert [[10, -8], [10, 0]] in right.tolist()
    assert not any(line[0][1] == line[1][1] == 0 and line[0][0] < 10 for line in right.tolist())


def test_a_step_at_the_back_is_drawn_hidden_from_the_front() -> None:
    back_step = Box((0.0, 30.0, -8.0), (60.0, 40.0, 0.0))
    front = edges(blocks(BLOCK, [back_step]), "front")
    assert front.hidden.tolist() == [[[0, -8], [60, -8]]]


@settings(deadline=None, max_examples=40)
@given(
    st.lists(
        st.tuples(*(st.integers(0, 9) for _ in range(6))).map(
            lambda n: Box(
                (min(n[0], n[1]) * 6.0, min(n[2], n[3]) * 4.0, -20 + min(n[4], n[5]) * 2.0),
                (max(n[0], n[1]) * 6.0 + 6, max(n[2], n[3]) * 4.0 + 4, -18 + max(n[4], n[5]) * 2.0),
            )
        ),
        max_size=4,
    )
)
def test_the_visible_edges_hold_the_outline_that_a_geometry_library_finds(gone: list[Box]) -> None:
    part = blocks(BLOCK, gone)
    filled = [
        box(part.planes[0][i], part.planes[1][j], part.planes[0][i + 1], part.planes[1][j + 1])
        for i, j, k in np.argwhere(part.full).tolist()
    ]
    lines = [LineString(line) for line in edges(part, "plan").visible]
    if not filled:
        assert not lines
        return
    # shapely: the outline of the union of all that stands, seen from above
    outline = union_all(filled).boundary
    assert outline.difference(union_all(lines).buffer(1e-6)).length == pytest.approx(0, abs=1e-6)


def test_a_ray_meets_the_metal_that_the_steps_leave() -> None:
    part = blocks(BLOCK, [FRONT_STEP, RIGHT_STEP])
    assert spans(part, 2, (20.0, 5.0)) == [(-20.0, -8.0)]
    assert spans(part, 0, (20.0, -2.0)) == [(0.0, 45.0)]
    assert spans(part, 1, (50.0, -2.0)) == []


@pytest.mark.parametrize(
    ("nominal", "plus", "minus", "units", "shown"),
    [
        # ASME Y14.5: no zero before the point in inches; ISO 129-1: no zeros at the end in millimeters (from memory)
        (0.35 * 25.4, 0.005 * 25.4, 0.005 * 25.4, "in", ".350 ±.005"),
        (2.0 * 25.4, 0.002 * 25.4, 0.001 * 25.4, "in", "2.000 +.002/−.001"),
        (48.0, 0.0, 0.05, "mm", "48 +0/−0.05"),
        (25.5, None, None, "mm", "25.5"),
    ],
)
def test_sizes_are_written_as_their_standard_has_them(nominal, plus, minus, units, shown) -> None:  # type: ignore[no-untyped-def]
    size = Dimension(name="a", axis="x", through={"y": 0, "z": 0}, nominal=nominal, plus=plus, minus=minus)
    assert figure(size, units) == shown


def _moves(*rows: tuple[Kind, tuple[float, float, float], int]) -> Moves:
    builder, at = MovesBuilder(), (0.0, 0.0, 5.0)
    for kind, to, step in rows:
        builder.add(kind, at, to, Modal(tool=1), step=step)
        at = to
    return builder.build()


def test_an_arc_is_drawn_within_the_chord_error_asked_for() -> None:
    builder = MovesBuilder()
    # NISTIR 6556, 3.5.3.2: clockwise from (7, 7) round (10, 11) to (10, 16)
    turn = -(math.pi + math.atan2(4, 3) - math.pi / 2)
    builder.add(Kind.ARC, (7, 7, 0), (10, 16, 0), Modal(), centre=(10, 11, 0), turn=turn, feed=100)
    drawn = strokes(builder.build(), 0.01).places
    radius = np.hypot(drawn[..., 0] - 10, drawn[..., 1] - 11)
    assert radius == pytest.approx(5)
    middle = drawn.mean(axis=1)
    assert np.hypot(middle[:, 0] - 10, middle[:, 1] - 11).min() >= 5 - 0.0101
    assert drawn[-1, 1] == pytest.approx((10, 16, 0))


def test_a_path_of_moves_finer_than_the_grain_is_still_drawn_whole() -> None:
    x = np.linspace(0, 10, 5001)
    places = np.stack([np.stack([x[:-1], 0 * x[:-1]], 1), np.stack([x[1:], 0 * x[1:]], 1)], axis=1)
    lines, _ = distinct(places, np.zeros(5000, dtype=np.int64))
    assert np.abs(lines[:, 1, 0] - lines[:, 0, 0]).sum() == pytest.approx(10)
    assert len(lines) <= 501


def test_a_line_drawn_twice_either_way_is_drawn_once_a_step() -> None:
    places = np.array([[(0, 0), (5, 0)], [(5, 0), (0, 0)], [(0, 0), (5, 0)]], dtype=float)
    assert len(distinct(places, np.array([1, 1, 1]))[0]) == 1
    assert len(distinct(places, np.array([1, 1, 2]))[0]) == 2


def test_passes_are_counted_within_their_step_and_those_above_each_other_share_a_number() -> None:
    rapid, feed = Kind.RAPID, Kind.FEED
    tip = _moves(
        *((rapid, (0, 0, 5), 1), (feed, (0, 0, -1), 1), (feed, (9, 0, -1), 1)),
        *((rapid, (9, 0, 5), 1), (rapid, (0, 0, 5), 1), (feed, (0, 0, -2), 1), (feed, (9, 0, -2), 1)),
        *((rapid, (9, 0, 5), 2), (rapid, (0, 3, 5), 2), (feed, (9, 3, -2), 2)),
    )
    passes = read_passes(tip)
    assert [(one.step, one.number) for one in passes] == [(1, 1), (1, 2), (2, 1)]
    shared = tracks(tip, passes, 0.01)
    assert [(one.step, one.numbers, one.label(True)) for one in shared] == [(1, (1, 2), "1"), (2, (1,), "2")]
    assert shared[0].label(False) == "1.1, 1.2"


def test_lines_are_cut_off_at_the_window() -> None:
    inside, which = clipped(np.array([[(-5, 1), (15, 1)], [(0, 9), (1, 9)]], dtype=float), Rect(0, 0, 10, 5))
    assert inside.tolist() == [[[0, 1], [10, 1]]]
    assert which.tolist() == [True, False]


def test_a_label_goes_where_there_is_room_and_off_lines_if_it_can() -> None:
    room = Room(Rect(0, 0, 100, 50))
    room.take(Rect(0, 0, 50, 50))
    room.keep_off(np.array([[(60, 0), (60, 50)]], dtype=float))
    options = [(Rect(45, 5, 55, 10), 0.0), (Rect(56, 5, 66, 10), 1.0), (Rect(70, 5, 80, 10), 2.0)]
    assert room.place(options) == Rect(70, 5, 80, 10)
    assert room.place(options) == Rect(56, 5, 66, 10)
    assert room.place(options) is None
