"""Everyday words beyond the standard, words of other controls, and slips that a trainee makes. What controls make of
these words is common practice; what the standard says of a code is NISTIR 6556, August 2000 (N)."""

from __future__ import annotations

import numpy as np
import pytest

from handwheel.check.finding import level_of
from handwheel.errors import ProgramError
from handwheel.motion import Control, Kind, Offset, PathMode, Spindle
from handwheel.proof.by_program import steps_of_moves
from handwheel.rs274 import Reading, read

HEAD = "G21 G17 G40 G90 G94 F100\nG0 X1. Y2. Z3.\n"
TABLE = Control(offsets={1: Offset(50.0, 10.0)}, home=(-1.0, -2.0, 200.0), units="mm")


def run(body: str, *, strict: bool = False, end: str = "M2") -> Reading:
    return read(f"{HEAD}{body}\n{end}\n", TABLE, strict=strict)


def good(body: str, end: str = "M2") -> Reading:
    reading = run(body, end=end)
    assert reading.error is None, reading.error
    return reading


def refused(body: str, *, strict: bool = False, end: str = "M2") -> ProgramError:
    error = run(body, strict=strict, end=end).error
    assert error is not None
    return error


def path(reading: Reading) -> list[tuple[float, ...]]:
    """The ends of the moves after the first."""
    return [move.end for move in reading.moves][1:]


def codes(reading: Reading) -> list[str]:
    return [note.code for note in reading.notes]


@pytest.mark.parametrize(
    ("body", "column"),
    [
        ("G0 G80 X5.", 4),
        ("G0 G28 G91 Z0", 4),
        ("G28 G0 Z9.", 1),
        ("G4 X.5", 1),
        ("G4 U.5", 1),
        ("G73 X5. Z-2. R1. Q1.", 1),
        ("G54.1 P3", 1),
        ("G10 L20 P3 X5.", 1),
        ("G52 X5.", 1),
        ("G9 G1 X5.", 1),
        ("M19", 1),
        ("G0 G69 X5.", 4),
        ("M98 P7", 1),
    ],
)
def test_everyday_words_are_read_with_a_warning_and_refused_under_strict(body: str, column: int) -> None:
    end = "M2\nO7\nX9. (here)"
    reading = read(f"{HEAD}G1 X2.\n{body}\n{end}\nM99\n", TABLE)
    assert reading.error is None
    assert set(codes(reading)) - {"increments-at-end"} == {"beyond-standard"}
    assert reading.notes[0].line == 4
    assert level_of("beyond-standard") == "warn"
    error = read(f"{HEAD}G1 X2.\n{body}\n{end}\nM99\n", TABLE, strict=True).error
    assert error is not None
    assert (error.line, error.column) == (4, column)
    assert "beyond the standard" in error.reason


def test_the_end_of_a_cycle_beside_a_motion_word_ends_the_cycle_and_the_motion_word_holds() -> None:
    reading = good("G81 X5. Z-2. R1.\nG80 G0 X7. Z9.\nX8.")
    assert path(reading)[-2:] == [(7.0, 2.0, 9.0), (8.0, 2.0, 9.0)]
    assert reading.end["motion"] == "feed"
    assert path(good("G81 X5. Z-2. R1.\nG1 G80 X7.\nX8."))[-1] == (8.0, 2.0, 3.0)


def test_the_usual_safety_line_moves_nothing() -> None:
    reading = good("G0 G17 G40 G49 G69 G80 G90 G97 G50.1\nX5.")
    assert path(reading) == [(5.0, 2.0, 3.0)]


def test_two_motion_words_beside_the_end_of_a_cycle_are_still_two() -> None:
    assert "exclude each other" in refused("G80 G0 G1 X1.").reason
    assert "exclude each other" in refused("G80 G80").reason


@pytest.mark.parametrize("block", ["G28 G91 Z0", "G91 G28 Z0.", "G0 G28 G91 Z0", "G91 G0 G28 Z0"])
def test_home_by_way_of_no_increment_is_one_move_along_the_axes_named(block: str) -> None:
    reading = good(block + "\nG90")
    assert path(reading) == [(1.0, 2.0, 200.0)]
    assert reading.moves[1].kind == Kind.RAPID


def test_home_along_x_and_y() -> None:
    assert path(good("G91 G28 X0 Y0\nG90")) == [(-1.0, -2.0, 3.0)]


def test_under_strict_home_is_all_three_axes() -> None:
    """N 3.5.8."""
    assert path(run("G91 G28 Z0\nG90", strict=True))[-1] == (-1.0, -2.0, 200.0)


