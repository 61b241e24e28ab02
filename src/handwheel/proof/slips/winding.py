"""Slips by hand while winding and clamping: play, turns, direction, a pass left out, the wrong parallels."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from handwheel.hand import Action
from handwheel.hand.actions import Wind
from handwheel.hand.slides import SLIDES
from handwheel.job import SideMilling
from handwheel.plan import Route, Step
from handwheel.proof.legs import legs_by_hand
from handwheel.proof.routes import Routes
from handwheel.proof.slips.changes import changed, depth_settings, finishing, said
from handwheel.proof.slips.model import Impossible, Mistake, Slip
from handwheel.setup import on_parallels


def play_left(routes: Routes) -> Mistake | Impossible:
    """A setting that ends the wrong way round. A readout sees the slide itself, so with one only the knee suffers."""
    settings = _settings_with_play(routes)
    if isinstance(settings, Impossible):
        return settings
    job = routes.setup.job
    first = routes.doing[min(settings)]
    assert isinstance(first, Wind)
    backlash = getattr(job.by_hand.slides, first.slide).backlash
    if not backlash:
        return Impossible(f"The screw of the {SLIDES[first.slide].name} has no backlash in this job.")
    doing: list[Action] = []
    for index, act in enumerate(routes.doing):
        if index in settings:
            assert isinstance(act, Wind)
            # past the figure by the play and back to it: the handwheel turns back, the slide does not follow
            doing += [replace(act, to=act.to + act.ends * backlash, ends=0), replace(act, ends=0)]
        else:
            doing.append(act)
    facts = SLIDES[first.slide]
    off = first.ends * facts.sign * backlash
    numbers = {number for here in settings.values() for number in here}
    shift = {"xyz"[facts.axis]: off}
    back = facts.down if first.ends > 0 else facts.up
    return Mistake(
        sentence=f"In step {first.step} the {facts.name} is wound past its setting and back {back} to it, without "
        "taking up the backlash again.",
        reckoning=f"The dial is right and the {facts.name} is off by its backlash, {said(job, backlash)}.",
        notice="The handwheel turned light for a moment before the setting came up: that was the backlash. Go past "
        "and come back the way that the sheet says.",
        legs=changed(
            legs_by_hand(routes),
            lambda leg: leg.number in numbers,
            lambda leg: leg.moved(**shift),
        ),
        setup=routes.setup,
        doing=doing,
    )


def _settings_with_play(routes: Routes) -> dict[int, range] | Impossible:
    """Which settings of the sheet are to end the wrong way, and the numbers of the actions done at each."""
    if routes.setup.job.by_hand.readout_step:
        deep = _depth_setting(routes)
        return deep if isinstance(deep, Impossible) else {deep[0]: deep[1]}
    step = finishing(routes.by_hand, last=True)
    if step is None:
        return Impossible("No side is cut in this job, so no slide is set to a size.")
    return {
        index: _until_wound(routes.doing, index, act.slide)
        for index, act in enumerate(routes.doing)
        if isinstance(act, Wind) and act.step == step.number and act.slide in ("x", "y") and act.ends
    }


def _until_wound(doing: Sequence[Action], index: int, slide: str) -> range:
    """The numbers of the actions after the one at ``index`` until that slide is wound again."""
    later = list(enumerate(doing))[index + 1 :]
    again = (i for i, act in later if isinstance(act, Wind) and act.slide == slide)
    return range(index + 2, next(again, len(doing)) + 1)


def _depth_setting(routes: Routes) -> tuple[int, range] | Impossible:
    """The first setting of the knee for a side, else for a face."""
    settings = list(depth_settings(routes.doing))
    if not settings:
        return Impossible("The job has no operation, so the knee is never set.")
    sides = {step.number for step in routes.by_hand.steps if step.sides}
    return next((one for one in settings if routes.doing[one[0]].step in sides), settings[0])


def knee_turns(turns: int) -> Callable[[Routes], Mistake | Impossible]:
    """A whole turn of the knee miscounted: the dial shows the right figure."""

    def make(routes: Routes) -> Mistake | Impossible:
        setting = _depth_setting(routes)
        if isinstance(setting, Impossible):
            return setting
        job = routes.setup.job
        index, numbers = setting
        act = routes.doing[index]
        assert isinstance(act, Wind)
        off = turns * job.by_hand.slides.knee.per_turn
        doing = list(routes.doing)
        doing[index] = replace(act, to=act.to + off)
        how = "too many" if turns > 0 else "too few"
        return Mistake(
            sentence=f"In step {act.step} the knee is raised one turn {how}; the dial shows the same graduation.",
            reckoning=f"One turn of the knee is {said(job, abs(off))}: what is cut at this setting comes out that "
            f"much too "
            f"{'deep' if turns > 0 else 'shallow'}.",
            notice="Say the turns aloud, and look before feeding: the depth beside the work is to be seen by eye, "
            f"{said(job, abs(off))} is not a matter of feel.",
            legs=changed(
                legs_by_hand(routes),
                lambda leg: leg.number in numbers,
                lambda leg: leg.moved(z=-off),
            ),
            setup=routes.setup,
            doing=doing,
        )

    return make


def low_parallels(routes: Routes) -> Mistake | Impossible:
    """The next lower pair under the work, and Z touched off on that."""
    setup, job = routes.setup, routes.setup.job
    lower = [height for height in job.parallel_set if height < setup.parallel_height]
    if not lower:
        return Impossible(f"There are no parallels lower than {said(job, setup.parallel_height)} in the set.")
    low = on_parallels(setup, max(lower))
    sunk = setup.parallel_height - max(lower)
    air = (
        ""
        if low.air is None
        else f": between lowest cut and jaws {said(job, abs(low.air))} is " + ("left" if low.air >= 0 else "missing")
    )
    return Mistake(
        sentence=f"Parallels of {said(job, max(lower))} instead of {said(job, setup.parallel_height)} are under the "
        f"work; "
        "Z is touched off as it is.",
        reckoning=f"Seen from the work nothing changes, but the jaws are {said(job, sunk)} higher against it{air}.",
        notice=f"The rule shows {said(job, low.stick_out)} standing above the jaws; the sheet says "
        f"{said(job, setup.stick_out)}.",
        legs=legs_by_hand(routes),
        setup=low,
        doing=routes.doing,
        codes=("cutter-hits-vise",) if low.air is not None and low.air < 0 and _crosses_jaws(routes) else (),
    )


def _crosses_jaws(routes: Routes) -> bool:
    """Whether the lowest cut passes a side, where the jaws are."""
    lowest = routes.setup.lowest
    return any(stroke.level == lowest for step in routes.by_hand.steps for stroke in step.sides)


def climb(routes: Routes) -> Mistake | Impossible:
    """The first side cut the other way along."""
    setup, job = routes.setup, routes.setup.job
    at = next(
        (
            i
            for i, one in enumerate(setup.operations)
            if isinstance(one, SideMilling) and one.cut.by_hand == "conventional"
        ),
        None,
    )
    if at is None:
        return Impossible("No side is cut conventionally by hand in this job: there is none to climb by mistake.")
    side = setup.operations[at]
    assert isinstance(side, SideMilling)
    slide = job.by_hand.slides.x if side.edge.axis == 1 else job.by_hand.slides.y
    name = "table" if side.edge.axis == 1 else "saddle"
    if not slide.backlash:
        return Impossible(f"The screw of the {name} has no backlash in this job: it cannot be pulled along.")
    turned = side.model_copy(update={"cut": side.cut.model_copy(update={"by_hand": "climb"})})
    operations = (*setup.operations[:at], turned, *setup.operations[at + 1 :])
    climbing = Routes(replace(setup, entry=replace(setup.entry, operations=operations)))
    step = next(one for one in climbing.by_hand.steps if one.sides and one.operation == side.name)
    tooth = step.speeds.feed_per_tooth
    return Mistake(
        sentence=f"The {side.edge} side is fed the other way along in step {step.number}: a climb cut.",
        reckoning=f"No size changes so long as all holds, but the teeth can pull the {name} on by its backlash, "
        f"{said(job, slide.backlash)}: {slide.backlash / tooth:.0f} times the {said(job, tooth)} that a tooth is to "
        f"take.",
        notice=f"The handwheel runs ahead of the hand and the {name} jumps at the first tooth: stop the feed.",
        legs=legs_by_hand(climbing),
        setup=climbing.setup,
        doing=climbing.doing,
        codes=("climb-with-backlash",) if any(one.width for one in step.strokes) else (),
    )


def pass_skipped(routes: Routes) -> Mistake | Impossible:
    """The last side is left as it was roughed."""
    step = finishing(routes.by_hand, last=True)
    if step is None:
        return Impossible("No side is cut in this job, so no last pass can be skipped.")
    job = routes.setup.job
    stays = step.strokes[0].width
    skipped = {number for number, act in enumerate(routes.doing, start=1) if _is_cutting_in(act, step)}
    return Mistake(
        sentence=f"Step {step.number} is skipped: the {step.sides[0].edge} side stays as roughing left it.",
        reckoning=f"The {said(job, stays)} of the last pass stay on: a size that ends there comes out as much too "
        f"large.",
        notice="The gauge at the end reads what it read before the last pass; the side shows roughing marks.",
        legs=tuple(leg for leg in legs_by_hand(routes) if leg.number not in skipped),
        setup=routes.setup,
        doing=[act for number, act in enumerate(routes.doing, start=1) if number not in skipped],
    )


def _is_cutting_in(act: Action, step: Step) -> bool:
    return act.step == step.number and act.stroke > 0


SLIPS: Final = (
    Slip(
        "backlash-not-taken-up",
        Route.BY_HAND,
        "A setting ends the wrong way round, with the backlash not taken up.",
        play_left,
    ),
    Slip("knee-turn-too-many", Route.BY_HAND, "The knee is raised one whole turn too many.", knee_turns(1)),
    Slip("knee-turn-too-few", Route.BY_HAND, "The knee is raised one whole turn too few.", knee_turns(-1)),
    Slip("parallels-one-size-low", Route.BY_HAND, "The work stands on the next lower parallels.", low_parallels),
    Slip("climb-with-backlash", Route.BY_HAND, "A side is fed the wrong way along: a climb cut, with backlash.", climb),
    Slip("last-pass-skipped", Route.BY_HAND, "The finishing pass of the last side is left out.", pass_skipped),
)
