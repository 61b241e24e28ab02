"""The stop before the last cut: spindle off, clean, deburr, measure; then cut the difference, not the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from handwheel.job import Dimension
from handwheel.job.operation import Operation
from handwheel.motion import Tool
from handwheel.plan.model import Measuring, Step
from handwheel.plan.speeds import Speeds
from handwheel.plan.words import Numbering

WHY: Final = "What the gauge reads now tells how much the last cut must take: cut the difference, not the plan."
HAZARD: Final = "Spindle off and stopped before a hand goes in; burrs and chips are sharp, the cutter too."


def measuring_step(
    operation: Operation,
    tool: Tool,
    running: Speeds,
    numbering: Numbering,
    sizes: Sequence[Measuring],
    why: str = WHY,
) -> Iterator[Step]:
    """The step in which these sizes are taken; none where there are none."""
    if not sizes:
        return
    yield Step(
        number=next(numbering),
        kind="measure",
        operation=operation.name,
        title=f"{operation.name}: stop, clean, deburr and measure {' and '.join(one.dimension for one in sizes)}",
        why=why,
        hazard=HAZARD,
        tool=tool,
        speeds=running,
        compensation=operation.compensation,
        measuring=tuple(sizes),
    )


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
