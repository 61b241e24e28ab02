"""The language, fact by fact. N is NISTIR 6556, *The NIST RS274NGC Interpreter – Version 3*, August 2000, with the
section beside each row; *memory* marks what was written down from memory of it; ``common practice`` is said where the
report is silent."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from handwheel.motion import Control, Kind, Offset, PathMode, Spindle
from handwheel.rs274 import Reading, read

HEAD = "G21 G17 G40 G90 G94\n"
RAPID, FEED, ARC, DWELL = Kind.RAPID, Kind.FEED, Kind.ARC, Kind.DWELL
TABLE = Control(offsets={1: Offset(50.0, 10.0), 2: Offset(80.0, 6.0)}, units="mm")


def run(body: str, control: Control = TABLE, **options: bool) -> Reading:
    """The body after a head that states everything, closed by M2."""
    return read(f"{HEAD}{body}\nM2\n", control, **options)


def good(body: str, control: Control = TABLE) -> Reading:
    reading = run(body, control)
    assert reading.error is None, reading.error
    return reading


def path(reading: Reading) -> list[tuple[Kind, tuple[float, float, float]]]:
    return [(move.kind, tuple(round(value, 9) for value in move.end)) for move in reading.moves]


Steps = Sequence[tuple[Kind, tuple[float, float, float]]]

MOTION: list[tuple[str, str, Steps]] = [
    ("3.5.1: G0 goes to the point at rapid", "G0 X1 Y2 Z3", [(RAPID, (1, 2, 3))]),
    ("3.5.2: G1 goes to the point at feed", "G1 X1 Y2 Z3 F10", [(FEED, (1, 2, 3))]),
    ("3.5.2: axes left out stay", "G0 X1 Y2 Z3\nG1 Y5 F10", [(RAPID, (1, 2, 3)), (FEED, (1, 5, 3))]),
    ("3.4: motion is modal", "G1 X1 F10\nX2\nY3", [(FEED, (1, 0, 0)), (FEED, (2, 0, 0)), (FEED, (2, 3, 0))]),
    ("3.5.17: G91 counts from where the tool is", "G0 X5\nG91 G0 X2 Y1", [(RAPID, (5, 0, 0)), (RAPID, (7, 1, 0))]),
    (
        "3.5.7: G20 and G21 may change anywhere",
        "G0 X10\nG20 X1\nG21 X3",
        [(RAPID, (10, 0, 0)), (RAPID, (25.4, 0, 0)), (RAPID, (3, 0, 0))],
    ),
    ("3.5.4: G4 stands still", "G0 X1\nG4 P2.5", [(RAPID, (1, 0, 0)), (DWELL, (1, 0, 0))]),
    (
        "3.5.12: G53 is in the machine's frame, once",
        "G10 L2 P1 X10\nG0 X1\nG53 G0 X1\nX2",
        [(RAPID, (11, 0, 0)), (RAPID, (1, 0, 0)), (RAPID, (12, 0, 0))],
    ),
    (
        "3.5.8: G28 goes by way of the point, then home",
        "#5161=7 #5162=8 #5163=9\nG28 X1 Y2",
        [(RAPID, (1, 2, 0)), (RAPID, (7, 8, 9))],
    ),
    ("3.5.8: G30 goes to the second home", "#5181=-1\nG30 Z5", [(RAPID, (0, 0, 5)), (RAPID, (-1, 0, 0))]),
    ("3.5.9: G38.2 is a feed to the point", "G38.2 Z-5 F10", [(FEED, (0, 0, -5))]),
    ("3.5.15: G80 ends the motion", "G0 X1\nG80\nG0 X2", [(RAPID, (1, 0, 0)), (RAPID, (2, 0, 0))]),
    ("3.5.5: G10 L2 sets an origin, axes named alone", "G10 L2 P1 X3.5 Y17.2\nG0 X0 Y0 Z0", [(RAPID, (3.5, 17.2, 0))]),
    ("3.5.13: G55 takes another system", "G10 L2 P2 X5\nG55 G0 X1\nG54 X1", [(RAPID, (6, 0, 0)), (RAPID, (1, 0, 0))]),
    ("3.5.13: G59.3 is the ninth", "G10 L2 P9 Y5\nG59.3 G0 Y1", [(RAPID, (0, 6, 0))]),
    ("3.5.18: G92 gives the point new coordinates", "G0 X4\nG92 X7\nG0 X8", [(RAPID, (4, 0, 0)), (RAPID, (5, 0, 0))]),
    (
        "3.5.18: G92.2 sets the offset aside, G92.3 takes it back",
        "G0 X4\nG92 X7\nG92.2 G0 X1\nG92.3 X1",
        [(RAPID, (4, 0, 0)), (RAPID, (1, 0, 0)), (RAPID, (-2, 0, 0))],
    ),
    ("3.5.18: G92.1 forgets it", "G0 X4\nG92 X7\nG92.1\nG92.3 G0 X1", [(RAPID, (4, 0, 0)), (RAPID, (1, 0, 0))]),
    ("3.6.1: nothing after M2 is executed", "G0 X1\nM2\nG0 X2 nonsense", [(RAPID, (1, 0, 0))]),
    ("3.6.1: nothing after M30 is executed", "G0 X1\nM30\nG0 X2", [(RAPID, (1, 0, 0))]),
    (
        "3.8: distance mode comes before the motion of its block",
        "G0 X5\nX1 G91",
        [(RAPID, (5, 0, 0)), (RAPID, (6, 0, 0))],
    ),
    ("3.8: the dwell comes before the motion", "G1 X1 F9 G4 P1", [(DWELL, (0, 0, 0)), (FEED, (1, 0, 0))]),
    ("3.8: the coordinate system comes before the motion", "G10 L2 P3 X1\nG0 X0 G56", [(RAPID, (1, 0, 0))]),
    ("design: a commanded move of no length is listed", "G0 X0", [(RAPID, (0, 0, 0))]),
    ("3.5.11: G43 moves nothing, the controlled point is another", "G43 H1\nG0 Z0", [(RAPID, (0, 0, 0))]),
]


@pytest.mark.parametrize(("fact", "body", "steps"), MOTION, ids=[row[0] for row in MOTION])
def test_motion_goes_where_the_standard_says(fact: str, body: str, steps: Steps) -> None:
    assert path(good(body)) == [(kind, tuple(float(value) for value in end)) for kind, end in steps]


CYCLES: list[tuple[str, str, Steps]] = [
    (
        "3.5.16.2, example 1",
        "G0 X1 Y2 Z3\nG90 G81 G98 X4 Y5 Z1.5 R2.8 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2.8)), (FEED, (4, 5, 1.5)), (RAPID, (4, 5, 3))],
    ),
    (
        "3.5.16.2, example 2",
        "G0 X1 Y2 Z3\nG91 G81 G98 X4 Y5 Z-0.6 R1.8 L3 F9",
        [
            (RAPID, (1, 2, 4.8)),
            *((RAPID, (5, 7, 4.8)), (FEED, (5, 7, 4.2)), (RAPID, (5, 7, 4.8))),
            *((RAPID, (9, 12, 4.8)), (FEED, (9, 12, 4.2)), (RAPID, (9, 12, 4.8))),
            *((RAPID, (13, 17, 4.8)), (FEED, (13, 17, 4.2)), (RAPID, (13, 17, 4.8))),
        ],
    ),
    (
        "3.5.20: G99 returns to R",
        "G0 X1 Y2 Z3\nG81 G99 X4 Y5 Z1.5 R2.8 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2.8)), (FEED, (4, 5, 1.5)), (RAPID, (4, 5, 2.8))],
    ),
    (
        "3.5.16: R and Z stick, L does not",
        "G0 X1 Y2 Z3\nG81 G99 X4 Y5 Z1.5 R2.8 L2 F9\nX6",
        [
            *((RAPID, (4, 5, 3)), (RAPID, (4, 5, 2.8)), (FEED, (4, 5, 1.5)), (RAPID, (4, 5, 2.8))),
            *((RAPID, (4, 5, 2.8)), (FEED, (4, 5, 1.5)), (RAPID, (4, 5, 2.8))),
            *((RAPID, (6, 5, 2.8)), (FEED, (6, 5, 1.5)), (RAPID, (6, 5, 2.8))),
        ],
    ),
    (
        "3.5.16.3: G82 dwells at the bottom",
        "G0 X1 Y2 Z3\nG82 G99 X4 Y5 Z1 R2 P0.5 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 1)), (DWELL, (4, 5, 1)), (RAPID, (4, 5, 2))],
    ),
    (
        "3.5.16.4: G83 pecks, out to the clear level and back to just above the last depth",
        "G0 X1 Y2 Z3\nG83 G99 X4 Y5 Z0 R2 Q0.8 F9",
        [
            *((RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 1.2)), (RAPID, (4, 5, 2)), (RAPID, (4, 5, 1.454))),
            *((FEED, (4, 5, 0.4)), (RAPID, (4, 5, 2)), (RAPID, (4, 5, 0.654)), (FEED, (4, 5, 0)), (RAPID, (4, 5, 2))),
        ],
    ),
    (
        "3.5.16.5: G84 feeds in and out",
        "M3 S300\nG0 X1 Y2 Z3\nG84 G99 X4 Y5 Z0 R2 F150",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 0)), (FEED, (4, 5, 2))],
    ),
    (
        "3.5.16.6: G85 feeds out",
        "G0 X1 Y2 Z3\nG85 G99 X4 Y5 Z0 R2 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 0)), (FEED, (4, 5, 2))],
    ),
    (
        "3.5.16.7: G86 dwells, stops the spindle, rapids out",
        "M3 S9\nG0 X1 Y2 Z3\nG86 G99 X4 Y5 Z0 R2 P1 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 0)), (DWELL, (4, 5, 0)), (RAPID, (4, 5, 2))],
    ),
    (
        "3.5.16.8: G87 bores from behind",
        "M3 S9\nG0 X1 Y2 Z3\nG87 G99 X4 Y5 Z0 R2 I1 J-1 K1 F9",
        [
            *((RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (RAPID, (5, 4, 2)), (RAPID, (5, 4, 0)), (RAPID, (4, 5, 0))),
            *((FEED, (4, 5, 1)), (FEED, (4, 5, 0)), (RAPID, (5, 4, 0)), (RAPID, (5, 4, 2)), (RAPID, (4, 5, 2))),
        ],
    ),
    (
        "3.5.16.9: G88 dwells and leaves the way out to the operator",
        "M3 S9\nG0 X1 Y2 Z3\nG88 G99 X4 Y5 Z0 R2 P1 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 0)), (DWELL, (4, 5, 0)), (RAPID, (4, 5, 2))],
    ),
    (
        "3.5.16.10: G89 dwells and feeds out",
        "G0 X1 Y2 Z3\nG89 G99 X4 Y5 Z0 R2 P1 F9",
        [(RAPID, (4, 5, 3)), (RAPID, (4, 5, 2)), (FEED, (4, 5, 0)), (DWELL, (4, 5, 0)), (FEED, (4, 5, 2))],
    ),
    (
        "3.5.16.1: in the ZX plane a cycle works along Y",
        "G0 X1 Y3 Z2\nG18 G81 G99 X4 Z5 Y1 R2 F9",
        [(RAPID, (4, 3, 5)), (RAPID, (4, 2, 5)), (FEED, (4, 1, 5)), (RAPID, (4, 2, 5))],
    ),
    (
        "3.5.16.1: in the YZ plane it works along X",
        "G0 X3 Y1 Z2\nG19 G81 G99 Y4 Z5 X1 R2 F9",
        [(RAPID, (3, 4, 5)), (RAPID, (2, 4, 5)), (FEED, (1, 4, 5)), (RAPID, (2, 4, 5))],
    ),
]


@pytest.mark.parametrize(("fact", "body", "steps"), CYCLES, ids=[row[0] for row in CYCLES])
def test_cycles_make_the_moves_of_the_standard(fact: str, body: str, steps: Steps) -> None:
    assert path(good(body))[1:] == [(kind, tuple(float(value) for value in end)) for kind, end in steps]


def test_g84_turns_the_spindle_round_for_the_way_out() -> None:
    """N 3.5.16.5."""
    moves = good("M3 S300\nG0 Z3\nG84 G99 X4 Y5 Z0 R2 F150\nG0 X0").moves
    assert [move.modal.spindle for move in moves][-3:] == [Spindle.CW, Spindle.CCW, Spindle.CW]


@pytest.mark.parametrize("spindle", ["M3", "M4"])
def test_g86_starts_the_spindle_again_as_it_was(spindle: str) -> None:
    """N 3.5.16.7."""
    before, *_, out, after = good(f"{spindle} S300\nG0 Z3\nG86 G99 X4 Y5 Z0 R2 P1 F150\nG0 X0").moves
    assert out.modal.spindle == Spindle.OFF
    assert after.modal.spindle == before.modal.spindle != Spindle.OFF


def test_g88_stops_for_the_operator() -> None:
    """N 3.5.16.9."""
    events = good("M3 S9\nG0 Z3\nG88 X4 Y5 Z0 R2 P1 F9").events
    assert [event.what for event in events] == ["spindle on", "operator stop", "end"]


def test_arc_in_centre_format() -> None:
    """N 3.5.3.2: from (7, 7), ``G17 G2 X10 Y16 I3 J4 Z9`` turns clockwise about (10, 11) with radius 5, as a helix."""
    arc = good("G0 X7 Y7\nG17 G2 X10 Y16 I3 J4 Z9 F10").moves[1]
    assert arc.centre == pytest.approx((10.0, 11.0, 0.0))
    assert arc.end == (10.0, 16.0, 9.0)
    # from 233.13° clockwise to 90°: 143.13°, twice the angle of a 3-4-5 triangle
    assert arc.turn == pytest.approx(-2.498091544796509)


def test_arc_in_radius_format_turns_through_at_most_half_a_circle() -> None:
    """N 3.5.3.1."""
    short = good("G2 X10 Y0 R10 F10").moves[0]
    long = good("G2 X10 Y0 R-10 F10").moves[0]
    assert short.turn == pytest.approx(-1.0471975511965976)
    assert long.turn == pytest.approx(-5.235987755982989)
    assert short.centre == pytest.approx((5.0, -8.660254037844386, 0.0))
    assert long.centre == pytest.approx((5.0, 8.660254037844386, 0.0))


@pytest.mark.parametrize(
    ("plane", "words", "end"),
    [("G17", "X0 Y10 I-5 J5", (0, 10, 0)), ("G18", "Z0 X10 K-5 I5", (10, 0, 0)), ("G19", "Y0 Z10 J-5 K5", (0, 0, 10))],
)  # fmt: skip
def test_g3_is_anticlockwise_seen_from_the_end_of_the_normal(plane: str, words: str, end: tuple[float, ...]) -> None:
    """N 3.5.3: the same half circle, in each plane, from its first axis over to its second."""
    first = {"G17": "X10", "G18": "Z10", "G19": "Y10"}[plane]
    arc = good(f"G0 {first}\n{plane} G3 {words} F10").moves[1]
    assert arc.turn == pytest.approx(3.141592653589793)
    assert arc.end == end


@pytest.mark.parametrize(("code", "turn"), [("G2", -6.283185307179586), ("G3", 6.283185307179586)])
def test_an_arc_back_to_its_start_is_a_full_circle(code: str, turn: float) -> None:
    """N 3.5.3.2."""
    assert good(f"{code} X0 Y0 I5 J0 F10").moves[0].turn == pytest.approx(turn)
    assert good(f"{code} I5 F10").moves[0].turn == pytest.approx(turn)


@pytest.mark.parametrize(("units", "inside", "outside"), [("G21", "0.0019", "0.0021"), ("G20", "0.00019", "0.00021")])
def test_radii_of_an_arc_may_differ_a_little(units: str, inside: str, outside: str) -> None:
    """N 3.5.3.2: 0.002 mm or 0.0002 in; the ends are kept (decision), the centre lies on the chord's bisector."""
    reading = good(f"{units} G0 X5 Y0\nG3 X-5{inside[1:]} Y0 I-5 J0 F10")
    arc = reading.moves[1]
    scale = 25.4 if units == "G20" else 1.0
    assert arc.end[0] == pytest.approx((-5 - float(inside)) * scale)
    assert arc.centre is not None
    assert arc.start[0] - arc.centre[0] == pytest.approx(arc.centre[0] - arc.end[0])
    assert run(f"{units} G0 X5 Y0\nG3 X-5{outside[1:]} Y0 I-5 J0 F10").error is not None


