"""The written program, word by word and as a control reads it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from jobs import drafts, sides

from handwheel.job import Job
from handwheel.motion import Control, Kind, Moves, Offset, Side
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.program.seal import untouched
from handwheel.rs274 import Reading, read
from handwheel.setup import set_up

FORMS = ("material-edge", "tool-path", "off")
WIDTH = {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5, "gauge": "micrometer"}


def _written(job: Job) -> tuple[str, Control]:
    setup = set_up(job)[0]
    return write_program(setup, plan(set_up(job)[0], Route.BY_PROGRAM)), setup.control


def _read(job: Job, enlarged: float = 0.0) -> Reading:
    text, held = _written(job)
    offsets = {number: Offset(offset.length, offset.diameter + enlarged) for number, offset in job.offsets.items()}
    reading = read(text, replace(held, offsets=offsets))
    assert reading.error is None
    return reading


def _block(form: str = "material-edge", cut: str = "conventional") -> Job:
    return replace(sides("front", "right", "back", "left", cut=cut), compensation=form).job()


@pytest.mark.parametrize("form", FORMS)
def test_every_block_is_numbered_and_none_is_too_long(form: str) -> None:
    text, _ = _written(_block(form))
    lines = text.splitlines()
    assert lines[0] == lines[-1] == "%"  # NISTIR 6556, 3.1 (from memory)
    for line in lines[1:-1]:
        assert re.fullmatch(r"\(.*\)|N\d{1,5} .*", line)
        assert len(line) <= 256  # NISTIR 6556, 3.3 (from memory)
    assert lines[-3].endswith(" M30")


def test_every_tool_change_is_followed_by_its_length_offset() -> None:
    text, _ = _written(_block())
    blocks = [line.split(maxsplit=1)[1] for line in text.splitlines() if line.startswith("N")]
    for index, block in enumerate(blocks):
        if "M6" in block:
            number = re.match(r"T(\d+)", block)
            assert number is not None
            assert blocks[index + 1] == f"G43 H{number[1]}"


@pytest.mark.parametrize("form", FORMS)
def test_no_program_sets_an_origin(form: str) -> None:
    text, _ = _written(_block(form))
    assert not re.search(r"\bG(10|92)", text)


@pytest.mark.parametrize(
    ("form", "cut", "expected"),
    # geometry; common practice: outside of a block, conventional is G42, climb is G41
    [
        ("material-edge", "conventional", {"G42"}),
        ("material-edge", "climb", {"G41"}),
        ("tool-path", "conventional", {"G42"}),
        ("tool-path", "climb", {"G41"}),
        ("off", "conventional", set()),
        ("off", "climb", set()),
    ],
)
def test_the_compensation_code_is_that_of_the_cut(form: str, cut: str, expected: set[str]) -> None:
    text, _ = _written(_block(form, cut))
    assert set(re.findall(r"G4[12]", text)) == expected


def test_a_measuring_stop_lifts_stops_and_starts_again_with_compensation_taken_anew() -> None:
    text, _ = _written(replace(sides("front", "back"), dimensions=(WIDTH,)).job())
    before, after = re.split(r"N\d+ M0\n", text)
    last_words = [line.split(maxsplit=1)[1] for line in before.splitlines() if line.startswith("N")][-3:]
    assert last_words == ["G53 G0 Z0", "M5", "M9"]
    assert before.rindex("G40") > before.rindex("G42")
    assert re.search(r"S\d+ M3\nN\d+ M8\n", after)
    assert "G42" in after


def _flat(text: str) -> str:
    return text.replace(")\n(... ", " ")


def test_half_of_a_correction_goes_back_at_a_stop_of_its_own_before_the_next_side_with_that_d() -> None:
    # common practice: one side carries the width's correction, both sides of a later size share theirs
    text = _flat(_written(replace(sides("front", "back", "left"), dimensions=(WIDTH,)).job())[0])
    measuring, finishing, after = re.split(r"N\d+ M0\n", text)
    # 40.75 is wanted at the stop: .1 too much is .2 off D, .1 too little .2 to it
    assert "40.85 -0.20" in measuring
    assert "40.65 +0.20" in measuring
    assert "NOTE IT: HALF GOES BACK AFTER STEP 6." in measuring
    assert "(STEP 6: " in finishing
    assert "PUT HALF OF THE D1 WEAR CHANGE BACK NOW." in finishing
    # off the work before the hand goes in; running again before the next side
    words = [line.split(maxsplit=1)[1] for line in finishing.splitlines() if line.startswith("N")]
    assert words[-3:] == ["G53 G0 Z0", "M5", "M9"]
    assert finishing.rindex("G40") > finishing.rindex("G42")
    assert re.match(r"N\d+ S\d+ M3\nN\d+ M8\nN\d+ G0 Z[\d.]+\n\(STEP 7: ", after)


def test_after_the_last_side_half_of_a_correction_goes_back_for_the_next_part_only() -> None:
    text = _flat(_written(replace(sides("front", "back"), dimensions=(WIDTH,)).job())[0])
    assert text.count(" M0\n") == 1
    assert "AFTER THIS PART PUT HALF OF IT BACK." in text
    assert "GOES BACK AFTER STEP" not in text
    assert "SIDES AFTER" not in text


def test_where_the_next_side_has_another_d_nothing_is_given_back_in_between() -> None:
    draft = sides("front", "back", "left")
    other = {**draft.tools[0], "number": 2}
    operations = (*draft.operations[:2], {**draft.operations[2], "tool": 2})
    job = replace(draft, tools=(*draft.tools, other), operations=operations, dimensions=(WIDTH,)).job()
    assert _written(job)[0].count(" M0\n") == 1


def test_before_a_cutter_change_the_spindle_stays_still_after_the_second_stop() -> None:
    draft = sides("front", "back", "left", "right")
    other = {**draft.tools[0], "number": 2}
    operations = (*draft.operations[:2], {**draft.operations[2], "tool": 2}, draft.operations[3])
    job = replace(draft, tools=(*draft.tools, other), operations=operations, dimensions=(WIDTH,)).job()
    after = _written(job)[0].split(" M0\n")[2]
    assert after.startswith("(STEP 7: LOAD TOOL 2")


def test_without_compensation_there_is_nothing_to_give_back() -> None:
    draft = replace(sides("front", "back", "left"), dimensions=(WIDTH,), compensation="off")
    text = _flat(_written(draft.job())[0])
    assert text.count(" M0\n") == 1
    assert "THERE IS NO D TO CORRECT HERE" in text


def test_two_sizes_at_one_stop_are_corrected_once() -> None:
    upper = {**WIDTH, "name": "width above", "through": {"x": 38.0, "z": -2.0}}
    text = _flat(_written(replace(sides("front", "back"), dimensions=(WIDTH, upper)).job())[0])
    assert text.count("GAUGE READS, CHANGE") == 1
    assert "CORRECT ONCE, FOR WIDTH: IT HAS THE CLOSEST LIMITS" in text


def test_each_step_stands_once_before_its_blocks_in_the_words_of_the_plan() -> None:
    job = _block()
    text, _ = _written(job)
    heads = re.findall(r"^\(STEP (\d+): ", text, re.MULTILINE)
    assert [int(number) for number in heads] == [step.number for step in plan(set_up(job)[0], Route.BY_PROGRAM).steps]
    flat = text.replace(")\n(... ", " ")
    for step in plan(set_up(job)[0], Route.BY_PROGRAM).steps:
        assert f"(STEP {step.number}: {step.title.upper()})" in flat


@pytest.mark.parametrize(
    "title",
    [
        "Block (M30",
        "50 %\n%",
        "bra)cket\nG0 Z-99",
        "STEP 7: fake",
        'quote " \\ and ; G41',
        "Prüfstück – 价格",
        "x" * 200,
    ],
)
def test_a_title_cannot_break_out_of_its_comment(title: str) -> None:
    import json

    plain_job = _block()
    draft = replace(sides("front", "right", "back", "left"))
    hostile = draft.text().replace('title = "Test block"', f"title = {json.dumps(title)}")
    from handwheel.job import read_job_text

    job = read_job_text(hostile, "test-block")
    text, held = _written(job)
    assert text.isascii()
    reading = read(text, held)
    assert reading.error is None
    assert np.array_equal(reading.moves.end, _read(plain_job).moves.end)
    assert [line for line, comment in reading.comments if re.match(r"STEP \d+:", comment)] != []


def test_a_program_that_was_edited_is_known() -> None:
    text = _written(_block())[0]
    assert untouched(text)
    assert not untouched(text.replace("G42", "G41", 1))
    assert not untouched(text.replace("M30", "M30 "))
    assert not untouched("%\nM30\n%\n")


def _rapids_are_square(moves: Moves, clear: float) -> None:
    rapid = moves.kind == Kind.RAPID
    step = np.abs(moves.end - moves.start)
    sideways = (step[:, :2] > 1e-9).any(axis=1)
    assert not (rapid & sideways & (step[:, 2] > 1e-9)).any()
    assert np.allclose(moves.end[rapid & sideways, 2], clear, atol=1e-6)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts())
def test_rapids_never_mix_z_with_x_or_y_and_traverse_at_the_clear_height(draft) -> None:  # type: ignore[no-untyped-def]
    job = draft.job()
    clear = job.raw_block.high[2] + job.setups[0].clear
    _rapids_are_square(_read(job).moves, clear)


@pytest.mark.parametrize("enlarged", [0.0, 0.254, -0.254])  # D as given, and ± 0.010 in
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts())
def test_compensation_comes_on_and_off_clear_of_the_work(enlarged: float, draft) -> None:  # type: ignore[no-untyped-def]
    job = draft.job()
    reading = _read(job, enlarged)
    moves, raw = reading.moves, job.raw_block
    side = moves.of_modal("side")
    tool = moves.of_modal("tool")
    for index in np.flatnonzero((side != Side.OFF) & (np.r_[0, side[:-1]] == Side.OFF)):
        last = index
        while last + 1 < len(moves) and side[last + 1] != Side.OFF:
            last += 1
        radius = job.tool(int(tool[index])).diameter / 2
        for point in (moves.start[index], moves.end[index], moves.end[last]):
            gaps = [
                max(low - at, at - high) for low, at, high in zip(raw.low[:2], point[:2], raw.high[:2], strict=True)
            ]
            off = np.hypot(*np.maximum(gaps, 0.0))
            assert off > radius + max(enlarged, 0) / 2 + job.stock.tolerance - 1e-6
        if last + 1 < len(moves):
            after = moves[last + 1]
            assert after.kind is Kind.RAPID
            assert after.start[:2] == pytest.approx(after.end[:2], abs=1e-9)  # Z alone


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts())
def test_the_three_compensation_forms_run_the_cutter_the_same_way(draft) -> None:  # type: ignore[no-untyped-def]
    ends = []
    for form in FORMS:
        job = replace(draft, compensation=form).job()
        moves = _read(job).moves
        feeding = (moves.kind == Kind.FEED) & (np.abs(moves.end - moves.start)[:, :2].max(axis=1) > 0)
        starts_or_ends = np.flatnonzero(feeding)
        # the last feed of each stroke is where the edge is left
        lasts = [row for row in starts_or_ends if row + 1 >= len(moves) or moves.kind[row + 1] == Kind.RAPID]
        ends.append(moves.end[lasts])
    digit = 25.4 * 0.5e-4 if draft.units == "in" else 0.5e-3
    for other in ends[1:]:
        assert np.abs(ends[0] - other).max(initial=0.0) <= 2 * digit + 1e-6


def test_the_three_forms_agree_to_a_millionth_of_an_inch_where_all_is_on_the_grid() -> None:
    ends = [_read(_block(form)).moves.end[-4] for form in FORMS]
    for other in ends[1:]:
        assert np.abs(ends[0] - other).max() <= 25.4e-6
