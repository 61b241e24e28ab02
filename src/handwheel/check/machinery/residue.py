"""What is left on rays, held against what should be: the stock without the solids that should be gone."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.check.kernels.thickest import thickest_off
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, left
from handwheel.path.meant import Meant, numbers

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Off:
    """On each ray the thickest stretch that is wrong: ``thickness`` and its ``middle``, (n,) mm."""

    thickness: Floats
    middle: Floats


def off(
    part: Part, rays: Rays, solids: tuple[Meant, ...], through: Floats | None = None, slack: float = 0.0
) -> tuple[Off, Off]:
    """What is missing on each ray, and what is there and should not be; with ``through``, only at that coordinate.

    A bore or a prism may be wider or narrower by ``slack``, mm: along its wall a ray passes the whole of it or nothing.
    """
    found = left(part, rays)
    stock = np.array([*part.stock.low, *part.stock.high])
    gone = numbers(solids, slack)
    at = np.full(len(rays), math.nan) if through is None else np.ascontiguousarray(through)
    both = thickest_off(rays.axis, rays.at, at, found.first, found.low, found.high, stock, gone.rows, gone.pieces)
    missing, spare = (Off(one[:, 0], one[:, 1]) for one in both)
    return missing, spare