VALUES: list[tuple[str, str, float]] = [
    ("3.3.2.3 memory", "[2.0 / 3 * 1.5 - 5.5 / 11.0]", 0.5),
    ("3.3.2.3 memory: powers bind first, to the right of a sign", "[2 + 3 * 2 ** 2]", 14),
    ("3.3.2.3 memory: left to right within a level", "[2 ** 3 ** 2]", 64),
    ("3.3.2.3 memory: MOD with * and /", "[7 MOD 4 * 2]", 6),
    ("3.3.2.3 memory: OR XOR AND with + and -", "[1 + 1 AND 0]", 0),
    ("3.3.2.3 memory: any number but 0 is true", "[5 XOR 0]", 1),
    ("3.3.2.3 memory", "[0 OR 0]", 0),
    ("3.3.2.4 memory", "FIX[2.8]", 2),
    ("3.3.2.4 memory", "FIX[-2.8]", -3),
    ("3.3.2.4 memory", "FUP[2.8]", 3),
    ("3.3.2.4 memory", "FUP[-2.8]", -2),
    ("3.3.2.4 memory", "ROUND[2.5]", 3),
    ("3.3.2.4 memory", "ABS[-2.5]", 2.5),
    ("3.3.2.4 memory: degrees", "SIN[30]", 0.5),
    ("3.3.2.4 memory: degrees", "COS[60]", 0.5),
    ("3.3.2.4 memory: degrees", "TAN[45]", 1),
    ("3.3.2.4 memory: degrees", "ATAN[1]/[-1]", 135),
    ("3.3.2.4 memory: degrees", "ASIN[1]", 90),
    ("3.3.2.4 memory: degrees", "ACOS[0]", 90),
    ("3.3.2.4 memory", "SQRT[6.25]", 2.5),
    ("3.3.2.4 memory", "LN[EXP[2]]", 2),
    ("3.3.2.1 memory: a number may end with a point", "7.", 7),
    ("3.3.2.1 memory: or begin with one", "-.5", -0.5),
    ("3.3.2.1 memory: or have a plus sign", "+.5", 0.5),
    ("3.3.2.2 memory: parameters never set are zero", "#7", 0),
    ("3.3.2.2 memory: the number of a parameter may be computed", "#[2+3]", 15),
    ("3.3.2.2 memory: or be a parameter", "##6", 15),
    ("common practice: a sign before a parameter is 0 − …", "-#5", -15),
    ("common practice: 0 − … is what a power binds before", "[-#5 ** 2]", -225),
    ("3.3.2.1 memory: the sign of a number is part of it", "[-15 ** 2]", 225),
    ("3.3 memory: blanks say nothing, not even in numbers", "1 2 . 5", 12.5),
]


