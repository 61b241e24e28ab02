"""One path said in different ways gives the same moves."""

from __future__ import annotations

import re
from itertools import accumulate

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.motion import Control, Moves, Offset
from handwheel.rs274 import read

TABLE = Control(offsets={1: Offset(50.0, 6.0)}, units="mm")

# an increment as whole thousandths of an inch, a rapid or a feed, and whether a quarter arc follows
Step = tuple[int, int, int, bool]
step = st.tuples(st.integers(-900, 900), st.integers(-900, 900), st.integers(-50, 50), st.booleans())
steps = st.lists(step, min_size=1, max_size=12)


def moves(text: str, control: Control = TABLE) -> Moves:
    reading = read(text, control)
    assert reading.error is None, reading.error
    return reading.moves


def same(first: Moves, second: Moves, within: float = 1e-9) -> None:
    assert first.kind.tolist() == second.kind.tolist()
    assert first.modals == second.modals
    for column in ("start", "end", "centre", "turn", "feed", "seconds"):
        np.testing.assert_allclose(getattr(first, column), getattr(second, column), rtol=0, atol=within)


def number(thousandths: float, millimeters: bool) -> str:
    """A length as a program in inches or in millimeters says it, exactly."""
    return f"{thousandths * 0.0254:.7f}" if millimeters else f"{thousandths / 1000:.6f}"


def program(
    path: list[Step],
    *,
    millimeters: bool = False,
    incremental: bool = False,
    radius: bool = False,
    numbered: bool = False,
) -> str:
    blocks = [
        f"G{21 if millimeters else 20} G17 G40 G90 G94",
        f"F{number(10000, millimeters)}",
        f"G{91 if incremental else 90}",
    ]
    at = list(accumulate((entry[:3] for entry in path), lambda a, b: tuple(x + y for x, y in zip(a, b, strict=True))))
    for (x, y, z), (dx, dy, dz, feed) in zip(at, path, strict=True):
        where = (dx, dy, dz) if incremental else (x, y, z)
        words = "".join(f" {axis}{number(value, millimeters)}" for axis, value in zip("XYZ", where, strict=True))
        blocks.append(f"G{int(feed)}{words}")
        if feed:  # a semicircle across and one back
            for code, over in ((2, 400), (3, -400)):
                there = over if incremental else x + (over if over > 0 else 0)
                side = "" if incremental else f" Y{number(y, millimeters)}"
                centre = f" R{number(200, millimeters)}" if radius else f" I{number(over / 2, millimeters)} J0"
                blocks.append(f"G{code} X{number(there, millimeters)}{side}{centre}")
    blocks.append("M2")
    if numbered:
        blocks = [f"N{10 * n} {block}" for n, block in enumerate(blocks)]
    return "\n".join(blocks) + "\n"


@settings(deadline=None)
@given(steps)
def test_inches_and_millimeters(path: list[Step]) -> None:
    same(moves(program(path)), moves(program(path, millimeters=True)))


@settings(deadline=None)
@given(steps)
def test_absolute_and_incremental(path: list[Step]) -> None:
    same(moves(program(path)), moves(program(path, incremental=True)))


@settings(deadline=None)
@given(steps)
def test_centre_and_radius(path: list[Step]) -> None:
    # at half a turn a radius finds its centre to the root of the rounding only
    same(moves(program(path)), moves(program(path, radius=True)), within=1e-5)


@settings(deadline=None)
@given(steps, st.booleans())
def test_numbered_and_bare(path: list[Step], millimeters: bool) -> None:
    bare = program(path, millimeters=millimeters)
    same(moves(bare), moves(program(path, millimeters=millimeters, numbered=True)))


@settings(deadline=None)
@given(steps)
def test_capitals_and_blanks_say_nothing(path: list[Step]) -> None:
    text = program(path)
    same(moves(text), moves(text.lower()))
    same(moves(text), moves(text.replace(" ", "")))
    same(moves(text), moves(re.sub(r"(?<=[A-Z0-9.])", " ", text)))


