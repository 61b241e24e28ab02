"""Holes by hand in the sheet's words: what the quill's actions say, and what stands at the head of such a step."""

from __future__ import annotations

from typing import Final

from handwheel.hand.actions import Action, Lever, Neutral, SetStop, TurnTap
from handwheel.hand.execute import Done
from handwheel.hand.scales import Scales
from handwheel.plan import Step

SPINDLE_BY_HAND: Final = "spindle off and in neutral; turned by hand, never under power"
TAPPED: Final = (
    "an even pull, then easier as each half turn back breaks the chip. Trouble: it springs or binds: turn it back at "
    "once, clean the hole, more oil; never force it"
)


def hole_sentence(action: Action, done: Done, scales: Scales) -> str:
    """What the sheet says for an action of the quill."""
    del done
    match action:
        case SetStop():
            return (
                f"Set the quill's depth stop to {scales.length(action.down)} from the quill's upper end; try it with "
                "the spindle off."
            )
        case Lever():
            return _lever(action, scales)
        case Neutral(free=True):
            return "Put the spindle in neutral: it turns freely by hand, and cannot start."
        case Neutral():
            return "Put the spindle back in gear."
        case TurnTap():
            turns = (action.down - action.start) / action.pitch
            return (
                f"TAP by hand: let the quill down {scales.length(action.start)} until the tap is at the hole; turn it "
                f"in clockwise about {turns:.1f} turns, a pitch of {scales.length(action.pitch)} each, to the stop, "
                "half a turn back every turn or two; turn it out anticlockwise and let the quill up."
            )
    raise TypeError(f"no words for {action}")


def _lever(action: Lever, scales: Scales) -> str:
    feed = f"{scales.length(action.feed_mm_min)} {scales.job.units}/min"
    if not action.to_stop:
        return (
            f"FEED the quill down {scales.length(action.down)} by its lever, {feed}; let it up and brush the chips off."
        )
    out = "bring it up at the same feed, the spindle turning" if action.feeds_out else "let it up"
    return f"FEED the quill down to its stop by its lever, {feed}; {out}."


def is_tapped(step: Step) -> bool:
    """Whether a thread is cut in it."""
    return any(hole.pitch for hole in step.holes)


def hole_feed(step: Step, number: str, scales: Scales) -> str:
    """How the cutter is fed; ``number`` is the feed a minute."""
    if is_tapped(step):
        return f"the tap pulls itself in: its pitch, {scales.length(step.holes[0].pitch)}, each turn"
    each = scales.length(step.speeds.feed_mm_min / step.speeds.rpm)
    return f"{number} {scales.job.units}/min by the quill's lever: {each} a turn of the drill"


def hole_cut(step: Step) -> str:
    """Which way it goes."""
    how = "turned in by hand" if is_tapped(step) else "by the quill's lever"
    return f"straight down at {len(step.holes)} places, {how}; table and saddle stand locked"
