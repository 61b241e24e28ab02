"""Facing: round the edge and down the middle, or in rows."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from handwheel.job import Dimension, Facing
from handwheel.motion import Side, Tool
from handwheel.path.chain import straight
from handwheel.path.face import Face
from handwheel.plan.around import row_cut
from handwheel.plan.measuring import measuring, measuring_step
from handwheel.plan.model import Cutting, Point2, Purpose, Skim, Step
from handwheel.plan.speeds import speeds
from handwheel.plan.strokes import even_steps, run_off
from handwheel.plan.which_route import Route
from handwheel.plan.words import Numbering, coordinate, counted
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Asked = Literal["conventional", "climb"]
DEEPEST = {"in": 2.54, "mm": 2.5}
"""At most this much off the top at once where the job does not say: 0.100 in or 2.5 mm (common practice)."""

THICKNESS = (
    "The thickness is made by what is measured now, not by what the block was sawn to. No micrometer reaches under the "
    "work in the vise: measure with a depth micrometer down to a parallel, or take the work out, measure it and seat "
    "it again."
)


def steps(setup: Setup, operation: Facing, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """One step for each depth; ``top`` is the Z that the work's top now has, mm."""
    tool = setup.job.tool(operation.tool)
    asked = operation.cut.by_hand if route is Route.BY_HAND else operation.cut.by_program
    deepest = min(operation.pass_depth or DEEPEST[setup.job.units], tool.flute_length)
    sizes = _sizes(setup, operation) if top - operation.to > operation.finish + CONTACT else []
    levels = even_steps(top, operation.to, deepest)
    if sizes:
        levels = (*even_steps(top, operation.to + operation.finish, deepest), operation.to)
    running = speeds(setup, operation, tool, route)
    for index, level in enumerate(levels):
        if sizes and level == operation.to:
            taken = tuple(measuring(sizes, operation.finish, 1, is_gap=False))
            yield from measuring_step(operation, tool, running, numbering, taken, THICKNESS)
        depth = (levels[index - 1] if index else top) - level
        strokes = tuple(_strokes(_Level(setup, operation, tool, asked, level, depth)))
        rows = sum(one.purpose == "row" for one in strokes)
        parts = ["once round the edge"] if len(strokes) > rows else []
        if rows:
            parts.append("1 row down the middle" if rows == 1 else f"{counted(rows, 'row')} down the middle")
        which = f", depth {index + 1} of {len(levels)}" if len(levels) > 1 else ""
        makes_zero = setup.zero.z == "top" and level == operation.to and abs(level) <= CONTACT
        yield Step(
            number=next(numbering),
            kind="face",
            operation=operation.name,
            title=f"{operation.name}: face to {coordinate('Z', level, setup.job.units)}{which}, {' then '.join(parts)}",
            why="The skimmed top is the face that every depth is measured from: it makes Z zero."
            if makes_zero
            else "Takes the raw top down towards the drawing.",
            hazard="Chips fly off the edge: guards in place, nobody in line with the cut; stop before you brush.",
            tool=tool,
            speeds=running,
            cutting=_summed({one.cutting for one in strokes}),
            strokes=strokes,
            zeroes=("z",) if makes_zero else (),
        )


def _sizes(setup: Setup, operation: Facing) -> list[Dimension]:
    """The drawing's sizes across the work that this face finishes: their other end was cut in an earlier set-up."""
    if operation.measure is False or operation.finish <= CONTACT or not setup.before or setup.is_raw(Face.BOTTOM):
        return []
    if not operation.measure and abs(operation.to - setup.finished.high[2]) > CONTACT:
        return []
    return [
        size
        for size in setup.dimensions
        if size.of == "outside" and size.at is None and setup.placement.axis("xyz".index(size.axis))[0] == 2
    ]


def _summed(cuts: set[Cutting]) -> Cutting:
    return cuts.pop() if len(cuts) == 1 else "mixed"


