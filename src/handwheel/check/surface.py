"""Is the part anywhere cut too deep, or left uncut?

Upright rays tell: on each, what is left is held against what should be. Where they stand is told in
:mod:`handwheel.check.machinery.upright_grid`.

What should be is the stock without the solids of the operations. A cutter with a corner radius leaves a fillet at the
foot of a wall: as high as its corner is there, it is part of what may be left, not uncut work.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding, Point
from handwheel.check.machinery.patches import Place, Thickness, places
from handwheel.check.machinery.residue import Off, off
from handwheel.check.machinery.slanting_walls import beside_walls
from handwheel.check.machinery.upright_grid import upright_grid
from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays
from handwheel.path.box import Box
from handwheel.path.meant import Meant
from handwheel.plan import plan
from handwheel.tolerances import CONTACT
from handwheel.units import MM_PER_INCH

if TYPE_CHECKING:
    from handwheel.check.inspection import Inspection

Floats = NDArray[np.float64]

SEARCHED = 64
"""So many of the rays that are cut too deep are followed back to the block that did it first."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``gouge`` and ``left-uncut``: one finding each: the worst place, its depth and area, and how many there are."""
    if not inspection.intended:
        return
    # by hand an arc is made by coordinates, and what stays between them is for the file
    solids = (
        tuple(replace(one, cusp=0.0) for one in inspection.intended) if inspection.by_program else inspection.intended
    )
    whole = (*solids, *(replace(one, fillet=0.0) for one in inspection.elsewhere))
    tolerance, slack = inspection.job.tolerance, max(inspection.job.tolerance, inspection.proud)
    grid = upright_grid(inspection.part, whole, inspection.proud)
    rays = Rays(2, np.column_stack([values.ravel() for values in np.meshgrid(*grid, indexing="ij")]))
    missing, spare = off(inspection.part, rays, whole, slack=slack)
    gouged = missing.thickness > tolerance + CONTACT
    if inspection.elsewhere:
        # only metal of the finished part can be gouged; only what this set-up was to remove can be left uncut, and
        # what was missing when the part came into it is not its doing
        _, spare = off(inspection.part, rays, solids, slack=slack)
        gouged &= missing.thickness > off(inspection.before, rays, whole, slack=slack)[0].thickness + CONTACT
    if gouged.any():
        found = _places(missing, gouged, grid, _thickness(inspection, whole, 0, slack))
        row = _first_to_gouge(inspection, rays, np.flatnonzero(gouged), whole)
        yield inspection.finding(
            "gouge",
            _sentence(inspection, "the part is cut too deep", found),
            [row] if row is not None else (),
            at=found[0].at,
            count=len(found),
        )
    elif not inspection.elsewhere:
        place = beside_walls(inspection.part, whole, slack, spare=False)
        if place is not None:
            yield inspection.finding(
                "gouge", _sentence(inspection, "the part is cut too deep", [place]), at=place.at, count=1
            )
    uncut = spare.thickness > inspection.proud + CONTACT
    place = None if uncut.any() else beside_walls(inspection.part, solids, slack, spare=True)
    if uncut.any() or place is not None:
        found = [place] if place else _places(spare, uncut, grid, _thickness(inspection, solids, 1, slack))
        step, name = _step_of(inspection, found[0].at)
        where = f" ({name})" if name else ""
        told = _sentence(inspection, f"work is left uncut{where}", found)
        one = inspection.finding("left-uncut", told, at=found[0].at, count=len(found))
        yield Finding(one.level, one.code, one.setup, None, step, one.at, one.count, one.message)


def _places(wrong: Off, chosen: NDArray[np.bool_], grid: tuple[Floats, Floats], along_axes: Thickness) -> list[Place]:
    """The places of the chosen rays, worst first."""
    shape = (len(grid[0]), len(grid[1]))
    thickness = np.where(chosen, wrong.thickness, 0.0)
    found = places(thickness.reshape(shape), wrong.middle.reshape(shape), grid, along_axes)
    return sorted(found, key=lambda place: -place.depth)


