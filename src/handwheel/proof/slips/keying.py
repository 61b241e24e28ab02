"""Slips by program in what the operator keys in, and in which slot the program looks: offsets and zeros."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from handwheel.plan import Route, Step
from handwheel.plan.strokes import lead_in, run_off
from handwheel.proof.arithmetic import Leg
from handwheel.proof.legs import control_distance, legs_by_program
from handwheel.proof.routes import Routes
from handwheel.proof.slips.changes import changed, finishing, said, steps_of_load, with_lines
from handwheel.proof.slips.model import Impossible, Mistake, Slip
from handwheel.setup import touches


def another_d(routes: Routes) -> Mistake | Impossible:
    """D names the slot of another tool."""
    job = routes.setup.job
    step = finishing(routes.by_program)
    if step is None or step.compensation == "off":
        return Impossible("No block of this program calls a D: there is none to get wrong.")
    own = job.offsets[step.tool.number]
    other = next((n for n, one in job.offsets.items() if n != step.tool.number and one.diameter != own.diameter), None)
    if other is None:
        return Impossible(
            "No other slot of the offset table holds another diameter, so that a wrong D would do nothing."
        )
    held = job.offsets[other].diameter
    change: dict[int, str | None] = {}
    lines = routes.text.splitlines()
    for line in routes.block_lines[step.number]:
        change[line - 1] = re.sub(rf"\bD{step.tool.number}\b", f"D{other}", lines[line - 1])
    text = with_lines(routes.text, change)
    legs = legs_by_program(routes)
    sentence = (
        f"Step {step.number} calls D{other}, {said(job, held)}, instead of D{step.tool.number}, "
        f"{said(job, own.diameter)}."
    )
    lead = lead_in(routes.setup, step.tool)
    if is_refused(held, lead):
        return Mistake(
            sentence=sentence,
            reckoning=f"Half of {said(job, held)} is more than the lead-in of {said(job, lead)}: the control cannot "
            f"come "
            f"onto the path and stops before step {step.number} cuts.",
            notice="The control stops with an alarm for compensation; in single block, before the cutter is at the "
            "work.",
            legs=tuple(leg for leg in legs if leg.step < step.number),
            setup=routes.setup,
            text=text,
            codes=("bad-block",),
        )
    off = (held - own.diameter) / 2
    return Mistake(
        sentence=sentence,
        reckoning=f"Half the difference, {said(job, abs(off))}, "
        f"{'stays on the side' if off > 0 else 'is cut too much'}.",
        notice="In single block, look where the cutter is beside the edge before it reaches the work: its rim "
        "ought "
        "to be on the line of the cut.",
        legs=_off_the_edge(legs, step, off),
        setup=routes.setup,
        text=text,
        codes=("wrong-diameter-offset",) if abs(off) > job.tolerance else (),
    )


def is_refused(diameter: float, lead: float) -> bool:
    """Whether a control refuses to come onto a path: the move on must be longer than half of what D holds.

    Source: NISTIR 6556, appendix B.5 (from memory).
    """
    return diameter / 2 >= lead


def _off_the_edge(legs: tuple[Leg, ...], step: Step, off: float) -> tuple[Leg, ...]:
    edge = step.sides[0].edge
    assert edge is not None
    axis = "x" if edge.axis == 0 else "y"
    shift = {axis: edge.outwards * off}
    return changed(legs, lambda leg: leg.step == step.number, lambda leg: leg.moved(**shift))


def radius_keyed(routes: Routes) -> Mistake | Impossible:
    """The table means a diameter; half of it is keyed in."""
    job = routes.setup.job
    step = finishing(routes.by_program)
    if step is None or step.compensation == "off":
        return Impossible("No block of this program calls a D: it does not matter what is keyed in there.")
    if job.by_program.offset_holds == "radius":
        return Impossible("D holds radii at this control: a radius keyed in is right.")
    own = job.offsets[step.tool.number]
    if not own.diameter:
        return Impossible("D holds 0 for a new cutter in this form of program: there is nothing to halve.")
    control = routes.setup.control
    offsets = {**control.offsets, step.tool.number: replace(own, diameter=own.diameter / 2)}
    off = control_distance(step, own.diameter) - control_distance(step, own.diameter / 2)
    return Mistake(
        sentence=f"The radius {said(job, own.diameter / 2)} is keyed in for D{step.tool.number}, where a diameter "
        f"is meant.",
        reckoning=f"The cutter is kept off by half its radius less: {said(job, off)} too much comes off each side, "
        f"{said(job, 2 * off)} off a size between two of them.",
        notice="The rough cut is wider than planned and the size taken before the last cut reads far under: D holds "
        "half "
        "of what the micrometer shows on the cutter.",
        legs=legs_by_program(routes, offsets),
        setup=replace(routes.setup, control=replace(control, offsets=MappingProxyType(offsets))),
        text=routes.text,
        codes=("wrong-diameter-offset",) if off > job.tolerance else (),
    )


def no_length(routes: Routes) -> Mistake | Impossible:
    """G43 is left out for the first tool."""
    job = routes.setup.job
    if not routes.by_program.steps:
        return Impossible("The job has no operation, so no tool is called.")
    step = routes.by_program.steps[0]
    length = routes.setup.control.offsets[step.tool.number].length
    return _other_length(
        routes,
        step,
        text=with_lines(routes.text, {_length_line(routes, step): None}),
        z=-length,
        sentence=f"The block G43 H{step.tool.number} is left out of step {step.number}.",
        reckoning=f"The control takes the spindle's nose for the tip: tool {step.tool.number} is "
        f"{said(job, abs(length))} {'lower' if length > 0 else 'higher'} "
        "than every Z says.",
        codes=("no-length-offset",),
    )


def another_h(routes: Routes) -> Mistake | Impossible:
    """The second tool runs on the length of the first."""
    job = routes.setup.job
    changes = [step for step in routes.by_program.steps if step.kind == "load"]
    if len(changes) < 2:
        return Impossible("One tool does the whole job: there is no other tool's H to call.")
    first, step = changes[0].tool, changes[1]
    z = job.offsets[first.number].length - job.offsets[step.tool.number].length
    if not z:
        return Impossible("Both tools are equally long: the other tool's H would be right.")
    line = _length_line(routes, step)
    text = with_lines(
        routes.text, {line: routes.text.splitlines()[line].replace(f"H{step.tool.number}", f"H{first.number}")}
    )
    return _other_length(
        routes,
        step,
        text=text,
        z=z,
        sentence=f"Step {step.number} calls H{first.number} for tool {step.tool.number}.",
        reckoning=f"The lengths differ by {said(job, abs(z))}: tool {step.tool.number} is that much "
        f"{'lower' if z < 0 else 'higher'} than every Z says.",
        codes=("wrong-length-offset",) if abs(z) > job.tolerance else (),
    )


def _other_length(
    routes: Routes, step: Step, *, text: str, z: float, sentence: str, reckoning: str, codes: tuple[str, ...]
) -> Mistake:
    job = routes.setup.job
    here = steps_of_load(routes.by_program, step.number)
    legs = changed(legs_by_program(routes), lambda leg: leg.step in here, lambda leg: leg.moved(z=z))
    return Mistake(
        sentence=sentence,
        reckoning=reckoning,
        notice="In single block, a hand on feed hold: at the first Z the tip should be "
        f"{said(job, routes.setup.clear)} above the raw top, and is {said(job, abs(z))} "
        f"{'lower' if z < 0 else 'higher'}.",
        legs=legs,
        setup=routes.setup,
        text=text,
        ways_clear=routes.by_program.clear + z >= routes.setup.raw.high[2],
        codes=codes,
    )


def _length_line(routes: Routes, step: Step) -> int:
    lines = routes.text.splitlines()
    return next(line - 1 for line in routes.block_lines[step.number] if " G43 " in lines[line - 1])


def zero_shifted(routes: Routes) -> Mistake | Impossible:
    """X of the work offset is stored with the radius of what touched forgotten."""
    job = routes.setup.job
    if not routes.by_program.steps:
        return Impossible("The job has no operation, so no zero is used.")
    touch = touches(routes.setup, routes.by_program.steps[0].tool.diameter)[0]
    shift = touch.spindle_at - touch.face_at
    control = routes.setup.control
    x, y, z = control.origin
    off = said(job, abs(shift))
    return Mistake(
        sentence=f"X of G54 is stored as {said(job, touch.face_at)} with the raw {touch.face} touched; the "
        f"spindle's center "
        f"is at {said(job, touch.spindle_at)}: what is between them is forgotten.",
        reckoning=f"Every X of the program lies {off} further towards the {touch.face}. A size between two cut "
        f"faces stays, "
        "unless a cut now misses the work.",
        notice=f"Before the first cut, send the spindle to X zero above the work: it should be over the finished "
        f"{touch.face}, and is {off} away.",
        legs=tuple(leg.moved(x=shift) for leg in legs_by_program(routes)),
        setup=replace(routes.setup, control=replace(control, origin=(x + shift, y, z))),
        text=routes.text,
        ways_clear=abs(shift) <= _room_going_down(routes),
    )


def _room_going_down(routes: Routes) -> float:
    """How far off the work's end the cutter's rim goes down before it comes onto a side, mm, at the least."""
    finished = [step.tool for step in routes.by_program.steps if step.sides]
    return min(
        (run_off(routes.setup, tool) + lead_in(routes.setup, tool) - tool.diameter / 2 for tool in finished),
        default=math.inf,
    )


SLIPS: Final = (
    Slip("wrong-d", Route.BY_PROGRAM, "A block calls the D of another tool.", another_d),
    Slip(
        "radius-keyed-for-diameter",
        Route.BY_PROGRAM,
        "The offset table is given the radius, where it holds diameters.",
        radius_keyed,
    ),
    Slip("no-length-offset", Route.BY_PROGRAM, "G43 is left out for the first tool.", no_length),
    Slip("h-of-another-tool", Route.BY_PROGRAM, "The second tool is called with the H of the first.", another_h),
    Slip(
        "zero-shifted",
        Route.BY_PROGRAM,
        "X of the work offset is stored with the radius of what touched forgotten.",
        zero_shifted,
    ),
)