def test_home_beside_a_motion_word_sets_the_motion_mode() -> None:
    assert path(good("G0 G28 Z9.\nX5."))[-1] == (5.0, -2.0, 200.0)
    assert path(good("G1 X4.\nG0 G28 Z9.\nX5.")) == [
        (4.0, 2.0, 3.0),
        (4.0, 2.0, 9.0),
        (-1.0, -2.0, 200.0),
        (5.0, -2.0, 200.0),
    ]


@pytest.mark.parametrize("block", ["G4 X1.5", "G4 U1.5", "G04 X1.5"])
def test_a_dwell_by_x_or_u_stands_still(block: str) -> None:
    reading = good(f"G1 X5.\n{block}\nY7.")
    dwell = reading.moves[2]
    assert (dwell.kind, dwell.seconds, dwell.end) == (Kind.DWELL, 1.5, (5.0, 2.0, 3.0))
    assert path(reading)[-1] == (5.0, 7.0, 3.0)


def test_a_dwell_by_x_in_a_block_with_a_motion_word_is_refused() -> None:
    assert "needs P" in refused("G1 G4 X5.").reason
    assert "twice" in refused("G4 P1. U1.").reason
    assert "no time" in refused("G4 X-1.").reason
    assert "no axis" in refused("G1 U5.").reason


@pytest.mark.parametrize(("block", "asked"), [("G4 P1000", True), ("G4 P100", False), ("G82 X5. Z-2. R1. P500", True)])
def test_a_long_dwell_is_asked_about(block: str, asked: bool) -> None:
    reading = good(block)
    assert codes(reading) == (["long-dwell"] if asked else [])
    assert level_of("long-dwell") == "warn"
    if asked:
        assert "milliseconds" in reading.notes[0].message
    assert run(block, strict=True).error is None  # the standard knows the block


def test_pecks_without_leaving_the_hole() -> None:
    """Back by 0.010 in."""
    reading = good("G73 X5. Y5. Z-2.5 R1. Q1.5")
    assert [round(z, 9) for _, _, z in path(reading)] == [3.0, 1.0, -0.5, -0.246, -2.0, -1.746, -2.5, 3.0]
    kinds = [move.kind for move in reading.moves][1:]
    assert kinds == [Kind.RAPID] * 2 + [Kind.FEED, Kind.RAPID] * 3
    assert "needs Q" in refused("G73 X5. Z-2. R1.").reason
    assert "above zero" in refused("G73 X5. Z-2. R1. Q0").reason


def test_systems_after_the_ninth_start_from_zero_unless_set() -> None:
    zero = Control(units="mm", origin=(10.0, 20.0, 30.0))
    reading = read("G21 G17 G40 G90\nG54.1 P2 G0 X1.\nG10 L20 P2 X100. Z5.\nX1. Z1.\nG54 X1.\nM2\n", zero)
    assert reading.error is None
    assert [move.end[0] for move in reading.moves] == [1.0, 101.0, 11.0]
    assert reading.moves[1].end[2] == 6.0
    assert reading.called == {"G21": 1, "G54.1 P2": 2, "G54": 5}
    for body in ("G54.1", "G54.1 P0", "G54.1 P49", "G54.1 P1.5", "G10 L20 X1."):
        assert "P names" in refused(body).reason


def test_a_shift_of_the_system_in_force() -> None:
    reading = good("G52 X10. Y20.\nG0 X1. Y1.\nG55 X2.\nG52 X0 Y0\nX1. Y1.\nG92 X50.\nG52 X1.\nX50.")
    assert [end[:2] for end in path(reading)] == [(11.0, 21.0), (12.0, 21.0), (1.0, 1.0), (2.0, 1.0)]
    assert "needs an axis" in refused("G52").reason
    assert "compensation" in refused("G41 D1 G1 X20.\nG52 X1.").reason


def test_an_exact_stop_holds_for_one_block() -> None:
    reading = good("G64\nG9 G1 X5.\nX6.")
    assert [move.modal.path_mode for move in reading.moves][1:] == [PathMode.EXACT_STOP, PathMode.CONTINUOUS]


def test_the_spindle_stops_at_an_angle() -> None:
    reading = good("M3 S500\nG1 X5.\nM19\nG0 X6.")
    assert [move.modal.spindle for move in reading.moves][1:] == [Spindle.CW, Spindle.OFF]
    assert [event.what for event in reading.events] == ["spindle on", "spindle off", "end"]


