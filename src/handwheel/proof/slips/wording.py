"""Slips by program in the text: a word that says something else, or is not there."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from handwheel.job import Job
from handwheel.plan import Plan, Route, SideStroke, Step, Stroke
from handwheel.plan.strokes import lead_in
from handwheel.proof.arithmetic import Leg
from handwheel.proof.legs import legs_by_program
from handwheel.proof.routes import Routes
from handwheel.proof.slips.changes import changed, finishing, said, steps_of_load, stroke_lines, with_lines
from handwheel.proof.slips.keying import is_refused
from handwheel.proof.slips.model import Impossible, Mistake, Slip
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import MM_PER_INCH

_OTHER_SIDE: Final = {"G41": "G42", "G42": "G41"}


def other_side(routes: Routes) -> Mistake | Impossible:
    """G41 where G42 is meant, or the other way round, in the first finishing step."""
    job = routes.setup.job
    step = finishing(routes.by_program)
    if step is None or step.compensation == "off":
        return Impossible("No block of this program has G41 or G42: there is no side to get wrong.")
    lines = routes.text.splitlines()
    change: dict[int, str | None] = {}
    meant = ""
    for line in routes.block_lines[step.number]:
        for word, wrong in _OTHER_SIDE.items():
            if f" {word} " in lines[line - 1]:
                change[line - 1] = lines[line - 1].replace(f" {word} ", f" {wrong} ")
                meant = word
    held = job.offsets[step.tool.number].diameter
    edge = step.sides[0].edge
    assert edge is not None
    shift = {"x" if edge.axis == 0 else "y": -edge.outwards * held}
    off = said(job, held)
    return Mistake(
        sentence=f"Step {step.number} says {_OTHER_SIDE[meant]} where {meant} is meant.",
        reckoning=f"The cutter runs on the other side of its path, by the whole of D: {off} further in. "
        + (
            "It goes through the part."
            if held
            else "D holds 0 in this program, so nothing changes until it is corrected."
        ),
        notice="In single block, look before the cutter reaches the work: it is over the part, not beside the edge.",
        legs=changed(
            legs_by_program(routes),
            lambda leg: leg.step == step.number,
            lambda leg: replace(leg.moved(**shift), down=leg.down),
        ),
        setup=routes.setup,
        text=with_lines(routes.text, change),
        codes=("gouge",) if held > job.tolerance else (),
    )


def other_units(routes: Routes) -> Mistake | Impossible:
    """G20 and G21 confused: every number of the program is taken in the other unit, the offsets are not."""
    job = routes.setup.job
    if not routes.by_program.steps:
        return Impossible("The job has no operation, so no coordinate is read.")
    scale = 1 / MM_PER_INCH if job.units == "in" else MM_PER_INCH
    meant, wrong = ("G20", "G21") if job.units == "in" else ("G21", "G20")
    names = {"in": "inches", "mm": "millimeters"}
    other = names["mm" if job.units == "in" else "in"]
    legs = legs_by_program(routes)
    refused = _first_refused(routes.setup, routes.by_program, scale)
    scaled = tuple(
        _scaled(job, leg, scale, _kept_off(job, routes.by_program, leg))
        for leg in legs
        if refused is None or leg.step < refused.number
    )
    reckoning = (
        f"Every coordinate is {'a 25.4th' if job.units == 'in' else '25.4 times'} of what it should be; D and H stay "
        "as they were keyed in."
    )
    if refused is not None:
        reckoning += (
            f" In step {refused.number} the lead-in shrinks to "
            f"{said(job, lead_in(routes.setup, refused.tool) * scale)}, less than half of D: the control stops there."
        )
    return Mistake(
        sentence=f"The program says {wrong}: its {names[job.units]} are read as {other}.",
        reckoning=reckoning,
        notice="The display counts in the wrong unit, and the first rapid ends nowhere near the work.",
        legs=scaled,
        setup=routes.setup,
        text=routes.text.replace(f" {meant} ", f" {wrong} ", 1),
        ways_clear=routes.by_program.clear * scale >= routes.setup.raw.high[2],
        codes=("bad-block",) if refused is not None else (),
    )


def _kept_off(job: Job, plan: Plan, leg: Leg) -> float:
    """How far the control itself keeps a stroke's centre off what the program says, mm."""
    step = plan.steps[leg.step - 1]
    return 0.0 if leg.edge is None or step.compensation == "off" else job.offsets[leg.tool].diameter / 2


def _scaled(job: Job, leg: Leg, scale: float, kept_off: float) -> Leg:
    axis = None if leg.edge is None else 0 if leg.edge.axis == 0 else 1
    outwards = 0 if leg.edge is None else leg.edge.outwards

    def point(at: tuple[float, float]) -> tuple[float, float]:
        off = [outwards * kept_off if k == axis else 0.0 for k in (0, 1)]
        return ((at[0] - off[0]) * scale + off[0], (at[1] - off[1]) * scale + off[1])

    lift = job.offsets[leg.tool].length - job.tool(leg.tool).length
    return replace(
        leg,
        start=point(leg.start),
        end=point(leg.end),
        down=point(leg.down),
        level=(leg.level - lift) * scale + lift,
    )


