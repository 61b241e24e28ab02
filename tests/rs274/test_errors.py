"""Every error that a reader must give. N is NISTIR 6556, August 2000, by the section of the word concerned."""

from __future__ import annotations

import pytest

from handwheel.motion import Control, Offset
from handwheel.rs274 import read

HEAD = "G21 G17 G40 G90 G94 F100\n"
TABLE = Control(offsets={1: Offset(50.0, 10.0)}, units="mm")

ERRORS: list[tuple[str, str, int, str]] = [
    ("3.5.1: G0 without an axis", "G0", 1, "needs an axis"),
    ("3.5.2: G1 without an axis", "G1 F10", 1, "needs an axis"),
    ("3.4: two words of a group", "G0 X1 G1", 7, "exclude each other"),
    ("3.4: two M words of a group", "M3 M4", 4, "exclude each other"),
    ("3.3.3 memory: a letter twice", "G0 X1 Y2 X3", 10, "twice"),
    ("3.5.3: an arc without centre or radius", "G2 X5 Y5", 1, "neither a center nor a radius"),
    ("3.5.3.1: a radius to the same point", "G2 X0 Y0 R5", 10, "where it starts"),
    ("3.5.3.1: a radius that does not reach", "G2 X20 Y0 R5", 11, "too small"),
    ("3.5.3.2: an end off the circle", "G2 X10 Y1 I5 J0", 1, "not on its circle"),
    ("3.5.3: both forms at once", "G2 X10 Y0 I5 R5", 14, "not both"),
    ("3.5.3: a centre word across the plane", "G2 X10 Y0 I5 K1", 14, "plane"),
    ("3.5.4: G4 without P", "G4", 1, "needs P"),
    ("3.5.4: P negative", "G4 P-1", 4, "no time"),
    ("3.5.5: G10 with another L", "G10 L3 P1 X1", 1, "L2"),
    ("3.5.5: P out of range", "G10 L2 P10 X1", 8, "P9 is G59.3"),
    ("3.5.5: P left out", "G10 L2 X1", 1, "P9 is G59.3"),
    ("3.5.18: G92 without an axis", "G92", 1, "needs an axis"),
    ("3.5.10: G41 when already on", "G41 D1 G1 X20\nG42", 1, "already on"),
    ("3.5.10: not in XY", "G18\nG41 D1", 1, "XY plane"),
    ("3.5.10: D negative", "G41 D-1", 5, "whole number"),
    ("3.5.10: D not whole", "G41 D1.5", 5, "whole number"),
    ("3.5.11: H negative", "G43 H-1", 5, "whole number"),
    ("3.5.11: H not whole", "G43 H.5", 5, "whole number"),
    ("3.7.3: T negative", "T-1", 1, "whole number"),
    ("3.7.3: T not whole", "T1.5", 1, "whole number"),
    ("3.7.2: S negative", "S-1", 1, "negative"),
    ("3.5.11: G43 without H", "G43", 1, "needs H"),
    ("3.5.12: G53 without G0 or G1", "G80\nG53 X1", 1, "G0 or G1"),
    ("3.5.12: G53 with an arc in force", "G2 X10 Y0 I5 J0\nG53 X1", 1, "G0 or G1"),
    ("3.5.15: axis words after G80", "G80 X1", 5, "no motion word"),
    ("3.4: axis words with no motion", "X1", 1, "no motion word"),
    ("3.5.19: G93 without F", "G93 G1 X1", 1, "own F"),
    ("3.5.19: G93 and F in an earlier block", "G93 G1 X1 F1\nX2", 1, "own F"),
    ("3.5.2: F zero", "F0\nG1 X1", 1, "above zero"),
    ("3.5.3: F zero on an arc", "F0\nG2 X10 Y0 I5", 1, "above zero"),
    ("3.7.1: F negative", "F-5", 1, "negative"),
    ("3.5.16: R left out", "G81 X1 Z-1", 1, "needs R"),
    ("3.5.16: Z left out", "G81 X1 R1", 1, "needs Z"),
    ("3.5.16: Z does not stick in another cycle", "G81 X1 Z-1 R1\nG85 X2", 1, "needs Z"),
    ("3.5.16: no axis word", "G81 R1", 1, "needs an axis"),
    ("3.5.16: R below Z", "G81 X1 Z-1 R-2", 12, "below the bottom"),
    ("3.5.16: L zero", "G81 X1 Z-1 R1 L0", 15, "whole number"),
    ("3.5.16: L not whole", "G81 X1 Z-1 R1 L1.5", 15, "whole number"),
    ("3.5.16.4: Q zero", "G83 X1 Z-1 R1 Q0", 15, "above zero"),
    ("3.5.16.4: Q left out", "G83 X1 Z-1 R1", 1, "needs Q"),
    ("3.5.16.3: P negative", "G82 X1 Z-1 R1 P-1", 15, "no time"),
    ("3.5.16.3: P left out", "G82 X1 Z-1 R1", 1, "needs P"),
    ("3.5.16: with compensation on", "G41 D1 G1 X20\nG81 X30 Z-1 R1", 1, "compensation"),
    ("3.5.16: in inverse time", "G93\nG81 X1 Z-1 R1 F1", 1, "inverse time"),
    ("3.5.16.5: G84 with the spindle standing", "G84 X1 Z-1 R1", 1, "clockwise"),
    ("3.5.16.5: G84 with the spindle anticlockwise", "M4 S9\nG84 X1 Z-1 R1", 1, "clockwise"),
    ("3.5.16.7: G86 with the spindle standing", "G86 X1 Z-1 R1 P1", 1, "turning"),
    ("3.5.16.8: G87 without I, J, K", "M3\nG87 X1 Z-1 R1", 1, "needs I, J and K"),
    ("bounded: more moves than a part has", "G81 X1 Z-1 R1 L999999999", 15, "more than 100000 moves"),
    ("bounded: pecks without end", "G83 X1 Z-99 R1 Q0.000000001", 1, "more than 100000 moves"),
    ("3.5.9: a probe nearer than 0.254 mm", "G38.2 Z-0.25", 1, "too near"),
    ("3.5.9: no axis", "G38.2", 1, "needs an axis"),
    ("3.5: an unknown G word", "G5 X1", 1, "no word"),
    ("3.5: an unknown G word between two known", "G38.3 X1", 1, "no word"),
    ("3.6: an unknown M word", "M96", 1, "no word"),
    ("3.3 memory: five M words", "M3 M6 M8 M48 M0", 1, "at most 4"),
    ("3.3.1 memory: N over 99999", "N100000 G0 X1", 1, "five digits"),
    ("3.3.1 memory: N with a point", "N1.5 G0 X1", 3, "begins no word"),
    ("3.3.1 memory: N not first", "G0 N1 X1", 4, "first"),
    ("3.3.4: a comment without an end", "G0 X1 (to the left", 7, "never closed"),
    ("3.3.4: a comment in a comment", "G0 (one (two)) X1", 9, "inside a comment"),
    ("3.3.4: the end of no comment", "G0 X1 )", 7, "begins no word"),
    ("3.3.2.3: a bracket without an end", "G0 X[1+2", 5, "never closed"),
    ("3.3.2.3: the end of no bracket", "G0 X1]", 6, "begins no word"),
    ("3.3.2.3: no operator", "G0 X[1 2 FIX 3]", 10, "no operator"),
    ("3.3.2.4: an unknown function", "G0 XCOT[1]", 5, "no function"),
    ("3.3.2.4: ATAN with one value", "G0 XATAN[1]", 12, "two values"),
    ("3.3.2.2: parameter 0", "G0 X#0", 6, "1 to 5399"),
    ("3.3.2.2: parameter 5400", "#5400=1", 2, "1 to 5399"),
    ("3.3.2.2: a parameter not whole", "G0 X#1.5", 6, "1 to 5399"),
    ("3.3.3: a parameter without =", "#5", 1, "set with ="),
    ("3.3.2.3: division by zero", "G0 X[1/0]", 6, "by zero"),
    ("3.3.2.3: MOD zero", "G0 X[1 MOD 0]", 6, "by zero"),
    ("3.3.2.4: the root of a negative number", "G0 XSQRT[-1]", 5, "no value"),
    ("3.3.2.4: the logarithm of zero", "G0 XLN[0]", 5, "no value"),
    ("3.3.2.4: the arc sine of 2", "G0 XASIN[2]", 5, "no value"),
    ("3.3.2.3: a broken power of a negative number", "G0 X[-8 ** 0.5]", 6, "no value"),
    ("3.3.2.4: a number beyond all bounds", "G0 XEXP[1000]", 5, "no value"),
    ("3.3 memory: a letter without a value", "G0 X", 4, "no value"),
    ("3.3 memory: no exponent form", "G0 X1E5", 6, "begins no word"),
    ("3.3 memory: no word at all", "G0 X1 $", 7, "begins no word"),
    ("3.3 memory: a number of two points", "G0 X1.2.3", 8, "begins no word"),
    ("three linear axes", "G0 A90", 4, "rotary"),
    ("three linear axes", "G0 B90", 4, "rotary"),
    ("three linear axes", "G0 C90", 4, "rotary"),
    ("O words", "O100", 1, "another program"),
    ("O words after a line number", "N5 O100", 4, "another program"),
    ("3.4: two codes that use axis words", "G1 G92 X1", 4, "both use the axis words"),
    ("3.4: two codes that use axis words", "G2 G28 X1", 4, "both use the axis words"),
    ("3.4: a D without G41 or G42", "G1 X1 D1", 7, "belongs to"),
    ("3.4: an H without G43", "G1 X1 H1", 7, "belongs to"),
    ("3.4: an R without use", "G1 X1 R1", 7, "belongs to"),
    ("3.4: an R without use, G1 being in force", "G1 X1\nX2 R1", 4, "belongs to"),
    ("3.4: a Q without use", "Q1", 1, "belongs to"),
    ("B 2: G28 with compensation on", "G41 D1 G1 X20\nG28", 1, "compensation"),
    ("B 2: G30 with compensation on", "G41 D1 G1 X20\nG30", 1, "compensation"),
    ("B 2: G53 with compensation on", "G41 D1 G1 X20\nG53 G0 X1", 1, "compensation"),
    ("B 2: G92 with compensation on", "G41 D1 G1 X20\nG92 X1", 1, "compensation"),
    ("B 2: probing with compensation on", "G41 D1 G1 X20\nG38.2 Z-5", 1, "compensation"),
    ("B 2: another plane with compensation on", "G41 D1 G1 X20\nG18", 1, "compensation"),
    ("B 2: other units with compensation on", "G41 D1 G1 X20\nG20", 1, "compensation"),
    ("B 2: another system with compensation on", "G41 D1 G1 X20\nG55", 1, "compensation"),
    ("B 2: the system's origin with compensation on", "G41 D1 G1 X20\nG10 L2 P1 X5", 1, "compensation"),
    ("B 5 memory: a first move within one radius", "G41 D1 G1 X4", 1, "gouge"),
    ("B 5 memory: a first move on the circle", "G41 D1 G1 X5", 1, "gouge"),
    ("B 5 memory: a first move along Z alone", "G41 D1\nG1 Z-5", 1, "X or Y"),
    ("B 5 memory: a first arc from the wrong place", "G41 D1\nG3 X20 Y0 I10 J0", 1, "beside that arc"),
    ("B memory: an arc too tight for the cutter", "G41 D1 G1 X20\nG3 X20 Y8 I0 J4", 1, "too tight"),
    ("B memory: an arc as tight as the cutter", "G41 D1 G1 X20\nG3 X20 Y10 I0 J5", 1, "too tight"),
    ("B memory: a corner that the cutter cannot enter", "G41 D1 G1 X20\nY2", 1, "does not fit"),
]


