"""Comments cannot break out, whatever a title holds."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.program.comment import comment, plain


@given(st.text(max_size=400))
def test_a_comment_is_ascii_between_one_pair_of_brackets(text: str) -> None:
    for line in comment(text):
        assert line.isascii()
        assert line.isprintable()
        assert len(line) <= 256  # NISTIR 6556, 3.3 (from memory)
        assert line[0] == "("
        assert line[-1] == ")"
        assert not set("()[]{};%") & set(line[1:-1])


@given(st.text(alphabet="gG0 .412(\n", max_size=40))
def test_no_comment_holds_a_compensation_word(text: str) -> None:
    assert not re.search(r"G\s*0*4[012](?!\d)", plain(text))


@pytest.mark.parametrize(
    ("title", "legible"),
    [
        ("Clamp foot (left)", "CLAMP FOOT /LEFT/"),
        ("Prüfklotz Ø12 ±0,1", "PRUFKLOTZ DIA 12 +-0,1"),
        ("two\nlines", "TWO LINES"),
        ("use G41 here", "USE G-41 HERE"),
        ("50 %", "50 PCT"),
        ("价格", "??"),
    ],
)
def test_what_was_meant_stays_legible(title: str, legible: str) -> None:
    assert plain(title) == legible


def test_only_the_first_line_of_a_step_looks_like_a_steps_head() -> None:
    lines = list(comment("STEP 1: " + "MSG, STEP 2: " * 20))
    assert len(lines) > 1
    assert lines[0].startswith("(STEP 1: ")
    assert all(line.startswith("(... ") for line in lines[1:])
