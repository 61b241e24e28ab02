"""How long the manual route takes: what each action costs an operator, step by step."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from handwheel.hand.actions import (
    Action,
    Bring,
    Clean,
    Deburr,
    EdgeFinder,
    Feed,
    FeedPast,
    Lever,
    Load,
    Lock,
    Measure,
    Neutral,
    Oil,
    Preset,
    SetDial,
    SetSpeed,
    SetStop,
    Start,
    Stop,
    TakeAway,
    Touch,
    TurnTap,
    Unlock,
    Wind,
)
from handwheel.hand.execute import Execution
from handwheel.job import Job
from handwheel.job.assumptions import TIMES
from handwheel.motion import Kind

_PLAIN: Final[Mapping[type, str]] = {
    Bring: "a position by eye",
    Touch: "a touch",
    TakeAway: "a block or paper taken away",
    SetDial: "a dial set",
    Preset: "a preset",
    Lock: "a lock",
    Unlock: "a lock",
    Start: "a start or stop",
    Stop: "a start or stop",
    SetSpeed: "a speed change",
    Oil: "oil",
    Clean: "cleaning",
    Deburr: "deburring",
    Wind: "a setting read and met",
    Feed: "a start of feed",
    FeedPast: "a start of feed",
    SetStop: "a dial set",
    Lever: "a start of feed",
    Neutral: "a lock",
    TurnTap: "a setting read and met",
}


def clock(job: Job, actions: Sequence[Action], execution: Execution) -> dict[int, float]:
    """Seconds by step of the plan.

    Turns of winding at so much each, feeds at their own rate, everything else by its own time.
    """
    feeding = _feeding(execution)
    seconds: dict[int, float] = {}
    for action, done in zip(actions, execution.done, strict=True):
        spent = seconds_of(job, name_of(action)) + feeding.get(done.number, 0.0)
        if not isinstance(action, Feed):
            spent += done.turns * seconds_of(job, "a turn when winding")
        seconds[action.step] = seconds.get(action.step, 0.0) + spent
    return seconds


def seconds_of(job: Job, name: str) -> float:
    """Seconds; the job's own where it has one."""
    return job.times.get(name, TIMES[name])


def name_of(action: Action) -> str:
    """The time that an action is counted under."""
    if isinstance(action, Load):
        return "an edge finder put in" if isinstance(action.tool, EdgeFinder) else "a cutter change"
    if isinstance(action, Measure):
        gauge = action.size.gauge
        return f"{'an' if gauge[0] in 'aeiou' else 'a'} {gauge} reading"
    return _PLAIN[type(action)]


def _feeding(execution: Execution) -> dict[int, float]:
    """Seconds of feed by the action's number: length over feed."""
    moves = execution.moves
    seconds: dict[int, float] = {}
    for row in (moves.kind == Kind.FEED).nonzero()[0]:
        number = int(moves.line[row])
        seconds[number] = seconds.get(number, 0.0) + 60.0 * float(moves.length[row] / moves.feed[row])
    return seconds
