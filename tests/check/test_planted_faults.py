"""Faults of the trade planted in the examples' own programs: each is found, with its code, at its block or step.

What each fault does follows from the drawing and the machine (geometry; common practice), not from the checks.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from jobs import Draft, sides, with_setup

from handwheel.check import Finding, level_of
from handwheel.check.finding import in_order
from handwheel.job import Job, read_job
from handwheel.motion import Kind, Offset
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import SetupProof, prove_setup
from handwheel.setup import Setup, set_up

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = [ROOT / "examples" / name / "job.toml" for name in ("fence-stop", "gauge-stand-base")]
"""One set-up each, sides with sizes that are measured on the way."""
GRAVE = ("stop", "reject", "warn")


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.parent.name)
def job(request: pytest.FixtureRequest) -> Job:
    return read_job(request.param)


@pytest.fixture
def setup(job: Job) -> Setup:
    return set_up(job)[0]


@pytest.fixture
def text(setup: Setup) -> str:
    return write_program(setup, plan(setup, Route.BY_PROGRAM))


def grave(proof: SetupProof) -> dict[str, Finding]:
    """The first finding of each code that is more than a note."""
    found: dict[str, Finding] = {}
    for one in proof.findings:
        if one.level in GRAVE:
            found.setdefault(one.code, one)
    return found


def edited(text: str, change: Callable[[str], str], where: str, after: str = "") -> tuple[str, int]:
    """The program with the first block that matches ``where`` (after the first that matches ``after``) changed, and its
    line."""
    lines = text.splitlines()
    start = next((k for k, line in enumerate(lines) if re.search(after, line)), 0) if after else 0
    at = next(k for k in range(start, len(lines)) if not lines[k].startswith("(") and re.search(where, lines[k]))
    lines[at] = change(lines[at])
    return "\n".join(lines) + "\n", at + 1


def finish_step(job: Job, edge: str | None = None) -> int:
    """The number of the (first) finishing step of a side."""
    steps = plan(set_up(job)[0], Route.BY_PROGRAM).steps
    return next(step.number for step in steps if step.kind == "finish" and edge in (None, step.sides[0].edge))


def test_a_sound_program_gives_no_cause_to_step_in(setup: Setup, text: str) -> None:
    proof = prove_setup(setup, text, "sound.nc")
    assert grave(proof) == {}
    assert proof.verdict == "pass"


def test_a_cutter_on_the_wrong_side_of_the_path_gouges_the_part(setup: Setup, text: str) -> None:
    head = rf"\(STEP {finish_step(setup.job, 'back')}:"
    other = {"G41": "G42", "G42": "G41"}
    wrong, line = edited(text, lambda block: re.sub("G4[12]", lambda side: other[side[0]], block), "G4[12]", head)
    found = grave(prove_setup(setup, wrong, "wrong side.nc"))
    assert found["gouge"].line is not None
    assert line <= found["gouge"].line <= line + 1
    assert found["gouge"].step == finish_step(setup.job, "back")
    assert "dimension-out" in found


def test_a_depth_without_its_minus_leaves_work_uncut(setup: Setup, text: str) -> None:
    step = finish_step(setup.job)
    wrong = re.sub(r"(G1 Z)-(\d)", r"\1\2", text)  # every side is then cut in the air above it
    found = grave(prove_setup(setup, wrong, "no minus.nc"))
    assert found["left-uncut"].line is None
    assert found["left-uncut"].step is not None
    assert found["left-uncut"].step >= step
    assert "dimension-out" in found


def test_a_depth_without_its_minus_on_one_pass_is_told_by_its_step(setup: Setup, text: str) -> None:
    steps = plan(setup, Route.BY_PROGRAM).steps
    last = max(step.number for step in steps if step.kind == "finish")
    wrong, _ = edited(text, lambda block: re.sub(r"Z-", "Z", block), r"G1 Z-", rf"\(STEP {last}:")
    found = grave(prove_setup(setup, wrong, "no minus.nc"))
    assert found["left-uncut"].step == last
    assert "dimension-out" in found


def test_a_forgotten_length_offset_is_found_where_the_tool_first_goes_down(setup: Setup, text: str) -> None:
    wrong = re.sub(r"^N\d+ G43 H\d+$", "(HERE G43 WAS)", text, flags=re.MULTILINE)
    proof = prove_setup(setup, wrong, "no G43.nc")
    assert proof.findings[0].code == "no-length-offset", [one.code for one in proof.findings]
    found = grave(proof)
    lines = wrong.splitlines()
    down = next(k for k, line in enumerate(lines, 1) if re.match(r"N\d+ G0 Z", line))
    assert found["no-length-offset"].line == down


def test_the_length_of_another_tool_is_found(setup: Setup, text: str) -> None:
    numbers = [tool.number for tool in setup.job.tools]
    used = [int(number) for number in re.findall(r"^N\d+ T(\d+) M6", text, flags=re.MULTILINE)]
    other = next(number for number in numbers if number != used[0])
    wrong, line = edited(text, lambda block: re.sub(r"H\d+", f"H{other}", block), r"G43 H")
    found = grave(prove_setup(setup, wrong, "wrong H.nc"))
    assert found["wrong-length-offset"].line is not None
    assert line < found["wrong-length-offset"].line
    assert f"H{other}" in found["wrong-length-offset"].message


def test_a_new_tool_on_the_old_tools_length_is_found(setup: Setup, text: str) -> None:
    wrong, _ = edited(text, lambda block: "(HERE G43 WAS)", r"G43 H", r"\(STEP 3:")
    assert "wrong-length-offset" in grave(prove_setup(setup, wrong, "old H.nc"))


def test_a_rapid_for_a_feed_runs_through_the_work(setup: Setup, text: str) -> None:
    wrong, line = edited(text, lambda block: block.replace("G1", "G0"), r"^N\d+ G1 X", r"\(STEP 2:")
    found = grave(prove_setup(setup, wrong, "rapid.nc"))
    assert found["rapid-through-work"].line == line
    assert found["rapid-through-work"].step == 2
    assert found["rapid-through-work"].count == 1


def test_the_diameter_of_another_tool_is_found(setup: Setup, text: str) -> None:
    side_tool = plan(setup, Route.BY_PROGRAM).steps[-1].tool.number
    other = next(tool.number for tool in setup.job.tools if tool.number != side_tool)
    wrong = re.sub(r"D\d+ G1", f"D{other} G1", text)
    found = grave(prove_setup(setup, wrong, "wrong D.nc"))
    first = next(k for k, line in enumerate(wrong.splitlines(), 1) if f"D{other} G1" in line)
    assert found["wrong-diameter-offset"].line == first
    assert "dimension-out" in found


def test_a_spindle_that_was_never_started_is_found_at_the_first_cut(setup: Setup, text: str) -> None:
    wrong, _ = edited(text, lambda block: re.sub(r" M3", "", block), r"M3")
    found = grave(prove_setup(setup, wrong, "no M3.nc"))
    assert found["spindle-stopped"].step == 2
    assert found["spindle-stopped"].line is not None
    assert re.match(r"N\d+ G1 ", wrong.splitlines()[found["spindle-stopped"].line - 1])


def test_a_spindle_that_turns_backwards_is_found(setup: Setup, text: str) -> None:
    wrong, _ = edited(text, lambda block: block.replace("M3", "M4"), r"M3")
    assert grave(prove_setup(setup, wrong, "M4.nc"))["spindle-reversed"].step == 2


def test_parallels_one_size_low_bring_the_cutter_into_the_vise(job: Job, text: str) -> None:
    """The work sinks by the difference of the parallels; what exceeds the air is how deep the cutter is in the jaws."""
    chosen = set_up(job)[0]
    assert chosen.air is not None
    lower = max(height for height in job.parallel_set if height < chosen.parallel_height)
    low = with_setup(job, vise=job.setups[0].vise.model_copy(update={"parallels": lower}))
    sunk = chosen.parallel_height - lower - chosen.air
    found = grave(prove_setup(set_up(low)[0], text, "low parallels.nc"))
    assert found["cutter-hits-vise"].line is not None
    assert found["cutter-hits-vise"].step is not None
    proof = prove_setup(set_up(low)[0], text, "low parallels.nc")
    assert proof.clearance.vise == pytest.approx(-sunk, abs=1e-9)


@pytest.mark.parametrize(("shift", "code"), [((1.5, 1.5, 0.0), "left-uncut"), ((0.0, 0.0, -1.0), "gouge")])
def test_a_zero_that_was_shifted_spoils_the_part(
    setup: Setup, text: str, shift: tuple[float, float, float], code: str
) -> None:
    sound = setup.control
    x, y, z = (a + b for a, b in zip(sound.origin, shift, strict=True))
    shifted = replace(setup, control=replace(sound, origin=(x, y, z)))
    found = grave(prove_setup(shifted, text, "zero shifted.nc"))
    assert code in found


def test_a_program_read_in_the_other_units_is_found(setup: Setup, text: str) -> None:
    if setup.job.units == "in":
        proof = prove_setup(setup, text.replace("G20", "G21"), "as millimeters.nc")
        found = grave(proof)
        assert "left-uncut" in found
    else:
        proof = prove_setup(setup, text.replace("G21", "G20"), "as inches.nc")
        found = grave(proof)
        assert "beyond-travel" in found
    assert proof.findings[0].code == "other-units", [one.code for one in proof.findings]


def test_a_cause_leads_only_what_is_cut_after_it() -> None:
    def told(code: str, line: int | None) -> Finding:
        return Finding(level_of(code), code, "set-up 1", line, None, None, 1, code)

    before, after, whole = told("rapid-through-work", 5), told("cutter-hits-vise", 40), told("left-uncut", None)
    cause, hint = told("no-length-offset", 30), told("other-units", 1)
    assert in_order([whole, after, before, cause]) == (before, cause, after, whole)
    assert in_order([whole, hint]) == (hint, whole)
    assert in_order([told("low-clearance", 3), hint]) == (told("low-clearance", 3), hint)


def without_steps(text: str, numbers: set[int]) -> str:
    """The program without the motion of some steps."""
    kept, step = [], 0
    for line in text.splitlines():
        if head := re.match(r"\((?:STEP (\d+)|END):", line):
            step = int(head[1] or 0)
        motion = re.match(r"N\d+ (G[0-4]|S|M[38])", line)
        kept.append("(SKIPPED)" if step in numbers and motion else line)
    return "\n".join(kept) + "\n"


def test_a_skipped_last_pass_leaves_its_allowance(setup: Setup, text: str) -> None:
    last = max(step.number for step in plan(setup, Route.BY_PROGRAM).steps if step.kind == "finish")
    found = grave(prove_setup(setup, without_steps(text, {last}), "last pass skipped.nc"))
    assert found["left-uncut"].step == last
    assert "dimension-out" in found


def test_a_skipped_roughing_pass_gives_the_next_one_its_width_as_well(setup: Setup, text: str) -> None:
    """Width of cut of the finishing pass: what was planned for it and what the roughing should have taken."""
    job = setup.job
    steps = plan(set_up(job)[0], Route.BY_PROGRAM).steps
    rough = next(step for step in steps if step.kind == "rough" and len(step.strokes) == 1)
    finish = next(step for step in steps if step.number > rough.number and step.kind == "finish")
    proof = prove_setup(setup, without_steps(text, {rough.number}), "roughing skipped.nc")
    of_finish = (proof.moves.step == finish.number) & (proof.moves.kind == Kind.FEED)
    engaged = proof.heights.engagement
    both = rough.strokes[0].width + finish.strokes[0].width
    assert engaged.width[of_finish].max() == pytest.approx(both, abs=engaged.width_error)
    sound = prove_setup(setup, text, "sound.nc")
    planned, asked = float(sound.power.max()), float(proof.power[of_finish].max())
    assert asked > sound.power[sound.moves.step == finish.number].max()
    # a spindle that only just makes the plan is overloaded exactly where the skipped pass asks for more
    machine = job.by_program.model_copy(update={"power": planned * 1.001 / job.by_program.efficiency})
    weak = set_up(replace(job, by_program=machine))[0]
    assert "overload" not in grave(prove_setup(weak, text, "sound.nc"))
    found = grave(prove_setup(weak, without_steps(text, {rough.number}), "roughing skipped.nc"))
    assert ("overload" in found) == (asked > planned * 1.001)


def test_a_wear_correction_of_the_diameter_is_no_wrong_offset(setup: Setup, text: str) -> None:
    slot = plan(setup, Route.BY_PROGRAM).steps[-1].tool.number
    held = setup.control.offsets[slot]
    worn = {**setup.control.offsets, slot: Offset(held.length, held.diameter - setup.job.tolerance)}
    found = grave(prove_setup(replace(setup, control=replace(setup.control, offsets=worn)), text, "worn.nc"))
    assert "wrong-diameter-offset" not in found


def test_what_no_control_would_read_is_one_bad_block(setup: Setup, text: str) -> None:
    wrong, line = edited(text, lambda block: block + " X1 X2", r"G1 X", r"\(STEP 2:")
    proof = prove_setup(setup, wrong, "bad.nc")
    stops = [one for one in proof.findings if one.level == "stop"]
    assert [(one.code, one.line) for one in stops] == [("bad-block", line)]
    assert "left-uncut" in grave(proof)  # nothing after it is executed


def test_a_stop_with_the_spindle_turning_is_told(setup: Setup, text: str) -> None:
    before, after = re.split(r"(?=N\d+ M0\n)", text, maxsplit=1)
    start, _, rest = before.rpartition(" M5\n")
    proof = prove_setup(setup, f"{start} M9\n{rest}{after}", "no M5.nc")
    told = next(one for one in proof.findings if one.code == "stop-while-turning")
    assert told.line is not None
    assert all(one.code != "stop-while-turning" for one in prove_setup(setup, text, "sound.nc").findings)


def test_a_stop_to_measure_with_the_cutter_over_the_work_is_told(setup: Setup, text: str) -> None:
    """A hand's breadth of room is common practice; the raw top is the nearest of the work under a raised cutter."""
    top = setup.raw.high[2]
    clear = f"G0 Z{(top + 25.4) / (25.4 if setup.job.units == 'in' else 1.0):.4f}"
    low = re.sub(r"G53 G0 Z0(?=\nN\d+ M5\nN\d+ M9\nN\d+ M0)", clear, text)
    stops = [k for k, line in enumerate(low.splitlines(), 1) if re.search(r" M0$", line)]
    told = [one for one in prove_setup(setup, low, "low stop.nc").findings if one.code == "stop-over-work"]
    assert [(one.level, one.line, one.count) for one in told] == [("note", stops[0], len(stops))]
    assert told[0].at is not None
    assert told[0].at[2] == pytest.approx(top + 25.4, abs=1e-3)
    assert ("about 1.0 in" if setup.job.units == "in" else "about 25.6 mm") in told[0].message  # beside the corner
    assert all(one.code != "stop-over-work" for one in prove_setup(setup, text, "sound.nc").findings)