def _first_refused(setup: Setup, plan: Plan, scale: float) -> Step | None:
    for step in plan.steps:
        compensated = step.compensation != "off" and bool(step.sides)
        if compensated and is_refused(setup.job.offsets[step.tool.number].diameter, lead_in(setup, step.tool) * scale):
            return step
    return None


def rapid_for_feed(routes: Routes) -> Mistake | Impossible:
    """The stroke itself at rapid."""
    found = _a_stroke(routes)
    if found is None:
        return Impossible("The job has no operation, so nothing is fed.")
    step, stroke = found
    job = routes.setup.job
    lines = routes.text.splitlines()
    fed = [one for one in stroke_lines(routes, step, 1) if " G1 X" in lines[one] or " G1 Y" in lines[one]]
    # past a side the last block is the cut, after the way on; on top the first one meets the work
    line = fed[-1] if isinstance(stroke, SideStroke) else fed[0]
    return Mistake(
        sentence=f"In step {step.number} the block {lines[line].split()[0]} says G0 where G1 is meant.",
        reckoning=f"No size changes so long as the cutter lasts, but it meets {said(job, stroke.width)} by "
        f"{said(job, stroke.depth)} at {job.by_program.rapid / step.speeds.feed_mm_min:.0f} times its feed.",
        notice="Rapid override at its lowest and single block on: the distance to go runs down far too fast.",
        legs=legs_by_program(routes),
        setup=routes.setup,
        text=with_lines(routes.text, {line: lines[line].replace(" G1 ", " G0 ")}),
        codes=("rapid-through-work",) if stroke.width > CONTACT and stroke.depth > CONTACT else (),
    )


def _a_stroke(routes: Routes) -> tuple[Step, Stroke] | None:
    """The first finishing stroke, else the first of all."""
    step = finishing(routes.by_program) or next((one for one in routes.by_program.steps if one.strokes), None)
    return None if step is None else (step, step.strokes[0])


def spindle_still(routes: Routes) -> Mistake | Impossible:
    """M3 is not there after the first tool change."""
    if not routes.by_program.steps:
        return Impossible("The job has no operation, so the spindle is never started.")
    step = routes.by_program.steps[0]
    lines = routes.text.splitlines()
    line = next(one - 1 for one in routes.block_lines[step.number] if lines[one - 1].endswith(" M3"))
    return Mistake(
        sentence=f"M3 is left out of block {lines[line].split()[0]} in step {step.number}.",
        reckoning="No size can be reckoned with a cutter that does not turn: it is pushed into the work and breaks. "
        "Were it "
        "turning, the part would be right.",
        notice="Look and listen at the first approach: the spindle must turn before the cutter is near the work.",
        legs=legs_by_program(routes),
        setup=routes.setup,
        text=with_lines(routes.text, {line: lines[line].removesuffix(" M3")}),
        codes=("spindle-stopped",) if _meets_metal(routes, step) else (),
    )


def _meets_metal(routes: Routes, load: Step) -> bool:
    """Whether the cutter loaded in a step has anything to cut."""
    here = steps_of_load(routes.by_program, load.number)
    strokes = [one for step in routes.by_program.steps if step.number in here for one in step.strokes]
    return any(one.width > CONTACT and one.depth > CONTACT for one in strokes)


def no_minus(routes: Routes) -> Mistake | Impossible:
    """The sign of a depth is not there."""
    job = routes.setup.job
    found = _a_stroke(routes)
    if found is None or found[1].level > -CONTACT:
        return Impossible("Depths count up from the zero in this job: none has a minus sign to drop.")
    step, stroke = found
    lines = routes.text.splitlines()
    line = next(one for one in stroke_lines(routes, step, 1) if " G1 Z-" in lines[one])
    legs = changed(
        legs_by_program(routes),
        lambda leg: (leg.step, leg.stroke) == (step.number, 1),
        lambda leg: leg.moved(z=-2 * stroke.level),
    )
    return Mistake(
        sentence=f"In step {step.number} the minus sign of Z{lines[line].split(' G1 Z')[1].split()[0]} is dropped.",
        reckoning=f"The stroke runs {said(job, -stroke.level)} above zero instead of as much below: "
        f"{said(job, -2 * stroke.level)} too high"
        + (", over the work." if -stroke.level > routes.setup.raw.high[2] else "."),
        notice="The cutter is fed upwards where it should go down; it then passes without cutting.",
        legs=legs,
        setup=routes.setup,
        text=with_lines(routes.text, {line: lines[line].replace(" G1 Z-", " G1 Z")}),
    )


SLIPS: Final = (
    Slip("wrong-compensation-side", Route.BY_PROGRAM, "G41 and G42 are confused.", other_side),
    Slip("wrong-units", Route.BY_PROGRAM, "Inches are read as millimeters, or millimeters as inches.", other_units),
    Slip("rapid-for-feed", Route.BY_PROGRAM, "A stroke is written as a rapid.", rapid_for_feed),
    Slip("spindle-not-started", Route.BY_PROGRAM, "M3 is left out.", spindle_still),
    Slip("dropped-minus", Route.BY_PROGRAM, "The minus sign of a depth is left out.", no_minus),
)