@pytest.mark.parametrize(("fact", "body", "column", "words"), ERRORS, ids=[f"{row[0]}: {row[1]!r}" for row in ERRORS])
def test_a_program_is_refused(fact: str, body: str, column: int, words: str) -> None:
    reading = read(f"{HEAD}{body}\nM2\n", TABLE)
    error = reading.error
    assert error is not None
    assert (error.line, error.column) == (2 + body.count("\n"), column)
    assert words in error.reason


COMPENSATED = [row for row in ERRORS if "G41" in row[1] or "G42" in row[1]]


@pytest.mark.parametrize("body", [row[1] for row in COMPENSATED])
def test_where_compensation_is_refused_the_message_says_what_to_do(body: str) -> None:
    error = read(f"{HEAD}{body}\nM2\n", TABLE).error
    assert error is not None
    assert error.instead


@pytest.mark.parametrize(
    ("body", "hint"),
    [
        ("G41 D1 G1 X4", "lead-in longer than the cutter's radius, 5 mm"),
        ("G41 D1 G1 X20\nG3 X20 Y8 I0 J4", "smaller than 8 mm across"),
        ("G41 D1\nG3 X20 Y0 I10 J0", "straight line longer than 5 mm"),
    ],
)
def test_the_remedy_names_the_cutters_own_size(body: str, hint: str) -> None:
    """The cutter is 10 mm across."""
    error = read(f"{HEAD}{body}\nM2\n", TABLE).error
    assert error is not None
    assert hint in error.instead


