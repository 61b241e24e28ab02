"""What strokes within the work have in common: levels, the way round that a wall is cut, the sizes taken on the way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from handwheel.job import Dimension
from handwheel.motion import Side, Tool
from handwheel.path.chain import Chain, reversed_chain
from handwheel.plan.model import Measuring
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


def clearing_width(setup: Setup, tool: Tool) -> float:
    """How far one way that clears runs from the next, mm: within the material's limit, and never the whole cutter."""
    return min(setup.job.material.width_limit(tool.material), MOST_OVER) * tool.diameter


def along_wall(wall: Chain, cut: Literal["conventional", "climb"]) -> tuple[Chain, Side]:
    """A wall as it is cut, and the side of it that the cutter is kept on.

    ``wall`` has the open room on its left. A right-hand cutter mills conventionally with the wall on its left: back
    along it. Source: geometry; common practice.
    """
    return (reversed_chain(wall), Side.RIGHT) if cut == "conventional" else (wall, Side.LEFT)


def measuring(
    sizes: list[Dimension], still: float, walls: Literal[1, 2], *, is_gap: bool = True
) -> Iterator[Measuring]:
    """Sizes to measure while ``still`` mm stay on each of so many walls."""
    for size in sizes:
        yield Measuring(
            dimension=size.name,
            gauge=size.gauge,
            wanted=size.nominal + (-walls if is_gap else walls) * still,
            still_to_cut=still,
            lower=size.lower,
            upper=size.upper,
            walls=walls,
            is_gap=is_gap,
        )
