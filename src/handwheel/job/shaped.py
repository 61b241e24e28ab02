"""What operations on a shape have in common: the shape on the work, and the corners that a cutter finds there."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Final

from handwheel.job.operation import Fault, Operation
from handwheel.job.shape import Shape, ShapeError
from handwheel.job.work import Work
from handwheel.path.box import Box
from handwheel.path.outline import Outline
from handwheel.tolerances import CONTACT
from handwheel.units import Units

GRABBED: Final = 1.02
"""A corner of just the cutter's radius grabs it, and a control refuses to compensate in it: so much larger at least
(common practice)."""


class Shaped(Operation):
    """An operation on a shape; ``shape`` is in the set-up's frame."""

    shape: Shape

    def outline(self, work: Work) -> Outline:
        """The shape on this work.

        Raises
        ------
        ShapeError
            Where there is none.
        """
        return _outline(self.shape, work.finished, work.folder, work.units)

    def faults(self, work: Work) -> Iterator[Fault]:
        try:
            self.outline(work)
        except ShapeError as fault:
            key = ".".join(("shape", *map(str, fault.key)))
            yield Fault(key, fault.reason, fault.wanted)


@lru_cache(maxsize=64)
def _outline(shape: Shape, finished: Box, folder: Path, units: Units) -> Outline:
    return shape.outline(finished, folder, units)


def reaches_over_jaws(outline: Outline, work: Work) -> bool:
    """Whether a shape goes past the front or the back of the work, where the jaws are."""
    (_, low), (_, high) = outline.box2
    return low < work.raw.low[1] - CONTACT or high > work.raw.high[1] + CONTACT


def least_corner(outline: Outline, work: Work, *, inside: bool) -> float:
    """The least radius of a corner that a cutter inside (or outside) the outline finds within the work, mm."""
    low, high = work.raw.low, work.raw.high
    return outline.least_corner(inside=inside, within=((low[0], low[1]), (high[0], high[1])))


def too_sharp(tool_radius: float, corner: float, compensation: str) -> bool:
    """Whether a corner is too sharp for a cutter."""
    least = tool_radius if compensation == "off" else tool_radius * GRABBED
    return corner < least - CONTACT