def test_the_letter_o_for_a_zero_is_told_apart() -> None:
    error = read(f"{HEAD}G4O\nM2\n", TABLE).error
    assert error is not None
    assert "digit 0" in error.instead


@pytest.mark.parametrize("text", ["", "G21 G0 X1\n", "%\nG21 G0 X1\n", "\n\n\n", "(only words)"])
def test_a_program_has_an_end(text: str) -> None:
    """N 3.1, from memory: M2, M30, or a closing %."""
    error = read(text, TABLE).error
    assert error is not None
    assert "ends without" in error.reason or "never ends" in error.reason


def test_what_was_read_before_an_error_stays() -> None:
    reading = read(f"{HEAD}T1 M6\nG43 H1\nG0 X1 (there)\nG1 X2\nG1 Q2\nG1 X3\nM2\n", TABLE)
    assert [move.end[0] for move in reading.moves] == [1.0, 2.0]
    assert reading.comments == ((4, "there"),)
    assert reading.end["tool"] == 1
    assert reading.error is not None
    assert str(reading.error).startswith("line 6, column 4: Q2: ")


def test_inside_corners_are_refused_under_strict() -> None:
    """N app. B, from memory; without strict, common practice."""
    body = f"{HEAD}G42 D1 G1 X20.\nX40.\nY-30.\nG40 X60.\nM2\n"
    assert read(body, TABLE).error is None
    assert [note.code for note in read(body, TABLE).notes] == ["inside-corner"]
    error = read(body, TABLE, strict=True).error
    assert error is not None
    assert error.line == 4
