"""Why a program failed: the mistake that was planted is the one that is named, and none is invented."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import Draft, sides
from planted import KINDS, ON_ARCS, plant
from suspects import asked, good_jobs, names_it
from whole_parts import Part as WholePart

from handwheel.cli import main
from handwheel.job import read_job_text
from handwheel.learn import Undone, why
from handwheel.learn.case import case_of
from handwheel.learn.mistakes import changes
from handwheel.learn.trouble import Trouble
from handwheel.proof import Program, Routes, prove, routes_of

JOBS = 3
"""So many random jobs have each mistake planted; ``benchmarks/causes.py`` does it for as many as one likes."""


@pytest.mark.parametrize("kind", [*KINDS, *ON_ARCS])
def test_the_planted_mistake_is_the_first_that_is_named(kind: str) -> None:
    asked_of = [answer for seed, good in enumerate(good_jobs(JOBS)) if (answer := asked(kind, good, seed)) is not None]
    assert asked_of
    missed = [(planted.line, planted.right, causes) for planted, causes in asked_of if not names_it(planted, causes)]
    assert not missed


def _why(routes: tuple[Routes, ...], text: str, most: int = 300) -> tuple[Undone, ...]:
    program = {1: Program("suspect.nc", text)}
    return why(routes, prove(routes, program), program, most=most)


def _sized(compensation: str = "material-edge", width: float = 40.5) -> tuple[Routes, ...]:
    """A plain block, two sides climb milled, its width on the drawing."""
    draft: Draft = replace(
        sides("front", "back", cut="climb"),
        compensation=compensation,
        dimensions=({"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": width},),
    )
    return routes_of(draft.job())


def test_nothing_is_told_of_a_good_program() -> None:
    routes = _sized()
    proof = prove(routes)
    assert proof.verdict == "pass"
    assert why(routes, proof) == ()


@pytest.mark.parametrize("width", [40.0, 41.1])
def test_no_cause_is_invented_where_the_drawing_is_wrong(width: float) -> None:
    routes = _sized(width=width)
    proof = prove(routes)
    assert [one.code for one in proof.findings if one.level == "reject"] == ["dimension-out"]
    assert why(routes, proof, most=80) == ()


def test_the_side_is_told_in_a_trainee_s_words() -> None:
    routes = _sized()
    lines = routes[0].text.splitlines()
    line = max(number for number, block in enumerate(lines, start=1) if " G41 " in block)
    lines[line - 1] = lines[line - 1].replace("G41", "G42")
    (told,) = _why(routes, "\n".join(lines) + "\n")
    number = lines[line - 1].split()[0]
    assert told.change == (
        f"Line {line} ({number}) says G42. Looking along the travel the work is on the right of the cutter: G41. "
        "With it the part passes."
    )
    assert (told.line, told.was, told.would_be, told.verdict, told.leaves) == (line, "G42", "G41", "pass", ())


def test_a_wear_value_left_in_the_table_is_told_with_what_to_key_in() -> None:
    (good,) = _sized()
    held = dict(good.setup.control.offsets)
    held[1] = replace(held[1], diameter=19.6)
    setup = replace(good.setup, control=replace(good.setup.control, offsets=held))
    (told,) = _why((Routes(setup),), good.text)
    assert told.line is None
    assert (told.was, told.would_be) == ("D1 = 19.600", "D1 = 20.000")


@pytest.mark.parametrize(
    ("first", "second"),
    [("letter o", "side exchanged"), ("spindle reversed", "no feed"), ("off forgotten", "length missing")],
)
def test_two_mistakes_together_are_told_where_one_does_not_do(first: str, second: str) -> None:
    (good,) = _sized()
    one = plant(first, good.setup, good.text, seed=3)[0]
    both = plant(second, one.setup, one.text, seed=4)[0]
    told = _why((good,), both.text)
    assert [cause.verdict for cause in told] == ["fail", "pass"]
    assert {one.right, both.right} == {
        right for right in (one.right, both.right) if any(right in cause.would_be for cause in told)
    }


def test_the_search_is_bounded_by_the_number_of_proofs() -> None:
    routes = _sized()
    hopeless = "G21 G90 G17 G40 G54\nT1 M6\nG43 H1\nS500 M3\nG0 X0 Y0\nG1 Z-30 F100\nX300\nM30\n"
    seen: list[float] = []
    program = {1: Program("hopeless.nc", hopeless)}
    proof = prove(routes, program)
    assert proof.verdict == "fail"
    told = why(routes, proof, program, most=12, tell=lambda _, share: seen.append(share))
    assert len(seen) <= 12
    assert all(one.verdict == "fail" for one in told)
    assert told == why(routes, proof, program, most=12)


@pytest.mark.parametrize("number", [1, 2])
def test_a_mistake_in_one_of_two_set_ups_is_looked_for_there(number: int) -> None:
    routes = routes_of(read_job_text(WholePart().text(), "turned-over"))
    text = routes[number - 1].text
    line = text.splitlines().index(next(one for one in text.splitlines() if one.endswith(" M3"))) + 1
    program = {number: Program("suspect.nc", text.replace(" M3", "", 1))}
    (told,) = why(routes, prove(routes, program), program)
    assert (told.setup, told.line, told.verdict) == (routes[number - 1].setup.name, line, "pass")
    assert told.would_be.endswith("M3")


@pytest.mark.parametrize(
    ("wrong", "right", "told"),
    [
        (r" G43 H\d+", "", "G43"),
        (r" G40$", " ", "G40"),
        (r" F(\d+)", r" F\g<1>0", "F"),
        (r" Z-12\.000", " Z12.000", "Z-12.000"),
        (r" Z-12\.000", " Z-12000", "Z-12"),
    ],
)
def test_what_is_done_wrong_in_every_block_is_one_mistake(wrong: str, right: str, told: str) -> None:
    routes = _sized()
    assert len(re.findall(wrong, routes[0].text, re.MULTILINE)) > (1 if "G43" not in wrong else 0)
    (cause,) = _why(routes, re.sub(wrong, right, routes[0].text, flags=re.MULTILINE))
    assert cause.verdict == "pass"
    assert told in cause.would_be


def _plate() -> tuple[Routes, ...]:
    """A plate, finished all round, with two holes that are spotted."""
    draft = Draft(
        size=(80.0, 42.0, 30.0),
        allowance={},
        tolerance=0.0,
        tools=({"number": 1, "shape": "spot drill", "diameter": 12.0, "flute_length": 20.0, "reach": 50.0},),
        operations=({"do": "spot", "name": "spot", "tool": 1, "holes": "row", "diameter": 5.0},),
        vise={"parallels": 20.0},
    )
    holes = '[[holes]]\nname = "row"\nat = [[15, 12], [60, 30]]\n'
    return routes_of(read_job_text(draft.text() + holes, "plate"))


def test_a_cycle_that_is_never_cancelled_is_told_where_it_makes_another_hole() -> None:
    (good,) = _plate()
    assert "\nN" in good.text
    lines = good.text.splitlines()
    line = next(number for number, block in enumerate(lines) if block.endswith(" G80"))
    # a move to the other end of the plate, which the cycle takes for one more hole
    lines[line] = "X40 Y21"
    (told,) = _why((good,), "\n".join(lines) + "\n")
    assert (told.line, told.was, told.verdict) == (line + 1, "X40 Y21", "pass")
    assert "G80" in told.would_be


def test_another_coordinate_system_is_told_where_its_zero_is_elsewhere() -> None:
    (good,) = _sized()
    text = good.text.replace(" G54 ", " G55 ", 1).replace("G53 G0 Z0", "G10 L2 P2 X0 Y0 Z0\nG53 G0 Z0", 1)
    (told,) = _why((good,), text)
    assert (told.was, told.verdict) == ("G55", "pass")
    assert "G54" in told.would_be


LETTERS = st.sampled_from([*"GGGMMXYZIJRFSTHDNO%()[]#=;/ ", "G1", "G41", "G2", "M6", "G43", "G81", "G91"])
BLOCK = st.lists(
    st.tuples(LETTERS, st.sampled_from(["", "1", "2", "-3.5", ".", "+.5", "999999999999", "O"])), max_size=5
)


@settings(max_examples=60, deadline=None)
@given(lines=st.lists(BLOCK, max_size=8))
def test_whatever_a_program_says_changes_are_found_without_trouble(lines: list[list[tuple[str, str]]]) -> None:
    (good,) = _sized()
    text = "\n".join(" ".join(letter + number for letter, number in line) for line in lines) + "\n"
    proof = prove((good,), {1: Program("any.nc", text)}, resolution=10.0).setups[0]
    codes = frozenset(one.code for one in proof.findings)
    reach = ((-10.0, -10.0, -10.0), (10.0, 10.0, 10.0))
    trouble = Trouble(case_of(text, good.setup), proof.findings, proof.moves, codes, good.by_program, reach)
    assert all(change.because for change in changes(trouble))


def test_prove_gives_why_in_json_and_in_words(tmp_path: Path) -> None:
    draft = sides("front")
    (tmp_path / "block.toml").write_text(draft.text(), encoding="utf-8")
    (routes,) = routes_of(draft.job())
    (tmp_path / "mine.nc").write_text(routes.text.replace(" M3\n", " M4\n"), encoding="utf-8")
    given = ["prove", str(tmp_path / "block.toml"), str(tmp_path / "mine.nc"), "--why"]
    ran = CliRunner().invoke(main, [*given, "--json"])
    assert ran.exit_code == 1
    (cause,) = json.loads(ran.stdout)["why"]
    assert (cause["was"], cause["would_be"], cause["verdict"], cause["leaves"]) == ("M4", "M3", "pass", [])
    assert "M3 turns it clockwise" in CliRunner().invoke(main, given).stdout
    (tmp_path / "good.nc").write_text(routes.text, encoding="utf-8")
    good = CliRunner().invoke(
        main, ["prove", str(tmp_path / "block.toml"), str(tmp_path / "good.nc"), "--why", "--json"]
    )
    assert good.exit_code == 0
    assert json.loads(good.stdout)["why"] == []
