"""The work from above and along the jaws, the vise round it, the cutter as an outline."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import ImageDraw

from handwheel.cut.grid import Grid
from handwheel.motion import Tool
from handwheel.path.box import Box
from handwheel.path.profile import Floats
from handwheel.setup import Setup
from handwheel.show.animation.palette import FLOOR, FRONT, GREYS, INK, PAPER, RAW, TONES
from handwheel.show.animation.pictorial import TWIST, Body
from handwheel.show.draw.cutters import outline
from handwheel.show.draw.fixture import around_work

Pixels = NDArray[np.uint8]
Places = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Window:
    """A part of the picture: its first column and row, and how many it has."""

    left: int
    top: int
    columns: int
    rows: int

    @property
    def slices(self) -> tuple[slice, slice]:
        """Its rows and columns."""
        return slice(self.top, self.top + self.rows), slice(self.left, self.left + self.columns)


class Flat:
    """Two axes of the job's frame in a window, at the largest scale that shows ``shown`` (low and high, mm)."""

    def __init__(self, window: Window, axes: tuple[int, int], shown: Box) -> None:
        self.window, self.axes = window, axes
        size = [shown.size[axis] for axis in axes]
        middle = [shown.centre[axis] for axis in axes]
        self.scale = min(window.columns / size[0], window.rows / size[1])
        self._left = middle[0] - window.columns / 2 / self.scale
        self._top = middle[1] + window.rows / 2 / self.scale

    def places(self, points: Floats) -> Floats:
        """Where points of the frame, (n, 3) mm, show in the window: (n, 2) columns and rows."""
        across, up = points[..., self.axes[0]], points[..., self.axes[1]]
        return np.stack([(across - self._left) * self.scale, (self._top - up) * self.scale], axis=-1)

    def rectangle(self, box: Box) -> tuple[float, float, float, float]:
        """A box as left, top, right, bottom of the window."""
        (x0, y0), (x1, y1) = self.places(np.array([box.low, box.high])).tolist()
        return (x0, y1, x1, y0)

    def at_columns(self) -> Floats:
        """(columns,) mm at the middle of each column."""
        return np.asarray(self._left + (np.arange(self.window.columns) + 0.5) / self.scale)

    def at_rows(self) -> Floats:
        """(rows,) mm at the middle of each row, top row first."""
        return np.asarray(self._top - (np.arange(self.window.rows) + 0.5) / self.scale)


class Plan(Flat):
    """From above."""

    def __init__(self, window: Window, setup: Setup, grid: Grid, reach: float) -> None:
        work = setup.raw
        shown = Box(
            (work.low[0] - reach, work.low[1] - reach, work.low[2]),
            (work.high[0] + reach, work.high[1] + reach, work.high[2]),
        )
        super().__init__(window, (0, 1), shown)
        i = np.floor((self.at_columns() - grid.stock.low[0]) / grid.cell[0]).astype(np.int64)
        j = np.floor((self.at_rows() - grid.stock.low[1]) / grid.cell[1]).astype(np.int64)
        self._across = np.flatnonzero((i >= 0) & (i < len(grid.x)))
        self._down = np.flatnonzero((j >= 0) & (j < len(grid.y)))
        self._cells = np.ix_(j[self._down], i[self._across])
        self._bottom, self._step = grid.stock.low[2], 0.004 * max(grid.stock.size)

    def draw_standing(self, draw: ImageDraw.ImageDraw, setup: Setup) -> None:
        """What never changes: the jaws and the parallels' ends."""
        for box in (*setup.parallels, setup.fixed_jaw, setup.movable_jaw):
            draw.rectangle(self.rectangle(box), fill=PAPER, outline=INK)

    def show(self, picture: Pixels, z: Floats, hue: Pixels) -> None:
        """Put the metal into the window's pixels; a line where the height changes."""
        if not len(self._across) or not len(self._down):
            return
        top = z[self._cells]
        metal = np.where(top > self._bottom, GREYS + TONES * hue[self._cells] + FLOOR, PAPER).astype(np.uint8)
        line = np.zeros(top.shape, dtype=bool)
        line[1:] |= np.abs(np.diff(top, axis=0)) > self._step
        line[:, 1:] |= np.abs(np.diff(top, axis=1)) > self._step
        line[[0, -1]] = line[:, [0, -1]] = True
        metal[line] = INK
        picture[self._down[0] : self._down[-1] + 1, self._across[0] : self._across[-1] + 1] = metal

    def draw_cutter(self, draw: ImageDraw.ImageDraw, tip: Floats, body: Body, phase: float) -> None:
        """The cutter's rim, with a line for each flute; it turns clockwise."""
        x, y = self.places(tip).tolist()
        radius = body.diameter / 2 * self.scale
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), outline=INK, width=2)
        for flute in range(body.flutes):
            angle = math.tau * (phase + flute / body.flutes)
            rim = (x + radius * math.cos(angle), y + radius * math.sin(angle))
            draw.line(((x + 0.3 * (rim[0] - x), y + 0.3 * (rim[1] - y)), rim), fill=INK)
        draw.line(((x - 3, y), (x + 3, y)), fill=INK)
        draw.line(((x, y - 3), (x, y + 3)), fill=INK)


