"""Holes by hand: table and saddle to each place and locked, then down along the quill."""

from __future__ import annotations

from typing import Final

from handwheel.hand.actions import Lever, Neutral, Oil, SetStop, TurnTap
from handwheel.hand.expect import TAPPING_OIL
from handwheel.hand.operator import CrossSlide, Operator
from handwheel.hand.slides import SLIDES
from handwheel.plan import Hole, Step

CROSS: Final[tuple[CrossSlide, CrossSlide]] = ("x", "y")


def make_holes(operator: Operator, step: Step) -> None:
    """The knee set once and locked; at each place table and saddle are locked, and the quill goes down to its stop."""
    first = step.holes[0]
    if first.pitch:
        operator.still()
        operator.do(Neutral, free=True)
        operator.do(Oil, with_=TAPPING_OIL)
    else:
        operator.run_to_cut(step.speeds.rpm, step.tool)
    operator.wind("knee", first.clear, exact=True)
    operator.hold("knee")
    operator.level = None
    operator.free("quill")
    above = operator.state.tip[2]
    down = _on_stop(operator, above - first.bottom)
    operator.do(SetStop, down=down)
    for number, hole in enumerate(step.holes, start=1):
        operator.stroke = number
        for slide in CROSS:
            operator.free(slide)
            operator.wind(slide, hole.at[SLIDES[slide].axis], exact=True)
        for slide in CROSS:
            operator.hold(slide)
        _down(operator, step, hole, above, down)
    operator.stroke = 0
    for slide in CROSS:
        operator.free(slide)
    operator.hold("quill")
    if first.pitch:
        operator.do(Neutral, free=False)


def _on_stop(operator: Operator, down: float) -> float:
    """The travel nearest to it that the quill's scale shows, mm."""
    graduation = operator.mill.slides.quill.graduation
    return round(down / graduation) * graduation


def _down(operator: Operator, step: Step, hole: Hole, above: float, down: float) -> None:
    """``above`` is Z of the tip with the quill up, ``down`` where its stop is, mm below."""
    if hole.pitch:
        rpm = step.speeds.rpm
        operator.do(TurnTap, start=above - hole.surface, down=down, pitch=hole.pitch, turns_a_minute=rpm)
        return
    for stop in hole.stops:
        operator.do(Lever, down=_on_stop(operator, above - stop), feed_mm_min=step.speeds.feed_mm_min, to_stop=False)
    operator.do(Lever, down=down, feed_mm_min=step.speeds.feed_mm_min, feeds_out=hole.feeds_out)
