"""Where errors come in on either route: a cause for each time that something is set, touched or keyed in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handwheel.hand.actions import Bring, FeedPast, Lever, Load, Preset, SetDial, SetStop, Touch, Wind
from handwheel.hand.slides import SLIDES
from handwheel.motion import Kind, Moves, Tool
from handwheel.path.face import Face
from handwheel.plan import Plan, SideStroke, Step
from handwheel.proof.budget.deflection import deflection, shares_off_the_side, tangential_force
from handwheel.proof.budget.errors import Ledger, Off, together
from handwheel.proof.budget.inputs import PRACTICE, Input, Inputs
from handwheel.proof.routes import Routes
from handwheel.setup import touches
from handwheel.tolerances import CONTACT

MET = 0.1
"""A move is a stroke's own where it runs as near as this to where the plan has it, mm: settings are rounded."""


def causes_by_hand(routes: Routes, inputs: Inputs, moves: Moves) -> Ledger:  # noqa: PLR0912
    """Every cause on the manual route, followed through the actions."""
    ledger = Ledger()
    tools = routes.execution.tools
    for number in tools:
        ledger.diameter[number] = ledger.new(inputs.length("cutter diameter, as marked"))
    rows: dict[int, list[int]] = {}
    for row, line in enumerate(moves.line.tolist()):
        rows.setdefault(line, []).append(row)
    slides: dict[str, dict[int, float]] = {slide: {} for slide in SLIDES}
    zeros: dict[str, dict[int, float]] = {slide: {} for slide in SLIDES}
    readout: dict[str, dict[int, float]] = {"x": {}, "y": {}}
    faces: dict[Face, dict[int, float]] = {}
    stop: dict[int, float] = {}
    for done in routes.execution.done:
        act = done.action
        before = _tip_off(slides)
        at_depth: dict[int, float] = {}
        match act:
            case Load():
                pass
            case Touch():
                feel = ledger.new(inputs.length(f"touch-off feel, {act.with_}"))
                half = _half(ledger, done.after.held, act.face)
                slides[act.slide] = together(faces.get(act.face, {}), feel, half)
            case Bring():
                slides[act.slide] = {}
            case SetDial():
                zeros[act.slide] = together(slides[act.slide], ledger.new(inputs.setting(act.slide)))
            case Preset():
                readout[act.slide] = together(slides[act.slide], ledger.new(inputs.setting(act.slide)))
            case Wind():
                origin = readout[act.slide] if act.on == "readout" else zeros[act.slide]
                slides[act.slide] = together(origin, *_set(ledger, inputs, act.slide))
            case SetStop():
                stop = together(*_set(ledger, inputs, "quill"))
            case Lever():
                at_depth = stop if act.to_stop else {}
            case _:
                pass
        after = _tip_off(slides)
        if isinstance(act, FeedPast) and abs(done.after.faces[act.leaves] - done.before.faces[act.leaves]) > CONTACT:
            faces[act.leaves] = together(
                after[act.leaves.axis], together(_half(ledger, done.after.held, act.leaves), times=-1.0)
            )
        mine = rows.get(done.number, [])
        for place, row in enumerate(mine):
            for axis in range(3):
                ledger.start[row, axis] = before[axis] if place == 0 else after[axis]
                ledger.end[row, axis] = after[axis]
        if at_depth and mine:
            ledger.end[mine[0], 2] = together(after[2], at_depth)
            for row in mine[1:]:
                ledger.start[row, 2] = together(after[2], at_depth)
    _bend(routes, inputs, routes.by_hand, ledger, moves)
    return ledger


def _tip_off(slides: dict[str, dict[int, float]]) -> tuple[dict[int, float], ...]:
    return slides["x"], slides["y"], together(slides["knee"], slides["quill"])


def _half(ledger: Ledger, held: object, face: Face) -> dict[int, float]:
    """Half a cutter's diameter, outwards of a side."""
    if face is Face.TOP or not isinstance(held, Tool):
        return {}
    return together(ledger.diameter[held.number], times=face.outwards / 2)


def _set(ledger: Ledger, inputs: Inputs, slide: str) -> tuple[Off, ...]:
    given = (inputs.setting(slide), inputs.play(slide), inputs.length("repeatability by hand"))
    return tuple(ledger.new(one) for one in given)


