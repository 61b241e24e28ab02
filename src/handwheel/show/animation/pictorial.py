"""The work as a shaded picture that changes with every frame, and the cutter in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.grid import Grid
from handwheel.path.profile import Floats
from handwheel.show.animation.kernels.pictorial import NOTHING, show_heights
from handwheel.show.animation.palette import FAINT, FLOOR, GREYS, INK, PAPER, TONES
from handwheel.show.draw.shading import RISE, TURN

Pixels = NDArray[np.uint8]

WIDTH_SHARE = 0.78
HEIGHT_SHARE = 0.66
"""How much of the picture the raw work takes; the rest is room for the cutter."""
FAR = 6
"""From one pixel to the next so many rows further away is behind."""
FLUTE = 0.16
"""How much of the way from flute to flute is drawn dark."""
TWIST = math.tan(math.radians(30.0))
"""Of the flutes: how far round the rim for each mm of height, in mm (30 degrees, common practice)."""

_RIGHT = np.array([math.cos(TURN), math.sin(TURN)])
_AWAY = np.array([-math.sin(TURN), math.cos(TURN)])


@dataclass(frozen=True, slots=True)
class Body:
    """What hangs in the spindle, as the picture shows it: a cylinder; mm. No ``flutes``: a pin."""

    diameter: float
    height: float
    flutes: int


class Pictorial:
    """One picture of so many rows and columns for all frames of a film."""

    def __init__(self, grid: Grid, rows: int, columns: int) -> None:
        self._rows, self._columns = rows, columns
        self._bottom = float(grid.stock.low[2])
        low, high = grid.stock.low, grid.stock.high
        corners = np.array([(x, y) for x in (low[0], high[0]) for y in (low[1], high[1])])
        across, away = corners @ _RIGHT, corners @ _AWAY
        deep, up = float(np.ptp(away)) * math.sin(RISE), (high[2] - low[2]) * math.cos(RISE)
        self.scale = min(WIDTH_SHARE * columns / float(np.ptp(across)), HEIGHT_SHARE * rows / (deep + up))
        self._upright = self.scale * math.cos(RISE)
        middle = (across.min() + across.max()) / 2
        self._left = middle - columns / 2 / self.scale
        self._down = away.min() * math.sin(RISE) * self.scale + self._bottom * self._upright - 0.05 * rows
        step = 1.0 / (self.scale * math.sin(RISE))
        self._w = np.arange(away.min() - step, away.max() + step, step)
        u = self._left + (np.arange(columns) + 0.5) / self.scale
        x = u[None, :] * _RIGHT[0] + self._w[:, None] * _AWAY[0]
        y = u[None, :] * _RIGHT[1] + self._w[:, None] * _AWAY[1]
        i = np.floor((x - low[0]) / grid.cell[0]).astype(np.int64)
        j = np.floor((y - low[1]) / grid.cell[1]).astype(np.int64)
        nx, ny = len(grid.x), len(grid.y)
        self._cell = np.where((i >= 0) & (i < nx) & (j >= 0) & (j < ny), j * nx + i, -1)
        crossed = (math.sin(TURN) / grid.cell[0], math.cos(TURN) / grid.cell[1])
        self._numbers = (self._upright, self._bottom, *crossed)
        self._base = self._w * math.sin(RISE) * self.scale - self._down

    def picture(self, z: Floats, hue: Pixels) -> tuple[Pixels, Floats]:
        """Indices of the palette and how far away each pixel's metal is (inf: none), top row first."""
        shape = (self._rows, self._columns)
        tone, shown = np.full(shape, NOTHING, dtype=np.uint8), np.zeros(shape, dtype=np.uint8)
        row = np.full(shape, -1, dtype=np.int64)
        show_heights(z, hue, self._cell, self._base, self._numbers, tone, shown, row)
        metal = tone != NOTHING
        pixels = np.where(metal, GREYS + TONES * shown + tone, PAPER).astype(np.uint8)
        away = np.where(metal, self._w[row], np.inf)
        pixels[_edges(tone, row)] = INK
        return pixels[::-1], away[::-1]

    def add_cutter(self, pixels: Pixels, away: Floats, tip: Floats, body: Body, phase: float) -> None:
        """Draw a cutter, hidden where metal stands before it; ``phase`` is how many turns it has made."""
        radius = body.diameter / 2
        u0, w0 = float(tip[:2] @ _RIGHT), float(tip[:2] @ _AWAY)
        first = max(0, math.floor((u0 - radius - self._left) * self.scale) - 1)
        last = min(self._columns, math.ceil((u0 + radius - self._left) * self.scale) + 1)
        if first >= last:
            return
        across = (self._left + (np.arange(first, last) + 0.5) / self.scale - u0)[None, :]
        up = (np.arange(self._rows)[::-1] + 0.5 + self._down)[:, None] / self.scale
        half = np.sqrt(np.maximum(radius**2 - across**2, 0.0))
        inside = np.abs(across) <= radius
        front = w0 - half
        z = (up - front * math.sin(RISE)) / math.cos(RISE) - tip[2]
        side = inside & (z >= 0.0) & (z <= body.height)
        on_lid = (up - (tip[2] + body.height) * math.cos(RISE)) / math.sin(RISE) - w0
        lid = inside & ~side & (np.abs(on_lid) <= half)
        depth = np.where(side, front, np.where(lid, w0 + on_lid, np.inf))
        seen = np.where(side | lid, 1, 0)
        if body.flutes:
            angle = np.arctan2(-half, across) / math.tau + phase - z * TWIST / (math.tau * radius)
            seen[side & ((angle * body.flutes) % 1.0 < FLUTE)] = 2
        line = _outline(side, lid)
        index = np.where(line, INK, np.where(seen == 2, FAINT, np.where(lid, PAPER, FAINT // 4))).astype(np.uint8)
        place = np.s_[:, first:last]
        visible = (side | lid) & (depth < away[place])
        pixels[place] = np.where(visible, index, pixels[place])


def _edges(tone: Pixels, row: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Where faces meet, where one stands before another, and all round: each line one pixel wide.

    Edges of a floor are less than 45 degrees steep in the picture and show from row to row, upright ones from column
    to column.
    """
    line = np.zeros(tone.shape, dtype=bool)
    under, over = tone[:-1], tone[1:]
    line[1:] |= (under != over) & (over != NOTHING)
    line[:-1] |= (under != NOTHING) & (over == NOTHING)
    line[1:] |= (np.abs(row[1:] - row[:-1]) > FAR) & (under != NOTHING) & (over != NOTHING)
    left, right = tone[:, :-1], tone[:, 1:]
    upright = (left != right) & (left != FLOOR) & (right != FLOOR)
    line[:, 1:] |= upright & (right != NOTHING)
    line[:, :-1] |= upright & (right == NOTHING)
    return line


def _outline(side: NDArray[np.bool_], lid: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The rim of the cylinder, and the line between side and lid."""
    both = np.pad(side | lid, 1)
    core = both[1:-1, 1:-1] & both[:-2, 1:-1] & both[2:, 1:-1] & both[1:-1, :-2] & both[1:-1, 2:]
    between = np.zeros(side.shape, dtype=bool)
    between[1:] = side[1:] & lid[:-1]
    line: NDArray[np.bool_] = ((side | lid) & ~core) | between
    return line