@dataclass(frozen=True, slots=True)
class _Level:
    """One depth of one facing operation."""

    setup: Setup
    operation: Facing
    tool: Tool
    asked: Asked
    level: float
    depth: float

    def stroke(self, purpose: Purpose, path: tuple[Point2, ...], cutting: Cutting, width: float) -> Skim:
        return Skim(
            purpose=purpose,
            chain=straight(path),
            level=self.level,
            side=Side.OFF,
            cutting=cutting,
            width=width,
            depth=self.depth,
        )


def _strokes(skim: _Level) -> Iterator[Skim]:
    raw, tool = skim.setup.raw, skim.tool
    low, high = raw.low[:2], raw.high[:2]
    if skim.operation.path == "perimeter":
        inset = (0.5 - skim.operation.overhang) * tool.flat_diameter
        inner_low = (low[0] + inset, low[1] + inset)
        inner_high = (high[0] - inset, high[1] - inset)
        if inner_low[0] < inner_high[0] - CONTACT and inner_low[1] < inner_high[1] - CONTACT:
            yield _round(skim, inner_low, inner_high, inset)
            radius = tool.flat_diameter / 2
            low = (inner_low[0] + radius, inner_low[1] + radius)
            high = (inner_high[0] - radius, inner_high[1] - radius)
            # where the rounds just meet in the middle a row takes the ridge that no cutter leaves out quite
            if high[0] - low[0] < -CONTACT or high[1] - low[1] < -CONTACT:
                return
    yield from _rows(skim, low, high)


def _round(skim: _Level, low: Point2, high: Point2, inset: float) -> Skim:
    """Once round the edge, in from the front left corner and out over it; the cutter's center ``inset`` inside.

    What the last two sides still cut lies on both sides of the centre; on narrow work the outer width may be the
    greater there, and then the pass is mixed.
    """
    (x0, y0), (x1, y1) = low, high
    raw, off = skim.setup.raw, run_off(skim.setup, skim.tool)
    radius = skim.tool.flat_diameter / 2
    off_left, off_front = (raw.low[0] - off, y0), (x0, raw.low[1] - off)
    if skim.asked == "conventional":
        path = (off_left, (x1, y0), (x1, y1), (x0, y1), off_front)
    else:
        path = (off_front, (x0, y1), (x1, y1), (x1, y0), off_left)
    least_inner = min(radius, x1 - x0 - radius, y1 - y0 - radius)
    return skim.stroke("round", path, skim.asked if least_inner > inset + CONTACT else "mixed", inset + radius)


def _rows(skim: _Level, low: Point2, high: Point2) -> Iterator[Skim]:
    """Rows along the work's longer side, from off the work to off the work, over what stands between low and high."""
    raw, flat, overlap = skim.setup.raw, skim.tool.flat_diameter, skim.operation.overlap
    along = 0 if raw.size[0] >= raw.size[1] else 1
    across = 1 - along
    off = run_off(skim.setup, skim.tool)
    start, end = raw.low[along] - off, raw.high[along] + off
    first, last = low[across], high[across]
    span = last - first + 2 * overlap * flat
    count = max(1, math.ceil((span / flat - overlap) / (1 - overlap) - 1e-9))
    uncut = first
    for index in range(count):
        at = (first + last) / 2
        if count > 1:
            at = first - overlap * flat + flat / 2 + index * (span - flat) / (count - 1)
        below = max(0.0, at - max(uncut, at - flat / 2))
        above = max(0.0, min(last, at + flat / 2) - at)
        # going towards + the cutter has the higher side of X rows, the lower side of Y rows, on its left
        left, right = (above, below) if along == 0 else (below, above)
        cutting = row_cut(left, right)
        ends = (start, end) if cutting in ("mixed", skim.asked) else (end, start)
        path = tuple((value, at) if along == 0 else (at, value) for value in ends)
        yield skim.stroke("row", path, "mixed" if cutting == "mixed" else skim.asked, below + above)
        uncut = at + flat / 2