class End(Flat):
    """Along the jaws, from the right."""

    def __init__(self, window: Window, setup: Setup, grid: Grid, clear: float) -> None:
        around = around_work(setup)
        bed = setup.bed.high[2]
        low = (around.low[0], around.low[1], bed - 0.1 * (setup.jaw_top - bed))
        super().__init__(window, (1, 2), Box(low, (around.high[0], around.high[1], clear + 0.2 * setup.stick_out)))
        j = np.floor((self.at_columns() - grid.stock.low[1]) / grid.cell[1]).astype(np.int64)
        self._across = np.flatnonzero((j >= 0) & (j < len(grid.y)))
        self._row = j[self._across]
        heights = self.at_rows()
        self._up = np.flatnonzero((heights > grid.stock.low[2]) & (heights < grid.stock.high[2]))
        self._heights = heights[self._up]
        self._far = 0.02 * len(grid.x)

    def draw_standing(self, draw: ImageDraw.ImageDraw, setup: Setup) -> None:
        """What never changes: jaws, bed and parallels."""
        for box in (setup.bed, *setup.parallels, setup.fixed_jaw, setup.movable_jaw):
            draw.rectangle(self.rectangle(box), fill=PAPER, outline=INK)

    def show(self, picture: Pixels, z: Floats, hue: Pixels) -> None:
        """The work as seen from its right end: each height shows the first metal that reaches it."""
        if not len(self._across) or not len(self._up):
            return
        reached = np.maximum.accumulate(z[:, ::-1], axis=1)
        count = reached.shape[1]
        hit = np.stack([np.searchsorted(reached[row], self._heights, side="right") for row in self._row], axis=1)
        before = np.clip(count - hit, 0, count - 1)
        face = np.where(hit == 0, RAW, hue[self._row[None, :], before])
        there = hit < count
        metal = np.where(there, GREYS + TONES * face + FRONT, PAPER).astype(np.uint8)
        rim = np.pad(there, 1)
        line = ~(rim[:-2, 1:-1] & rim[2:, 1:-1] & rim[1:-1, :-2] & rim[1:-1, 2:])
        line[1:] |= np.abs(np.diff(hit, axis=0)) > self._far
        line[:, 1:] |= np.abs(np.diff(hit, axis=1)) > self._far
        metal[line & there] = INK
        place = picture[self._up[0] : self._up[-1] + 1, self._across[0] : self._across[-1] + 1]
        np.copyto(place, metal, where=metal != PAPER)

    def draw_cutter(self, draw: ImageDraw.ImageDraw, tip: Floats, tool: Tool | None, body: Body, phase: float) -> None:
        """The cutter in its holder, or a pin, with the flutes that face this way."""
        if tool is None:
            radius = body.diameter / 2
            shape = np.array([(-radius, 0.0), (radius, 0.0), (radius, body.height), (-radius, body.height)])
        else:
            shape = outline(tool)
        draw.line([*self._moved(shape, tip), *self._moved(shape[:1], tip)], fill=INK, width=2)
        radius = body.diameter / 2
        for flute in range(body.flutes):
            heights = np.linspace(0.0, body.height, 9)
            angle = math.tau * (flute / body.flutes - phase) + heights * TWIST / radius
            visible = np.cos(angle) > 0.0
            line = self._moved(np.stack([radius * np.sin(angle), heights], axis=1), tip)
            for index in range(len(line) - 1):
                if visible[index] and visible[index + 1]:
                    draw.line((line[index], line[index + 1]), fill=INK)

    def _moved(self, shape: Floats, tip: Floats) -> Places:
        """Points across the axis and above the tip, where they show."""
        points = np.zeros((len(shape), 3))
        points[:, 1], points[:, 2] = tip[1] + shape[:, 0], tip[2] + shape[:, 1]
        return [(x, y) for x, y in self.places(points).tolist()]