@pytest.mark.parametrize(("fact", "value", "wanted"), VALUES, ids=[f"{row[0]} {row[1]}" for row in VALUES])
def test_values_are_what_the_standard_makes_of_them(fact: str, value: str, wanted: float) -> None:
    reading = good(f"#5=15 #6=5\nG0 X{value}")
    assert reading.moves[0].end[0] == pytest.approx(wanted)


def test_settings_take_effect_after_the_block() -> None:
    """N 3.3.3, from memory: with #3 = 15, ``#3=6 G1 X#3`` goes to 15."""
    reading = good("#3=15\n#3=6 G1 X#3 F9\nX#3")
    assert [move.end[0] for move in reading.moves] == [15.0, 6.0]


PARAMETERS: list[tuple[str, str, dict[int, float]]] = [
    ("3.5.18", "G0 X4\nG92 X7", {5211: -3}),
    ("3.5.18", "G0 X4\nG92 X7\nG92 X9", {5211: -5}),
    ("3.5.18", "G0 X4\nG92 X7\nG92.1", {5211: 0, 5212: 0, 5216: 0}),
    ("3.5.18", "G0 X4\nG92 X7\nG92.2", {5211: -3}),
    ("3.5.5", "G10 L2 P1 X3.5 Y17.2", {5221: 3.5, 5222: 17.2, 5223: 0}),
    ("3.5.5", "G10 L2 P9 Z1", {5383: 1}),
    ("3.2.1 memory", "G59.1", {5220: 1}),  # M2 goes back to G54
    ("design: as stored, not converted", "G20 G10 L2 P2 X1\nG21", {5241: 1}),
]


