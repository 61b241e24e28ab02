"""The printed sheet: complete, plain, and true when followed to the letter."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from drilled import TAPPED
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jobs import Draft, drafts, sides
from literal_operator import LiteralOperator
from mills import DIALS_ONLY, MILLS, PROBES, touching
from two_blocks import STAND, STOP

from handwheel import hand
from handwheel.hand import Execution
from handwheel.hand.actions import Feed, Lever, Preset, SetDial, Touch, TurnTap, Wind
from handwheel.job import Job, read_job, read_job_text
from handwheel.plan import Plan, Route, plan
from handwheel.setup import set_up

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/job.toml"))
STAND_BASE = Path(__file__).parents[2] / "examples" / "gauge-stand-base" / "job.toml"


def printed(job: Job) -> tuple[str, Execution, Plan]:
    setup, steps = set_up(job)[0], plan(set_up(job)[0], Route.BY_HAND)
    actions = hand.actions(setup, steps)
    return hand.sheet(setup, steps, actions), hand.execute(setup, actions), steps


def agrees(job: Job) -> None:
    """The operator who follows the paper stands where the model stands, line by line."""
    text, execution, _ = printed(job)
    operator = LiteralOperator(job)
    lines = operator.follow(text)
    made = [(done.after.tip, done.action.down) for done in execution.done if isinstance(done.action, (Lever, TurnTap))]
    # the quill's settings are printed with the drawing's decimals: its scale may be of the other system
    digit = 0.0127 if job.units == "in" else 0.005
    assert operator.holes == [pytest.approx((x, y, z - down), abs=digit) for (x, y, z), down in made]
    assert [line.number for line in lines] == [done.number for done in execution.done]
    for line, done in zip(lines, execution.done, strict=True):
        where = f"line {line.number}: {line.text}"
        if isinstance(done.action, Feed):
            assert line.tip == pytest.approx(done.after.tip, abs=1e-6), where
        elif isinstance(done.action, (Wind, Touch, SetDial, Preset)):
            axis = {"x": 0, "y": 1, "knee": 2}[done.action.slide]
            assert line.tip[axis] == pytest.approx(done.after.tip[axis], abs=1e-6), where


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_operator_who_follows_an_examples_sheet_to_the_letter_lands_where_the_model_does(path: Path) -> None:
    agrees(read_job(path))


@pytest.mark.parametrize("mill", sorted(MILLS))
@pytest.mark.parametrize("top", ["paper", "cutter"])
def test_an_operator_who_follows_a_sheet_with_taps_to_the_letter_makes_the_threads(mill: str, top: str) -> None:
    touch = 'z = { with = "paper", thickness = 0.003 }' if top == "paper" else 'z = { with = "cutter" }'
    agrees(read_job_text(f"{TAPPED}\n[touch_off]\n{touch}\n{MILLS[mill]}", "tapped"))


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts(), mill=st.sampled_from(sorted(MILLS)), probes=st.sampled_from(sorted(PROBES)))
def test_an_operator_who_follows_any_sheet_to_the_letter_lands_where_the_model_does(
    draft: Draft, mill: str, probes: str
) -> None:
    extra = MILLS[mill] + touching(probes, draft.units)
    agrees(replace(draft, extra=extra).job())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_step_of_an_examples_sheet_says_what_an_instructor_asks_for(path: Path) -> None:
    text, _, steps = printed(read_job(path))
    parts = re.split(r"^STEP \d+: ", text.split("INSPECTION SHEET")[0], flags=re.MULTILINE)[1:]
    assert len(parts) == len(steps.steps)
    for part, step in zip(parts, steps.steps, strict=True):
        for label in ("Tool", "Speed", "Cut", "Lock", "Why", "Hazard", "Scales", "Before", "After"):
            assert re.search(rf"^  {label} ", part, re.MULTILINE), (step.number, label)
        if step.strokes:
            for label in ("Feed", "Oil", "Expect"):
                assert re.search(rf"^  {label} ", part, re.MULTILINE), (step.number, label)
            assert "rev/min" in part
            assert "table travels" in part
            assert re.search(r"cutter (passes|sets out)|passes (to|away|towards)", part)
        for size in step.measuring:
            assert size.gauge in part
            assert re.search(r"measured _+ - wanted [\d.]+ = move _+", part)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_a_sheet_is_plain_text_of_a_page_width(path: Path) -> None:
    text, _, _ = printed(read_job(path))
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 100
    assert not any(line != line.rstrip() for line in text.splitlines())


def test_the_front_side_cut_conventionally_sends_the_table_to_the_operators_left() -> None:
    """Source: geometry; common practice."""
    text, _, _ = printed(read_job(STAND_BASE))
    front = next(part for part in text.split("STEP ") if "rough the front side" in part)
    assert "cutter in front of the work, passes to your right; table travels to your left" in " ".join(front.split())


def test_a_dial_between_two_lines_is_explained_before_the_first_step() -> None:
    """A dial is read to the nearest line, or half way between two (common practice)."""
    text, _, _ = printed(read_job(STAND_BASE))
    before, steps = text.split("STEP 1", maxsplit=1)
    assert re.search(r"t \+ \d+\.5\b", steps)
    assert "half way between lines 37 and 38" in " ".join(before.split())


def test_a_title_in_any_script_leaves_the_sheet_plain() -> None:
    draft = Draft(operations=({"do": "face", "name": "Oberfläche ≥ 0 (±)", "tool": 1},))
    text, _, _ = printed(draft.job())
    assert text.isascii()
    assert "Oberflache" in text


def test_the_inspection_sheet_has_a_blank_for_every_size_of_the_drawing() -> None:
    job = read_job(STAND_BASE)
    text, _, _ = printed(job)
    inspection = text.split("INSPECTION SHEET")[1]
    for size in job.dimensions:
        assert re.search(rf"{size.name} .*{size.gauge} +_+ +\[ \]", inspection)


def test_a_correction_goes_to_every_pass_on_the_finished_line() -> None:
    width = {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5, "gauge": "micrometer"}
    draft = sides("front", "back")
    operations = tuple({**one, "spring_passes": 2} for one in draft.operations)
    job = replace(draft, operations=operations, dimensions=(width,)).job()
    text, execution, _ = printed(job)
    correction = re.search(r"step (\d+), lines (\d+), (\d+), (\d+): Y 50.500 - move", text)
    assert correction
    for number in correction.groups()[1:]:
        line = execution.done[int(number) - 1]
        assert isinstance(line.action, Wind)
        assert line.after.tip[1] == pytest.approx(50.5)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_a_size_judged_by_eye_has_no_noughts_after_the_point(path: Path) -> None:
    """190, not 190.0: a written nought promises a tenth that no eye can judge (common practice)."""
    text, _, _ = printed(read_job(path))
    judged = re.findall(r"about\s+(\d*\.?\d+)\s+(?:off|above|below)", text)
    assert judged
    assert not [size for size in judged if "." in size and size.endswith("0")]


@pytest.mark.parametrize(
    ("zero", "table", "saddle"),
    [
        ({"x": "left", "y": "front"}, "to your left", "towards you"),
        ({"x": "right", "y": "back"}, "to your right", "away from you"),
    ],
)
def test_with_dials_alone_the_sheet_names_the_direction_of_each_touch(
    zero: dict[str, str], table: str, saddle: str
) -> None:
    """The cutter left of the work comes nearer as the table goes to the left (geometry)."""
    operations = ({"do": "face", "name": "top", "tool": 1},)
    text, _, _ = printed(replace(sides("front"), zero=zero, operations=operations, extra=DIALS_ONLY).job())
    text = " ".join(text.split())
    assert f"the same direction as its touch-off: the table {table}, the saddle {saddle}" in text
    assert f"face: wind the table {table}" in text
    assert f"face: wind the saddle {saddle}" in text


@pytest.mark.parametrize(("coolant", "off"), [("flood", "Coolant off."), ("mist", "Mist off."), ("off", None)])
def test_what_was_turned_on_is_what_is_turned_off(coolant: str, off: str | None) -> None:
    text, _, _ = printed(replace(sides("front"), extra=f'coolant = "{coolant}"').job())
    said = set(re.findall(r"\d  (\w+ off\.)$", text, re.MULTILINE))
    assert said == ({off} if off else set())


@pytest.mark.parametrize(
    ("mill", "said"),
    [
        ("readout", ("table and saddle: one turn 5, one line 0.02, 250 lines a turn", "in steps of 0.005")),
        (
            "dials alone",
            (
                "table and saddle: one turn 5, one line 0.02, 250 lines a turn, backlash 0.25; knee: one turn 2",
                "no readout",
            ),
        ),
        # 1/8 in is 3.175 mm, and holds 250 times 0.0005 in and 254 times 0.0125 mm
        ("worn, of mixed systems", ("table: one turn 3.175, one line 0.0127, 250 lines", "one line 0.0125, 254 lines")),
    ],
)
def test_the_head_says_for_which_dials_the_figures_are(mill: str, said: tuple[str, ...]) -> None:
    head = " ".join(printed(replace(sides("front"), extra=MILLS[mill]).job())[0].split("[ ]")[0].split())
    assert all(one in head for one in said)
    assert "Check these against your own dials before you start" in head


def test_the_dials_of_an_inch_mill_are_told_to_the_thousandth() -> None:
    """0.200 in a turn at 0.001 in a line is 200 lines (common practice)."""
    head = " ".join(printed(STAND.job())[0].split("[ ]")[0].split())
    assert "table and saddle: one turn .200, one line .001, 200 lines a turn" in head


def test_the_readings_at_the_finished_sides_are_those_of_the_sides_that_are_cut() -> None:
    """The right is finished 68 from zero, cutter 20: its centre at 78, and not at the end of the bar."""
    table = printed(STOP.job())[0].split("Readings with a cutter at the finished sides")[1].split("The same at")[0]
    said = [line.split() for line in table.splitlines() if " R = " in line]
    assert [(line[0], line[-1]) for line in said] == [
        ("front", "-10"),
        ("back", "58"),
        ("left", "-10"),
        ("right", "78"),
    ]
    front_alone = printed(sides("front").job())[0]
    assert [line.split()[-1] for line in front_alone.splitlines() if " R = " in line] == ["-10"]


@pytest.mark.parametrize(
    ("mill", "said"),
    [
        ("readout", r": Y 50\.500 - move = _+ mm$"),
        ("dials alone", r": \d+ turns \+ [\d.]+ \([\d.]+\) - move = _+ mm = _+ turns \+ _+ lines of 0\.02$"),
    ],
)
def test_a_correction_is_written_down_as_the_scale_that_it_is_set_on_counts(mill: str, said: str) -> None:
    width = {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5, "gauge": "micrometer"}
    text, _, _ = printed(replace(sides("front", "back"), dimensions=(width,), extra=MILLS[mill]).job())
    correct = text.split("  Correct ")[1].split("\n\n")[0]
    first, second = re.sub(r"\n {3,}", " ", correct).split("step ")
    assert "= move __________ mm (plus: more to cut)" in first
    assert re.search(said, second.strip())


@pytest.mark.parametrize("mill", sorted(MILLS))
def test_before_the_vise_is_opened_every_size_in_reach_is_measured_and_its_repair_named(mill: str) -> None:
    """The height goes down to the parallels and the foot, measured from below, is not in reach; once unclamped no cut
    comes back to its line (common practice)."""
    text, execution, steps = printed(replace(STOP, extra=STOP.extra + MILLS[mill]).job())
    end = text.split("INSPECTION SHEET")[0].split("STEP ")[-1].split("  Vise shut ")[1]
    end = " ".join(re.sub(r"(\n {14})(?=\w[\w ]+, (?:micrometer|caliper|depth))", r"|", end).split())
    shut, opened = end.split(" Vise open ")
    assert "unclamp, break the lower edges" in opened
    sizes = {part.split(",")[0].strip(): part for part in shut.split("|")[1:]}
    assert list(sizes) == ["width", "body length", "lip depth"]
    finish = {step.sides[0].edge: step.number for step in steps.steps if step.kind == "finish"}
    for name, edge, axis, stands, sign in (
        ("width", "back", 1, 58.0, "-"),
        ("body length", "right", 0, 78.0, "-"),
        ("lip depth", "right", 2, -6.0, "+"),
    ):
        said = re.search(r"step (\d+) again, line (\d+) at .* ([+-]) e", sizes[name])
        assert said
        assert int(said[1]) == finish[edge]
        assert said[3] == sign
        line = execution.done[int(said[2]) - 1]
        assert line.after.tip[axis] == pytest.approx(stands, abs=0.02)


def test_where_no_size_is_drawn_the_route_still_ends_with_the_vise_opened() -> None:
    text, _, _ = printed(sides("front").job())
    assert "  Vise open   unclamp, break the lower edges with a file" in text
    assert "Vise shut" not in text


def test_with_dials_alone_the_sheet_says_that_a_feed_the_other_way_has_the_backlash_in_its_setting() -> None:
    """A slide follows its screw only once the play is taken up: the dial is that much further on (geometry)."""
    text, _, _ = printed(replace(sides("front"), extra=DIALS_ONLY).job())
    assert "has the backlash in its setting" in " ".join(text.split())
