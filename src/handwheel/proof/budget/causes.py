"""Where errors come in, and which strokes they move: a cause for each time that something is set, touched or keyed
in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.hand.actions import Touch, Wind
from handwheel.hand.slides import SLIDES
from handwheel.motion import Tool
from handwheel.plan import Plan, SideStroke, Step
from handwheel.proof.arithmetic import Leg
from handwheel.proof.budget.deflection import deflection, shares_off_the_side, tangential_force
from handwheel.proof.budget.inputs import PRACTICE, Input, Inputs
from handwheel.proof.routes import Routes
from handwheel.setup import touches

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Cause:
    """One thing that may be off by ``given.value`` either way, all values alike; ``always`` is off by just that.

    ``moves`` is (m, 4): how each of m strokes follows it in X, Y, Z and in half its width.
    """

    given: Input
    moves: Floats
    always: bool = False

    @property
    def mean(self) -> float:
        """What it is off by on the average, mm."""
        return self.given.value if self.always else 0.0

    @property
    def width(self) -> float:
        """How far it may lie from its mean either way, mm."""
        return 0.0 if self.always else self.given.value


def causes_by_hand(routes: Routes, inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    """Every cause on the manual route; ``legs`` are its strokes, without the ways."""
    yield from _touches_by_hand(routes, inputs, legs)
    yield from _settings_by_hand(routes, inputs, legs)
    yield from _marked_sizes(routes, inputs, legs)
    yield from _bending(routes, inputs, routes.by_hand, legs)


def causes_by_program(routes: Routes, inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    """Every cause on the programmed route."""
    _job, plan = routes.setup.job, routes.by_program
    if not plan.steps:
        return
    first = plan.steps[0].tool
    for axis, touch in enumerate(touches(routes.setup, first.diameter)):
        yield Cause(inputs.length(f"touch-off feel, {touch.with_}"), _moves(legs, axis, _all))
    for number in {leg.tool for leg in legs} - {first.number}:
        yield Cause(inputs.length("tool length, as keyed in"), _moves(legs, 2, _with_tool(number)))
    yield from _settings_by_program(inputs, legs)
    compensated = {step.number for step in plan.steps if step.compensation != "off"}
    for number in {leg.tool for leg in legs}:
        keyed_in = any(leg.step in compensated for leg in legs if leg.tool == number)
        moves = _width(legs, number)
        for axis, touch in enumerate(touches(routes.setup, first.diameter)[:2]):
            if number == first.number and touch.with_ != "edge finder":
                outwards = touch.face.outwards
                moves = moves + outwards / 2 * _moves(legs, axis, _all)
        yield Cause(inputs.length(f"cutter diameter, {'as keyed in' if keyed_in else 'as marked'}"), moves)
    yield from _bending(routes, inputs, plan, legs)


def _touches_by_hand(routes: Routes, inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    touched = [done for done in routes.execution.done if isinstance(done.action, Touch)]
    tops = [done.number for done in touched if done.action.slide == "knee"]  # type: ignore[union-attr]
    for done in touched:
        act = done.action
        assert isinstance(act, Touch)
        until = next((number for number in tops if number > done.number), len(routes.doing) + 1)
        here = range(done.number, until)
        # what is faced now is what the next cutter is touched on
        carries = act.slide != "knee" or any(leg.number in here and leg.edge is None for leg in legs)
        reach = range(done.number, len(routes.doing) + 1) if carries else here
        moves = _moves(legs, SLIDES[act.slide].axis, _numbered(reach))
        yield Cause(inputs.length(f"touch-off feel, {act.with_}"), moves)


def _settings_by_hand(routes: Routes, inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    """Each setting of the knee, and of the slide across a stroke, with the strokes that are cut with it."""
    wound: dict[str, int] = {}
    used: dict[tuple[int, str], list[int]] = {}
    by_number = {leg.number: index for index, leg in enumerate(legs)}
    for done in routes.execution.done:
        act = done.action
        if done.number in by_number:
            leg = legs[by_number[done.number]]
            slides = ["knee"] if leg.edge is None else ["knee", "y" if leg.axis == 0 else "x"]
            for slide in slides:
                used.setdefault((wound[slide], slide), []).append(done.number)
        if isinstance(act, Wind):
            wound[act.slide] = done.number
    for (_, slide), numbers in used.items():
        moves = _moves(legs, SLIDES[slide].axis, _numbered(numbers))  # type: ignore[index]
        for given in (inputs.setting(slide), inputs.play(slide), inputs.length("repeatability by hand")):
            yield Cause(given, moves)


def _settings_by_program(inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    """The same number is the same word, rounded alike. Each side is gone to anew; a tool goes to a depth from above,
    and comes out alike each time."""
    for axis in (0, 1, 2):
        chosen = [leg for leg in legs if axis == 2 or (leg.edge is not None and leg.axis == 1 - axis)]
        for figure in dict.fromkeys(_figure(leg, axis) for leg in chosen):
            alike = [leg for leg in chosen if _figure(leg, axis) == figure]
            yield Cause(inputs.program_step(), _moves(legs, axis, _among(alike)))
            anew = [[leg] for leg in alike]
            if axis == 2:
                anew = [[leg for leg in alike if leg.tool == tool] for tool in dict.fromkeys(leg.tool for leg in alike)]
            for together in anew:
                for name in ("repeatability by program", "backlash left, by program"):
                    yield Cause(inputs.length(name), _moves(legs, axis, _among(together)))


def _marked_sizes(routes: Routes, inputs: Inputs, legs: Sequence[Leg]) -> Iterator[Cause]:
    """A cutter off its marked size; where it touched a side itself, the zero is off by half of that."""
    for number in {leg.tool for leg in legs}:
        moves = _width(legs, number)
        for done in routes.execution.done:
            act, held = done.action, done.after.held
            if isinstance(act, Touch) and act.face != "top" and isinstance(held, Tool) and held.number == number:
                later = range(done.number, len(routes.doing) + 1)
                moves = moves + act.face.outwards / 2 * _moves(legs, SLIDES[act.slide].axis, _numbered(later))
        yield Cause(inputs.length("cutter diameter, as marked"), moves)


def _bending(routes: Routes, inputs: Inputs, plan: Plan, legs: Sequence[Leg]) -> Iterator[Cause]:
    """The cutter bends off a side and leaves metal, or is pulled into it; a spring pass meets only what the pass before
    it left.

    That it does is no chance: the mean is a bias, and only what is about it spreads.
    """
    differs = inputs.number("share by which the cutting force may differ")
    for step in plan.steps:
        left = 0.0
        for number, stroke in enumerate(step.strokes, start=1):
            if not isinstance(stroke, SideStroke):
                continue
            width = max(0.0, left) if stroke.purpose == "spring" else stroke.width
            bent = bends(routes, inputs, step, stroke, width)
            left = bent.mean
            axis = 0 if stroke.edge.axis == 0 else 1
            cut = [leg for leg in legs if (leg.step, leg.stroke) == (step.number, number)]
            moves = stroke.edge.outwards * _moves(legs, axis, _among(cut))
            mean = Input("deflection, mean", bent.mean, "one way: Kienzle's mean force, square to the side")
            about = Input("deflection, about its mean", abs(differs * bent.mean), f"{differs:.0%} of it, {PRACTICE}")
            radial = Input("deflection, radial force", bent.radial, f"{bent.share} of the tangential force, {PRACTICE}")
            yield Cause(mean, moves, always=True)
            yield Cause(about, moves)
            yield Cause(radial, moves)


@dataclass(frozen=True, slots=True)
class Bent:
    """How far a cutter bends off a side; mm.

    ``mean`` is less than nothing where it is pulled in; ``radial`` how much more or less that may be, since the radial
    force is not the same share of the tangential one in every cutter; ``share`` says which share that is.
    """

    mean: float
    radial: float
    share: str


def bends(routes: Routes, inputs: Inputs, step: Step, stroke: SideStroke, width: float) -> Bent:
    """How far the cutter's end bends off the side in a stroke that takes so wide a cut: the forces are means over the
    arc in which a tooth cuts, not peaks, and act half way down the cut."""
    job, tool = routes.setup.job, step.tool
    along_the_rim = tangential_force(
        job.material.force, step.speeds.feed_per_tooth, width, stroke.depth, tool.diameter, tool.flutes
    )
    off = shares_off_the_side(width, tool.diameter, stroke.cutting)
    share = inputs.number("radial force as a share of the tangential")
    either_way = inputs.number("plus and minus of the radial force's share")
    lever = tool.reach - min(stroke.depth, tool.flute_length) / 2.0
    stiff = inputs.number("stiff share of the diameter") * tool.diameter
    elasticity = inputs.number(f"elasticity of {tool.material}, GPa") * 1000.0
    whole = deflection(along_the_rim, lever, tool.reach, stiff, elasticity)
    return Bent(
        mean=whole * (off.tangential + share * off.radial),
        radial=whole * either_way * off.radial,
        share=f"{share:g} ± {either_way:g}",
    )


# strokes -------------------------------------------------------------------------------------------------------------


def _moves(legs: Sequence[Leg], axis: int, chosen: Callable[[Leg], bool]) -> Floats:
    moves = np.zeros((len(legs), 4))
    moves[:, axis] = [float(chosen(leg)) for leg in legs]
    return moves


def _width(legs: Sequence[Leg], tool: int) -> Floats:
    """Half the width follows half the diameter, past a side."""
    moves = np.zeros((len(legs), 4))
    moves[:, 3] = [0.5 if leg.tool == tool and leg.edge is not None else 0.0 for leg in legs]
    return moves


def _all(leg: Leg) -> bool:
    del leg
    return True


def _with_tool(number: int) -> Callable[[Leg], bool]:
    return lambda leg: leg.tool == number


def _numbered(numbers: Sequence[int]) -> Callable[[Leg], bool]:
    return lambda leg: leg.number in numbers


def _among(chosen: Sequence[Leg]) -> Callable[[Leg], bool]:
    identities = {id(leg) for leg in chosen}
    return lambda leg: id(leg) in identities


def _figure(leg: Leg, axis: int) -> float:
    return leg.level if axis == 2 else leg.start[axis]
