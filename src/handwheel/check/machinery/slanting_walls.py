"""Upright rays beside walls that do not stand along the axes: they tell exactly where such a wall is off by more than
it may be, and by how much, square to it.

Walls along the axes have rays of their own; see :mod:`handwheel.check.machinery.upright_grid`.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from handwheel.check.machinery.patches import Place
from handwheel.check.machinery.residue import off
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays
from handwheel.path.arc import Arc
from handwheel.path.meant import Bore, Floats, Meant
from handwheel.path.outline import circle
from handwheel.path.prism import Prism
from handwheel.tolerances import CONTACT

SPACING: Final = 1.0 / 96.0
"""Along a wall, as a share of the work's longer side."""

FURTHER: Final = (0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
"""How much further from a wall it is looked for where it is off, mm."""


def beside_walls(part: Part, solids: tuple[Meant, ...], allowed: float, *, spare: bool) -> Place | None:
    """The worst place at which a wall is off by more than is allowed.

    Parameters
    ----------
    part : the stock and its cut
    solids : what should be gone; ``cusp`` is allowed for where something is ``spare``
    allowed : by how much a wall may be off, mm
    spare : whether what is left is asked for, or what is missing
    """
    walls = [wall for one in solids if (wall := _wall(one, part, spare=spare)) is not None]
    if not walls:
        return None
    at, inwards, more = (np.concatenate(column) for column in zip(*walls, strict=True))
    # what is missing is beyond the wall, what is left is within it
    sense = 1.0 if spare else -1.0
    depth = np.zeros(len(at))
    middle = np.zeros(len(at))
    high = np.zeros(len(at))
    for further in FURTHER:
        points = at + inwards * (sense * (allowed + more + further + CONTACT))[:, None]
        missing, left = off(part, Rays(2, points), solids)
        found = left if spare else missing
        wrong = found.thickness > allowed + CONTACT
        if not wrong.any():
            break
        depth = np.where(wrong, allowed + more + further, depth)
        middle, high = np.where(wrong, found.middle, middle), np.where(wrong, found.thickness, high)
    if not depth.any():
        return None
    worst = int(depth.argmax())
    spacing = SPACING * max(part.stock.size[0], part.stock.size[1])
    x, y = at[worst].tolist()
    return Place((x, y, float(middle[worst])), float(depth[worst]), float(high[depth > 0.0].sum() * spacing))


def _wall(one: Meant, part: Part, *, spare: bool) -> tuple[Floats, Floats, Floats] | None:
    """Points on the walls of a solid that are no lines along an axis, the unit vectors into it, and what more may be
    left there: (n, 2), (n, 2), (n,)."""
    solid = one.solid
    if isinstance(solid, Bore) and solid.axis == 2 and abs(solid.full - solid.open) > CONTACT:
        solid = Prism(2, (circle(solid.centre, 2.0 * solid.radius).pieces,), solid.full, solid.open)
    if not isinstance(solid, Prism) or solid.axis != 2 or solid.draft:
        return None
    spacing = SPACING * max(part.stock.size[0], part.stock.size[1])
    points, ways = [], []
    for chain in solid.outlines:
        for piece in chain:
            x, y = (b - a for a, b in zip(piece.start, piece.end, strict=True))
            if not isinstance(piece, Arc) and min(abs(x), abs(y)) <= CONTACT:
                continue
            for point, left in Prism(2, ((piece,),), 0.0, 0.0).walls(spacing):
                points.append(point)
                ways.append(left)
    if not points:
        return None
    at, left_of = np.array(points), np.array(ways)
    inside = np.array([solid.holds((x, y, 0.0)) for x, y in (at + 1e-4 * left_of).tolist()])
    inwards = np.where(inside[:, None], left_of, -left_of)
    low, high = np.array(part.stock.low[:2]), np.array(part.stock.high[:2])
    within = ((at > low) & (at < high)).all(axis=1)
    return at[within], inwards[within], np.full(int(within.sum()), one.cusp if spare else 0.0)
