"""What can still be put right while the work is in the vise: the line that sets a size, and how to set it again."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.hand.actions import Feed, Wind
from handwheel.hand.entries import Entry, Row
from handwheel.hand.execute import Done, Execution
from handwheel.hand.scales import Scales
from handwheel.hand.slides import SlideName
from handwheel.hand.words import figure_of
from handwheel.job import Dimension
from handwheel.plan import Plan, SideStroke, Step
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT


def lines_of_side(execution: Execution, step: Step) -> tuple[Done, ...]:
    """Where the line of a side is set, the same for every pass of the step that has the first one's figure."""
    first = step.sides[0]
    slide: SlideName = "x" if first.edge.axis == 0 else "y"
    strokes = [
        number for number, one in enumerate(step.strokes, start=1) if isinstance(one, SideStroke) and one.to == first.to
    ]
    return tuple(_set_last(execution, slide, step, stroke) for stroke in strokes)


def depth_of_face(execution: Execution, step: Step) -> Done:
    """Where the depth of a facing step is set."""
    return _set_last(execution, "knee", step, 1)


def end_of_route(setup: Setup, plan: Plan, scales: Scales, execution: Execution) -> Iterator[Entry]:
    """Every size that can be reached is measured once more before the vise is opened; then the work comes out."""
    again = reachable(setup, plan)
    if again:
        yield Row(
            "Vise shut",
            "measure once more before the vise is opened. e is what is still to come off; undersize: stop and tell "
            "the instructor. A step done again begins with the spindle started and the knee at its setting.",
        )
    for size, step in again:
        limits = f"{scales.length(size.lower)} to {scales.length(size.upper)}"
        yield Row("", f"{size.name}, {size.gauge}, {limits}: {_repair(plan, scales, execution, size, step)}")
    yield Row("Vise open", "unclamp, break the lower edges with a file, inspect as the inspection sheet says")


def reachable(setup: Setup, plan: Plan) -> list[tuple[Dimension, Step]]:
    """The sizes that can be measured in the vise, each with the step that makes it."""
    return [
        (size, step)
        for size in setup.dimensions
        if (step := next((one for one in reversed(plan.steps) if _makes(setup, one, size)), None)) is not None
    ]


def _repair(plan: Plan, scales: Scales, execution: Execution, size: Dimension, step: Step) -> str:
    """Which lines are set again, and to what."""
    knee = _set_last(execution, "knee", step, len(step.strokes))
    lines = (knee,) if size.axis == "z" else lines_of_side(execution, step)
    sign = "+" if size.axis == "z" or step.sides[0].edge in ("left", "front") else "-"
    at = " and ".join(f"line {one.number} at {_figure(one, scales)} {sign} e" for one in lines)
    if knee.action.step != step.number:
        at += f", knee as in line {knee.number}"
    other = plan.steps[-1].tool != step.tool
    return f"step {step.number} again, {at}" + (f", tool {step.tool.number} back and its Z found anew" if other else "")


def _makes(setup: Setup, step: Step, size: Dimension) -> bool:
    """Whether a step finishes a side, or the floor beside it, at which a size that can be reached in the vise ends."""
    if step.kind != "finish" or not step.sides:
        return False
    stroke = step.sides[-1]
    axis = "x" if stroke.edge.axis == 0 else "y"
    if size.axis == axis:
        return (
            size.of in ("outside", "step")
            and stroke.level - CONTACT <= size.through["z"] <= setup.finished_top + CONTACT
        )
    if size.axis != "z" or size.of != "step" or size.start is not None or setup.zero.z != "top":
        return False
    over_floor = stroke.edge.outwards * (size.through[axis] - stroke.to) > 0
    return over_floor and abs(setup.finished_top - stroke.level - size.nominal) <= size.upper - size.lower + CONTACT


def _set_last(execution: Execution, slide: SlideName, step: Step, stroke: int) -> Done:
    """The last setting of a slide before a pass feeds."""
    fed = next(
        one
        for one in execution.done
        if isinstance(one.action, Feed) and (one.action.step, one.action.stroke) == (step.number, stroke)
    )
    return next(
        one
        for one in reversed(execution.done[: fed.number - 1])
        if isinstance(one.action, Wind) and one.action.slide == slide
    )


def _figure(one: Done, scales: Scales) -> str:
    assert isinstance(one.action, Wind)
    return figure_of(one.action, scales)
