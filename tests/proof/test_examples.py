"""The committed examples: what the drawing says is what the gauge reads; jaws raised into the cut are found."""

from __future__ import annotations

from pathlib import Path

import pytest
from jobs import with_setup

from handwheel.job import Job, read_job
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import SetupProof, prove, prove_by_hand, prove_setup, routes_of
from handwheel.setup import Setup, set_up

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(ROOT.glob("examples/*/job.toml"))


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.parent.name)
def job(request: pytest.FixtureRequest) -> Job:
    return read_job(request.param)


def _proved(job: Job) -> tuple[Setup, SetupProof, str]:
    setup = set_up(job)[0]
    text = write_program(setup, plan(set_up(job)[0], Route.BY_PROGRAM))
    return setup, prove_setup(setup, text, f"{job.name}.nc"), text


def test_there_is_one_example_in_inches_and_one_in_millimeters() -> None:
    assert {read_job(path).units for path in EXAMPLES} == {"in", "mm"}


def test_the_gauge_reads_the_drawings_sizes(job: Job) -> None:
    proof = prove(routes_of(job))
    assert len(proof.dimensions) >= 1
    for size in proof.dimensions:
        assert size.measured == pytest.approx(size.nominal, abs=25.4e-6)  # a millionth of an inch


def test_a_sound_program_gives_no_cause_to_step_in(job: Job) -> None:
    routes = routes_of(job)
    for proof in (prove(routes), prove_by_hand(routes)):
        assert [one for one in proof.findings if one.level != "note"] == []


def test_jaws_raised_into_the_cut_are_found_with_their_block_and_step(job: Job) -> None:
    setup = set_up(job)[0]
    assert setup.air is not None
    raised = setup.air + 0.05 * 25.4
    vise = job.setups[0].vise.model_copy(
        update={"jaw_height": job.setups[0].vise.jaw_height + raised, "parallels": setup.parallel_height}
    )
    _, proof, text = _proved(with_setup(job, vise=vise))
    assert proof.verdict == "fail"
    hit = next(one for one in proof.findings if one.code == "cutter-hits-vise")
    assert hit.level == "stop"
    assert hit.line is not None
    assert hit.step is not None
    assert "G1" in text.splitlines()[hit.line - 1] or "G0" in text.splitlines()[hit.line - 1]
    assert proof.clearance.vise == pytest.approx(-0.05 * 25.4, abs=25.4e-6)


def test_the_committed_program_is_what_is_written_today(job: Job) -> None:
    for one in routes_of(job):
        committed = ROOT / "out" / job.name / one.program_name
        assert committed.read_text(encoding="utf-8") == one.text