@pytest.mark.parametrize(("section", "body", "wanted"), PARAMETERS)
def test_parameters_hold_what_the_standard_says(section: str, body: str, wanted: dict[int, float]) -> None:
    stored = good(body).parameters
    assert {number: stored[number] for number in wanted} == pytest.approx(wanted)


def test_an_origin_keeps_the_units_it_was_set_in() -> None:
    """The report leaves stored lengths without units; here an inch stays an inch (decision)."""
    reading = good("G20 G10 L2 P2 X1\nG21 G55 G0 X0")
    assert reading.moves[0].end[0] == pytest.approx(25.4)


def test_m2_resets_what_the_standard_names() -> None:
    """N 3.6.1."""
    end = good("G55 G18 G91 G93 M49 M3 S100 M8\nG92 X1").end
    wanted = {
        "system": "G54", "plane": "XY", "distance": "absolute", "feed_mode": "per minute", "overrides": "on",
        "compensation": "off", "spindle": "off", "motion": "feed", "coolant": "off",
    }  # fmt: skip
    assert {name: end[name] for name in wanted} == wanted


def test_feed_comes_before_units_in_a_block() -> None:
    """N 3.8: F is taken in the units in force before the block."""
    assert good("F10\nG20 F10 G1 X1").moves[0].feed == pytest.approx(10.0)
    assert good("G20\nF10 G1 X1").moves[0].feed == pytest.approx(254.0)


