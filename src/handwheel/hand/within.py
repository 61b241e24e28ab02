"""Strokes within the work by hand: down where the plan says, one slide at a time along the centre's path, and out.

An arc is made by coordinates, setting by setting.
"""

from __future__ import annotations

import math
from typing import Final, Literal

from handwheel.hand.operator import CrossSlide, Operator, across
from handwheel.hand.slides import SLIDES
from handwheel.job.operation import CUSP
from handwheel.motion import Side
from handwheel.path.chain import Chain
from handwheel.path.line import XY
from handwheel.path.outline import Outline
from handwheel.path.stairs import led
from handwheel.plan import Inner, Plunge, Step
from handwheel.tolerances import CONTACT

ROUGH: Final = 0.1
"""Of the cutter's diameter: what may stay in a round corner before the last cut; finer settings only take time (common
practice)."""

SLIDE: Final[tuple[CrossSlide, CrossSlide]] = ("x", "y")


def mill_within(operator: Operator, step: Step, stroke: Inner) -> None:
    """One stroke, from clear of the work to clear of it."""
    radius = step.tool.diameter / 2
    path = stroke.centre(radius)
    start = stroke.run_up[0].start if stroke.run_up and not _is_off(operator, path[0].start) else path[0].start
    first, leaving = _slide_of(path), _leaving(path, _aside(stroke))
    cross = across(first)
    if _is_off(operator, start):
        operator.travel(start, first, stroke.level, leaving[SLIDES[cross].axis] if start == path[0].start else 0)
    else:
        _go_down(operator, step, stroke, start)
    if start != path[0].start:
        # along the wall first, then up to it: the other way round would cut into it
        for slide, way in ((first, 0), (cross, leaving[SLIDES[cross].axis])):
            axis = SLIDES[slide].axis
            operator.feed_within(slide, path[0].start[axis], step.speeds.feed_mm_min, way, lock=True)
    to_size = stroke.purpose == "finish"
    cusp = (stroke.cusp or CUSP[operator.job.units]) if to_size else ROUGH * step.tool.diameter
    wall = Outline(stroke.chain) if to_size and stroke.side is not Side.OFF and _is_closed(stroke.chain) else None
    for one in led(path, _aside(stroke), stroke.rim or radius, cusp, wall):
        leaves = one.leaving if to_size else 0
        operator.feed_within(SLIDE[one.axis], one.to, step.speeds.feed_mm_min, leaves, lock=one.is_long)
    if not _is_off(operator, path[-1].end):
        operator.lower()


def _is_closed(chain: Chain) -> bool:
    return math.dist(chain[0].start, chain[-1].end) <= CONTACT


def _go_down(operator: Operator, step: Step, stroke: Inner, start: XY) -> None:
    """Over the place with the knee lowered, then the knee up: fed where there is metal below."""
    if operator.level is not None:
        operator.lower()
    for slide in SLIDE:
        operator.wind(slide, start[SLIDES[slide].axis], exact=True)
    for slide in SLIDE:
        operator.hold(slide)
    if isinstance(stroke.entry, Plunge):
        operator.wind("knee", stroke.level + stroke.depth + operator.gap)
        operator.feed_up(stroke.level, step.speeds.plunge_mm_min)
    else:
        operator.raise_to(stroke.level)


def _slide_of(path: Chain) -> CrossSlide:
    """The slide that the first stretch of a path runs along, or mostly."""
    x, y = path[0].start_direction
    return "x" if abs(x) >= abs(y) else "y"


def _aside(stroke: Inner) -> Literal[-1, 0, 1]:
    """On which side of its path the cutter has room: where it is kept off a wall, else as the plan says."""
    return {Side.LEFT: 1, Side.RIGHT: -1, Side.OFF: 0}[stroke.side or stroke.room]  # type: ignore[return-value]


def _leaving(path: Chain, aside: Literal[-1, 0, 1]) -> tuple[int, int]:
    """The way along each axis in which a rounded setting of the start leaves metal."""
    x, y = path[0].start_direction
    room = (-y * aside, x * aside)
    return tuple(0 if abs(one) <= 1e-9 else 1 if one > 0 else -1 for one in room)  # type: ignore[return-value]


def _is_off(operator: Operator, point: XY) -> bool:
    """Whether the cutter stands clear of the raw work there, whatever its depth."""
    raw, radius = operator.setup.raw, operator.state.radius
    return any(point[axis] + radius <= raw.low[axis] or point[axis] - radius >= raw.high[axis] for axis in (0, 1))
