"""What is left on rays, held against what ought to be: the stock without the solids that ought to be gone."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.thickest import thickest_off
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, left
from handwheel.path.box import Box

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Solid:
    """A solid that ought to be gone, and the radius of the fillet that its cutter leaves at the foot of a wall; mm."""

    box: Box
    fillet: float


@dataclass(frozen=True)
class Off:
    """On each ray the thickest stretch that is wrong: ``thickness`` and its ``middle``, (n,) mm."""

    thickness: Floats
    middle: Floats


def off(part: Part, rays: Rays, solids: tuple[Solid, ...], through: Floats | None = None) -> tuple[Off, Off]:
    """What is missing on each ray, and what is there and ought not to be; with ``through``, only at that coordinate."""
    found = left(part, rays)
    stock = np.array([*part.stock.low, *part.stock.high])
    gone = np.array([[*solid.box.low, *solid.box.high, solid.fillet] for solid in solids]).reshape(-1, 7)
    at = np.full(len(rays), math.nan) if through is None else np.ascontiguousarray(through)
    both = thickest_off(rays.axis, rays.at, at, found.first, found.low, found.high, stock, gone)
    missing, spare = (Off(one[:, 0], one[:, 1]) for one in both)
    return missing, spare