def test_inverse_time_is_one_over_minutes() -> None:
    """N 3.5.19: F2 takes half a minute, whatever the length."""
    reading = good("G93 G1 X30 Y40 F2\nG2 X40 Y50 I10 J0 F4")
    assert reading.moves[0].feed == pytest.approx(50.0 * 2)
    assert reading.moves[1].feed == pytest.approx(10.0 * 1.5707963267948966 * 4)


def test_g43_moves_nothing_but_changes_the_controlled_point() -> None:
    """N 3.5.11."""
    before, after = good("G0 Z100\nG43 H1\nG0 Z100").moves
    assert before.end[2] == 100.0
    assert after.start[2] == 50.0
    assert (after.modal.length_slot, after.modal.length) == (1, 50.0)


def test_g43_h0_is_no_length() -> None:
    """N 3.5.11."""
    assert good("G43 H0\nG0 Z1").moves[0].modal.length == 0.0


def test_m6_stops_the_spindle_and_keeps_the_length_offset() -> None:
    """N 3.6.3; decision: a tool change without G43 runs on the old length."""
    move = good("T1 M6\nG43 H1 M3 S500\nT2 M6\nG0 Z0").moves[0]
    assert (move.modal.tool, move.modal.spindle, move.modal.length_slot) == (2, Spindle.OFF, 1)


