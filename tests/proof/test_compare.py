"""Both ways make the same part; steps, clocks and counts stand beside each other."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from jobs import Draft, drafts, finished_sides, sides
from mills import DIALS_ONLY
from two_blocks import STAND, STOP

from handwheel.cli import main
from handwheel.cut.rays import Rays, left
from handwheel.job import Job, SideMilling, read_job
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import Proof, Routes, SetupProof, compare, prove_setup, routes_of
from handwheel.proof.compare_report import comparison_csv, comparison_json
from handwheel.proof.difference import difference
from handwheel.setup import set_up

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/job.toml"))
ONE_SET_UP = [path for path in EXAMPLES if len(read_job(path).setups) == 1]
WITH_SIDES = [path for path in EXAMPLES if path.parent.name in ("fence-stop", "gauge-stand-base")]
HALF_DIGIT = {"in": 0.00005 * 25.4, "mm": 0.0005}
OUTWARDS = {"left": -1, "right": 1, "front": -1, "back": 1}


def wall(proof: SetupProof, job: Job, side: SideMilling) -> float:
    """Where the milled side stands: a level ray through its middle, half way down."""
    axis = 0 if side.edge.axis == 0 else 1
    finished = job.finished_block
    across = (finished.low[1 - axis] + finished.high[1 - axis]) / 2
    met = left(proof.part, Rays(axis, np.array([[across, set_up(job)[0].finished_top - side.depth / 2]])))
    return float(met.high[-1] if side.edge.outwards > 0 else met.low[0])


def top(proof: SetupProof, job: Job) -> float:
    """Where the top stands in the middle of the finished block."""
    x, y, _ = job.finished_block.centre
    return float(left(proof.part, Rays(2, np.array([[x, y]]))).high[-1])


def step_across(job: Job, edge: str) -> float:
    """The setting step of the slide that is set to a side."""
    slides = job.by_hand.slides
    dial = slides.x if edge.axis == 0 else slides.y
    return job.by_hand.readout_step or dial.graduation


@pytest.mark.parametrize("extra", ["", DIALS_ONLY], ids=["with a readout", "dials alone"])
@given(draft=drafts())
@settings(max_examples=12, deadline=None)
def test_a_part_made_by_hand_is_the_programmed_part_but_for_setting_steps_that_leave_metal(
    draft: Draft, extra: str
) -> None:
    job = replace(draft, extra=extra).job()
    setup = set_up(job)[0]
    both = compare([Routes(setup)], resolution=4.0)
    digit = HALF_DIGIT[job.units]
    steps = [job.by_hand.slides.knee.graduation]
    for side in job.setups[0].operations:
        if isinstance(side, SideMilling):
            step = step_across(job, side.edge)
            steps.append(step)
            outwards = side.edge.outwards
            over = outwards * (wall(both.by_hand, job, side) - side.to)
            assert -1e-6 <= over <= step + 1e-6, (side.edge, over)
            assert abs(wall(both.by_program, job, side) - side.to) <= digit + 1e-9
    over = top(both.by_hand, job) - top(both.by_program, job)
    assert -digit - 1e-6 <= over <= job.by_hand.slides.knee.graduation + digit
    assert both.difference.largest <= max(steps) + digit + 1e-6


@given(draft=drafts())
@settings(max_examples=8, deadline=None)
def test_where_every_setting_is_on_both_grids_the_two_parts_are_one(draft: Draft) -> None:
    # in inches a readout of .0005 and a knee of .001 show every size of these jobs, and so does the program
    operations = tuple({**one, "pass_depth": None} for one in draft.operations)
    operations = tuple({key: value for key, value in one.items() if value is not None} for one in operations)
    job = replace(draft, operations=operations).job()
    if job.units != "in" or any(tool.corner_radius for tool in job.tools):
        return
    both = compare(routes_of(job), resolution=4.0)
    assert both.difference.largest <= 1e-9 * max(job.raw_block.size)
    assert both.difference.volume <= 1e-9 * job.raw_block.size[0] * job.raw_block.size[1] * job.raw_block.size[2]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_examples_come_out_the_same_both_ways(path: Path) -> None:
    job = read_job(path)
    both = compare(routes_of(job))
    assert both.by_hand.verdict == both.by_program.verdict == "pass"
    # by hand an arc is made by coordinates, and what stays between them is for the file; a setting stands on its step
    cusps = [one.cusp for setup in set_up(job) for one in setup.intended]
    cusp = max(cusps) + job.by_hand.readout_step if any(cusps) else 0.0
    assert both.difference.largest <= 1e-9 * max(job.raw_block.size) + cusp
    for one, other in zip(both.by_hand.dimensions, both.by_program.dimensions, strict=True):
        assert one.measured == pytest.approx(other.measured, abs=1e-9 * max(job.raw_block.size))


def proved(draft: Draft) -> SetupProof:
    setup = set_up(draft.job())[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    return prove_setup(setup, text, "block.nc", resolution=1.0)


def test_a_side_left_three_tenths_proud_differs_by_three_tenths_along_its_whole_length() -> None:
    right = finished_sides(Draft())["right"]
    true, proud = proved(sides("right")), proved(sides("right", to={"right": right + 0.3}))
    apart = difference(Proof((true,)), Proof((proud,)))
    assert apart.largest == pytest.approx(0.3, abs=1e-9)
    # the raw block is 45 wide, the side is milled 12 deep from the finished top, and 1 of raw top stands above that
    assert apart.volume == pytest.approx(0.3 * 45.0 * 13.0, rel=0.03)


def test_a_floor_a_tenth_too_deep_differs_by_a_tenth_over_its_whole_width() -> None:
    true, deep = proved(sides("right", depth=12.0)), proved(sides("right", depth=12.1))
    apart = difference(Proof((true,)), Proof((deep,)))
    assert apart.largest == pytest.approx(0.1, abs=1e-9)
    # 2 of allowance by the whole width of 45, the outline good to a 128th of 80
    assert apart.volume == pytest.approx(0.1 * 2.0 * 45.0, abs=0.1 * 45.0 * 80.0 / 128.0)


def test_a_part_does_not_differ_from_itself() -> None:
    one = proved(sides("front"))
    assert difference(Proof((one,)), Proof((one,))).largest == 0.0
    assert difference(Proof((one,)), Proof((one,))).volume == 0.0


@pytest.mark.parametrize("path", ONE_SET_UP, ids=lambda path: path.parent.name)
def test_every_action_and_every_block_belongs_to_one_step(path: Path) -> None:
    both = compare(routes_of(read_job(path)), resolution=2.0)
    lines = both.setups[0].text.splitlines()
    actions = [number for pair in both.steps for number in range(pair.actions[0], pair.actions[1] + 1)]
    assert actions == list(range(1, len(both.setups[0].actions) + 1))
    for pair in both.steps:
        title = f"(STEP {pair.number}: "
        assert lines[pair.lines[0] - 2].startswith(("(", "...")) or title in lines[pair.lines[0] - 2]
        head = next(i for i, line in enumerate(lines) if line.startswith(title))
        assert head < pair.lines[0] - 1
        assert lines[pair.lines[0] - 1].startswith(f"{pair.blocks[0]} ")
        assert lines[pair.lines[1] - 1].startswith(f"{pair.blocks[1]} ")
    # all but the two blocks before the first step
    written = sum(bool(re.match(r"N\d+ ", line)) for line in lines)
    assert sum(pair.counts.blocks for pair in both.steps) == written - 2


def test_the_counts_are_those_that_one_counts_on_the_sheet() -> None:
    both = compare(routes_of(STAND.job()), resolution=2.0)
    # X, Y and Z with the first cutter, Z with the second
    assert [pair.counts.touches for pair in both.steps] == [3, 0, 1] + [0] * 10
    skim = both.steps[1]
    # two ways to the start, the depth, four feeds round the edge, the zero
    assert skim.counts.readings == 8
    measure = both.steps[6]
    assert measure.title.endswith("measure width")
    assert (measure.counts.readings, measure.counts.decisions) == (2, 1)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_both_clocks_by_step_add_up_to_the_whole(path: Path) -> None:
    setup = set_up(read_job(path))[0]
    both = compare([Routes(setup)], resolution=2.0)
    assert sum(pair.seconds_by_hand for pair in both.steps) == pytest.approx(both.by_hand.seconds.total)
    gauges = {"micrometer": 30.0, "caliper": 15.0}
    measuring = [step for step in plan(setup, Route.BY_PROGRAM).steps if step.measuring]
    gauging = sum(gauges[size.gauge] for step in measuring for size in step.measuring)
    # cleaning and deburring at each measuring stop, and at every stop a figure keyed into D
    stops = (20.0 + 30.0) * len(measuring) + gauging + 8.0 * both.setups[0].text.count(" M0\n")
    # before the first step the program only sends the Z home, where it is
    assert sum(pair.seconds_by_program for pair in both.steps) == pytest.approx(both.by_program.seconds.total + stops)


def test_each_step_names_what_the_two_ways_share() -> None:
    both = compare(routes_of(STAND.job()), resolution=2.0)
    names = [pair.ideas[0].name for pair in both.steps[:5]]
    assert names == [
        "where the work is",
        "the finished top is Z zero",
        "tool length",
        "which side the cutter is on",
        "which side the cutter is on",
    ]
    assert all(
        idea.by_hand and idea.by_program and idea.error_by_hand and idea.error_by_program
        for pair in both.steps
        for idea in pair.ideas
    )


@pytest.mark.parametrize("path", WITH_SIDES, ids=lambda path: path.parent.name)
def test_where_nobody_touches_the_knee_the_depth_is_said_to_be_as_set_before(path: Path) -> None:
    both = compare(routes_of(read_job(path)), resolution=2.0)
    deep = {pair.number: idea for pair in both.steps for idea in pair.ideas if idea.name == "how deep"}
    set_in = 0
    for pair in both.steps:
        wound = [
            act for act in both.setups[0].actions if act.step == pair.number and getattr(act, "slide", "") == "knee"
        ]
        raised = any(getattr(act, "ends", 0) for act in wound)
        set_in = pair.number if raised else set_in
        if pair.number in deep:
            said = deep[pair.number].by_hand
            assert ("set raising" in said) is raised
            assert raised or f"as set in step {set_in}" in said
    # the front sets the knee, back and ends (of the stop: back and left end) are cut at the same depth
    kept = {number for number, idea in deep.items() if "as set in step 4" in idea.by_hand}
    assert kept == ({6, 9, 11} if path.parent.name == "gauge-stand-base" else {6, 9})


def test_a_program_without_compensation_shares_the_cutters_path_and_nothing_to_correct() -> None:
    draft = replace(sides("front"), compensation="off")
    both = compare(routes_of(draft.job()), resolution=2.0)
    assert not any("G41" in idea.by_program for pair in both.steps for idea in pair.ideas)


def test_a_program_along_the_cutters_own_path_holds_only_the_difference_in_d() -> None:
    draft = replace(sides("front"), compensation="tool-path")
    both = compare(routes_of(draft.job()), resolution=2.0)
    assert "actual minus nominal" in both.steps[-1].ideas[0].by_program


def test_a_job_without_operations_compares_two_raw_blocks() -> None:
    both = compare(routes_of(Draft(operations=()).job()), resolution=2.0)
    assert both.steps == ()
    assert both.difference.largest == 0.0


def test_the_json_has_what_it_promises_and_says_nothing_that_json_cannot() -> None:
    job = STOP.job()
    both = compare(routes_of(job), resolution=2.0)
    content = json.loads(json.dumps(comparison_json(both, job.units), allow_nan=False))
    assert next(iter(content)) == "handwheel"
    assert content["handwheel"] == content["by_hand"]["handwheel"] == 1
    assert {"by_hand", "by_program", "difference", "steps", "budget"} <= set(content)
    assert set(content["difference"]) == {"largest", "volume"}
    assert "slips" not in content


def test_the_csv_has_a_row_for_each_step() -> None:
    both = compare(routes_of(STOP.job()), resolution=2.0)
    rows = list(csv.DictReader(io.StringIO(comparison_csv(both), newline="")))
    assert [int(row["step"]) for row in rows] == [pair.number for pair in both.steps]
    assert all(row["seconds by hand"] and row["error by program"] for row in rows)


def job_file(folder: Path) -> Path:
    path = folder / "stop.toml"
    path.write_text(STOP.text(), encoding="utf-8")
    return path


def test_the_command_fits_the_paper_and_needs_no_colour(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["compare", str(job_file(tmp_path))])
    assert result.exit_code == 0
    assert "\x1b" not in result.output
    assert max(len(line) for line in result.output.splitlines()) <= 100
    assert "right: finish the right side to X 68" in result.output


def test_a_pass_and_a_share_out_of_limits_do_not_stand_beside_each_other_unexplained(tmp_path: Path) -> None:
    said = " ".join(CliRunner().invoke(main, ["compare", str(job_file(tmp_path))]).output.split())
    assert "by hand PASS" in said
    assert "The proof is of geometry alone" in said[said.index("out of limits") :]


def test_the_command_makes_one_slip_as_json(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["compare", str(job_file(tmp_path)), "--slip", "reground-cutter", "--json"])
    assert result.exit_code == 0
    content = json.loads(result.output)
    (slip,) = content["slips"]
    assert list(slip)[:2] == ["name", "route"]
    assert {"what", "expected", "proof"} <= set(slip)
    assert slip["proof"]["verdict"] == "fail"
    assert slip["expected"]["sizes"]["width"] == pytest.approx(48.5)


def test_the_command_refuses_a_slip_that_there_is_not_and_two_forms_at_once(tmp_path: Path) -> None:
    unknown = CliRunner().invoke(main, ["compare", str(job_file(tmp_path)), "--slip", "sneeze"])
    assert unknown.exit_code == 2
    assert "no slip 'sneeze'" in unknown.stderr
    assert CliRunner().invoke(main, ["compare", str(job_file(tmp_path)), "--json", "--csv"]).exit_code == 2
