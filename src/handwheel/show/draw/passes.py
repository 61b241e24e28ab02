"""The passes of a program as it was read: each run of feed moves, by step and number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handwheel.motion import Kind, Moves

Track = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class ReadPass:
    """Rows ``first`` to ``last`` (left out) of the table; ``number`` counts within the step, from 1."""

    step: int
    number: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class SharedTrack:
    """Passes of one step that run one above the other: ``entry`` (x, y, z) mm is where the first starts to cut."""

    step: int
    numbers: tuple[int, ...]
    entry: tuple[float, float, float]
    row: int

    def label(self, alone: bool) -> str:
        """``3`` where the step has but one track, else ``3.1`` with the pass's number, or several of them."""
        if alone:
            return str(self.step)
        names = [f"{self.step}.{number}" for number in self.numbers]
        return ", ".join(names) if len(names) <= 2 else f"{names[0]} … {names[-1]}"


def read_passes(tip: Moves) -> list[ReadPass]:
    """Every run of feed moves of one step that goes somewhere in plan."""
    if not len(tip):
        return []
    feeding = (tip.kind == Kind.FEED) | (tip.kind == Kind.ARC)
    change = np.flatnonzero((np.diff(feeding.astype(np.int8)) != 0) | (np.diff(tip.step) != 0)) + 1
    starts = np.concatenate([[0], change])
    ends = np.concatenate([change, [len(tip)]])
    in_plan = (tip.length > 0) & ((np.abs((tip.end - tip.start)[:, :2]) > 0).any(axis=1) | (tip.kind == Kind.ARC))
    counts: dict[int, int] = {}
    found = []
    for first, last in zip(starts.tolist(), ends.tolist(), strict=True):
        going = np.flatnonzero(in_plan[first:last])
        if not feeding[first] or not len(going):
            continue
        step = int(tip.step[first])
        counts[step] = counts.get(step, 0) + 1
        found.append(ReadPass(step, counts[step], first + int(going[0]), last))
    return found


def read_holes(tip: Moves) -> list[SharedTrack]:
    """The places where a step feeds straight down and goes nowhere else: one for each, numbered within the step.

    A pocket is entered straight down, too; what follows there is a pass.
    """
    if not len(tip):
        return []
    passing = {one.step for one in read_passes(tip)}
    down = (
        (tip.kind == Kind.FEED) & (tip.start[:, :2] == tip.end[:, :2]).all(axis=1) & (tip.end[:, 2] < tip.start[:, 2])
    )
    found: dict[int, dict[tuple[float, float], SharedTrack]] = {}
    for row in np.flatnonzero(down).tolist():
        step = int(tip.step[row])
        x, y, z = tip.start[row].tolist()
        places = found.setdefault(step, {})
        if step not in passing and (x, y) not in places:
            places[x, y] = SharedTrack(step, (len(places) + 1,), (x, y, z), row)
    return [one for places in found.values() for one in places.values()]


def steps_that_cut(tip: Moves) -> set[int]:
    """The steps with a pass or a hole; 0 for what belongs to none is left out."""
    return ({one.step for one in read_passes(tip)} | {one.step for one in read_holes(tip)}) - {0}


def tracks(tip: Moves, passes: Sequence[ReadPass], grain: float) -> list[SharedTrack]:
    """The passes that a plan view can tell apart; those of a step within ``grain`` mm of each other share one."""
    shared: dict[tuple[object, ...], list[ReadPass]] = {}
    for one in passes:
        plan = np.round(np.vstack([tip.start[one.first, :2], tip.end[one.first : one.last, :2]]) / grain)
        shared.setdefault((one.step, plan.tobytes()), []).append(one)
    found = []
    for alike in shared.values():
        first = alike[0]
        x, y, z = tip.start[first.first].tolist()
        found.append(SharedTrack(first.step, tuple(one.number for one in alike), (x, y, z), first.first))
    return found
