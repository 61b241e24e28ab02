"""The strokes of either route, for the arithmetic: by the plan's numbers, and the ways between them as the sheet has
them.

The arithmetic knows strokes along the axes over the top and past the sides. What is made within the work it does not
reckon, nor any size that ends there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from handwheel.check.gauged import gauged
from handwheel.cut.part import Part
from handwheel.hand.actions import Feed, Wind
from handwheel.hand.execute import Done
from handwheel.job import Dimension
from handwheel.motion import Offset, Tool
from handwheel.path.chain import corners
from handwheel.plan import Inner, SideStroke, Step, Stroke
from handwheel.proof.arithmetic import Leg, Point2, sizes
from handwheel.proof.routes import Routes


def legs_by_hand(routes: Routes) -> tuple[Leg, ...]:
    """Every stroke of the manual route as it is meant, and every way that table and saddle are wound between them."""
    steps = {step.number: step for step in routes.by_hand.steps}
    meant: dict[tuple[int, int], Iterator[Leg]] = {}
    legs = []
    for done in routes.execution.done:
        act = done.action
        if isinstance(act, Feed):
            step = steps[act.step]
            stroke = step.strokes[act.stroke - 1]
            if isinstance(stroke, Inner):
                continue
            each = meant.setdefault(
                (act.step, act.stroke),
                _legs(step, act.stroke, stroke, _ends(stroke, step.tool.diameter / 2), 0.0),
            )
            legs.append(replace(next(each), number=done.number))
        elif isinstance(act, Wind) and act.slide in ("x", "y"):
            legs += _way(done)
    return tuple(legs)


def is_reckoned(routes: Routes, size: Dimension) -> bool:
    """Whether the arithmetic of the planned route gives the size that its cut has."""
    setup = routes.setup
    if len(setup.job.setups) > 1:
        return False
    execution = routes.execution
    part = Part(setup.stock).with_cut(execution.moves, execution.tools)
    cut = next(one.measured for one in gauged(setup, part) if one.name == size.name)
    planned = sizes(setup, legs_by_hand(routes))[size.name]
    return cut is not None and planned is not None and abs(cut - planned) <= setup.job.tolerance / 2


def strokes_only(legs: Sequence[Leg]) -> tuple[Leg, ...]:
    """Without the ways."""
    return tuple(leg for leg in legs if leg.stroke)


def legs_by_program(routes: Routes, offsets: Mapping[int, Offset] | None = None) -> tuple[Leg, ...]:
    """The strokes of the program with what the control holds: ``offsets``, or else the set-up's.

    The control keeps the cutter off by half of what D holds (NISTIR 6556, appendix B), and puts the nose at Z plus H.
    """
    held = routes.setup.control.offsets if offsets is None else offsets
    legs: list[Leg] = []
    for step in routes.by_program.steps:
        entry = held[step.tool.number]
        off = control_distance(step, entry.diameter)
        for number, stroke in enumerate(step.strokes, start=1):
            if isinstance(stroke, Inner):
                continue
            legs += _legs(
                step,
                number,
                stroke,
                _ends(stroke, off),
                entry.length - routes.setup.control.touched_at - step.tool.length,
            )
    return tuple(legs)


def control_distance(step: Step, diameter: float) -> float:
    """How far off the finished edge the cutter's center runs where D holds ``diameter``, mm."""
    return {
        "material-edge": diameter / 2,
        "tool-path": step.tool.diameter / 2 + diameter / 2,
        "off": step.tool.diameter / 2,
    }[step.compensation]


def _way(done: Done) -> Iterator[Leg]:
    held = done.after.held
    if not isinstance(held, Tool):
        return
    (x0, y0, level), (x1, y1, _) = done.before.tip, done.after.tip
    yield Leg(
        step=done.action.step,
        stroke=0,
        number=done.number,
        tool=held.number,
        start=(x0, y0),
        end=(x1, y1),
        down=(x0, y0),
        level=level,
        clears=held.diameter / 2,
        radius=held.diameter / 2,
        edge=None,
        flutes=held.flute_length,
        length=held.length,
    )


def _ends(stroke: Stroke, off: float) -> tuple[Point2, ...]:
    return corners(stroke.centre(off))


def _legs(step: Step, number: int, stroke: Stroke, path: Sequence[Point2], lift: float) -> Iterator[Leg]:
    tool = step.tool
    for start, end in pairwise(path):
        yield Leg(
            step=step.number,
            stroke=number,
            number=0,
            tool=tool.number,
            start=start,
            end=end,
            down=path[0],
            level=stroke.level + lift,
            clears=tool.diameter / 2 if isinstance(stroke, SideStroke) else tool.flat_diameter / 2,
            radius=tool.diameter / 2,
            edge=stroke.edge if isinstance(stroke, SideStroke) else None,
            flutes=tool.flute_length,
            length=tool.length,
        )