def test_a_tool_is_only_chosen_by_t() -> None:
    """N 3.7.3."""
    assert good("T1 M6\nT2\nG0 X1").moves[0].modal.tool == 1


def test_mist_and_flood_may_be_on_together() -> None:
    """N 3.4, table 4."""
    modal = good("M7\nM8\nG0 X1").moves[0].modal
    assert (modal.mist, modal.flood) == (True, True)


@pytest.mark.parametrize(
    ("word", "mode"),
    [("G61", PathMode.EXACT_PATH), ("G61.1", PathMode.EXACT_STOP), ("G64", PathMode.CONTINUOUS)],
)
def test_path_modes(word: str, mode: PathMode) -> None:
    """N 3.5.14."""
    assert good(f"{word}\nG0 X1").moves[0].modal.path_mode == mode


@pytest.mark.parametrize(
    ("word", "what"), [("M0", "stop"), ("M1", "optional stop"), ("M60", "pallet stop"), ("T1 M6", "tool change")]
)
def test_events_stand_between_the_moves(word: str, what: str) -> None:
    """N 3.6.1."""
    event = good(f"G0 X1\n{word}\nG0 X2").events[0]
    assert (event.what, event.before_move, event.line) == (what, 1, 3)


SPELLINGS: list[tuple[str, str]] = [
    ("3.3 memory: capitals or not", "g1 x1 y2 f10"),
    ("3.3 memory: blanks anywhere", "G 1 X 1 Y2F10"),
    ("3.3 memory: no blanks at all", "G1X1Y2F10"),
    ("3.3 memory: a line number", "N10 G1 X1 Y2 F10"),
    ("3.3 memory: words in any order", "F10 Y2 X1 G1"),
    ("3.3 memory: leading zeros", "N00010 G01 X01.0 Y+2.000 F010"),
    ("3.3.4: a comment anywhere", "G1 (over) X1 Y2 (and) F10"),
    ("common practice: a comment after ;", "G1 X1 Y2 F10 ; over (there"),
    ("3.3 memory: a tabulator is a blank", "G1\tX1\tY2\tF10"),
    ("3.3 memory: a block that may be deleted, is not", "/G1 X1 Y2 F10"),
    ("3.3.2: computed", "G[0.5+0.5] X#1 Y[#1+#1] F[5*2]"),
]


