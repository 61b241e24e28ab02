"""Slips by hand at touch-off: which side, which cutter, which zero."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final, Literal, TypeGuard

from handwheel.hand import Action
from handwheel.hand.actions import Load, Preset, SetDial, Touch
from handwheel.motion import Tool
from handwheel.plan import Route
from handwheel.proof.arithmetic import Leg
from handwheel.proof.legs import legs_by_hand, strokes_only
from handwheel.proof.routes import Routes
from handwheel.proof.slips.changes import changed, finishing, loads, said
from handwheel.proof.slips.model import Impossible, Mistake, Slip
from handwheel.setup import Setup

REGROUND: Final = {"in": 0.508, "mm": 0.5}
"""An end mill comes back from grinding about this much smaller: 0.020 in or 0.5 mm (common practice)."""


def wrong_side(slide: Literal["x", "y"]) -> Callable[[Routes], Mistake | Impossible]:
    """The cutter taken to stand on the other side of the face that it touches."""

    def make(routes: Routes) -> Mistake | Impossible:
        job = routes.setup.job
        at = next(
            (i for i, act in enumerate(routes.doing) if isinstance(act, Touch) and act.slide == slide),
            None,
        )
        if at is None:
            return Impossible(f"The job has no operation, so nothing is touched off along {slide.upper()}.")
        touch = routes.doing[at]
        assert isinstance(touch, Touch)
        held = routes.execution.done[at].after.held
        assert held is not None
        outwards = touch.face.outwards
        wrong = -outwards * held.diameter
        doing = list(routes.doing)
        reads = []
        for index in range(at + 1, len(doing)):
            act = doing[index]
            if not (isinstance(act, Preset | SetDial) and act.slide == slide):
                break
            reads.append((act.reads, act.reads + wrong))
            doing[index] = replace(act, reads=act.reads + wrong)
        right, keyed = (said(job, value) for value in reads[0])
        off = said(job, held.diameter)
        shift = {slide: outwards * held.diameter}
        return Mistake(
            sentence=f"At the touch on the {touch.face} the cutter is taken to be on the other side of the face: "
            f"{slide.upper()} {keyed} is set instead of {right}.",
            reckoning=f"The zero is off by one diameter of what touched, {off}: every cut lies {off} further towards "
            f"the {touch.face}. A size between two cut faces stays, unless a cut now misses the work.",
            notice=f"Wind to {slide.upper()} zero before the first cut: the spindle should be over the finished "
            f"{touch.face}, and is {off} away.",
            legs=changed(legs_by_hand(routes), lambda leg: leg.number > at + 1, lambda leg: leg.moved(**shift)),
            setup=routes.setup,
            doing=doing,
        )

    return make


def not_zeroed(routes: Routes) -> Mistake | Impossible:
    """The knee dial goes on counting from the touch on the raw top, for every cutter: a later one, touched on the
    skimmed top, is given the old count, since with the sheet's figure the slip would end there."""
    job = routes.setup.job
    skim = next((step for step in routes.by_hand.steps if "z" in step.zeroes), None)
    if skim is None:
        return Impossible("No skim makes Z zero in this job, so there is no zeroing to forget.")
    legs = legs_by_hand(routes)
    if not any(leg.step > skim.number for leg in strokes_only(legs)):
        return Impossible("Nothing is cut after the skim, so the zero that it makes is never used.")
    at = next(
        i for i, act in enumerate(routes.doing) if isinstance(act, SetDial) and act.step == skim.number and act.stroke
    )
    shown = routes.execution.done[at].before.shown("knee")
    assert shown is not None
    doing = [*routes.doing[:at], *(_reading_on(act, shown) for act in routes.doing[at + 1 :])]
    off = said(job, shown)
    return Mistake(
        sentence=f"The knee dial is not zeroed after the skim in step {skim.number}: it shows {off} there, and "
        f"depths go on counting from the touch on the raw top.{_carried_on(routes, at, shown)}",
        reckoning=f"Every depth set after the skim comes out {off} too shallow.",
        notice=f"With the cutter just touching the skimmed top the dial should show zero; it shows {off}.",
        legs=changed(legs, lambda leg: leg.number > at, lambda leg: leg.moved(z=shown)),
        setup=routes.setup,
        doing=doing,
    )


def _carried_on(routes: Routes, at: int, more: float) -> str:
    """What is set wrongly at the next cutter, where there is one."""
    job = routes.setup.job
    later = next((act for act in routes.doing[at + 1 :] if isinstance(act, SetDial) and act.slide == "knee"), None)
    if later is None:
        return ""
    return (
        f" So at the next cutter too, in step {later.step}: touched on the skimmed top, its dial is set to "
        f"{said(job, later.reads + more)} and not to the sheet's {said(job, later.reads)}."
    )


def _reading_on(act: Action, more: float) -> Action:
    """A setting of the knee dial that carries the old count on."""
    return replace(act, reads=act.reads + more) if isinstance(act, SetDial) and act.slide == "knee" else act


