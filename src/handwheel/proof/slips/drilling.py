"""Slips at holes, both ways: places, depths, drills and taps."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final, TypeGuard

from handwheel.hand import Action
from handwheel.hand.actions import Lever, Load, Neutral, SetStop, Start, Stop, TurnTap, Wind
from handwheel.job.hole_making import Drill, HoleMaking, Ream, point_of
from handwheel.job.tapping import Tap
from handwheel.motion import Tool
from handwheel.plan import Plan, Route, Step
from handwheel.plan.speeds import drill_feed
from handwheel.proof.legs import legs_by_hand, legs_by_program
from handwheel.proof.routes import Routes
from handwheel.proof.slips.changes import said, with_lines
from handwheel.proof.slips.model import Impossible, Mistake, Slip
from handwheel.shop import load_shop
from handwheel.tolerances import CONTACT
from handwheel.units import program_number

NO_HOLES: Final = "No hole is drilled in this job."
NO_THREADS: Final = "No thread is tapped in this job."
NUDGE: Final = {"in": 0.254, "mm": 0.25}
"""How far a table that is bumped, or set anew by eye, stands off: 0.010 in or 0.25 mm (common practice)."""

_XY: Final = re.compile(r"X(-?[\d.]+) Y(-?[\d.]+)")


def turn_too_many(routes: Routes) -> Mistake | Impossible:
    """One turn of the table too many on the way to a hole: the dial shows the same graduation."""
    step = _step(routes, routes.by_hand, Drill)
    if step is None:
        return Impossible(NO_HOLES)
    number = min(2, len(step.holes))
    turn, job = routes.setup.job.by_hand.slides.x.per_turn, routes.setup.job
    at = next(
        (
            index
            for index, act in enumerate(routes.doing)
            if isinstance(act, Wind) and act.step == step.number and act.stroke == number and act.slide == "x"
        ),
        None,
    )
    if at is None:
        return Impossible("The table is not wound between the holes of this job.")
    wound = routes.doing[at]
    assert isinstance(wound, Wind)
    return _by_hand(
        routes,
        sentence=f"In step {step.number} the table is wound one turn too many on the way to hole {number}.",
        reckoning=f"A turn of the table is {said(job, turn)}: the hole is that far beside its place.",
        notice="Count the turns aloud; look at the spot under the drill before the lever comes down.",
        doing=[replace(act, to=act.to + turn) if act is wound else act for act in routes.doing],
        codes=("left-uncut",) if _is_last_there(routes, step) else (),
    )


def stop_too_high(routes: Routes) -> Mistake | Impossible:
    """The quill's stop counts from where the drill hangs, not from the surface of the work."""
    step = _step(routes, routes.by_hand, Drill)
    if step is None:
        return Impossible(NO_HOLES)
    short = step.holes[0].clear - step.holes[0].surface
    stop = next(act.down for act in routes.doing if isinstance(act, SetStop) and act.step == step.number)
    job = routes.setup.job

    def change(act: Action) -> Action:
        if act.step != step.number or not isinstance(act, (SetStop, Lever)):
            return act
        # no peck goes deeper than the stop
        full = act.down if isinstance(act, SetStop) or act.to_stop else min(act.down + short, stop)
        return replace(act, down=max(full - short, CONTACT))

    return _by_hand(
        routes,
        sentence=f"In step {step.number} the quill's stop is set for the depth alone: the {said(job, short)} from the "
        "tip down to the surface are forgotten.",
        reckoning=f"Every hole of the step is {said(job, short)} too shallow.",
        notice="Bring the tip down to the surface first and set the stop from there; a wire in the hole shows its "
        "depth.",
        doing=[change(act) for act in routes.doing],
        codes=("left-uncut",) if _is_last_there(routes, step) else (),
    )


def other_drill(larger: bool) -> Callable[[Routes], Mistake | Impossible]:
    """The next drill of the stand is taken for a tap drill."""

    def make(routes: Routes) -> Mistake | Impossible:
        step = _step(routes, routes.by_hand, Drill, before_tap=True)
        if step is None:
            return Impossible(NO_THREADS)
        wanted, job = step.tool, routes.setup.job
        sizes = sorted({one.diameter for one in load_shop().cutter.values() if one.shape == "drill"})
        further = [one for one in sizes if (one > wanted.diameter) == larger and abs(one - wanted.diameter) > CONTACT]
        if not further:
            return Impossible("The shop has no drill beyond this one.")
        taken = replace(wanted, diameter=min(further) if larger else max(further))
        off = abs(taken.diameter - wanted.diameter)
        tap = next(one for one in routes.setup.operations if isinstance(one, Tap) and one.form)
        assert tap.form is not None
        percent = tap.form.percent(taken.diameter)
        return _by_hand(
            routes,
            sentence=f"The drill of {said(job, taken.diameter)} is put in for tool {wanted.number}, "
            f"{said(job, wanted.diameter)}.",
            reckoning=f"The hole is {said(job, off)} too {'wide' if larger else 'narrow'} and leaves {percent:.0f} "
            "percent of a thread.",
            notice="Read the size on the shank, and gauge the drill over its margins: a drill back in the wrong place "
            "of the stand looks the same.",
            doing=[replace(act, tool=taken) if _loads(act, wanted) else act for act in routes.doing],
            codes=(("gouge" if larger else "left-uncut"),) if off / 2 > job.tolerance + CONTACT else (),
        )

    return make


