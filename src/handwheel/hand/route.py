"""The plan's steps as what an operator does: the route sheet is this list of actions."""

from __future__ import annotations

from itertools import pairwise

from handwheel.hand.actions import Action, Clean, Deburr, Measure, SetDial
from handwheel.hand.holes import make_holes
from handwheel.hand.operator import CrossSlide, Operator, across
from handwheel.hand.slides import SLIDES
from handwheel.hand.touching import load, set_side
from handwheel.hand.within import mill_within
from handwheel.path.chain import corners
from handwheel.path.face import Face
from handwheel.plan import Inner, Plan, SideStroke, Skim, Step
from handwheel.setup import Setup

ELBOW_ROOM = {"in": 50.8, "mm": 50.0}
"""So far the cutter is wound clear of the work before a hand and a gauge go in (common practice)."""


def actions(setup: Setup, plan: Plan) -> tuple[Action, ...]:
    """Everything the operator does, in order.

    Parameters
    ----------
    setup : the work as it is clamped
    plan : its steps by hand
    """
    operator = Operator(setup)
    loaded = False
    for step in plan.steps:
        operator.step = step.number
        if step.kind == "load":
            load(operator, step, first=not loaded)
            loaded = True
        elif step.kind == "measure":
            _measure(operator, step)
        else:
            _cut(operator, step)
    if loaded:
        _end(operator)
    return tuple(operator.actions)


def _cut(operator: Operator, step: Step) -> None:
    if step.holes:
        make_holes(operator, step)
    else:
        operator.run_to_cut(step.speeds.rpm, step.tool)
    for number, stroke in enumerate(step.strokes, start=1):
        operator.stroke = number
        is_last = number == len(step.strokes)
        if isinstance(stroke, Skim):
            _face(operator, step, stroke, is_last=is_last)
        elif isinstance(stroke, SideStroke):
            _side(operator, step, stroke, is_last=is_last)
        elif isinstance(stroke, Inner):
            mill_within(operator, step, stroke)
    operator.stroke = 0


def _face(operator: Operator, step: Step, stroke: Skim, *, is_last: bool) -> None:
    """Strokes along one slide each; corners are turned without lifting."""
    legs = list(pairwise(corners(stroke.chain)))
    operator.travel(legs[0][0], _along(*legs[0]), stroke.level)
    for leg in legs:
        slide = _along(*leg)
        end = leg[1][SLIDES[slide].axis]
        operator.feed(slide, end, step.speeds.feed_mm_min, Face.TOP)
    operator.free(across(_along(*legs[-1])))
    if is_last and "z" in step.zeroes:
        operator.do(SetDial, slide="knee", reads=0.0, why="the skimmed top is Z zero from now on")


def _side(operator: Operator, step: Step, stroke: SideStroke, *, is_last: bool) -> None:
    """One stroke past a side, then back off the work. By hand there is no lead-in: it starts just off the end."""
    start, end = corners(stroke.centre(step.tool.diameter / 2))
    slide = _along(start, end)
    cross = across(slide)
    operator.travel(start, slide, stroke.level, leaving=stroke.edge.outwards)
    operator.feed(slide, end[SLIDES[slide].axis], step.speeds.feed_mm_min, stroke.edge)
    operator.has_cut(stroke)
    if is_last and cross in step.zeroes:
        setting = operator.state.read(cross) if operator.mill.readout_step else operator.state.shown(cross)
        assert setting is not None
        why = f"the finished {stroke.edge} is {cross.upper()} zero from now on"
        set_side(operator, cross, setting, stroke.edge, why)
    operator.back_off(stroke.edge)


def _measure(operator: Operator, step: Step) -> None:
    _clear_for_hands(operator)
    for size in step.measuring:
        operator.do(Measure, size=size)


def _clear_for_hands(operator: Operator) -> None:
    """The cutter wound off the nearer end of the work, the spindle stopped, the work clean."""
    raw, room = operator.setup.raw, ELBOW_ROOM[operator.job.units] + operator.state.radius
    slide = operator.last_fed
    if operator.level is None:
        operator.lower(room)
    elif slide is not None:
        axis = SLIDES[slide].axis
        ahead = operator.state.tip[axis] > raw.centre[axis]
        operator.wind(slide, raw.high[axis] + room if ahead else raw.low[axis] - room)
    operator.still()
    operator.do(Clean)
    operator.do(Deburr)


def _end(operator: Operator) -> None:
    operator.still()
    operator.lower(operator.setup.clear)
    operator.do(Clean)
    operator.do(Deburr)


def _along(start: tuple[float, float], end: tuple[float, float]) -> CrossSlide:
    return "x" if abs(end[0] - start[0]) > abs(end[1] - start[1]) else "y"
