"""Each action as a sentence of the route sheet."""

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
from handwheel.hand.execute import Done
from handwheel.hand.hole_words import hole_sentence
from handwheel.hand.machine import half_turns_past, turnings
from handwheel.hand.scales import Scales
from handwheel.hand.slides import SLIDES, SlideName
from handwheel.path.face import Face
from handwheel.plan.words import size_name, tool_name

SIDES = {"front": "in front of", "back": "behind", "left": "left of", "right": "right of"}
"""Where the cutter stands, by the side of the work."""

CUTTER_GOES = {(0, 1): "to your right", (0, -1): "to your left", (1, 1): "away from you", (1, -1): "towards you"}
"""By axis and direction of the *cutter* past the work; the table goes the other way. Source: ISO 841; geometry."""


def sentence(done: Done, scales: Scales) -> str:
    """What the sheet says for an action that was carried out."""
    return _sentence(done.action, done, scales)


@singledispatch
def _sentence(action: Action, done: Done, scales: Scales) -> str:
    raise TypeError(f"no words for {action}, {done.number}, {scales}")


@_sentence.register
def _(action: Load, done: Done, scales: Scales) -> str:
    del done
    if isinstance(action.tool, EdgeFinder):
        return f"Put in the edge finder, {size_name(action.tool.diameter, scales.job.units)} across."
    return f"Put in tool {action.tool.number}, {tool_name(action.tool, scales.job.units)}; draw the drawbar tight."


@_sentence.register
def _(action: SetSpeed, done: Done, scales: Scales) -> str:
    del done, scales
    return f"Set the spindle to {action.rpm:g} rev/min."


