"""The manual knee mill: a frozen state that changes through actions and in no other way.

What a dial says and where its slide stands are two things here, as at the machine; a readout sees the slide itself.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import singledispatch
from itertools import pairwise
from types import MappingProxyType

from handwheel.hand.actions import (
    Action,
    Bring,
    EdgeFinder,
    Feed,
    FeedPast,
    Lever,
    Load,
    Lock,
    Neutral,
    Preset,
    SetDial,
    SetSpeed,
    Start,
    Stop,
    Touch,
    TurnTap,
    Unlock,
    Wind,
)
from handwheel.hand.slides import SLIDES, Screw, SlideName, slide_of
from handwheel.motion import Kind, Tool
from handwheel.path.box import Box
from handwheel.path.face import Face
from handwheel.setup import Setup
from handwheel.shop import KneeMill
from handwheel.tolerances import CONTACT, SNAP

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class State:
    """The mill and the work at one moment; lengths in mm.

    ``screws`` are the slides; ``readout`` the slide positions at which the readout's X and Y show 0 (``None``: never
    preset); ``held`` is what the spindle holds; ``faces`` where the work's faces stand now, in the job's frame;
    ``neutral``: the spindle is out of gear, and a hand can turn it.
    """

    screws: Mapping[SlideName, Screw]
    readout: tuple[float | None, float | None]
    held: Tool | EdgeFinder | None
    rpm: float
    turning: bool
    faces: Mapping[Face, float]
    neutral: bool = False

    @property
    def nose(self) -> Point:
        """Where the spindle's nose stands over the work."""
        return (
            self.screws["x"].at,
            self.screws["y"].at,
            0.0 - self.screws["knee"].at - self.screws["quill"].at,
        )

    @property
    def tip(self) -> Point:
        """Where the tip of what the spindle holds stands over the work."""
        x, y, z = self.nose
        return (x, y, z - (self.held.length if self.held else 0.0))

    @property
    def radius(self) -> float:
        """Half the diameter of what the spindle holds."""
        return self.held.diameter / 2 if self.held else 0.0

    def shown(self, slide: SlideName) -> float | None:
        """The dial of a slide, mm, turns counted."""
        return self.screws[slide].reading

    def read(self, slide: SlideName) -> float | None:
        """The readout of the table or the saddle, mm."""
        origin = {"x": self.readout[0], "y": self.readout[1]}.get(slide)
        return None if origin is None else self.screws[slide].at - origin


@dataclass(frozen=True, slots=True)
class Stretch:
    """One straight move of the tip, along one slide; ``feed`` in mm/min where it is a feed. ``turned`` is how fast a
    hand turns the spindle meanwhile, rev/min; minus: anticlockwise."""

    kind: Kind
    start: Point
    end: Point
    feed: float | None = None
    turned: float = 0.0


def standing(raw: Box, clear: float, longest: float) -> State:
    """The mill before the first action: the spindle empty over the middle of the work, the knee down so far that the
    longest cutter's tip would be at ``clear``."""
    x, y, _ = raw.centre
    positions: dict[SlideName, float] = {"x": x, "y": y, "knee": -(clear + longest), "quill": 0.0}
    return State(
        screws=MappingProxyType({name: Screw(at, at) for name, at in positions.items()}),
        readout=(None, None),
        held=None,
        rpm=0.0,
        turning=False,
        faces=MappingProxyType(
            {
                Face.LEFT: raw.low[0],
                Face.RIGHT: raw.high[0],
                Face.FRONT: raw.low[1],
                Face.BACK: raw.high[1],
                Face.TOP: raw.high[2],
            }
        ),
    )


def apply(mill: KneeMill, state: State, action: Action) -> tuple[State, tuple[Stretch, ...]]:
    """What an action makes of the state, and how the tip moved.

    Raises
    ------
    ValueError
        Where it cannot be done at a machine: a locked slide turned, a readout that is not there, a figure to go to
        before anything was set.
    """
    return _apply(action, mill, state)