def other_thread(routes: Routes) -> Mistake | Impossible:
    """A fine tap for a coarse one, or the other way round: the same size, another pitch."""
    step = _step(routes, routes.by_hand, Tap)
    if step is None:
        return Impossible(NO_THREADS)
    wanted = step.tool
    like = [one for one in load_shop().thread.values() if abs(one.diameter - wanted.diameter) < 0.01]
    pitches = sorted({one.pitch for one in like if abs(one.pitch - wanted.pitch) > 0.01})
    if not pitches:
        return Impossible("The shop has no other pitch for this size.")
    pitch = min(pitches, key=lambda one: abs(one - wanted.pitch))
    taken = replace(wanted, pitch=pitch)

    def change(act: Action) -> Action:
        if _loads(act, wanted):
            return replace(act, tool=taken)
        return replace(act, pitch=pitch) if isinstance(act, TurnTap) and act.step == step.number else act

    job = routes.setup.job
    return _by_hand(
        routes,
        sentence=f"The tap of the other series is put in, a pitch of {said(job, pitch)} and not "
        f"{said(job, wanted.pitch)}.",
        reckoning=f"Ten turns go {said(job, 10 * pitch)} deep instead of {said(job, 10 * wanted.pitch)}: no screw of "
        "the drawing's thread goes in.",
        notice="Read size and pitch on the shank; try a screw in the first hole.",
        doing=[change(act) for act in routes.doing],
        codes=("left-uncut",),
    )


def tap_under_power(routes: Routes) -> Mistake | Impossible:
    """The spindle drives the tap, and a hand on the lever feeds it."""
    step = _step(routes, routes.by_hand, Tap)
    if step is None:
        return Impossible(NO_THREADS)
    feed = drill_feed(step.tool.diameter) * step.speeds.rpm
    doing: list[Action] = []
    for act in routes.doing:
        if act.step != step.number:
            doing.append(act)
        elif isinstance(act, Neutral):
            doing.append(Start(step=act.step) if act.free else Stop(step=act.step))
        elif isinstance(act, TurnTap):
            doing.append(Lever(step=act.step, stroke=act.stroke, down=act.down, feed_mm_min=feed))
        else:
            doing.append(act)
    job = routes.setup.job
    return _by_hand(
        routes,
        sentence=f"In step {step.number} the spindle is left in gear and started, and the tap is fed by the lever.",
        reckoning=f"No hand feeds {said(job, step.tool.pitch)} a turn: the tap tears the thread or breaks off in it.",
        notice="Before a tap touches the work, turn the spindle by hand: it must turn freely.",
        doing=doing,
        codes=("tap-feed-not-pitch",),
    )


def moved_before_reaming(routes: Routes) -> Mistake | Impossible:
    """The table was moved between drill and reamer."""
    step = _step(routes, routes.by_hand, Ream)
    if step is None:
        return Impossible("No hole is reamed in this job.")
    job = routes.setup.job
    off = NUDGE[job.units]
    return _by_hand(
        routes,
        sentence=f"In step {step.number} the table is bumped, and is {said(job, off)} off when it is locked.",
        reckoning=f"The reamer follows neither: the hole is {said(job, off)} beside its place on one side, and wide "
        "at its mouth.",
        notice="Read the readout again after locking; better, ream each hole straight after its drill.",
        doing=[
            replace(act, to=act.to + off)
            if isinstance(act, Wind) and act.slide == "x" and act.step == step.number
            else act
            for act in routes.doing
        ],
        codes=("gouge",) if off > job.tolerance else (),
    )


