"""Cutter radius compensation. N is NISTIR 6556, August 2000, appendix B (from memory); the offsets are judged by
shapely and by plain distances."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from handwheel.motion import Control, Kind, Offset, Side
from handwheel.rs274 import Reading, read

from .contours import XY, Edge, expected, from_the_middle, native_edges, outline, program, ring, rounded, samples

HEAD = "G21 G17 G40 G90 G94 F100\n"


def control(diameter: float) -> Control:
    return Control(offsets={1: Offset(0.0, diameter), 2: Offset(0.0, -diameter)}, units="mm")


def run(body: str, diameter: float = 10.0, **options: bool) -> Reading:
    return read(f"{HEAD}{body}\nM2\n", control(diameter), **options)


def ends(body: str, diameter: float = 10.0) -> list[tuple[float, ...]]:
    reading = run(body, diameter)
    assert reading.error is None, reading.error
    return [tuple(round(value, 9) + 0.0 for value in move.end[:2]) for move in reading.moves]


def test_the_entry_line_touches_the_circle_about_its_end() -> None:
    """N B.5: from C, 13 from D with radius 5, the touching line is 12 long (5-12-13 triangle)."""
    reading = run("G41 D1 G1 X13\nX30")
    entry = reading.moves[0]
    assert math.dist(entry.start, entry.end) == pytest.approx(12.0)
    assert math.dist(entry.end, (13, 0, 0)) == pytest.approx(5.0)
    assert entry.end[1] > 0
    assert entry.modal.side == Side.LEFT


@pytest.mark.parametrize(("code", "y"), [("G41", 5.0), ("G42", -5.0)])
def test_the_cutter_keeps_to_its_side(code: str, y: float) -> None:
    """N 3.5.10: G41 left, G42 right, seen along the motion."""
    assert ends(f"{code} D1 G1 X20\nX40")[-1] == (40.0, y)


def test_a_negative_offset_is_the_other_side() -> None:
    """N app. B."""
    assert ends("G41 D2 G1 X20\nX40") == ends("G42 D1 G1 X20\nX40")


def test_d0_and_no_offset_follow_the_programmed_path() -> None:
    """N 3.5.10."""
    path = "X20\nX40 Y5\nG2 X50 Y15 I10 J0\nG1 X20\nG40 X0"
    assert ends(f"G41 D0 G1 {path}") == ends(f"G1 {path}")


def test_without_d_the_tool_in_the_spindle_counts() -> None:
    """N 3.5.10."""
    assert ends("T1 M6\nG41 G1 X20\nX40") == ends("G41 D1 G1 X20\nX40")


def test_an_outside_corner_is_rolled_round() -> None:
    """N app. B."""
    reading = run("G42 D1 G1 X20\nX40\nY30\nG40 X60")
    *_, roll, after, out = reading.moves
    assert (roll.kind, roll.turn) == (Kind.ARC, pytest.approx(math.pi / 2))
    assert roll.centre == (40.0, 0.0, 0.0)
    assert roll.start == pytest.approx((40.0, -5.0, 0.0))
    assert roll.end == pytest.approx((45.0, 0.0, 0.0))
    assert (roll.line, after.line) == (4, 4)
    assert out.end == (60.0, 30.0, 0.0)


def test_a_reversal_is_rolled_round_by_half_a_turn() -> None:
    for code, turn in (("G41", -math.pi), ("G42", math.pi)):
        reading = run(f"{code} D1 G1 X20\nX40\nX20\nG40 X60")
        assert reading.error is None
        assert reading.moves[-3].turn == pytest.approx(turn)
        assert reading.moves[-3].centre == (40.0, 0.0, 0.0)


def test_an_inside_corner_stops_both_moves_at_the_crossing() -> None:
    """Common practice."""
    reading = run("G41 D1 G1 X20.\nX40.\nY30.\nG40 X0")
    assert ends("G41 D1 G1 X20\nX40\nY30\nG40 X0")[-3:] == [(35.0, 5.0), (35.0, 30.0), (0.0, 30.0)]
    assert [(note.code, note.line, note.count) for note in reading.notes] == [("inside-corner", 4, 1)]


def test_an_inside_corner_between_line_and_arc() -> None:
    """Common practice: y = 5 meets the circle of radius 20 − 5 about (40, 20)."""
    x = 40 - math.sqrt(15**2 - 15**2)
    assert x == 40
    reading = run("G41 D1 G1 X20\nX30\nG3 X50 Y20 I0 J20\nG40 G1 X0")
    assert reading.error is None
    crossing = reading.moves[2].end
    assert crossing[1] == pytest.approx(5.0)
    assert math.dist(crossing[:2], (30, 20)) == pytest.approx(15.0)


def test_an_inside_corner_between_two_arcs() -> None:
    reading = run("G0 X-10 Y30\nG41 D1 G3 X0 Y20 I10 J10\nG40 G1 X0 Y0")
    assert reading.error is not None  # the start is not one radius beside that arc
    reading = run("G0 X-15 Y-25\nG41 D1 G1 X-20 Y0\nG2 X0 Y20 I20 J0\nX20 Y40 I20 J0\nG40 G1 X0 Y60")
    assert reading.error is None
    for point in samples(native_edges(reading.moves, 3, 5), 9):
        near = min(
            Edge((-20, 0), (0, 20), (0, 0), -math.pi / 2).distance(point),
            Edge((0, 20), (20, 40), (20, 20), -math.pi / 2).distance(point),
        )
        assert near == pytest.approx(5.0, abs=1e-9)


def test_the_entry_line_too_stops_at_the_crossing() -> None:
    """Common practice; N refuses."""
    reading = run("G41 D1 G1 X20.\nY30.\nG40 X0")
    assert reading.notes == ()  # a lead-in square or slanting to the first edge is no inside corner of the part
    entry, after = reading.moves[0], reading.moves[1]
    assert after.end == (15.0, 30.0, 0.0)
    assert entry.end[0] == pytest.approx(15.0)


def test_an_edge_that_vanishes_between_two_inside_corners_is_refused() -> None:
    """A slot 8 wide and a cutter of 10."""
    for slot in ("X40\nY8\nX20", "X40\nG3 X40 Y9.9 I0 J4.95"):
        error = run(f"G41 D1 G1 X20\n{slot}\nG40 X0").error
        assert error is not None
        assert "gouge" in error.reason


def test_a_slot_that_just_lets_the_cutter_in_is_read() -> None:
    assert run("G41 D1 G1 X20\nX40\nY10.01\nX20\nG40 X0").error is None
    assert run("G41 D1 G1 X20\nX40\nG3 X40 Y10.01 I0 J5.005\nG1 X20\nG40 X0").error is None


def test_z_moves_and_dwells_wait_at_the_end_of_the_move() -> None:
    reading = run("G41 D1 G1 X20\nX40\nG4 P1\nZ-5\nM8\nY30\nG40 X0")
    assert reading.error is None
    kinds = [(move.kind, round(move.end[0], 9), round(move.end[1], 9), move.end[2]) for move in reading.moves]
    assert kinds[-5:] == [
        (Kind.FEED, 35.0, 5.0, 0.0),
        (Kind.DWELL, 35.0, 5.0, 0.0),
        (Kind.FEED, 35.0, 5.0, -5.0),
        (Kind.FEED, 35.0, 30.0, -5.0),
        (Kind.FEED, 0.0, 30.0, -5.0),
    ]
    assert [move.modal.flood for move in reading.moves][-3:] == [False, True, True]


def test_events_wait_in_their_place() -> None:
    reading = run("G41 D1 G1 X20\nX40\nM0\nX60\nG40 X80")
    assert [(event.what, event.before_move) for event in reading.events] == [("stop", 3), ("end", 5)]


def test_increments_count_from_the_programmed_point_while_on() -> None:
    """N app. B; after G40 from where the tool is."""
    absolute = ends("G41 D1 G1 X20\nX40\nY-30\nG3 X50 Y-40 I10 J0")
    incremental = ends("G91 G41 D1 G1 X20\nX20\nY-30\nG3 X10 Y-10 I10 J0")
    assert incremental == absolute
    assert ends("G41 D1 G1 X20\nX40\nG91 G40 X10 Y1")[-1] == (50.0, 6.0)


def test_g40_moves_nothing() -> None:
    reading = run("G41 D1 G1 X20\nX40\nG40\nG1 X60")
    assert reading.moves[-1].start == pytest.approx((40.0, 5.0, 0.0))
    assert reading.moves[-1].end == (60.0, 5.0, 0.0)


def test_an_arc_may_be_the_first_move() -> None:
    """N B.5: it starts one radius beside the programmed arc."""
    for words in ("I15 J0", "R20"):
        reading = run(f"G0 X-15\nG41 D1 G3 X20 Y0 {words}\nG1 Y30\nG40 X0")
        assert reading.error is None, reading.error
        arc = reading.moves[1]
        assert arc.centre == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
        assert arc.end == pytest.approx((15.0, 0.0, 0.0))
        assert arc.turn == pytest.approx(math.pi)


def test_arcs_keep_their_centre_and_their_helix() -> None:
    reading = run("G42 D1 G1 X20\nG3 X40 Y20 Z-2 I0 J20\nG40 G1 X60")
    arc = reading.moves[-2]
    assert arc.centre == (20.0, 20.0, 0.0)
    assert math.dist(arc.end[:2], (20, 20)) == pytest.approx(25.0)
    assert arc.end[2] == -2.0


def test_a_rapid_with_compensation_on_rolls_round_corners_too() -> None:
    reading = run("G42 D1 G0 X20\nX40\nY30\nG40 X60")
    assert reading.error is None
    assert [move.kind for move in reading.moves][-4:] == [Kind.RAPID, Kind.ARC, Kind.RAPID, Kind.RAPID]
    assert reading.moves[-3].feed == control(10).feed_max


def test_the_tool_path_form_follows_the_given_difference() -> None:
    """N app. B: the program holds the nominal centre line, D the difference of diameters; 0 for a new cutter."""
    path = "G1 X20\nX40\nY30\nG40 X60"
    assert ends(f"G42 D1 {path}", 0.0) == ends(path)
    assert ends(f"G42 D1 {path}", -0.2)[-2] == (39.9, 30.0)


def test_joints_that_rounding_left_not_quite_smooth_are_no_inside_corners() -> None:
    """N app. B: corners within 0.01 rad count as smooth."""
    reading = run("G41 D1 G1 X20\nX40\nG3 X59.999 Y20.002 I0 J20\nG1 Y40\nG40 X0", strict=True)
    assert reading.error is None


def test_the_roll_round_a_corner_before_a_rapid_is_made_at_rapid() -> None:
    reading = run("G41 D1 G1 X20\nX40\nG0 Y-30\nG40 X0")
    roll = next(row for row, move in enumerate(reading.moves) if move.line == 4)
    assert reading.moves[roll].kind is Kind.ARC
    assert reading.moves.at_rapid[roll:].all()
    assert not reading.moves.at_rapid[:roll].any()


def test_what_joins_a_nearly_smooth_corner_to_a_rapid_is_made_at_rapid() -> None:
    """A rapid so little off an arc's tangent that its offset path does not meet the arc's."""
    reading = run("G41 D1 G1 X20\nX40\nG3 X70.505 Y33.942 I0 J30.679\nG0 X70.5027 Y33.962\nG40 X0")
    assert reading.error is None
    assert [move.kind for move in reading.moves if move.line == 5] == [Kind.RAPID, Kind.RAPID]


@pytest.mark.parametrize("slip", [-3e-4, -1e-5, 0.0, 1e-5, 3e-4])
def test_a_lead_in_and_a_full_circle_keep_the_whole_circle(slip: float) -> None:
    """The end of the circle meets the lead-in again: not there does it begin, however the joint was rounded."""
    reading = run(f"G41 D1 G1 X20 Y{slip:.6f}\nX50 Y0\nG3 X50 Y0 I0 J20\nG40 G1 X40 Y20")
    assert reading.error is None, reading.error
    circle = max((move for move in reading.moves if move.kind == Kind.ARC), key=lambda move: abs(move.turn))
    assert circle.turn == pytest.approx(2 * math.pi, abs=1e-3)


corner = st.tuples(st.floats(8.0, 40.0), st.sampled_from([0.0, 0.0, 0.1, 0.3, -0.1, -0.25]), st.floats(-0.3, 0.3))


def contour(corners: Sequence[tuple[float, float, float]]) -> list[Edge]:
    """An outline about the origin, anticlockwise: each corner at its distance, at nearly even angles."""
    count = len(corners)
    points: list[XY] = []
    for number, (distance, _, wobble) in enumerate(corners):
        angle = (number + wobble) * 2 * math.pi / count
        points.append(rounded((distance * math.cos(angle), distance * math.sin(angle))))
    return from_the_middle(outline(points, [bulge for _, bulge, _ in corners]))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
@given(st.lists(corner, min_size=3, max_size=8), st.booleans(), st.floats(0.3, 4.0))
def test_compensated_contours_are_the_offsets_of_the_contour(
    corners: list[tuple[float, float, float]], left: bool, radius: float
) -> None:
    edges = contour(corners)
    border = expected(edges, left, radius)
    assume(border is not None)
    reading = read(program(edges, left, radius, entry=radius), control(2 * radius))
    assert reading.error is None, reading.error
    native = native_edges(reading.moves, 2, len(reading.moves) - 1)
    for point in samples(native, 7):
        assert min(edge.distance(point) for edge in edges) == pytest.approx(radius, abs=1e-9)
    assert shapely.hausdorff_distance(shapely.LinearRing(ring(native, 1e-5 * radius)), border) < 1e-4 * radius


@settings(max_examples=100, deadline=None)
@given(st.floats(0.5, 9.0), st.floats(0.05, 0.98), st.booleans())
def test_a_bottom_narrower_than_the_cutter_is_refused(radius: float, share: float, mirrored: bool) -> None:
    """Walls at right angles to a bottom less than a diameter wide: neighbours interfere."""
    width = round(2 * radius * share, 6)
    flip = -1 if mirrored else 1
    deep = 40.0
    path = f"Y{-deep * flip}\nX{100 + width}\nY0\nG40 X0 Y50"
    body = f"G0 X{100 + radius} Y{deep * flip}\nG{41 if not mirrored else 42} D1 G1 X100 Y{10 * flip}\n{path}"
    assert run(body, 2 * radius).error is not None
