"""The part as the page cuts it: the drops of one route, and parts that are finished."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from handwheel.cut.display import DisplayGrid
from handwheel.path.box import Box
from handwheel.proof import SetupProof
from handwheel.show.page.packing import Packing, number

SHARES: Final = 65535
"""A drop's end is told as so many shares of its move: two micrometers of a hundred millimeters, in half the room."""


def drops_in_page(drops: DisplayGrid, packing: Packing) -> dict[str, Any]:
    """Every drop of a route, move by move and cell by cell; cells as differences, which pack small."""
    order = np.lexsort((drops.ends, drops.cell, drops.move))
    cell, move = drops.cell[order].astype(np.int64), drops.move[order]
    first = np.searchsorted(move, np.arange(int(move[-1]) + 2 if len(move) else 1))
    ends = drops.ends[order]
    return _cells(drops.grid.stock, drops.grid.top.shape) | {
        "first": packing.add(first, "i4"),
        "cell": packing.add(np.diff(cell, prepend=0), "i4"),
        "ends": packing.add(np.round(ends * SHARES), "u2"),
        "shares": SHARES,
        "lasts": packing.add(ends - drops.begins[order], "f4"),
        "height": packing.add(drops.height[order], "f4"),
    }


def finished_in_page(proof: SetupProof, packing: Packing) -> dict[str, Any]:
    """Only how the cells stand at the end, and in which step each was cut last (0: never): every other cell of the
    proof's own map, which is fine enough for a picture."""
    heights = proof.heights
    move = heights.move[::2, ::2]
    z = heights.z[::2, ::2]
    step = np.where(move >= 0, proof.tip.step[move] if len(proof.tip) else 0, 0)
    floor = heights.grid.stock.low[2]
    return _cells(heights.grid.stock, z.shape) | {
        "height": packing.add(np.where(np.isfinite(z), z, floor), "f4"),
        "step": packing.add(step, "i4"),
    }


def _cells(stock: Box, shape: tuple[int, ...]) -> dict[str, Any]:
    return {
        "nx": shape[1],
        "ny": shape[0],
        "low": [number(value) for value in stock.low],
        "high": [number(value) for value in stock.high],
    }