@singledispatch
def _apply(action: Action, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    """Oil, clean, deburr, measure, take away: nothing moves."""
    del action, mill
    return state, ()


@_apply.register
def _(action: Load, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    if state.turning:
        raise ValueError("a cutter is changed with the spindle standing")
    return replace(state, held=action.tool), ()


@_apply.register
def _(action: SetSpeed, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    return replace(state, rpm=action.rpm), ()


@_apply.register
def _(action: Start, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del action, mill
    if state.neutral:
        raise ValueError("the spindle is in neutral")
    return replace(state, turning=True), ()


@_apply.register
def _(action: Stop, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del action, mill
    return replace(state, turning=False), ()


@_apply.register
def _(action: Lock, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    return _with(state, action.slide, replace(state.screws[action.slide], locked=True)), ()


@_apply.register
def _(action: Unlock, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    return _with(state, action.slide, replace(state.screws[action.slide], locked=False)), ()


@_apply.register
def _(action: SetDial, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    screw = state.screws[action.slide]
    return _with(state, action.slide, replace(screw, zero=screw.turned - action.reads)), ()


@_apply.register
def _(action: Preset, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    if not mill.readout_step:
        raise ValueError("this mill has no readout")
    origin = state.screws[action.slide].at - action.reads
    x, y = state.readout
    return replace(state, readout=(origin, y) if action.slide == "x" else (x, origin)), ()


@_apply.register
def _(action: Bring, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    facts = SLIDES[action.slide]
    if action.face is None:
        low, high = (Face.LEFT, Face.RIGHT) if facts.axis == 0 else (Face.FRONT, Face.BACK)
        coordinate = (state.faces[low] + state.faces[high]) / 2
    else:
        coordinate = _beside(state, action.face, action.off)
    return _slid(mill, state, action.slide, coordinate)


@_apply.register
def _(action: Touch, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    return _slid(mill, state, action.slide, _beside(state, action.face, action.between))


@_apply.register
def _(action: Wind, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    moved, ways = _turned(mill, state, action)
    return moved, _stretches(Kind.RAPID, None, state, ways)


@_apply.register
def _(action: Feed, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    moved, ways = _turned(mill, state, action)
    return moved, _stretches(Kind.FEED, action.feed_mm_min, state, ways)


@_apply.register
def _(action: FeedPast, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    moved, ways = _turned(mill, state, action)
    face = action.leaves
    outwards = face.outwards
    left = moved.tip[face.axis] - outwards * (moved.radius if face is not Face.TOP else 0.0)
    # a cut takes metal off a face and never puts any on
    stands = outwards * min(outwards * left, outwards * state.faces[face])
    moved = replace(moved, faces=MappingProxyType({**state.faces, face: stands}))
    return moved, _stretches(Kind.FEED, action.feed_mm_min, state, ways)


@_apply.register
def _(action: Lever, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    """The quill goes down under the hand, and its spring brings it up."""
    del mill
    quill = state.screws["quill"]
    _must_be_free(quill, "quill")
    lowered = _with(state, "quill", replace(quill, at=quill.at + action.down, turned=quill.turned + action.down))
    up = Kind.FEED if action.feeds_out else Kind.RAPID
    return state, (
        Stretch(Kind.FEED, state.tip, lowered.tip, action.feed_mm_min),
        Stretch(up, lowered.tip, state.tip, action.feed_mm_min if action.feeds_out else None),
    )


@_apply.register
def _(action: Neutral, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    del mill
    if state.turning:
        raise ValueError("gears are shifted with the spindle stopped")
    return replace(state, neutral=action.free), ()


@_apply.register
def _(action: TurnTap, mill: KneeMill, state: State) -> tuple[State, tuple[Stretch, ...]]:
    """Down to the hole, in by its own thread, out the other way round, and up."""
    del mill
    if state.turning or not state.neutral:
        raise ValueError("a tap is turned by hand: the spindle is off and in neutral")
    _must_be_free(state.screws["quill"], "quill")
    x, y, z = state.tip
    at_hole, bottom = (x, y, z - action.start), (x, y, z - action.down)
    feed = action.pitch * action.turns_a_minute
    return state, (
        Stretch(Kind.RAPID, state.tip, at_hole),
        Stretch(Kind.FEED, at_hole, bottom, feed, action.turns_a_minute),
        Stretch(Kind.FEED, bottom, at_hole, feed, -action.turns_a_minute),
        Stretch(Kind.RAPID, at_hole, state.tip),
    )


def mill_and_state(setup: Setup) -> tuple[KneeMill, State]:
    """The job's knee mill as it stands before the first action."""
    longest = max((tool.length for tool in setup.job.tools), default=0.0)
    return setup.job.by_hand, standing(setup.raw, setup.raw.high[2] + setup.clear, longest)


def _with(state: State, slide: SlideName, screw: Screw) -> State:
    return replace(state, screws=MappingProxyType({**state.screws, slide: screw}))


def _beside(state: State, face: Face, off: float) -> float:
    """The coordinate of the tip (of the centre, for the sides) at which the rim or tip is ``off`` a face."""
    return state.faces[face] + face.outwards * (off + (state.radius if face is not Face.TOP else 0.0))


def _slid(mill: KneeMill, state: State, slide: SlideName, coordinate: float) -> tuple[State, tuple[Stretch, ...]]:
    """The slide turned until the tip is seen to stand at a coordinate of the job's frame."""
    facts, screw = SLIDES[slide], state.screws[slide]
    _must_be_free(screw, slide)
    by = (coordinate - state.tip[facts.axis]) * facts.sign
    if abs(by) <= SNAP:
        return state, ()
    pushed = screw.pushed_to(screw.at + by, slide_of(mill, slide).backlash, 1 if by > 0 else -1)
    moved = _with(state, slide, pushed)
    return moved, _stretches(Kind.RAPID, None, state, (moved,))


def _turned(mill: KneeMill, state: State, action: Wind) -> tuple[State, tuple[State, ...]]:
    """The state after a handwheel was turned to a reading, and the states at which it turned round."""
    slide, to = action.slide, action.to
    screw, backlash = state.screws[slide], slide_of(mill, slide).backlash
    _must_be_free(screw, slide)
    if action.on == "readout":
        read = state.read(slide)
        if read is None:
            raise ValueError(f"the readout was never preset for the {SLIDES[slide].name}")
        by = to - read
        if abs(by) <= SNAP and not action.ends:
            return state, ()
        way = action.ends or (1 if by > 0 else -1)
        moved = _with(state, slide, screw.pushed_to(screw.at + by, backlash, way))
        return moved, (moved,)
    if screw.zero is None:
        raise ValueError(f"the dial of the {SLIDES[slide].name} was never set")
    ways = []
    for turned in turnings(mill, state, action):
        screw = screw.turn_to(turned, backlash)
        ways.append(_with(state, slide, screw))
    return ways[-1], tuple(ways)


def turnings(mill: KneeMill, state: State, action: Wind) -> tuple[float, ...]:
    """Where a screw is turned to, mm: at a dial's figure, and first past it where the setting must come back to it.

    It must where the slide stands beyond the place, on the side to which the setting ends: turned straight to the
    figure, the screw would run through its play and not take the slide along.
    """
    slide, screw = action.slide, state.screws[action.slide]
    target = action.to + (screw.zero or 0.0)
    backlash = slide_of(mill, slide).backlash
    beyond = screw.at - target if action.ends > 0 else target + backlash - screw.at
    if action.on == "dial" and action.ends and beyond > CONTACT:
        return target - action.ends * half_turns_past(mill, slide) * slide_of(mill, slide).per_turn / 2, target
    return (target,)


def half_turns_past(mill: KneeMill, slide: SlideName) -> int:
    """By how many half turns a figure is passed before coming back to it: more than the play (common practice)."""
    facts = slide_of(mill, slide)
    return math.floor(2 * facts.backlash / facts.per_turn + CONTACT) + 1


def _must_be_free(screw: Screw, slide: SlideName) -> None:
    if screw.locked:
        raise ValueError(f"the {SLIDES[slide].name} is locked")


def _stretches(kind: Kind, feed: float | None, before: State, ways: tuple[State, ...]) -> tuple[Stretch, ...]:
    points = [before.tip, *(state.tip for state in ways)]
    return tuple(Stretch(kind, start, end, feed) for start, end in pairwise(points) if start != end)
