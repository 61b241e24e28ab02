"""Whole lessons for tests: a job made both ways, and its page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from handwheel.hand import Action, Execution, actions, execute
from handwheel.job import Job, read_job, read_job_text
from handwheel.plan import Plan, Route, plan
from handwheel.program import write_program
from handwheel.proof import Routes, SetupProof, compare, prove_setup, prove_setup_by_hand, slip
from handwheel.setup import Setup, set_up
from handwheel.show.page import lesson

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass(frozen=True)
class Made:
    """A job made both ways, with its page."""

    setup: Setup
    plan: Plan
    text: str
    proof: SetupProof
    actions: tuple[Action, ...]
    execution: Execution
    proof_by_hand: SetupProof
    page: str


@cache
def example(name: str) -> Made:
    """An example with its comparison and two slips, one by hand and one by program."""
    return made(read_job(EXAMPLES / name / "job.toml"), slips=("knee-turn-too-many", "wrong-compensation-side"))


@cache
def titled(title: str) -> Made:
    """The metric example with everything that the user names called by ``title``, a literal TOML string."""
    text = (EXAMPLES / "fence-stop" / "job.toml").read_text(encoding="utf-8")
    for name in ("Stop for the bandsaw fence", "BS-27", "front", "width"):
        text = text.replace(f'= "{name}"', f"= '{title}'" if name != "front" else f'= "{name}"')
    text = text.replace('name = "front"', f"name = '{title}'")
    return made(read_job_text(text, "titled"))


def spoilt(before: str, after: str) -> Made:
    """The metric example with a block of its program changed."""
    job = read_job(EXAMPLES / "fence-stop" / "job.toml")
    text = write_program(set_up(job)[0], plan(set_up(job)[0], Route.BY_PROGRAM))
    assert before in text
    return made(job, text=text.replace(before, after))


def with_program(text: str) -> Made:
    """The metric example with somebody else's program."""
    return made(read_job(EXAMPLES / "fence-stop" / "job.toml"), text=text)


def made(job: Job, slips: tuple[str, ...] = (), text: str | None = None) -> Made:
    """Make a job both ways; ``text`` is the program where it is not the job's own."""
    setup = set_up(job)[0]
    by_program = plan(set_up(job)[0], Route.BY_PROGRAM)
    if text is None:
        text = write_program(setup, by_program)
    proof = prove_setup(setup, text, f"{job.name}.nc")
    doing = actions(setup, plan(set_up(job)[0], Route.BY_HAND))
    execution = execute(setup, doing)
    by_hand = prove_setup_by_hand(setup, doing)
    page = lesson(
        setup,
        by_program,
        text,
        proof,
        doing,
        execution,
        by_hand,
        compare([Routes(setup)]).setups[0] if slips else None,
        [slip([Routes(setup)], name) for name in slips],
    )
    return Made(setup, by_program, text, proof, doing, execution, by_hand, page)