def reground(routes: Routes) -> Mistake | Impossible:
    """The settings reckon with the size marked on the shank; the cutter has been ground since."""
    job = routes.setup.job
    step = finishing(routes.by_hand)
    if step is None:
        return Impossible("No side is cut in this job, and how deep a face comes does not depend on the diameter.")
    marked = step.tool
    smaller = min(REGROUND[job.units], marked.diameter / 4)
    actual = replace(marked, diameter=marked.diameter - smaller)
    legs = changed(
        legs_by_hand(routes),
        lambda leg: leg.tool == marked.number,
        lambda leg: replace(leg, clears=leg.clears - smaller / 2, radius=leg.radius - smaller / 2),
    )
    for done in routes.execution.done:
        if isinstance(done.action, Touch) and done.action.slide in ("x", "y") and done.after.held == marked:
            legs = _after_touch(legs, done.number, done.action, smaller)
    off = said(job, smaller)
    return Mistake(
        sentence=f"Tool {marked.number} is taken as marked, {said(job, marked.diameter)}, but has been reground to "
        f"{said(job, actual.diameter)}.",
        reckoning=f"Each side that it cuts keeps half the difference, {said(job, smaller / 2)}; a size between two of "
        f"them comes out {off} too large.",
        notice="The size taken before the last cut reads over by as much; a micrometer on the cutter shows it sooner.",
        legs=legs,
        setup=routes.setup,
        doing=[replace(act, tool=actual) if _loads(act, marked) else act for act in routes.doing],
    )


def _after_touch(legs: tuple[Leg, ...], number: int, touch: Touch, smaller: float) -> tuple[Leg, ...]:
    """Touched with the small cutter and keyed in as the large one, the zero lies half the difference inwards."""
    shift = {touch.slide: -touch.face.outwards * smaller / 2}
    return changed(legs, lambda leg: leg.number > number, lambda leg: leg.moved(**shift))


def _loads(act: Action, tool: Tool) -> TypeGuard[Load]:
    return isinstance(act, Load) and act.tool == tool


def zero_kept(routes: Routes) -> Mistake | Impossible:
    """The next cutter goes on with the Z zero of the one before."""
    job = routes.setup.job
    changes = loads(routes.doing)
    if len(changes) < 2:
        return Impossible("One cutter does the whole job: there is no cutter change after which to keep a zero.")
    (_, before), (at, load) = changes[0], changes[1]
    old, new = before.tool, load.tool
    assert isinstance(old, Tool)
    assert isinstance(new, Tool)
    longer = new.length - old.length
    if not longer:
        return Impossible("Both cutters stand out of the spindle equally far: a kept zero would be right.")
    doing = [
        act
        for index, act in enumerate(routes.doing)
        if not (index > at and act.step == load.step and isinstance(act, Touch | SetDial) and act.slide == "knee")
    ]
    later = [number for number, _ in changes[2:3]]
    here = range(at + 1, later[0] + 1 if later else len(routes.doing) + 1)
    legs = _with_depth_error(legs_by_hand(routes), here, -longer)
    way = "deeper" if longer > 0 else "shallower"
    return Mistake(
        sentence=f"After tool {new.number} is loaded in step {load.step} the knee dial is left as it was for tool "
        f"{old.number}.",
        reckoning=f"Tool {new.number} is {said(job, abs(longer))} {'further' if longer > 0 else 'less far'} out of "
        f"the spindle: all that it cuts comes out {said(job, abs(longer))} {way}.",
        notice=f"Raise the knee beside the work until the dial shows zero: the tip should be level with the top, "
        f"and is "
        f"{said(job, abs(longer))} {'below' if longer > 0 else 'above'} it.",
        legs=legs,
        setup=routes.setup,
        doing=doing,
        ways_clear=all(
            leg.level >= routes.setup.raw.high[2]
            for leg in legs
            if leg.number in here and _was_above(leg, -longer, routes.setup)
        ),
    )


def _was_above(leg: Leg, z: float, setup: Setup) -> bool:
    """Whether a way, now ``z`` higher, was meant to go over the work."""
    return not leg.stroke and leg.level - z >= setup.raw.high[2]


def _with_depth_error(legs: tuple[Leg, ...], numbers: range, z: float) -> tuple[Leg, ...]:
    """What is done by these actions at another depth; where they face the top, later cutters are touched on that."""
    faced = any(leg.number in numbers and leg.edge is None for leg in strokes_only(legs))
    return changed(
        legs,
        lambda leg: leg.number in numbers or (faced and leg.number >= numbers.stop),
        lambda leg: leg.moved(z=z),
    )


SLIPS: Final = (
    Slip(
        "wrong-side-touching-x",
        Route.BY_HAND,
        "At the touch-off in X the cutter is taken to be on the other side of the face.",
        wrong_side("x"),
    ),
    Slip(
        "wrong-side-touching-y",
        Route.BY_HAND,
        "At the touch-off in Y the cutter is taken to be on the other side of the face.",
        wrong_side("y"),
    ),
    Slip(
        "not-zeroed-after-skim",
        Route.BY_HAND,
        "The knee dial is not zeroed after the skim: depths go on counting from the raw top.",
        not_zeroed,
    ),
    Slip(
        "reground-cutter",
        Route.BY_HAND,
        "A cutter is taken as marked, but has been reground.",
        reground,
    ),
    Slip(
        "zero-kept-after-cutter-change",
        Route.BY_HAND,
        "Z is not touched off again after a cutter change.",
        zero_kept,
    ),
)