def swapped(routes: Routes) -> Mistake | Impossible:
    """X and Y of a hole change places."""
    step = _step(routes, routes.by_program, Drill)
    if step is None:
        return Impossible(NO_HOLES)
    for line, text in _places(routes, step):
        found = _XY.search(text)
        if found and found[1] != found[2]:
            change = text.replace(found[0], f"X{found[2]} Y{found[1]}")
            return _by_program(
                routes,
                sentence=f"In step {step.number} a hole is at X{found[2]} Y{found[1]} instead of {found[0]}.",
                reckoning="The hole is beside its place by the difference of its two coordinates, along X and along Y.",
                notice="In single block, look at the distance to go before the drill comes down: is it over its spot?",
                change={line: change},
                codes=("left-uncut",) if _is_last_there(routes, step) else (),
            )
    return Impossible("In each hole of this job X and Y are the same.")


def mirrored(routes: Routes) -> Mistake | Impossible:
    """The pattern as seen from the other side: X counted from the other end."""
    steps = _steps(routes, routes.by_program, Drill)
    if not steps:
        return Impossible(NO_HOLES)
    low, high = routes.setup.finished.low[0], routes.setup.finished.high[0]

    def turned(step: Step) -> bool:
        at = {(round(x, 4), round(y, 4)) for x, y in (hole.at for hole in step.holes)}
        return {(round(low + high - x, 4), y) for x, y in at} != at

    step = next((one for one in steps if turned(one)), None)
    if step is None:
        return Impossible("Each pattern is its own mirror image: nothing would change.")
    units, change = routes.setup.job.units, {}
    unit = 25.4 if units == "in" else 1.0
    for line, text in _places(routes, step):
        found = _XY.search(text)
        if found:
            x = program_number(low + high - float(found[1]) * unit, units)
            change[line] = text.replace(found[0], f"X{x} Y{found[2]}")
    return _by_program(
        routes,
        sentence=f"In step {step.number} the pattern is taken from a drawing of the other side: every X counts from "
        "the other end.",
        reckoning=f"Each hole is as far from the right end as it should be from the left, on "
        f"{said(routes.setup.job, high - low)} of work.",
        notice="Lay the part beside the drawing as it lies in the vise, and look at the spots before drilling.",
        change=change,
        codes=("left-uncut",) if _is_last_there(routes, step) else (),
    )


def pecks_forgotten(routes: Routes) -> Mistake | Impossible:
    """G81 where G83 is meant."""
    step = next((one for one in _steps(routes, routes.by_program, Drill) if one.holes[0].stops), None)
    if step is None:
        return Impossible("No hole of this job is pecked.")
    change = {
        line: re.sub(r"G83 (.*?) Q[\d.]+", r"G81 \1", text) for line, text in _places(routes, step) if "G83 " in text
    }
    deep = step.holes[0].surface - step.holes[0].bottom - point_of(step.tool)
    diameters = deep / step.tool.diameter
    return _by_program(
        routes,
        sentence=f"Step {step.number} says G81 where G83 is meant.",
        reckoning=f"The drill goes {diameters:.1f} diameters deep in one: over 3 its chips jam.",
        notice="Listen: a drill that squeals in the hole has no room for its chips.",
        change=change,
        codes=("deep-without-pecks",) if diameters > 3.0 + CONTACT else (),
    )


def point_forgotten(routes: Routes) -> Mistake | Impossible:
    """Z of the drill's tip where that of the full diameter is meant."""
    step = next((one for one in _steps(routes, routes.by_program, Drill) if point_of(one.tool) > CONTACT), None)
    if step is None:
        return Impossible(NO_HOLES)
    units, job = routes.setup.job.units, routes.setup.job
    bottom, point = step.holes[0].bottom, point_of(step.tool)
    meant, written = program_number(bottom, units), program_number(bottom + point, units)
    change = {
        line: text.replace(f"Z{meant} ", f"Z{written} ") for line, text in _places(routes, step) if f"Z{meant} " in text
    }
    return _by_program(
        routes,
        sentence=f"In step {step.number} Z{written} is where the full diameter ends, and it is written for the tip.",
        reckoning=f"Every hole of the step is a drill point too shallow: {said(job, point)}.",
        notice="A drill's depth is told to its corners: .3 of the diameter more for a point of 118 degrees.",
        change=change,
        codes=("left-uncut",) if _is_last_there(routes, step) and point > job.tolerance else (),
    )


