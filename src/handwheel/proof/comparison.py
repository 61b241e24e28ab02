"""The two routes side by side: step beside step, part beside part, clock beside clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from handwheel.hand import Action, clock
from handwheel.hand.actions import Clean, Deburr, Feed, Lock, Measure, Preset, SetDial, Touch, Wind
from handwheel.hand.clock import name_of, seconds_of
from handwheel.job import Job
from handwheel.motion.clock import seconds
from handwheel.plan import Route, Step, gives_back
from handwheel.proof.budget import Budget, budget
from handwheel.proof.difference import Difference, difference
from handwheel.proof.in_common import Idea, ideas, knee_set_before
from handwheel.proof.model import Proof, SetupProof
from handwheel.proof.prove import prove, prove_by_hand
from handwheel.proof.routes import Routes
from handwheel.rs274 import read
from handwheel.setup import Setup

KEYING_IN: Final = "a preset"
"""A figure keyed into the control takes as long as one keyed into the readout."""


@dataclass(frozen=True, slots=True)
class Counts:
    """What a step asks of the operator, and of the program.

    ``touches`` are touch-offs; ``turns`` of handwheels, both ways; ``readings`` all that is read and met or set: dial,
    readout, gauge; ``decisions`` what nobody checks: the side of a touch or a preset, the way in which a setting ends,
    the way of a feed, which slide is locked, what a measured size calls for; ``blocks`` of the program.
    """

    touches: int
    turns: float
    readings: int
    decisions: int
    blocks: int


@dataclass(frozen=True, slots=True)
class StepPair:
    """One step, both ways.

    ``actions`` are the first and last as numbered on the sheet, ``lines`` the first and last line of the program's text
    that hold its blocks, ``blocks`` the N words there; each ``None`` where the step has none. The seconds by program
    hold cutter changes, and what the operator does at a stop.
    """

    number: int
    title: str
    ideas: tuple[Idea, ...]
    actions: tuple[int, int] | None
    lines: tuple[int, int] | None
    blocks: tuple[str, str] | None
    counts: Counts
    seconds_by_hand: float
    seconds_by_program: float


@dataclass(frozen=True)
class BothWays:
    """One set-up made twice."""

    setup: Setup
    by_hand: SetupProof
    by_program: SetupProof
    steps: tuple[StepPair, ...]
    text: str
    actions: tuple[Action, ...]


@dataclass(frozen=True)
class Comparison:
    """A part made twice, and how the two parts differ."""

    by_hand: Proof
    by_program: Proof
    difference: Difference
    setups: tuple[BothWays, ...]
    budget: tuple[Budget, ...]

    @property
    def steps(self) -> tuple[StepPair, ...]:
        """Every step of both routes, set-up after set-up."""
        return tuple(pair for one in self.setups for pair in one.steps)

    def by(self, route: Route) -> Proof:
        """The proof of one route."""
        return self.by_hand if route is Route.BY_HAND else self.by_program


def compare(routes: Sequence[Routes], *, resolution: float | None = None) -> Comparison:
    """Make the part both ways and lay them side by side.

    Parameters
    ----------
    routes : the job's own two routes in every set-up
    resolution : of the height maps, mm; from the stock where left out
    """
    by_hand = prove_by_hand(routes, resolution=resolution)
    by_program = prove(routes, resolution=resolution)
    if by_program.verdict == "fail":
        # what is written names its faults in its head: findings must name the lines of that text
        routes = [replace(one, unproved=proof.reasons) for one, proof in zip(routes, by_program.setups, strict=True)]
        by_program = prove(routes, resolution=resolution)
    return Comparison(
        by_hand=by_hand,
        by_program=by_program,
        difference=difference(by_hand, by_program),
        setups=tuple(
            BothWays(one.setup, hand, program, step_pairs(one, program), one.text, one.doing)
            for one, hand, program in zip(routes, by_hand.setups, by_program.setups, strict=True)
        ),
        # the budget's arithmetic knows one set-up
        budget=budget(routes[0].setup) if len(routes) == 1 else (),
    )


def step_pairs(routes: Routes, proof: SetupProof) -> tuple[StepPair, ...]:
    """Each step of both routes; ``proof`` is of the job's own program."""
    by_hand = clock(routes.setup.job, routes.doing, routes.execution)
    by_program = _program_seconds(routes, proof)
    lines = routes.text.splitlines()
    knee = knee_set_before(routes.by_hand.steps, routes.doing)
    pairs = []
    for index, step in enumerate(routes.by_hand.steps):
        here = routes.block_lines.get(step.number, ())
        pairs.append(
            StepPair(
                number=step.number,
                title=step.title,
                ideas=ideas(step, first=index == 0, knee_set_in=knee.get(step.number)),
                actions=routes.action_numbers.get(step.number),
                lines=(here[0], here[-1]) if here else None,
                blocks=(lines[here[0] - 1].split()[0], lines[here[-1] - 1].split()[0]) if here else None,
                counts=_counts(routes, step, len(here)),
                seconds_by_hand=by_hand.get(step.number, 0.0),
                seconds_by_program=by_program.get(step.number, 0.0),
            )
        )
    return tuple(pairs)


def _counts(routes: Routes, step: Step, blocks: int) -> Counts:
    done = [one for one in routes.execution.done if one.action.step == step.number]
    acts = [one.action for one in done]
    return Counts(
        touches=sum(isinstance(act, Touch) for act in acts),
        turns=sum(one.turns for one in done),
        readings=sum(isinstance(act, Wind | SetDial | Preset | Measure) for act in acts),
        decisions=sum(map(_is_decision, acts)),
        blocks=blocks,
    )


def _is_decision(action: Action) -> bool:
    if isinstance(action, Wind):
        return isinstance(action, Feed) or action.ends != 0
    if isinstance(action, SetDial):
        return action.reads != 0.0
    return isinstance(action, Touch | Preset | Lock | Measure)


def _program_seconds(routes: Routes, proof: SetupProof) -> Mapping[int, float]:
    """By the step's comments: moves by the machine's clock, cutter changes, and the operator's doings at each stop."""
    job, moves = routes.setup.job, proof.moves
    spent: dict[int, float] = {}
    for step, time in zip(moves.step.tolist(), seconds(moves, routes.setup.control).tolist(), strict=True):
        spent[step] = spent.get(step, 0.0) + time
    step_of = {line: step for step, lines in routes.block_lines.items() for line in lines}
    for event in read(routes.text, routes.setup.control).events:
        if event.what == "tool change":
            step = step_of[event.line]
            spent[step] = spent.get(step, 0.0) + job.by_program.tool_change_s
    for planned in routes.by_program.steps:
        if planned.measuring:
            spent[planned.number] = spent.get(planned.number, 0.0) + _at_stop(job, planned)
        if gives_back(routes.by_program, planned):
            spent[planned.number] = spent.get(planned.number, 0.0) + seconds_of(job, KEYING_IN)
    return spent


def _at_stop(job: Job, step: Step) -> float:
    """Cleaning, deburring and measuring take as long at a programmed stop as at a handwheel; D is keyed in where it is
    corrected."""
    acts: list[Action] = [Clean(step=step.number), Deburr(step=step.number)]
    acts += [Measure(step=step.number, size=size) for size in step.measuring]
    names = [name_of(act) for act in acts] + ([KEYING_IN] if step.compensation != "off" else [])
    return sum(seconds_of(job, name) for name in names)