@pytest.mark.parametrize(("fact", "text"), SPELLINGS, ids=[row[0] for row in SPELLINGS])
def test_spellings_of_one_block(fact: str, text: str) -> None:
    move = good(f"#1=1\n{text}").moves[0]
    assert (move.kind, move.end, move.feed) == (FEED, (1.0, 2.0, 0.0), 10.0)


def test_block_delete_leaves_blocks_out() -> None:
    """N 3.3.1."""
    assert len(run("G0 X1\n/ G0 X2\n/ (not even read", TABLE, block_delete=True).moves) == 1


def test_percent_lines_bound_a_program() -> None:
    """N 3.1, from memory."""
    reading = read(f"\n%\n{HEAD}G0 X1\n%\nafterwards\n", TABLE)
    assert reading.error is None
    assert len(reading.moves) == 1


def test_messages_are_events() -> None:
    """N 3.3.4."""
    events = good("(MSG, turn it over)\nG0 X1").events
    assert (events[0].what, events[0].text, events[0].before_move) == ("message", "turn it over", 0)


def test_comments_are_kept_with_their_lines() -> None:
    assert good("G0 X1 (one) (two)\n; three").comments == ((2, "one"), (2, "two"), (3, "three"))


def test_a_leading_program_number_is_noted() -> None:
    """Common practice."""
    reading = read(f"O1000 (TITLE)\n{HEAD}G0 X1.\nM2\n", TABLE)
    assert reading.error is None
    assert [note.code for note in reading.notes] == ["program-number"]


@pytest.mark.parametrize(
    ("left_out", "words"),
    [("G21", "inches"), ("G90", "absolute"), ("G17", "plane"), ("G40", "compensation")],
)
def test_what_a_program_takes_for_granted_is_said(left_out: str, words: str) -> None:
    """Decision: a warning."""
    head = HEAD.replace(f"{left_out} ", "")
    reading = read(f"{head}G0 X1.\nG0 X2.\nM2\n", TABLE)
    assert [(note.code, note.line, note.count) for note in reading.notes] == [("modes-not-set", 2, 1)]
    assert words in reading.notes[0].message


def test_units_never_stated_are_those_of_the_control() -> None:
    assert read("G0 X1\nM2\n", Control(units="mm")).moves[0].end[0] == 1.0
    assert read("G0 X1\nM2\n", Control(units="in")).moves[0].end[0] == 25.4


def test_with_a_job_positions_count_from_its_zero() -> None:
    """Design, 3: systems start at the job's zero, homes are machine zero, motion starts at home."""
    zero = (-200.0, -100.0, -250.0)
    control = Control(units="mm", origin=zero, report=zero, offsets={1: Offset(length=60.0)})
    reading = good("G0 X1 Y2\nG43 H1\nG0 Z5\nG28 Z10\nG53 G0 X-1", control)
    assert reading.moves[0].start == (200.0, 100.0, 250.0)
    assert reading.moves[0].end == (1.0, 2.0, 250.0)
    assert reading.moves[1].start == (1.0, 2.0, 190.0)
    assert reading.moves[1].end == (1.0, 2.0, 5.0)
    assert reading.moves[3].end == (200.0, 100.0, 190.0)
    assert reading.moves[4].end == (199.0, 100.0, 190.0)


def test_slots_that_are_not_in_the_table_count_as_zero() -> None:
    """Decision: a note, no error."""
    reading = good("G43 H7\nG0 Z0\nG41 D8 G1 X5. F9\nX9.\nG40 X0")
    assert [(note.code, note.line) for note in reading.notes] == [("empty-slot", 2), ("empty-slot", 4)]