@pytest.mark.parametrize(
    ("block", "column", "words"),
    [
        ("IF [#1 GT 5] GOTO 10", 1, "IF is a macro statement"),
        ("N10 WHILE [#1 LT 5] DO1", 5, "WHILE is a macro statement"),
        ("GOTO 100", 1, "GOTO is a macro statement"),
        ("END1", 1, "END is a macro statement"),
        ("G65 P9010 A1. B2.", 1, "a macro call"),
        ("G66 P9010 C2.", 1, "a macro call"),
        ("G68 X0 Y0 R30.", 1, "rotation"),
        ("G51 X0 Y0 P2.", 1, "scaling"),
        ("G51.1 X0", 1, "mirror"),
        ("G16", 1, "polar coordinates"),
        ("G96 S200", 1, "surface speed"),
        ("G95", 1, "feed per revolution"),
        ("G1 X5. G68 R30.", 8, "rotation"),
    ],
)
def test_words_of_other_controls_are_refused_by_what_they_are(block: str, column: int, words: str) -> None:
    error = refused(block)
    assert words in error.reason
    assert "function F" not in error.reason
    assert "rotary" not in error.reason
    assert error.column == column


# subprograms

SUBS = "M30\nO100 (A ROW)\nG91 G1 X1.\nM98 P200 L2\nG90\nM99\nO200\nZ-1.\nM99\n%"


def test_a_subprogram_runs_where_it_is_called() -> None:
    reading = read(f"%\nO1 (MAIN)\n{HEAD}G1 X1. M98 P100\nM98 P100\n{SUBS}\n", TABLE)
    assert reading.error is None
    assert [end[0] for end in path(reading)] == [1.0, 2.0, 2.0, 2.0, 3.0, 3.0, 3.0]
    assert [end[2] for end in path(reading)] == [3.0, 3.0, 2.0, 1.0, 1.0, 0.0, -1.0]
    assert reading.moves.line[1:].tolist() == [5, 9, 14, 14, 9, 14, 14]
    assert reading.comments == ((2, "MAIN"), (8, "A ROW"), (8, "A ROW"))
    assert reading.end["position"] == [3.0, 2.0, -1.0]


def test_subprograms_from_lines_are_those_of_the_text() -> None:
    text = f"{HEAD}G1 X1. M98 P100\n{SUBS}\n"
    first, second = read(text, TABLE), read(iter(text.splitlines(keepends=True)), TABLE)
    assert first.error is None
    np.testing.assert_array_equal(first.moves.end, second.moves.end)
    np.testing.assert_array_equal(first.moves.end, read(text.replace("\n", "\r\n"), TABLE).moves.end)


def test_the_end_within_a_subprogram_ends_all() -> None:
    reading = read(f"{HEAD}M98 P5 L9\nX9.\nM2\nO5\nG1 X5.\nM30\nX6.\nM99\n", TABLE)
    assert reading.error is None
    assert path(reading) == [(5.0, 2.0, 3.0)]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("M98 P5\nM2\n", 3, "no subprogram O5"),
        ("M98\nM2\n", 3, "needs P"),
        ("M98 P5 L0\nM2\nO5\nM99\n", 3, "above zero"),
        ("M98 P5\nM2\nO5\nM99\nO5\nM99\n", 3, "several subprograms O5"),
        ("M98 P5\nM2\nO5\nG1 X5.\n", 6, "never ends"),
        ("M98 P5\nM2\nO5\nM98 P5\nM99\n", 6, "more than 10 deep"),
        ("M98 P5\nM2\nO5\nG1 X\nM99\n", 6, "no value"),
        ("M99\n", 3, "none is running"),
        ("G1 X5.\nO5\nM99\n", 4, "another program"),
        ("G54.1 P2 M98\nM2\n", 3, "both use the P word"),
        ("G4 P2 M98\nM2\n", 3, "both use the P word"),
    ],
)
def test_a_subprogram_that_makes_no_sense_is_refused_at_its_line(text: str, line: int, words: str) -> None:
    error = read(HEAD + text, TABLE).error
    assert error is not None
    assert (error.line, words in error.reason) == (line, True), error


def test_subprograms_are_bounded_in_all() -> None:
    """Ten deep, a thousand million million times: answered, and soon."""
    rows = "".join(f"O{n}\nM98 P{n + 1} L999\nM99\n" for n in range(1, 10)) + "O10\nG1 X1.\nM99\n"
    error = read(f"{HEAD}M98 P1 L999\nM2\n{rows}", TABLE).error
    assert error is not None
    assert "1,000,000 blocks" in error.reason


def test_the_step_of_a_move_follows_the_run_and_not_the_text() -> None:
    reading = read(
        f"{HEAD}(STEP 1: LEFT)\nM98 P5\n(STEP 2: RIGHT)\nG1 X50.\nM98 P5\nM2\nO5\nG1 Y1.\nG41 D1 X20.\nY30.\n"
        "(STEP 3: UP)\nG40 X0. Y50.\nM99\n",
        TABLE,
    )
    assert reading.error is None
    assert steps_of_moves(reading).tolist() == [0, 1, 1, 1, 3, 2, 2, 2, 2, 2, 3]


# slips


