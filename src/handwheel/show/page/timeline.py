"""Both routes on one kind of clock: stretches of time in which the cutter makes one move of the table, or stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from handwheel.hand import Action, Done, Execution
from handwheel.hand.actions import EdgeFinder, Feed, Wind
from handwheel.hand.clock import name_of, seconds_of
from handwheel.hand.machine import State, turnings
from handwheel.hand.slides import SlideName, slide_of
from handwheel.job import Job
from handwheel.motion import Kind, Moves
from handwheel.motion.clock import seconds as machine_seconds
from handwheel.rs274 import Reading
from handwheel.setup import Setup
from handwheel.show.draw.passes import ReadPass, read_passes

Point = tuple[float, float, float]
Scale = float | None
Scales = tuple[Scale, Scale, Scale, Scale, Scale]
"""What knee, table and saddle dial and the readout's X and Y show, mm; ``None`` where nothing was set."""

_NOT_SET: Scales = (None, None, None, None, None)

_DIALS: tuple[SlideName, ...] = ("knee", "x", "y")
_READOUT: tuple[SlideName, ...] = ("x", "y")


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a route's time.

    ``line`` is the program's line or the action's number; ``step`` and ``stroke`` the step and the pass within it that
    it belongs to (0: none). ``row`` is the move that is made (−1: the cutter stands ``at`` a place). ``tool`` is the
    number in the spindle (0: none; below 0: one of the :func:`finders`) and ``rpm`` its speed, 0 standing. ``before``
    and ``after`` are the scales, by hand alone.
    """

    seconds: float
    line: int
    step: int
    stroke: int
    row: int
    at: Point
    tool: int
    rpm: float
    before: Scales | None = None
    after: Scales | None = None


def finders(setup: Setup) -> dict[int, float]:
    """The job's edge finders: a number below 0 for each, since a finder has none of its own, and its diameter, mm."""
    probes = [probe for probe in (setup.touch_off.y, setup.touch_off.x) if probe.with_ == "edge finder"]
    diameters = dict.fromkeys(probe.diameter for probe in probes if probe.diameter)
    return {-count: diameter for count, diameter in enumerate(diameters, start=1)}


def by_hand(setup: Setup, actions: Sequence[Action], execution: Execution) -> tuple[Span, ...]:
    """The manual route, action by action: what each is allowed, then its winding or feeding. One span at least."""
    rows = _rows_by_line(execution.moves)
    spans: list[Span] = []
    for action, done in zip(actions, execution.done, strict=True):
        spans.extend(_action_spans(setup, action, done, execution.moves, rows.get(done.number, [])))
    return tuple(spans) or (Span(0.0, 0, 0, 0, -1, setup.raw.centre, 0, 0.0, _NOT_SET, _NOT_SET),)


def _action_spans(setup: Setup, action: Action, done: Done, moves: Moves, rows: list[int]) -> Iterator[Span]:
    still = Span(
        seconds=seconds_of(setup.job, name_of(action)),
        line=done.number,
        step=action.step,
        stroke=action.stroke,
        row=-1,
        at=done.before.tip,
        tool=_held(setup, done.before),
        rpm=done.before.rpm if done.before.turning else 0.0,
        before=_scales(done.before),
        after=_scales(done.before),
    )
    ways = _ways(setup.job, action, done)
    if len(ways) < 2:
        yield replace(still, at=done.after.tip, tool=_held(setup, done.after), after=_scales(done.after))
        return
    yield still
    reach = [abs(new - old) for old, new in pairwise(turned for _, turned in ways)]
    spent = done.turns * seconds_of(setup.job, "a turn when winding")
    waiting = list(rows)
    for index, ((before, _), (after, _)) in enumerate(pairwise(ways)):
        # a way that only takes up the backlash moves no cutter and is no row
        moving = len(waiting) >= len(ways) - 1 - index and bool(waiting)
        row = waiting.pop(0) if moving else -1
        if isinstance(action, Feed) and row >= 0:
            time = 60.0 * float(moves.length[row] / moves.feed[row])
        else:
            time = spent * reach[index] / (sum(reach) or 1.0)
        at = _point(moves.end[row]) if row >= 0 else done.after.tip
        yield replace(still, seconds=time, row=row, at=at, before=before, after=after)


