"""Loading a cutter and finding the work with it."""

from __future__ import annotations

from math import ceil
from typing import Literal

from handwheel.hand.actions import Bring, EdgeFinder, Load, Lock, Preset, SetDial, TakeAway, Touch
from handwheel.hand.operator import CrossSlide, Operator, across
from handwheel.hand.slides import SLIDES
from handwheel.job import Probe
from handwheel.motion import Tool
from handwheel.path.face import Face
from handwheel.plan import Step
from handwheel.setup import touches
from handwheel.tolerances import CONTACT

FINDER_RPM = 1000.0
"""An edge finder kicks out cleanly at about this speed, rev/min (common practice)."""

HAND_AND_SHANK = {"in": 101.6, "mm": 100.0}
"""Room under the next cutter's tip for the hand that brings it, shank first, mm: an R8 shank is 4 in long (common
practice; the length from memory)."""

BY_EYE = {"in": 6.35, "mm": 5.0}
"""What is judged by eye is told to a quarter of an inch or to five millimeters, and rather too far off (common
practice)."""

NEW_LENGTH = "this cutter has its own length: Z is found anew; X and Y stay, they are the spindle's"


def load(operator: Operator, step: Step, *, first: bool) -> None:
    """The actions of a step that loads a cutter: the first finds X, Y and Z, each later one its own Z."""
    z_of_zero = None if first else _z_of_zero(operator)
    if first:
        operator.do(Lock, slide="quill")
        for slide in _with_finder(operator, wanted=True):
            _touch_side(operator, slide, step)
    operator.still()
    _room_to_change(operator, step.tool)
    operator.do(Load, tool=step.tool)
    _touch_top(operator, step, z_of_zero)
    if first:
        for slide in _with_finder(operator, wanted=False):
            _touch_side(operator, slide, step)
    operator.still()


def between(probe: Probe) -> float:
    """What stands between cutter and face at the touch, mm."""
    return probe.thickness or probe.height or 0.0


def set_side(operator: Operator, slide: CrossSlide, coordinate: float, cutter: Face, why: str) -> None:
    """Give a slide's scales the value at which the spindle's center stands; the dial is the readout's witness."""
    if operator.mill.readout_step:
        operator.do(Preset, slide=slide, reads=operator.preset_for(coordinate), cutter=cutter, why=why)
        why = ""
    operator.do(SetDial, slide=slide, reads=operator.ring_for(slide, coordinate), why=why)


def _room_to_change(operator: Operator, tool: Tool) -> None:
    """The knee lowered so far that the next cutter goes in between spindle and work, with the hand that holds it."""
    held, room = operator.state.held, tool.length + HAND_AND_SHANK[operator.job.units]
    if isinstance(held, EdgeFinder):
        # how far a finder stands out is nobody's figure: the room is there below its tip
        operator.do(Bring, slide="knee", face=Face.TOP, off=_by_eye(operator, room))
    elif held is not None:
        operator.lower(max(operator.setup.clear, room - held.length))


def _with_finder(operator: Operator, *, wanted: bool) -> list[CrossSlide]:
    slides: tuple[CrossSlide, ...] = ("y", "x")
    return [one for one in slides if (getattr(operator.setup.touch_off, one).with_ == "edge finder") is wanted]


def _z_of_zero(operator: Operator) -> float:
    """The Z at which the knee dial shows 0 with the cutter in the spindle, raising."""
    zero = operator.state.screws["knee"].zero
    assert zero is not None
    assert operator.state.held is not None
    return 0.0 - zero - operator.state.held.length


def _touch_top(operator: Operator, step: Step, z_of_zero: float | None) -> None:
    probe = operator.setup.touch_off.z
    slides: tuple[CrossSlide, ...] = ("x", "y")
    for slide in slides:
        _to_middle(operator, slide)
    gap = between(probe)
    near = _by_eye(operator, gap + 2 * operator.gap)
    if operator.state.tip[2] > operator.state.faces[Face.TOP] + near:
        operator.do(Bring, slide="knee", face=Face.TOP, off=near)
    if probe.with_ == "cutter" and step.tool.shape != "tap":
        operator.run(step.speeds.rpm)
    after = operator.do(Touch, slide="knee", face=Face.TOP, with_=probe.with_, between=gap)
    reads, why = 0.0, "depths count from this touch until the top is skimmed"
    if z_of_zero is not None:
        reads, why = operator.ring_for("knee", z_of_zero - after.tip[2]), NEW_LENGTH
    operator.do(SetDial, slide="knee", reads=reads, why=why)
    operator.lower(gap + operator.clearance)
    _take_away(operator, probe)


def _touch_side(operator: Operator, slide: CrossSlide, step: Step) -> None:
    setup, probe = operator.setup, getattr(operator.setup.touch_off, slide)
    if probe.with_ == "edge finder":
        _take_finder(operator, probe)
    elif probe.with_ == "cutter":
        operator.run(step.speeds.rpm)
    else:
        operator.still()
    assert operator.state.held is not None
    touch = touches(setup, operator.state.held.diameter)[SLIDES[slide].axis]
    inwards: Literal[-1, 1] = -1 if touch.face.outwards > 0 else 1
    operator.ends[slide] = inwards
    _to_middle(operator, across(slide))
    off = _by_eye(operator, 2 * operator.gap + setup.job.stock.tolerance)
    operator.do(Bring, slide=slide, face=touch.face, off=off)
    dip = _dip(operator)
    if operator.has_reading("knee"):
        operator.wind("knee", setup.raw.high[2] - dip)
    else:
        operator.do(Bring, slide="knee", face=Face.TOP, off=-dip)
    operator.do(Touch, slide=slide, face=touch.face, with_=probe.with_, between=between(probe))
    why = f"the spindle's center is here when the {'raw ' if touch.is_raw else ''}{touch.face} is touched"
    set_side(operator, slide, touch.spindle_at, touch.face, why)
    operator.wind(slide, touch.spindle_at - inwards * 2 * operator.gap)
    _take_away(operator, probe)
    if operator.has_reading("knee"):
        operator.lower()
    else:
        operator.do(Bring, slide="knee", face=Face.TOP, off=setup.clear)


def _take_away(operator: Operator, probe: Probe) -> None:
    """What stood between comes out once there is room for it, before the spindle can start."""
    if probe.with_ in ("paper", "gauge block"):
        operator.do(TakeAway, what=probe.with_)


def _take_finder(operator: Operator, probe: Probe) -> None:
    finder = EdgeFinder(diameter=probe.diameter or 0.0)
    if operator.state.held != finder:
        operator.still()
        operator.do(Load, tool=finder)
    rpm = operator.mill.rpm.highest_not_above(FINDER_RPM)
    operator.run(rpm)


def _by_eye(operator: Operator, length: float) -> float:
    """A length rounded up to what an eye can judge, mm."""
    step = BY_EYE[operator.job.units]
    return step * ceil((length - CONTACT) / step)


def _dip(operator: Operator) -> float:
    """How far below the raw top a side is touched, mm: past a cutter's corner, and half way to the jaws at most."""
    stick_out = operator.stick_out
    corner = getattr(operator.state.held, "corner_radius", 0.0)
    return max(min(stick_out / 2, operator.gap + corner), operator.gap / 2)


def _to_middle(operator: Operator, slide: CrossSlide) -> None:
    axis = SLIDES[slide].axis
    middle = operator.setup.raw.centre[axis]
    if operator.has_reading(slide):
        operator.wind(slide, middle)
    elif not operator.has_brought(slide) or abs(operator.state.tip[axis] - middle) > CONTACT:
        operator.do(Bring, slide=slide, face=None)