def test_a_tool_that_the_job_has_not_is_told_once_at_the_block_that_calls_it(setup: Setup, text: str) -> None:
    wrong, line = edited(text, lambda block: re.sub(r"T\d+", "T97", block), r"T\d+ M6")
    told = [one for one in prove_setup(setup, wrong, "T97.nc").findings if one.code == "no-tool"]
    assert [(one.level, one.line, one.count) for one in told] == [("stop", line, 1)]
    assert "tool 97 is called" in told[0].message


def test_an_inside_corner_is_told_where_the_cutter_stops() -> None:
    """A cutter of 12 in a corner of two walls along X 0 and Y 0: its centre stops 6 from either (geometry)."""
    draft = Draft("mm", (80.0, 50.0, 30.0), {}, tools=({"number": 1, "like": "end-mill-12mm-carbide"},))
    setup = set_up(replace(draft, zero={"x": "centre", "y": "centre"}, vise={"parallels": 20.0}).job())[0]
    text = (
        "G21 G17 G90 G94 G40 G49 G80 G54\nT1 M6\nG43 H1\nM3 S3000\nG0 X60 Y-6\nG0 Z5\nG41 D1 G1 X30 Y0 F500\n"
        "G1 X0\nG1 Y-20\nG40 G0 Z20\nM30\n"
    )
    told = next(one for one in prove_setup(setup, text, "corner.nc").findings if one.code == "inside-corner")
    assert told.line == 9
    assert told.at == pytest.approx((6.0, -6.0, 5.0), abs=1e-9)