def drill_feed_kept(routes: Routes) -> Mistake | Impossible:
    """The tap runs at the feed of the drill before it."""
    step = _step(routes, routes.by_program, Tap)
    if step is None:
        return Impossible(NO_THREADS)
    job = routes.setup.job
    feed = program_number(drill_feed(step.tool.diameter) * step.speeds.rpm, job.units).rstrip("0").rstrip(".")
    change = {line: re.sub(r"F[\d.]+", f"F{feed}", text) for line, text in _places(routes, step) if " G84 " in text}
    return _by_program(
        routes,
        sentence=f"The F of the drill, F{feed}, stands in the block of the tap.",
        reckoning=f"At {step.speeds.rpm:g} rev/min a pitch of {said(job, step.tool.pitch)} wants "
        f"{said(job, step.speeds.feed_mm_min)} a minute: the tap breaks.",
        notice="Before a tap, reckon F over S on paper: it is the pitch.",
        change=change,
        codes=("tap-feed-not-pitch",),
    )


def _steps(routes: Routes, plan: Plan, kind: type[HoleMaking]) -> list[Step]:
    names = {one.name for one in routes.setup.operations if type(one) is kind}
    return [step for step in plan.steps if step.holes and step.operation in names]


def _step(routes: Routes, plan: Plan, kind: type[HoleMaking], *, before_tap: bool = False) -> Step | None:
    """The first step with such an operation."""
    tapped = {one.holes for one in routes.setup.operations if isinstance(one, Tap)}
    drilled = {one.name for one in routes.setup.operations if isinstance(one, HoleMaking) and one.holes in tapped}
    return next((one for one in _steps(routes, plan, kind) if not before_tap or one.operation in drilled), None)


def _is_last_there(routes: Routes, step: Step) -> bool:
    """Whether nothing is made later that takes what this step leaves standing."""
    operations = routes.setup.operations
    index = next(index for index, one in enumerate(operations) if one.name == step.operation)
    return not any(isinstance(one, HoleMaking) and not isinstance(one, Tap) for one in operations[index + 1 :])


def _places(routes: Routes, step: Step) -> list[tuple[int, str]]:
    """The step's lines, from 0, with their texts."""
    lines = routes.text.splitlines()
    return [(line - 1, lines[line - 1]) for line in routes.block_lines[step.number]]


def _loads(act: Action, tool: Tool) -> TypeGuard[Load]:
    return isinstance(act, Load) and act.tool == tool


def _by_hand(
    routes: Routes, *, sentence: str, reckoning: str, notice: str, doing: Sequence[Action], codes: tuple[str, ...]
) -> Mistake:
    """Strokes stay as they are; of holes the arithmetic is in the reckoning."""
    return Mistake(
        sentence=sentence,
        reckoning=reckoning,
        notice=notice,
        legs=legs_by_hand(routes),
        setup=routes.setup,
        doing=doing,
        ways_clear=False,
        codes=codes,
    )


def _by_program(
    routes: Routes, *, sentence: str, reckoning: str, notice: str, change: dict[int, str], codes: tuple[str, ...]
) -> Mistake:
    return Mistake(
        sentence=sentence,
        reckoning=reckoning,
        notice=notice,
        legs=legs_by_program(routes),
        setup=routes.setup,
        text=with_lines(routes.text, {**change}),
        ways_clear=False,
        codes=codes,
    )


SLIPS: Final = (
    Slip(
        "turn-too-many-between-holes",
        Route.BY_HAND,
        "The table is wound one turn too many on the way to a hole.",
        turn_too_many,
    ),
    Slip(
        "stop-from-wrong-surface",
        Route.BY_HAND,
        "The quill's stop is set for the depth alone, not from the tip down to the surface.",
        stop_too_high,
    ),
    Slip("tap-drill-too-small", Route.BY_HAND, "The next smaller drill is taken for a tap drill.", other_drill(False)),
    Slip("tap-drill-too-large", Route.BY_HAND, "The next larger drill is taken for a tap drill.", other_drill(True)),
    Slip("other-thread-series", Route.BY_HAND, "A tap of the same size and another pitch is taken.", other_thread),
    Slip("tap-under-power", Route.BY_HAND, "A tap is driven by the spindle and fed by the lever.", tap_under_power),
    Slip(
        "table-moved-before-reaming",
        Route.BY_HAND,
        "The table is bumped between drill and reamer.",
        moved_before_reaming,
    ),
    Slip("swapped-coordinates", Route.BY_PROGRAM, "X and Y of a hole change places.", swapped),
    Slip("mirrored-pattern", Route.BY_PROGRAM, "The pattern is drilled as seen from the other side.", mirrored),
    Slip("pecks-forgotten", Route.BY_PROGRAM, "G81 stands where G83 is meant.", pecks_forgotten),
    Slip("drill-point-forgotten", Route.BY_PROGRAM, "The full depth is written for the drill's tip.", point_forgotten),
    Slip("drill-feed-kept-for-tap", Route.BY_PROGRAM, "The tap runs at the drill's feed.", drill_feed_kept),
)