def _ways(job: Job, action: Action, done: Done) -> list[tuple[Scales, float]]:
    """What the scales show, and how far the screw is turned, where a handwheel starts, turns round and ends."""
    slide: SlideName | None = getattr(action, "slide", None)
    if slide is None or done.turns == 0.0:
        return []
    before, after = _scales(done.before), _scales(done.after)
    first, last = done.before.screws[slide].turned, done.after.screws[slide].turned
    ways = [(before, first)]
    for turn in turnings(job.by_hand, done.before, action)[:-1] if isinstance(action, Wind) else ():
        backlash = slide_of(job.by_hand, slide).backlash
        there = replace(
            done.before,
            screws={**done.before.screws, slide: done.before.screws[slide].turn_to(turn, backlash)},
        )
        ways.append((_scales(there), turn))
    return [*ways, (after, last)]


def _held(setup: Setup, state: State) -> int:
    held = state.held
    if held is None:
        return 0
    if not isinstance(held, EdgeFinder):
        return held.number
    return next(number for number, diameter in finders(setup).items() if diameter == held.diameter)


def _scales(state: State) -> Scales:
    knee, table, saddle = (state.shown(slide) for slide in _DIALS)
    x, y = (state.read(slide) for slide in _READOUT)
    return (knee, table, saddle, x, y)


def by_program(setup: Setup, reading: Reading, tip: Moves, lines: Iterable[tuple[int, int]]) -> tuple[Span, ...]:
    """The program, block by block.

    Parameters
    ----------
    reading : the text as it was read
    tip : the moves of the true tip, each with its step
    lines : the number and the step of each block that was read
    """
    each = machine_seconds(reading.moves, setup.control)
    strokes = strokes_by_row(tip)
    rows = _rows_by_line(tip)
    changes = {event.line: event for event in reading.events if event.what == "tool change"}
    stopped = {event.line for event in reading.events if event.what in ("spindle off", "end")}
    tool, rpm = 0, 0.0
    at = _point(tip.start[0]) if len(tip) else setup.control.start
    tools, speeds = tip.of_modal("tool"), np.where(tip.of_modal("spindle") > 0, tip.of_modal("rpm"), 0.0)
    spans: list[Span] = []
    stroke = 0
    for line, step in lines:
        if line in rows:
            stroke = strokes[rows[line][0]]
        elif not spans or spans[-1].step != step:
            stroke = 0
        if line in changes:
            tool, rpm = changes[line].tool, 0.0
            time = setup.job.by_program.tool_change_s
            spans.append(Span(time, line, step, stroke, -1, at, tool, rpm))
        for row in rows.get(line, []):
            tool, rpm, at = int(tools[row]), float(speeds[row]), _point(tip.end[row])
            spans.append(Span(float(each[row]), line, step, strokes[row], row, at, tool, rpm))
        if line in stopped:
            rpm = 0.0
        if line not in rows and line not in changes:
            spans.append(Span(0.0, line, step, stroke, -1, at, tool, rpm))
    return tuple(spans) or (Span(0.0, 0, 0, 0, -1, at, tool, rpm),)


def strokes_by_row(tip: Moves) -> list[int]:
    """The pass within its step that each row belongs to, 0 for none: the way to a pass counts with it, and so does the
    lift after it."""
    strokes = [0] * len(tip)
    passes = read_passes(tip)
    by_step: dict[int, list[ReadPass]] = {}
    for one in passes:
        by_step.setdefault(one.step, []).append(one)
    lifting = (tip.kind == Kind.RAPID) & (tip.end[:, 2] > tip.start[:, 2])
    for row in range(len(tip)):
        for one in by_step.get(int(tip.step[row]), []):
            if row < one.last or (row == one.last and lifting[row]):
                strokes[row] = one.number
                break
    return strokes


def _rows_by_line(moves: Moves) -> dict[int, list[int]]:
    rows: dict[int, list[int]] = {}
    for row, line in enumerate(moves.line.tolist()):
        rows.setdefault(line, []).append(row)
    return rows


def _point(values: Iterable[float]) -> Point:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