@pytest.mark.parametrize(
    ("plus", "minus", "side"),
    [(0.0, 0.002, "upper"), (0.002, 0.0, "lower"), (0.0, 0.0, "upper"), (0.001, 0.001, None), (0.0004, 0.002, None)],
)
def test_a_plan_that_aims_at_a_limit_is_told_to_aim_at_the_middle(plus: float, minus: float, side: str | None) -> None:
    """2.375 +0/−.002 made to 2.375 has no room above; a gauge is good to a tenth of its tolerance (common practice)."""
    job = read_job(ROOT / "examples" / "gauge-stand-base" / "job.toml")
    width = job.dimensions[0].model_copy(update={"plus": plus * 25.4, "minus": minus * 25.4})
    setup = set_up(replace(job, dimensions=(width, *job.dimensions[1:])))[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    told = [one for one in prove_setup(setup, text, "at the limit.nc").findings if one.code == "at-limit"]
    assert [one.level for one in told] == (["note"] if side else [])
    if side == "upper" and minus:
        assert "at its upper limit" in told[0].message
        assert "aim at the middle, 2.374 in" in told[0].message


def test_a_program_in_another_coordinate_system_is_told_at_its_block(setup: Setup, text: str) -> None:
    """The zero is set in G54; what G55 holds at the machine nobody knows (common practice)."""
    wrong, line = edited(text, lambda block: block.replace("G54", "G55"), "G54")
    proof = prove_setup(setup, wrong, "G55.nc")
    assert [(one.code, one.line) for one in proof.findings] == [("other-system", line)]
    assert grave(proof)["other-system"].level == "warn"


def test_a_program_that_names_no_coordinate_system_is_told(setup: Setup, text: str) -> None:
    wrong, _ = edited(text, lambda block: block.replace(" G54", "").replace("G54", ""), "G54")
    told = grave(prove_setup(setup, wrong, "no G54.nc"))
    assert list(told) == ["modes-not-set"]
    assert "G54" in told["modes-not-set"].message
    assert told["modes-not-set"].line is not None


def test_a_program_in_the_other_units_with_the_same_sizes_is_told_in_one_line() -> None:
    """A metric program for an inch block is lawful; 1 in = 25.4 mm (NIST SP 811)."""
    draft = Draft("in", (3.0, 2.0, 1.5), {}, tools=({"number": 1, "like": "end-mill-1/2in-hss"},))
    setup = set_up(draft.job())[0]
    head = "G17 G90 G94 G40 G49 G80 G54\nT1 M6\nG43 H1\nM3 S2000\n"
    metric = f"G21 {head}G0 X-20. Y-20.\nG0 Z25.\nG53 G0 Z0\nM30\n"
    told = prove_setup(setup, metric, "metric.nc").findings
    assert [(one.level, one.code, one.line) for one in told] == [("note", "other-units", 1)]
    assert "millimeters" in told[0].message
    inch = f"G20 {head}G0 X-1. Y-1.\nG0 Z1.\nG53 G0 Z0\nM30\n"
    assert prove_setup(setup, inch, "inch.nc").findings == ()


@pytest.mark.parametrize("flutes", [0.5, 0.4, 0.375])
def test_flutes_as_long_as_the_cut_is_deep_are_long_enough(flutes: float) -> None:
    tools = (
        {"number": 1, "shape": "face mill", "diameter": 2.0, "flutes": 4, "flute_length": 0.5, "reach": 1.5},
        {"number": 2, "shape": "end mill", "diameter": 0.5, "flutes": 4, "flute_length": flutes, "reach": 2.0},
    )
    operations = (
        {"do": "face", "name": "top", "tool": 1},
        {"do": "side", "name": "front", "tool": 2, "edge": "front", "to": 0.0, "depth": flutes},
    )
    allowance = {"front": 0.0625, "top": 0.05}
    draft = Draft("in", (4.0, 2.0, 1.5), allowance, tools=tools, operations=operations, material="aluminium-6061")
    setup = set_up(draft.job())[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    assert [one.code for one in prove_setup(setup, text, "flush.nc").findings if one.level == "stop"] == []


def test_a_roll_round_a_corner_at_rapid_is_a_rapid() -> None:
    # G0 back past a corner with compensation on: the roll belongs to the rapid block (NISTIR 6556, appendix B)
    draft = Draft("mm", (80.0, 50.0, 30.0), {}, tools=({"number": 1, "like": "end-mill-12mm-carbide"},))
    setup = set_up(replace(draft, zero={"x": "centre", "y": "centre"}, vise={"parallels": 20.0}).job())[0]
    text = (
        "G21 G17 G90 G94 G40 G49 G80 G54\nT1 M6\nG43 H1\nM3 S3000\nG0 X-80 Y0\nG0 Z-3\nG41 D1 G0 X-70 Y0\n"
        "G0 X-47\nG0 X-70\nG40 G0 X-80\nG53 G0 Z0\nM30\n"
    )
    assert "rapid-through-work" in grave(prove_setup(setup, text, "roll.nc"))


@pytest.mark.parametrize(
    ("edges", "faced", "told"),
    [
        (("front", "left"), True, []),
        (("front", "back", "right"), True, ["X"]),
        (("back",), True, ["X", "Y"]),
        (("front", "left"), False, ["Z"]),
    ],
)
def test_a_zero_on_a_face_that_keeps_its_allowance_is_told(
    edges: tuple[str, ...], faced: bool, told: list[str]
) -> None:
    """Zero is where left, front and top will be; what is measured from a face that stands off it is off (geometry)."""
    draft = sides(*edges)
    top = ({"do": "face", "name": "top", "tool": 1},) if faced else ()
    setup = set_up(replace(draft, operations=(*top, *draft.operations)).job())[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    found = [one for one in prove_setup(setup, text, "zero.nc").findings if one.code == "zero-on-uncut-face"]
    assert [one.message[0] for one in found] == told
    assert {one.level for one in found} <= {"note"}
