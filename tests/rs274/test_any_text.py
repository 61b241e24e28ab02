"""Any text whatever: the reader answers with what it read and its own error, and comes back soon.

The share of the tests here is a thousand texts; ``tests/benchmarks/fuzz_reading.py`` is run by hand for the other ten
thousands.
"""

from __future__ import annotations

import json
import time
import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.errors import ProgramError
from handwheel.motion import Control, Kind, Offset
from handwheel.rs274 import Reading, read
from handwheel.rs274.report import json_pieces

CONTROL = Control(offsets={1: Offset(50.0, 10.0), 2: Offset(20.0, -3.0)}, units="mm")

SOUND = """%
O7 (A PLATE)
N10 G21 G17 G40 G49 G54 G61 G80 G90 G94
N20 T1 M6 (STEP 1: the front)
N30 G43 H1 S800 M3 M8
N40 G0 X-20 Y-20
#1=[2+3*SQRT[4]] #2=-5
N50 G1 Z#2 F120
N60 G42 D1 X0 Y0
N70 X40
N80 G3 X50 Y10 I0 J10
N90 G1 Y[20+#1]
N100 G2 X40 Y38 R10
N110 G40 G1 X-20
N120 G98 G81 X5 Y5 Z-2 R2 L2
G83 X9 Z-4 R2 Q1.5
N130 G80
G0 Z50
N140 G92 X0
G4 P1
G73 X12 Z-4 R2 Q1.5
G80 G0 Z50
G52 X2 Y-1
G54.1 P3 G9 G1 X1
G10 L20 P3 Z2
M98 P8 L2
M19
G4 X.5
G0 G28 G91 Z0
G90 G54 G69
G52 X0 Y0
/N150 G28 Z60
G53 G0 Z0
N160 M30
O8 (A HOLE)
G91 G1 X1. Z-.5
M98 P9
G90
M99
O9
G0 Z.5
M99
%
"""

SPELLED = (
    *("G0", "G1", "G2", "G3", "G17", "G18", "G20", "G21", "G28", "G38.2", "G40", "G41", "G42", "G43", "G49", "G53"),
    *("G54", "G55", "G80", "G81", "G83", "G87", "G90", "G91", "G92", "G93", "G94", "M3", "M6", "F100", "D1", "H1"),
    *("R5", "L2", "X1", "X-9", "Y7", "Z-3", "I5", "J5", "K1", "Q1", "P1", "T1", "#1=3", "#[#1]", "X#1", "[1+2]"),
    *("G73", "G52", "G54.1", "G9", "M19", "M98", "M99", "O8", "O9", "P8", "P9", "U1", "L9", "G28 G91 Z0", "G80 G0"),
    *("G69", "G68", "G65", "G96", "IF", "WHILE", "GOTO", "DO1", "R2000000000", "I-3000000000", "M30", "L20"),
    *("SIN[30]", "ATAN[1]/[2]", "**", "MOD", "(a)", ";"),
)
words = st.sampled_from(SPELLED) | st.from_regex(
    r"\A[GMXYZIJKFRSTDHLPQNO#/(;)%]{1,2} ?[-+]?[0-9]{0,3}\.?[0-9]{0,2}\Z", fullmatch=True
)
blocks = st.lists(words, max_size=6).map(" ".join)
programs = st.lists(blocks, max_size=12).map("\n".join) | st.tuples(
    st.lists(blocks, max_size=6).map("\n".join), st.lists(blocks, max_size=4).map("\n".join)
).map("\nM98 P8 L2\nM30\nO8\n".join)


def answer(text: str) -> Reading:
    """Read it; whatever it is, this does not raise, and what was read is sound."""
    reading = read(text, CONTROL)
    assert reading.error is None or isinstance(reading.error, ProgramError)
    if reading.error is not None:
        assert reading.error.line >= 1
        assert reading.error.column >= 1
        assert reading.error.reason
    moves = reading.moves
    assert np.isfinite(moves.start).all()
    assert np.isfinite(moves.end).all()
    assert np.isfinite(moves.turn).all()
    assert np.isfinite(moves.centre[moves.kind == Kind.ARC]).all()
    if "98" not in text:  # a subprogram stands after its call, or before it
        assert (np.diff(moves.line) >= 0).all()
    assert len(reading.comment_moves) == len(reading.comments)
    assert (np.diff(reading.comment_moves) >= 0).all()
    json.loads("".join(json_pieces(reading, CONTROL, reading.units)))
    return reading


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300))
def test_text_of_any_characters(text: str) -> None:
    answer(text)


@settings(max_examples=300, deadline=None)
@given(programs)
def test_programs_of_random_words(text: str) -> None:
    answer("G21 G90 G17 G40 F50\n" + text)


@settings(max_examples=500, deadline=None)
@given(st.data())
def test_a_sound_program_with_a_slip(data: st.DataObject) -> None:
    """A piece of the program left out, said twice, or something else in its place."""
    begin = data.draw(st.integers(0, len(SOUND)))
    end = data.draw(st.integers(begin, min(len(SOUND), begin + 30)))
    instead = data.draw(st.just("") | st.just(SOUND[begin:end] * 2) | words | st.text(max_size=3))
    answer(SOUND[:begin] + instead + SOUND[end:])


def test_the_sound_program_is_sound() -> None:
    assert answer(SOUND).error is None


@pytest.mark.parametrize(
    "text",
    [
        "X" * 10_000_000,
        "G1 X1 " * 2_000_000,
        " " * 10_000_000,
        "(" * 1_000_000,
        "\n".join("(" * 100_000),
        "#[" * 500_000,
        "#[" * 127,
        "#" * 256,
        "G1X" + "[" * 250,
        "G1X" + "SIN[" * 60,
        "G1X" + "-" * 250,
        "G1 X[" + "2**" * 80 + "2]",
        "\0",
        "[",
        "]",
        "G1 X\ud800",
        "N" * 256,
        "G0 X" + "9" * 252,
        "%\n" * 100_000,
        "O1\n" * 100_000,
        "G81 X1 Z-1 R1 F1 L100000",
        "M98 P1\nM2\nO1\nM98 P1\nM99",
    ],
    ids=lambda text: f"{text[:8]!r} and so on, {len(text)}",
)
def test_monsters_are_answered_at_once_and_within_memory(text: str) -> None:
    tracemalloc.start()
    begun = time.perf_counter()
    answer(text)
    assert time.perf_counter() - begun < 20
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 200e6


def test_a_program_of_many_different_shapes_keeps_memory_bounded() -> None:
    lines = (f"G1 X1 ({n})\nG{'0' * (n % 40)}1 {' ' * (n % 97)}X1 Y{n % 7}" for n in range(5_000))
    tracemalloc.start()
    assert read("G21 G90 G17 G40 F1\n" + "\n".join(lines) + "\nM2", CONTROL).error is None
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 30e6