def causes_by_program(routes: Routes, inputs: Inputs, moves: Moves, counted: set[int]) -> Ledger:
    """Every cause on the programmed route; of words and positions those of the moves that are ``counted``, by row."""
    ledger, plan = Ledger(), routes.by_program
    if not plan.steps:
        return ledger
    first = plan.steps[0].tool
    compensated = {step.tool.number for step in plan.steps if step.compensation != "off"}
    tool_of = moves.of_modal("tool").tolist()
    tools = sorted({tool_of[row] for row in counted})
    for number in tools:
        how = "as keyed in" if number in compensated else "as marked"
        ledger.diameter[number] = ledger.new(inputs.length(f"cutter diameter, {how}"))
    for axis, touch in enumerate(touches(routes.setup, first.diameter)):
        off = ledger.new(inputs.length(f"touch-off feel, {touch.with_}"))
        if axis < 2 and touch.with_ != "edge finder":
            off = together(off, together(ledger.diameter.get(first.number, {}), times=touch.face.outwards / 2))
        for row in counted:
            ledger.shift(row, axis, off)
    for number in tools:
        if number != first.number:
            off = ledger.new(inputs.length("tool length, as keyed in"))
            for row in counted:
                if tool_of[row] == number:
                    ledger.shift(row, 2, off)
    _words(inputs, ledger, moves, counted)
    _bend(routes, inputs, plan, ledger, moves)
    return ledger


def _words(inputs: Inputs, ledger: Ledger, moves: Moves, counted: set[int]) -> None:
    """A printed number is rounded once, wherever it is; a slide comes to it anew each time (in Z with each tool)."""
    tool_of = moves.of_modal("tool").tolist()
    for axis in range(3):
        rounded: dict[float, dict[int, float]] = {}
        come: dict[object, dict[int, float]] = {}
        for row in sorted(counted):
            for ends, at in ((ledger.start, moves.start), (ledger.end, moves.end)):
                figure = round(float(at[row, axis]), 6)
                if figure not in rounded:
                    rounded[figure] = ledger.new(inputs.program_step())
                since = row if ends is ledger.end else row - 1
                while since > 0 and abs(moves.start[since, axis] - moves.end[since, axis]) <= CONTACT:
                    since -= 1
                key = (figure, tool_of[row]) if axis == 2 else since
                if key not in come:
                    names = ("repeatability by program", "backlash left, by program")
                    come[key] = together(*(ledger.new(inputs.length(name)) for name in names))
                ends[row, axis] = together(ends.get((row, axis), {}), rounded[figure], come[key])


def _bend(routes: Routes, inputs: Inputs, plan: Plan, ledger: Ledger, moves: Moves) -> None:
    """The cutter bends off a side and leaves metal, or is pulled into it; a spring pass meets only what the pass before
    it left.

    That it does is no chance: the mean is a bias, and only what is about it spreads. Walls within the work are taken
    as if nothing bent.
    """
    differs = inputs.number("share by which the cutting force may differ")
    for step in plan.steps:
        left = 0.0
        for stroke in step.strokes:
            if not isinstance(stroke, SideStroke):
                continue
            width = max(0.0, left) if stroke.purpose == "spring" else stroke.width
            bent = bends(routes, inputs, step, stroke, width)
            left = bent.mean
            alike = [one for one in step.strokes if isinstance(one, SideStroke) and _place(one) == _place(stroke)]
            cut = list(_moves_of(moves, step, stroke))
            passes = len(cut) // len(alike)
            which = next(place for place, one in enumerate(alike) if one is stroke)
            cut = cut[which * passes : (which + 1) * passes]
            if not cut:
                continue
            mean = Input("deflection, mean", bent.mean, "one way: Kienzle's mean force, square to the side")
            about = Input("deflection, about its mean", abs(differs * bent.mean), f"{differs:.0%} of it, {PRACTICE}")
            radial = Input("deflection, radial force", bent.radial, f"{bent.share} of the tangential force, {PRACTICE}")
            off = together(ledger.new(mean, always=True), ledger.new(about), ledger.new(radial))
            for row in cut:
                ledger.shift(row, stroke.edge.axis, together(off, times=stroke.edge.outwards))


def _place(stroke: SideStroke) -> tuple[Face, float, float]:
    """Where a stroke runs: a spring pass runs where the pass before it did."""
    return stroke.edge, stroke.to, stroke.level


def _moves_of(moves: Moves, step: Step, stroke: SideStroke) -> Iterator[int]:
    """The rows that run along a side as a stroke does."""
    axis = stroke.edge.axis
    beside = stroke.to + stroke.edge.outwards * step.tool.diameter / 2
    ends = np.stack((moves.start, moves.end))
    off = np.maximum(np.abs(ends[:, :, axis] - beside), np.abs(ends[:, :, 2] - stroke.level)).max(axis=0)
    along = np.abs(moves.end[:, 1 - axis] - moves.start[:, 1 - axis])
    chosen = (moves.step == step.number) & (moves.kind == Kind.FEED) & (off < MET) & (along > MET)
    yield from np.flatnonzero(chosen).tolist()


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