@settings(deadline=None)
@given(steps)
def test_expressions_and_numbers(path: list[Step]) -> None:
    text = program(path)
    computed = re.sub(r"([XYZIJRF])(-?[0-9.]+)", r"\1[\2 * 2 / 2]", text)
    same(moves(text), moves(computed))


@settings(deadline=None)
@given(steps)
def test_line_ends_say_nothing(path: list[Step]) -> None:
    text = program(path)
    same(moves(text), moves(text.replace("\n", "\r\n")))
    lines = read(iter(text.splitlines(keepends=True)), TABLE)
    same(moves(text), lines.moves)


@settings(deadline=None)
@given(steps, st.booleans())
def test_compensation_in_all_forms(path: list[Step], incremental: bool) -> None:
    """Units and distance mode say nothing about the compensated path either, refused or not."""

    def compensated(millimeters: bool) -> str:
        lines = program(path, millimeters=millimeters, incremental=incremental).splitlines()
        entry = [
            f"G90 G0 X{number(-9000, millimeters)} Y{number(-9000, millimeters)}",
            f"G42 D1 G1 X{number(-5000, millimeters)} Y{number(-8000, millimeters)}",
            lines[2],
        ]
        return "\n".join([*lines[:2], *entry, *lines[3:]]) + "\n"

    first, second = read(compensated(False), TABLE), read(compensated(True), TABLE)
    assert (first.error is None) == (second.error is None)
    same(first.moves, second.moves, within=1e-6)


run = st.lists(
    st.tuples(
        st.sampled_from(["", "G0", "G1", "N7 G1"]),
        st.lists(st.sampled_from(["X", "Y", "Z"]), min_size=1, max_size=3, unique=True),
        st.sampled_from(["", "", "F7", "F0"]),
        st.integers(-99999, 99999),
    ),
    max_size=60,
)


@settings(deadline=None)
@given(run, st.booleans(), st.sampled_from(["G20", "G21"]))
def test_a_long_run_is_its_blocks_one_by_one(
    blocks: list[tuple[str, list[str], str, int]], incremental: bool, units: str
) -> None:
    """Words that are computed, and so read one by one, give the very same moves and the same error."""
    head = f"{units} G17 G40 G90 G94 F50\nG92 X0.3\nG1 X1\n{'G91' if incremental else 'G90'}"
    spelled, computed = [head], [head]
    for code, axes, feed, value in blocks:
        spelled.append(" ".join([code, *(f"{axis}{value / 1000}" for axis in axes), feed]))
        computed.append(" ".join([code, *(f"{axis}[{value / 1000}]" for axis in axes), feed]))
    first, second = read("\n".join(spelled) + "\nM2\n", TABLE), read("\n".join(computed) + "\nM2\n", TABLE)
    same(first.moves, second.moves, within=0.0)
    assert first.moves.line.tolist() == second.moves.line.tolist()
    assert first.end == second.end
    assert (first.error and first.error.line) == (second.error and second.error.line)


def test_numbers_in_a_long_run_are_what_python_makes_of_their_spelling() -> None:
    """To the last bit, up to fifteen digits (IEEE 754: whole numbers below 2^53 and powers of ten up to 10^22 are
    exact, so their quotient is rounded once)."""
    chance = np.random.default_rng(754)
    spelled = []
    for _ in range(5000):
        digits = "".join(map(str, chance.integers(0, 10, int(chance.integers(1, 16)))))
        point = int(chance.integers(max(0, len(digits) - 7), min(8, len(digits)) + 1)) if len(digits) > 1 else 1
        sign = str(chance.choice(["", "-", "+"]))
        spelled.append(f"{sign}{digits[:point]}.{digits[point:]}")
    text = "G21 G17 G40 G90 G94 F50\nG1 X0.\n" + "".join(f"X{number}\n" for number in spelled) + "M2\n"
    assert moves(text).end[1:, 0].tolist() == [float(number) for number in spelled]
