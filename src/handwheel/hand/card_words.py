"""Each action in the few words of the machine card."""

from __future__ import annotations

from functools import singledispatch

from handwheel.hand.actions import (
    Action,
    Bring,
    Clean,
    Deburr,
    EdgeFinder,
    Feed,
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
from handwheel.hand.card import Phrases
from handwheel.hand.execute import Done
from handwheel.hand.expect import TAPPING_OIL, TURNED_OFF
from handwheel.hand.machine import turnings
from handwheel.hand.scales import Scales
from handwheel.hand.slides import SLIDES, SlideName
from handwheel.hand.words import SIDES, to_face
from handwheel.plan.words import size_name
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number

PAST = "*"
"""Marks a setting of a dial that is passed and come back to."""


def phrases(done: list[Done], scales: Scales) -> Phrases:
    """Things to do, one after the other; a lock stands with its slide, and what changes nothing is left out."""
    said: list[str] = []
    slide: SlideName | None = None
    touched = False
    for one in done:
        action = one.action
        touched = touched or isinstance(action, Touch)
        # after a touch a scale is set whatever it shows: the touch tells, not the plan
        if isinstance(action, (SetDial, Preset)) and not touched and _changes_nothing(one, action):
            continue
        if isinstance(action, Lock) and action.slide == slide and said:
            said[-1] += " LOCK"
        else:
            words = phrase(one, scales)
            if words:
                said.append(words)
                slide = action.slide if isinstance(action, Wind) else None
    return tuple(said)


def phrase(done: Done, scales: Scales) -> str:
    """What the card says for one action; nothing where it says it otherwise or where nothing changes."""
    return _phrase(done.action, done, scales)


def place(slide: SlideName, done: Done, scales: Scales) -> str:
    """Where table or saddle stands before an action, as its scale shows it."""
    if scales.job.by_hand.readout_step:
        return f"{slide.upper()} {scales.readout(done.before.read(slide))}"
    return f"{SLIDES[slide].name} {scales.short_dial(slide, done.before.shown(slide))}"


@singledispatch
def _phrase(action: Action, done: Done, scales: Scales) -> str:
    raise TypeError(f"no words for {action}, {done.number}, {scales}")


@_phrase.register
def _(action: Load, done: Done, scales: Scales) -> str:
    del done
    if isinstance(action.tool, EdgeFinder):
        return f"put in the edge finder, {size_name(action.tool.diameter, scales.job.units)}"
    return f"put in T{action.tool.number}, drawbar tight"


@_phrase.register(SetSpeed)
@_phrase.register(Unlock)
def _(action: SetSpeed | Unlock, done: Done, scales: Scales) -> str:
    # a speed is said with the start; a slide is free where it is wound
    del done, scales
    return "quill free" if isinstance(action, Unlock) and action.slide == "quill" else ""


@_phrase.register
def _(action: Start, done: Done, scales: Scales) -> str:
    del action, scales
    return f"START {done.after.rpm:g}"


@_phrase.register
def _(action: Stop, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "STOP"


@_phrase.register
def _(action: Oil, done: Done, scales: Scales) -> str:
    del done
    if action.with_ in TURNED_OFF.values():
        return action.with_
    if action.with_ == TAPPING_OIL:
        return "tapping oil"
    off = TURNED_OFF.get(scales.job.coolant, "")
    return off.replace(" off", " on")


@_phrase.register
def _(action: Bring, done: Done, scales: Scales) -> str:
    del done
    if action.face is None:
        return f"{SLIDES[action.slide].name} to mid-work"
    units = scales.job.units
    off = f"{shop_number(abs(action.off), units, 2 if units == 'in' else 1)}"
    if action.face == "top":
        return f"tip about {off} {'above' if action.off > 0 else 'below'} top"
    return f"{SLIDES[action.slide].name} to {SIDES[action.face]} the work, {off} off"


@_phrase.register
def _(action: Wind, done: Done, scales: Scales) -> str:
    return _setting(action, done, scales)


@_phrase.register
def _(action: Feed, done: Done, scales: Scales) -> str:
    return f"FEED {_setting(action, done, scales)}"


@_phrase.register
def _(action: Touch, done: Done, scales: Scales) -> str:
    del done
    way = "knee up" if action.slide == "knee" else f"{SLIDES[action.slide].name} {to_face(action.face)}"
    size = scales.length(action.between)
    until = {
        "cutter": "until the cutter marks it",
        "edge finder": "until it kicks out",
        "paper": f"until paper {size} drags",
        "gauge block": f"until block {size} will not pass",
    }[action.with_]
    return f"touch the {action.face}: {way} {until}"


@_phrase.register
def _(action: SetStop, done: Done, scales: Scales) -> str:
    del done
    return f"quill stop {scales.length(action.down)}"


@_phrase.register
def _(action: Lever, done: Done, scales: Scales) -> str:
    del done
    return "quill down to its stop" if action.to_stop else f"quill down {scales.length(action.down)}"


@_phrase.register
def _(action: Neutral, done: Done, scales: Scales) -> str:
    del done, scales
    return "spindle in NEUTRAL" if action.free else "back in gear"


@_phrase.register
def _(action: TurnTap, done: Done, scales: Scales) -> str:
    del done
    turns = (action.down - action.start) / action.pitch
    return (
        f"TAP BY HAND: quill down {scales.length(action.start)} to the hole, about {turns:.1f} turns in to the stop, "
        "half back each one or two, turn out"
    )


@_phrase.register
def _(action: TakeAway, done: Done, scales: Scales) -> str:
    del done, scales
    return f"{action.what.removeprefix('gauge ')} away"


@_phrase.register
def _(action: SetDial, done: Done, scales: Scales) -> str:
    del done
    if action.slide != "knee" and scales.job.by_hand.readout_step:
        return ""
    turns, graduation = scales.short_dial(action.slide, action.reads).split(" t + ")
    return f"{SLIDES[action.slide].name} dial to {graduation}" + (f" (turn {turns})" if turns != "0" else "")


@_phrase.register
def _(action: Preset, done: Done, scales: Scales) -> str:
    del done
    return f"key {action.slide.upper()} {scales.readout(action.reads)}"


@_phrase.register
def _(action: Lock, done: Done, scales: Scales) -> str:
    del done, scales
    return "quill fully up LOCK" if action.slide == "quill" else f"LOCK {SLIDES[action.slide].name}"


@_phrase.register
def _(action: Clean, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "brush"


@_phrase.register
def _(action: Deburr, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "deburr"


@_phrase.register
def _(action: Measure, done: Done, scales: Scales) -> str:
    # it has a sentence of its own, with its blanks
    del action, done, scales
    return ""


def _setting(action: Wind, done: Done, scales: Scales) -> str:
    if action.on == "readout":
        return f"{action.slide.upper()} {scales.readout(action.to)}"
    past = PAST if len(turnings(scales.job.by_hand, done.before, action)) > 1 else ""
    return f"{SLIDES[action.slide].name} {scales.short_dial(action.slide, action.to)}{past}"


def _changes_nothing(done: Done, action: SetDial | Preset) -> bool:
    state = done.before
    shown = state.read(action.slide) if isinstance(action, Preset) else state.shown(action.slide)
    return shown is not None and abs(shown - action.reads) <= CONTACT