@_sentence.register
def _(action: Start, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "Start the spindle, clockwise seen from above."


@_sentence.register
def _(action: Stop, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "Stop the spindle; wait until it has stopped."


@_sentence.register
def _(action: Bring, done: Done, scales: Scales) -> str:
    name = SLIDES[action.slide].name
    if action.face is None:
        return f"By eye, wind the {name} until the middle of the work is under the spindle."
    if action.face == "top":
        where = "above" if action.off > 0 else "below"
        return f"By eye, wind the {name} until the tip is about {scales.about(abs(action.off))} {where} the top."
    held = "edge finder" if isinstance(done.before.held, EdgeFinder) else "cutter"
    return (
        f"By eye, wind the {name} until the {held} is {SIDES[action.face]} the work, "
        f"its rim about {scales.about(action.off)} off."
    )


@_sentence.register
def _(action: Wind, done: Done, scales: Scales) -> str:
    if action.slide != "knee":
        return f"Wind the {_to_figure(action, done, scales)}."
    figure = scales.dial("knee", action.to) + _where_it_stands(action, done, scales)
    if _goes_past(action, done, scales):
        return f"Lower the knee {turns_past(scales, 'knee')} past the setting, then raise it to {figure}."
    return f"{'Raise' if _counts_up(done) else 'Lower'} the knee to {figure}."


@_sentence.register
def _(action: Feed, done: Done, scales: Scales) -> str:
    if action.slide == "knee":
        setting = scales.dial("knee", action.to) + _where_it_stands(action, done, scales)
        return f"FEED the knee slowly up to {setting}: the cutter goes straight down into the work."
    return f"FEED the {_to_figure(action, done, scales)}; the cutter passes {ways(done)[0]}."


@_sentence.register
def _(action: Touch, done: Done, scales: Scales) -> str:
    turning = "turning cutter" if done.before.turning else "stopped cutter"
    face = "top" if action.face == "top" else f"{action.face} face"
    way = "raise the knee" if action.slide == "knee" else f"wind the {SLIDES[action.slide].name} {to_face(action.face)}"
    size = scales.length(action.between)
    return (
        f"Touch the {face}: "
        + {
            "cutter": f"{way} gently until the {turning} just marks it.",
            "edge finder": f"{way} gently until the edge finder kicks out.",
            "paper": f"paper {size} between, {way} gently until it just drags.",
            "gauge block": f"block {size} between, {way} a little, try the block, until it just will not pass.",
        }[action.with_]
    )


for kind in (SetStop, Lever, Neutral, TurnTap):
    _sentence.register(kind, hole_sentence)


@_sentence.register
def _(action: TakeAway, done: Done, scales: Scales) -> str:
    del done, scales
    return f"Take the {action.what.removeprefix('gauge ')} away."


@_sentence.register
def _(action: SetDial, done: Done, scales: Scales) -> str:
    del done
    name = SLIDES[action.slide].name
    figure = scales.dial(action.slide, action.reads) + scales.between(action.slide, action.reads)
    what = f"Zero the {name} dial." if action.reads == 0.0 else f"Set the {name} dial to {figure}."
    return _because(what, action.why)


@_sentence.register
def _(action: Preset, done: Done, scales: Scales) -> str:
    del done
    reads = f"{action.slide.upper()} {scales.readout(action.reads)}"
    what = f"Key {reads} into the readout: cutter {SIDES[action.cutter]} the work."
    return _because(what, action.why)


@_sentence.register
def _(action: Lock, done: Done, scales: Scales) -> str:
    del done, scales
    return f"Lock the {SLIDES[action.slide].name}{' fully up' if action.slide == 'quill' else ''}."


@_sentence.register
def _(action: Unlock, done: Done, scales: Scales) -> str:
    del done, scales
    return f"Unlock the {SLIDES[action.slide].name}."


@_sentence.register
def _(action: Oil, done: Done, scales: Scales) -> str:
    del done, scales
    return f"{action.with_[0].upper()}{action.with_[1:]}."


@_sentence.register
def _(action: Clean, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "Brush the chips off, wipe the work and the jaws. Never by hand, never with air."


@_sentence.register
def _(action: Deburr, done: Done, scales: Scales) -> str:
    del action, done, scales
    return "Break the sharp edges with a file."


@_sentence.register
def _(action: Measure, done: Done, scales: Scales) -> str:
    del done
    size = action.size
    return f"Measure {size.dimension} with the {size.gauge}; it should read {scales.length(size.wanted)} now."


def to_face(face: Face) -> str:
    """Which way table or saddle travels while the cutter comes nearer to a side of the work."""
    facts = SLIDES["x" if face.axis == 0 else "y"]
    return facts.up if face.outwards * facts.sign < 0 else facts.down


def ways(done: Done) -> tuple[str, str]:
    """Which way the cutter passes the work, and which way the table travels, while a handwheel is turned."""
    facts = SLIDES[_slide(done)]
    up = _counts_up(done)
    return CUTTER_GOES[facts.axis, facts.sign if up else -facts.sign], facts.up if up else facts.down


def figure_of(action: Wind, scales: Scales) -> str:
    """The figure of a setting, as the sheet prints it."""
    if action.on == "readout":
        return f"{action.slide.upper()} {scales.readout(action.to)}"
    return scales.dial(action.slide, action.to)


def _to_figure(action: Wind, done: Done, scales: Scales) -> str:
    facts = SLIDES[action.slide]
    way = ways(done)[1]
    if _goes_past(action, done, scales):
        out, back = (facts.down, facts.up) if action.ends > 0 else (facts.up, facts.down)
        way = f"{out} {turns_past(scales, action.slide)} past, then back {back}"
    return f"{facts.name} {way} to {figure_of(action, scales)}{_where_it_stands(action, done, scales)}"


def turns_past(scales: Scales, slide: SlideName) -> str:
    """How far a figure is passed before coming back to it: ``half a turn``."""
    whole, half = divmod(half_turns_past(scales.job.by_hand, slide), 2)
    if not whole:
        return "half a turn"
    count = {1: "one"}.get(whole, str(whole))
    return f"{count} and a half turns" if half else f"{count} {'turn' if whole == 1 else 'turns'}"


def _goes_past(action: Wind, done: Done, scales: Scales) -> bool:
    return len(turnings(scales.job.by_hand, done.before, action)) > 1


def _where_it_stands(action: Wind, done: Done, scales: Scales) -> str:
    """How a setting is found that stands half way between two marks."""
    if action.on == "dial":
        return scales.between(action.slide, action.to)
    figures = scales.neighbours(action.to)
    if figures is None:
        return ""
    before, after = figures if _counts_up(done) else reversed(figures)
    return f", stopping as the readout turns from {before} to {after}"


def _counts_up(done: Done) -> bool:
    slide = _slide(done)
    return done.after.screws[slide].turned > done.before.screws[slide].turned


def _slide(done: Done) -> SlideName:
    assert isinstance(done.action, Wind)
    return done.action.slide


def _because(what: str, why: str) -> str:
    return f"{what} ({why[0].upper()}{why[1:]}.)" if why else what