def _thickness(inspection: Inspection, solids: tuple[Meant, ...], kind: int, slack: float) -> Thickness:
    """How thick what is missing (0) or spare (1) is through points along each axis that is square to the face it is
    off; where it is off no face, along all three.

    A stretch is off a face where it begins on it and ends at a cut, not at the raw stock: of a narrow ledge cut too
    deep the whole width is gone as well, but that says nothing of how deep. What stands proud of the finished block is
    off that block's face, out to the raw one.
    """
    part, finished = inspection.part, inspection.setup.finished

    def along_axes(points: Floats) -> Floats:
        thickness, faced = np.empty(points.shape), np.empty(points.shape, dtype=np.bool_)
        for axis in range(3):
            rays = Rays(axis, np.delete(points, axis, axis=1))
            wrong = off(part, rays, solids, points[:, axis], slack)[kind]
            ends = [wrong.middle + side * wrong.thickness / 2.0 for side in (-1, 1)]
            raw = [_on_raw(part.stock, axis, end) for end in ends]
            on_face = [_on_a_face(solids, axis, points, end) for end in ends]
            thickness[:, axis] = np.where(wrong.thickness > 0.0, wrong.thickness, math.inf)
            proud = (ends[0] >= finished.high[axis] - CONTACT) | (ends[1] <= finished.low[axis] + CONTACT)
            faced[:, axis] = ((on_face[0] | on_face[1]) & ~raw[0] & ~raw[1]) | (proud & (wrong.thickness > 0.0))
        unfaced = ~faced.any(axis=1, keepdims=True)
        return np.where(faced | unfaced, thickness, math.inf)

    return along_axes


def _on_raw(stock: Box, axis: int, values: Floats) -> NDArray[np.bool_]:
    """Which coordinates are those of a raw face."""
    return np.asarray(np.minimum(np.abs(values - stock.low[axis]), np.abs(values - stock.high[axis])) <= CONTACT)


def _on_a_face(solids: tuple[Meant, ...], axis: int, points: Floats, values: Floats) -> NDArray[np.bool_]:
    """Which of the points, moved along an axis to these coordinates, are on a face of a solid."""
    found = np.zeros(len(points), dtype=np.bool_)
    for solid in solids:
        low, high = np.array(solid.box.low) - CONTACT, np.array(solid.box.high) + CONTACT
        beside = np.delete((points >= low) & (points <= high), axis, axis=1).all(axis=1)
        ends = (solid.box.low[axis], solid.box.high[axis])
        found |= beside & np.logical_or.reduce([np.abs(values - end) <= CONTACT for end in ends])
    return found


def _sentence(inspection: Inspection, what: str, found: list[Place]) -> str:
    worst = found[0]
    x, y, z = (inspection.size(value) for value in worst.at)
    also = f", and at {len(found) - 1} more place{'s' if len(found) > 2 else ''}" if len(found) > 1 else ""
    how_large = f"by {inspection.size(worst.depth)} at X {x}, Y {y}, Z {z}, over about {_area(inspection, worst.area)}"
    return f"{what} {how_large}{also}"


def _area(inspection: Inspection, area: float) -> str:
    if inspection.job.units == "in":
        return f"{area / MM_PER_INCH**2:.2f} square inches"
    return f"{area:.0f} square millimeters"


def _first_to_gouge(
    inspection: Inspection, rays: Rays, gouged: NDArray[np.int64], solids: tuple[Meant, ...]
) -> int | None:
    """The first move after which one of the rays is cut too deep; ``None`` where others cut the part."""
    *earlier, own = inspection.part.cuts
    if len(own.moves) != len(inspection.moves):
        return None
    some = Rays(2, rays.at[gouged[:: max(1, len(gouged) // SEARCHED)]])
    low, high = 0, len(inspection.moves)
    while high - low > 1:
        middle = (low + high) // 2
        part = Part(inspection.part.stock, (*earlier, Cut(own.moves.rows(slice(0, middle)), own.tools, own.placement)))
        missing, _ = off(part, some, solids, slack=max(inspection.job.tolerance, inspection.proud))
        if (missing.thickness > inspection.job.tolerance + CONTACT).any():
            high = middle
        else:
            low = middle
    return high - 1


def _step_of(inspection: Inspection, at: Point) -> tuple[int | None, str]:
    """The last step of the last operation whose solid holds the place, and the operation's name; no step where the
    program names none."""
    holding = [
        one.operation
        for one in inspection.intended
        if all(
            low - CONTACT <= value <= high + CONTACT
            for low, value, high in zip(one.box.low, at, one.box.high, strict=True)
        )
    ]
    if not holding or not holding[-1]:
        return None, ""
    if not inspection.moves.step.any():
        return None, holding[-1]
    steps = [
        step.number
        for step in plan(inspection.setup, inspection.route).steps
        if step.operation == holding[-1] and step.cuts
    ]
    return (steps[-1] if steps else None), holding[-1]
