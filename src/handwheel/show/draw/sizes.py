"""Where the sizes of a drawing begin and end on the part, and the depths that no size of the job gives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from handwheel.job import Dimension, SideMilling
from handwheel.path.blocks import Blocks, spans
from handwheel.setup import Setup
from handwheel.show.draw.dimensioning import figure
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number


@dataclass(frozen=True, slots=True)
class Measured:
    """A size as it is drawn: its figure, the other two coordinates that it is taken through, and where its ends are
    along its axis on the part as intended; mm."""

    axis: Literal["x", "y", "z"]
    through: Mapping[str, float]
    words: str
    first: float
    last: float


def measured(size: Dimension, part: Blocks, setup: Setup) -> Measured | None:
    """Where a size begins and ends on the part; ``None`` where its ray meets no material."""
    axis = "xyz".index(size.axis)
    others = [size.through[name] for name in "xyz" if name != size.axis]
    stretches = spans(part, axis, (others[0], others[1]))
    if not stretches:
        return None
    ends: tuple[float, float]
    if size.start is not None:
        box = setup.job.finished_block
        face = (box.high if size.start.outwards > 0 else box.low)[axis]
        ends = (face, face - size.start.outwards * size.nominal)
    elif size.of == "middle":
        ends = (0.0, size.nominal)
    elif size.between is not None:
        ends = size.between
    elif size.of == "step":
        # in Z it is met from above, else from the side on which the zero face stands open
        far = size.axis == "z" or getattr(setup.zero, size.axis) not in ("left", "front")
        ends = (0.0, stretches[-1][1] if far else stretches[0][0])
    elif size.of == "inside":
        ends = _gap_at(stretches, size.at or 0.0)
    elif size.at is not None:
        ends = next((one for one in stretches if one[0] - CONTACT <= size.at <= one[1] + CONTACT), (0.0, 0.0))
    else:
        ends = (stretches[0][0], stretches[-1][1])
    first, last = sorted(ends)
    if last - first <= CONTACT:
        return None
    return Measured(size.axis, size.through, figure(size, setup.job.units), first, last)


def _gap_at(stretches: Sequence[tuple[float, float]], at: float) -> tuple[float, float]:
    for (_, before), (after, _) in pairwise(stretches):
        if before <= at <= after:
            return (before, after)
    return (0.0, 0.0)


def reference_depths(covered: Sequence[Measured], part: Blocks, setup: Setup) -> list[Measured]:
    """The depth of each side below the finished top that no size gives, in brackets: it is not gauged, but decides how
    far the cutter stays above the jaws (ISO 129-1, ASME Y14.5: a size for reference stands in brackets; from memory).
    """
    known = [(one.first, one.last) for one in covered if one.axis == "z"]
    found: list[Measured] = []
    for side in setup.operations:
        if not isinstance(side, SideMilling):
            continue
        ends = (setup.finished_top - side.depth, setup.finished_top)
        through = _on_floor(side, setup)
        floor = spans(part, 2, (through["x"], through["y"]))
        if floor and abs(floor[-1][1] - ends[0]) <= CONTACT and not any(_alike(ends, one) for one in known):
            known.append(ends)
            found.append(Measured("z", through, f"({shop_number(side.depth, setup.job.units)})", *ends))
    return found


def _on_floor(side: SideMilling, setup: Setup) -> dict[str, float]:
    """A place half way along the side and half way across what it leaves below."""
    raw = setup.raw
    axis = "x" if side.edge.axis == 0 else "y"
    k = "xyz".index(axis)
    outside = raw.high[k] if side.edge.outwards > 0 else raw.low[k]
    return {"x": raw.centre[0], "y": raw.centre[1], axis: (side.to + outside) / 2}


def _alike(ends: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(one - two) <= CONTACT for one, two in zip(ends, other, strict=True))
