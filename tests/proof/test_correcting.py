"""A size corrected through D: each figure keyed in at its stop, as the comments say, brings every size in."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import Draft, sides
from literal_control import followed
from two_blocks import STAND

from handwheel.motion import Offset
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import Routes, SetupProof, compare, prove_setup, routes_of
from handwheel.setup import Setup, set_up

WIDTH = {"name": "width", "axis": "y", "through": {"x": 38, "z": -6}, "nominal": 40.5, "plus": 0.02, "minus": 0.02}
LENGTH = {"name": "length", "axis": "x", "through": {"y": 20, "z": -6}, "nominal": 76, "plus": 0.02, "minus": 0.02}
ROUND = replace(sides("front", "back", "left", "right"), dimensions=(WIDTH, LENGTH))


def written(draft: Draft) -> tuple[Setup, str]:
    setup = set_up(draft.job())[0]
    return setup, write_program(setup, plan(setup, Route.BY_PROGRAM))


def with_figures(setup: Setup, text: str, changes: list[float], smaller: float) -> SetupProof:
    """The program run with a cutter that is ``smaller`` than D says, D changed at each stop in turn.

    D after the first stop is read from slot 11, after the second from 12 …
    """
    parts = re.split(r"(?<= M0\n)", text)
    tool = setup.tools[1]
    offset = setup.control.offsets[1]
    offsets, diameter = dict(setup.control.offsets), offset.diameter
    for number, change in enumerate(changes, start=1):
        diameter += change
        offsets[10 + number] = Offset(offset.length, diameter)
        parts[number] = re.sub(r"\bD1\b", f"D{10 + number}", parts[number])
    ground = replace(tool, diameter=tool.diameter - smaller)
    control = replace(setup.control, offsets=offsets)
    return prove_setup(
        replace(setup, control=control, job=replace(setup.job, tools=(ground,))),
        "".join(parts),
        "corrected.nc",
        resolution=2.0,
    )


def measured(proof: SetupProof) -> dict[str, float | None]:
    return {one.name: one.measured for one in proof.dimensions}


@pytest.mark.parametrize("form", ["material-edge", "tool-path"])
def test_twice_off_at_the_measuring_stop_and_half_back_at_the_second_brings_both_sizes_in(form: str) -> None:
    # geometry: a cutter .2 smaller than D says leaves .1 on each side, so that the width reads .2 too much at its stop;
    # off come .4, back go .2, and D is the cutter's own for both ends: at the last stop nothing is found
    setup, text = written(replace(ROUND, compensation=form))
    assert text.count(" M0\n") == 3
    right = with_figures(setup, text, [-0.4, +0.2, 0.0], smaller=0.2)
    assert measured(right) == pytest.approx({"width": 40.5, "length": 76.0}, abs=1e-6)


def test_what_is_not_given_back_comes_off_the_next_side() -> None:
    # D stays .2 under the cutter's own: .1 too much comes off each end
    setup, text = written(ROUND)
    kept = with_figures(setup, text, [-0.4, 0.0, 0.0], smaller=0.2)
    assert measured(kept)["length"] == pytest.approx(76.0 - 0.2, abs=1e-6)


def test_an_undersize_reading_adds_to_d_and_takes_half_of_that_off_again() -> None:
    # a cutter .2 larger than D says: the width reads .2 too little at its stop
    setup, text = written(ROUND)
    right = with_figures(setup, text, [+0.4, -0.2, 0.0], smaller=-0.2)
    assert measured(right) == pytest.approx({"width": 40.5, "length": 76.0}, abs=1e-6)


def test_the_second_stop_is_safe_and_counts_on_the_clock() -> None:
    setup, text = written(STAND)
    proof = prove_setup(setup, text, "stand.nc", resolution=2.0)
    assert not [one for one in proof.findings if one.level != "note"]
    assert not {"stop-while-turning", "stop-over-work"} & {one.code for one in proof.findings}
    both = compare([Routes(setup)], resolution=2.0)
    # step 8 finishes the back; without a size to measure there is neither stop
    without = compare(routes_of(replace(STAND, dimensions=()).job()), resolution=2.0)
    back = next(pair for pair in both.steps if "finish the back" in pair.title)
    plain = next(pair for pair in without.steps if "finish the back" in pair.title)
    # a figure keyed in is 8 s (common practice); the nose goes home and back down besides
    assert back.seconds_by_program - plain.seconds_by_program > 8.0
    # G53 G0 Z0, M5, M9, M0, S M3, M7, G0 Z
    assert back.counts.blocks == plain.counts.blocks + 7


def test_where_the_opposite_side_is_as_sawn_the_whole_change_stays() -> None:
    # geometry: the cutter .2 smaller leaves .1 on the front, and the width to the raw back reads .1 too much; twice
    # that is .2, which is all that is wrong with D: nothing goes back, and the length comes in with the same D
    wide = WIDTH | {"nominal": 43.5}
    setup, text = written(replace(sides("front", "left", "right"), dimensions=(wide, LENGTH)))
    assert text.count(" M0\n") == 2
    comments = text.replace(")\n(... ", " ")
    assert "LEAVE THE CHANGE IN." in comments
    right = with_figures(setup, text, [-0.2, 0.0], smaller=0.2)
    assert measured(right) == pytest.approx({"width": 43.5, "length": 76.0}, abs=1e-6)


def test_no_name_of_a_size_begins_a_comment() -> None:
    """``(MSG, …)`` is shown by the control, and ``(STEP n: …)`` is where a step begins (NISTIR 6556, 3.3.4; ours)."""
    for name in ("MSG, press start", "STEP 3: elsewhere"):
        _, text = written(replace(ROUND, dimensions=(WIDTH | {"name": name},)))
        assert f"(MEASURE: {name.upper()} SHOULD READ" in text
        assert not re.search(r"^\((MSG|STEP 3: ELSE)", text, re.MULTILINE)


CLOSE = {"plus": 0.03, "minus": 0.03}


@st.composite
def four_sides(draw: st.DrawFn) -> Draft:
    """All four sides in any order, by one cutter or two, along the edge or along the cutter's own path."""
    edges = draw(st.permutations(["front", "back", "left", "right"]))
    draft = sides(*edges)
    second = {**draft.tools[0], "number": 2}
    operations = tuple({**one, "tool": draw(st.integers(1, 2))} for one in draft.operations)
    return replace(
        draft,
        tools=(*draft.tools, second),
        operations=operations,
        compensation=draw(st.sampled_from(["material-edge", "tool-path"])),
        dimensions=(WIDTH | CLOSE, LENGTH | CLOSE),
    )


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    draft=four_sides(),
    smaller=st.tuples(*[st.integers(-40, 40).map(lambda value: value / 100)] * 2),
    shift=st.tuples(*[st.sampled_from([0.0, 0.0, 0.1, -0.1])] * 2),
)
def test_followed_to_the_letter_every_size_comes_in_or_the_comment_says_stop(
    draft: Draft, smaller: tuple[float, float], shift: tuple[float, float]
) -> None:
    """Reground or oversize cutters and a wrong zero: nobody at the control knows of them; the table at each stop is
    all there is. A side leaves half of what its cutter is off, so that a stop is due where the two ends together leave
    no metal, or more than a quarter millimeter (geometry; common practice)."""
    setup, text = written(draft)
    done = followed(setup, text, dict(enumerate(smaller, start=1)), shift)
    if done.stopped:
        nominal = {"width": 40.5, "length": 76.0}
        wrong = min(abs(done.readings[-1] - value - 0.25) for value in nominal.values())
        assert wrong >= 0.25 - 0.021
        return
    assert done.proof is not None
    for name, value in measured(done.proof).items():
        assert value == pytest.approx({"width": 40.5, "length": 76.0}[name], abs=0.03 + 1e-6)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(edges=st.permutations(["front", "back", "left", "right"]), smaller=st.integers(-18, 18).map(lambda v: v / 100))
def test_what_goes_back_leaves_d_at_the_cutters_own_diameter(edges: list[str], smaller: float) -> None:
    """One cutter, all sides: whatever is changed for a size, D is the cutter's own for the next part, within a line of
    the table and its half (geometry)."""
    setup, text = written(replace(sides(*edges), dimensions=(WIDTH | CLOSE, LENGTH | CLOSE)))
    done = followed(setup, text, {1: smaller})
    assert not done.stopped
    assert done.held[1] == pytest.approx(setup.tools[1].diameter - smaller, abs=0.06)