@pytest.mark.parametrize(("block", "column"), [("GO X1.", 2), ("G1 XO", 5), ("G1 X1O.", 6), ("G9O", 3), ("MO3", 2)])
def test_the_letter_o_for_a_zero(block: str, column: int) -> None:
    error = refused(block)
    assert "letter O" in error.reason
    assert "digit 0" in error.instead
    assert error.column == column


@pytest.mark.parametrize(
    ("body", "word"),
    [("X10", "X10"), ("X1.\nX1.5\nX2", "X2"), ("G2 X1. Y2. I5 J0", "I5"), ("G81 X5. Z-2. R1", "R1"), ("X-7", "X-7")],
)
def test_a_length_without_a_decimal_point_is_told_once(body: str, word: str) -> None:
    reading = run(f"{body}\n{body}")
    assert codes(reading) == ["no-decimal-point"]
    assert reading.notes[0].line == 2 + len(body.splitlines())
    assert reading.notes[0].count == 1
    assert reading.notes[0].message.startswith(word)
    assert "thousandths of a millimeter" in reading.notes[0].message


def test_a_length_without_a_decimal_point_deep_in_a_long_run_is_told_with_its_line() -> None:
    blocks = [f"X{n}.5 Y{n}." for n in range(100)]
    blocks[60] = "X60.5 Y61"
    reading = good("G1 X0.5\n" + "\n".join(blocks))
    assert [(note.code, note.line) for note in reading.notes] == [("no-decimal-point", 64)]
    assert len(reading.moves) == 102


def test_what_needs_no_decimal_point_is_not_told() -> None:
    reading = good("N10 T1 M6 S500\nG43 H1\nG0 X0 Y-0 Z00\nG4 P2\nG41 D1 G1 X20.\nG40 X0 F80\nG10 L2 P2 X1.")
    assert reading.notes == ()


def test_a_wrong_side_is_thought_of() -> None:
    for body in ("G42 D1 G1 X20.\nG2 X20. Y-6. I0 J-4.", "G41 D1 G1 X20.\nX40.\nY4.\nX20."):
        assert "Look along the travel" in refused(body).instead
    reading = good("G0 X0 Y0\nG41 D1 G1 X20.\nX40.\nY30.\nG40 X0")
    assert codes(reading) == ["inside-corner"]
    assert "look along the travel" in reading.notes[0].message


def test_a_slanting_lead_in_is_no_inside_corner() -> None:
    """On to the left end of a block, then along its front, the cutter outside: the lead-in turns towards the cutter."""
    reading = good("G0 X-20. Y-20.\nG42 D1 G1 X0 Y0\nX60.\nY40.\nG40 X90.")
    assert reading.notes == ()
    assert refused("G0 X-20. Y-20.\nG42 D1 G1 X20. Y0\nX60. Y-20.\nG40 Y-90.", strict=True).reason.startswith(
        "the corner"
    )


def test_compensation_left_on_at_the_end() -> None:
    reading = good("G41 D1 G1 X20.\nX40.")
    assert codes(reading) == ["compensation-left-on"]
    assert "G40" in reading.notes[0].message
    assert codes(good("G41 D1 G1 X20.\nX40.\nT2 M6\nG40 X50.")) == ["compensation-left-on"]


@pytest.mark.parametrize("before", ["G91 G28 Z0", "G91 G1 X1.\nT1 M6"])
def test_increments_that_go_on_after_home_or_a_tool_change(before: str) -> None:
    reading = good(f"{before}\nG0 X5.\nX6.\nG90")
    found = [note for note in reading.notes if note.code == "increments-in-force"]
    assert [(note.line, note.count) for note in found] == [(len(before.splitlines()) + 3, 1)]
    assert "increments-in-force" not in codes(good(f"{before}\nG90 G0 X5.\nX6."))
    assert "increments-in-force" not in codes(good(f"{before}\nG53 G0 X5.\nG90"))


def test_increments_in_force_at_the_end() -> None:
    assert codes(good("G91 G1 X5.")) == ["increments-at-end"]
    assert codes(good("G91 G1 X5.\nG90")) == []


# arcs


@pytest.mark.parametrize(
    "block", ["G2 X10. Y2. R100000001.", "G2 X2. Y2. I0.5 J-100000001.", "G41 D1\nG2 X10. Y2. R100000001."]
)
def test_an_arc_that_is_all_but_straight_is_refused(block: str) -> None:
    """Without a job the travel counts as a meter."""
    error = refused(block)
    assert "100,000 times the travel" in error.reason
    assert error.line == 3 + block.count("\n")


def test_the_travel_of_the_machine_bounds_the_radius() -> None:
    text = f"{HEAD}G2 X1000. Y2. R60000000.\nM2\n"
    assert read(text, Control(units="mm")).error is None
    assert read(text, Control(units="mm", travel=500.0)).error is not None
