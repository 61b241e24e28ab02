"""The actions carried out on the machine: the moves of the cutter, and what every scale shows before and after."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from handwheel.hand.actions import Action, EdgeFinder, Load, Wind
from handwheel.hand.machine import State, apply, mill_and_state, turnings
from handwheel.hand.slides import slide_of
from handwheel.motion import Modal, Moves, MovesBuilder, Spindle, Tool
from handwheel.setup import Setup
from handwheel.shop import KneeMill


@dataclass(frozen=True, slots=True)
class Done:
    """One action carried out. ``number`` is its place on the sheet, from 1; ``turns`` of its handwheel, both ways."""

    number: int
    action: Action
    before: State
    after: State
    turns: float


@dataclass(frozen=True, slots=True)
class Execution:
    """What came of a list of actions.

    ``moves`` are of the tip in the job's frame, a row's ``line`` being the action's number; ``tools`` are the cutters
    that were really in the spindle, by number.
    """

    moves: Moves
    done: tuple[Done, ...]
    tools: Mapping[int, Tool]


def execute(setup: Setup, actions: Sequence[Action]) -> Execution:
    """Carry out the actions on the job's knee mill.

    Raises
    ------
    ValueError
        Where an action cannot be done at a machine.
    """
    mill, state = mill_and_state(setup)
    builder = MovesBuilder()
    done: list[Done] = []
    tools: dict[int, Tool] = {}
    for number, action in enumerate(actions, start=1):
        after, stretches = apply(mill, state, action)
        if isinstance(action, Load) and not isinstance(action.tool, EdgeFinder):
            tools[action.tool.number] = action.tool
        for one in stretches:
            feed = math.nan if one.feed is None else one.feed
            builder.add(
                one.kind, one.start, one.end, _modal(after, one.turned), feed=feed, line=number, step=action.step
            )
        done.append(Done(number, action, state, after, _turns(mill, state, after, action)))
        state = after
    return Execution(builder.build(), tuple(done), tools)


def _modal(state: State, turned: float) -> Modal:
    number = state.held.number if state.held else 0
    return Modal(
        tool=number,
        spindle=Spindle.CCW if turned < 0.0 else Spindle.CW if state.turning or turned > 0.0 else Spindle.OFF,
        rpm=state.rpm if state.turning else abs(turned),
        # by hand the tip itself is what is set, as with the right length offset
        length_slot=number or None,
        length=state.held.length if state.held else 0.0,
    )


def _turns(mill: KneeMill, before: State, after: State, action: Action) -> float:
    slide = getattr(action, "slide", None)
    if slide is None:
        return 0.0
    places: list[float] = [before.screws[slide].turned, after.screws[slide].turned]
    if isinstance(action, Wind) and action.on == "dial":
        places[1:] = turnings(mill, before, action)
    travel = sum(abs(end - start) for start, end in pairwise(places))
    return travel / slide_of(mill, slide).per_turn
