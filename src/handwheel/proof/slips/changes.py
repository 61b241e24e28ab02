"""What slips change: strokes by arithmetic, actions on the sheet, blocks of the text."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from handwheel.hand import Action
from handwheel.hand.actions import Feed, Load, Wind
from handwheel.job import Job
from handwheel.motion import Tool
from handwheel.plan import Plan, Step
from handwheel.proof.arithmetic import Leg
from handwheel.proof.routes import Routes
from handwheel.units import shop_number

_STROKE = re.compile(r"N\d+ G0 X")


def said(job: Job, length: float) -> str:
    """A length as a trainee reads it: ``.050 in``."""
    return f"{shop_number(length, job.units)} {job.units}"


def finishing(plan: Plan, *, last: bool = False) -> Step | None:
    """The first (or the last) step that finishes a side; ``None`` where no side is cut."""
    steps = [step for step in plan.steps if step.kind == "finish" and step.sides]
    return steps[-1 if last else 0] if steps else None


def changed(legs: Sequence[Leg], chosen: Callable[[Leg], bool], change: Callable[[Leg], Leg]) -> tuple[Leg, ...]:
    """The strokes, the chosen ones changed."""
    return tuple(change(leg) if chosen(leg) else leg for leg in legs)


def loads(doing: Sequence[Action]) -> list[tuple[int, Load]]:
    """Where in the actions a cutter (not an edge finder) is loaded."""
    return [
        (index, action)
        for index, action in enumerate(doing)
        if isinstance(action, Load) and isinstance(action.tool, Tool)
    ]


def steps_of_load(plan: Plan, number: int) -> range:
    """The numbers of the steps that are done with the cutter loaded at step ``number``, that one included."""
    later = [step.number for step in plan.steps if step.kind == "load" and step.number > number]
    end = later[0] if later else plan.steps[-1].number + 1
    return range(number, end)


def depth_settings(doing: Sequence[Action]) -> Iterator[tuple[int, range]]:
    """Where in the actions the knee is raised to a depth that something is cut at, and the numbers of the actions done
    at that depth."""
    at: int | None = None
    cuts = False
    for index, action in enumerate(doing):
        if isinstance(action, Wind) and action.slide == "knee":
            if at is not None and cuts:
                yield at, range(at + 1, index + 1)
            at, cuts = (index if action.ends else None), False
        cuts = cuts or isinstance(action, Feed)
    if at is not None and cuts:
        yield at, range(at + 1, len(doing) + 1)


def stroke_lines(routes: Routes, step: Step, stroke: int) -> list[int]:
    """The lines of the text, from 0, that hold the blocks of one stroke of a step."""
    lines = routes.text.splitlines()
    found: list[int] = []
    number = 0
    for line in routes.block_lines[step.number]:
        number += bool(_STROKE.match(lines[line - 1]))
        if number == stroke:
            found.append(line - 1)
    return found


def with_lines(text: str, change: dict[int, str | None]) -> str:
    """The text with some lines, counted from 0, replaced; ``None`` takes one out."""
    lines = [change.get(index, line) for index, line in enumerate(text.splitlines())]
    return "\n".join(line for line in lines if line is not None) + "\n"
