"""Holes by hand: table and saddle to each place and locked, then down along the quill."""

from __future__ import annotations

from handwheel.hand.actions import Lever, SetStop
from handwheel.hand.operator import CrossSlide, Operator
from handwheel.hand.slides import SLIDES
from handwheel.plan import Step


def make_holes(operator: Operator, step: Step) -> None:
    """The knee set once and locked; at each place table and saddle are locked, and the quill goes down to its stop."""
    clear, bottom = step.holes[0].clear, step.holes[0].bottom
    operator.wind("knee", clear, exact=True)
    operator.hold("knee")
    operator.level = None
    operator.free("quill")
    above = operator.state.tip[2]
    graduation = operator.mill.slides.quill.graduation
    down = round((above - bottom) / graduation) * graduation
    operator.do(SetStop, down=down)
    slides: tuple[CrossSlide, ...] = ("x", "y")
    for number, hole in enumerate(step.holes, start=1):
        operator.stroke = number
        for slide in slides:
            operator.free(slide)
            operator.wind(slide, hole.at[SLIDES[slide].axis], exact=True)
        for slide in slides:
            operator.hold(slide)
        for stop in hole.stops:
            operator.do(Lever, down=above - stop, feed_mm_min=step.speeds.feed_mm_min, to_stop=False)
        operator.do(Lever, down=down, feed_mm_min=step.speeds.feed_mm_min, feeds_out=hole.feeds_out)
    operator.stroke = 0
    for slide in slides:
        operator.free(slide)
    operator.hold("quill")
