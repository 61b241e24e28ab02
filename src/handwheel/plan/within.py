"""What strokes within the work have in common: levels, the way round that a wall is cut, the sizes taken on the way."""

from __future__ import annotations

from typing import Final

from handwheel.job.operation import Direction
from handwheel.motion import Side, Tool
from handwheel.path.chain import Chain, reversed_chain
from handwheel.path.clearing import Clearing
from handwheel.plan.model import Entry, Inner
from handwheel.plan.strokes import even_steps
from handwheel.setup import Setup

HALF: Final = 0.5
"""Within the work a cutter goes down by half its diameter at once where the job does not say (common practice)."""


MOST_OVER: Final = 0.7
"""Of the cutter's diameter: no ridge stays in a corner, and the cutter climbs as it should (common practice)."""


def levels_down(top: float, bottom: float, pass_depth: float | None, tool: Tool) -> tuple[tuple[float, float], ...]:
    """Each level with the one above it, mm."""
    levels = even_steps(top, bottom, min(pass_depth or HALF * tool.diameter, tool.flute_length))
    return tuple(zip((top, *levels), levels, strict=False))


def clearing_width(setup: Setup, tool: Tool, depth: float) -> float:
    """How far one way that clears runs from the next at a depth of cut, mm: never the whole cutter.

    The material's limit is for a cut one diameter deep; a shallower one may be as much wider (common practice).
    """
    limit = setup.job.material.width_limit(tool.material) * tool.diameter**2
    return min(limit / depth, MOST_OVER * tool.diameter)


def along_wall(wall: Chain, cut: Direction) -> tuple[Chain, Side]:
    """A wall as it is cut, and the side of it that the cutter is kept on.

    ``wall`` has the open room on its left. A right-hand cutter mills conventionally with the wall on its left: back
    along it. Source: geometry; common practice.
    """
    return (reversed_chain(wall), Side.RIGHT) if cut == "conventional" else (wall, Side.LEFT)


def clearing_stroke(way: Clearing, cut: Direction, level: float, above: float, width: float, entry: Entry) -> Inner:
    """A way of the cutter's center that clears, with the wall on the side on which this cut has it."""
    return Inner(
        purpose="rough",
        chain=way.chain,
        level=level,
        side=Side.OFF,
        room=Side.LEFT if cut == "climb" else Side.RIGHT,
        cutting="mixed",
        width=width,
        depth=above - level,
        entry=entry,
    )
