"""A height map as a shaded picture, seen from in front, from the right and from above, in parallel projection.

Grey tells how a face lies and whether it was cut; lines are drawn where faces meet. Nothing is said by colour.

The map is turned so that its rows run away from the eye. In each column of the picture the height at which a row shows
is then a number a row, and what a pixel sees is the first row, from the eye outwards, that reaches up to it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.heightmap import HeightMap
from handwheel.path.blocks import runs
from handwheel.path.box import Box
from handwheel.show.draw.labels import Floats

TURN: Final = math.radians(32.0)
"""How far to the right of the front the eye stands."""
RISE: Final = math.radians(30.0)
"""How far above the level."""
LIGHT: Final = (-0.35, -0.55, 0.76)
"""Where the light comes from: from the left, in front, above; a unit vector."""

_RIGHT: Final = np.array([math.cos(TURN), math.sin(TURN)])
_AWAY: Final = np.array([-math.sin(TURN), math.cos(TURN)])
_FINER: Final = 2
"""Pixels are drawn so many times finer and then averaged."""
_WALL: Final = 2.5
"""A rise from one row to the next of more than this many fine pixels is a wall."""

_STRAIGHT: Final = 14
"""A wall that keeps its line for so many cells of the map is straight."""
_ABOUT: Final = 3
"""So many cells to either side tell which way a round wall looks."""

Mask = NDArray[np.bool_]
Rows = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Turned:
    """The map turned: (rows away from the eye, columns to the right).

    ``rise`` is where the top of each row shows, in fine pixels up the picture (−inf where nothing stands), and
    ``foot`` where the stock's underside does; ``x`` and ``y`` are the cells in ``z``, the map with a rim of nothing
    round it; ``grey`` is how light the floors are, 0…1, ``front`` and ``side`` how squarely the light falls on walls of
    the cells of ``z`` that look to the front and to the right; ``bottom`` is the stock's underside, mm; ``upright`` is
    how much a millimetre of height shows, in fine pixels.
    """

    rise: Floats
    foot: Floats
    x: NDArray[np.int64]
    y: NDArray[np.int64]
    z: Floats
    grey: Floats
    front: Floats
    side: Floats
    bottom: float
    upright: float


def proportion(stock: Box) -> float:
    """Height by width of the picture of a part."""
    across, away = _extent(stock)
    return (float(np.ptp(away)) * math.sin(RISE) + stock.size[2] * math.cos(RISE)) / float(np.ptp(across))


def shaded(heights: HeightMap, width: int) -> NDArray[np.uint8]:
    """The picture of a part, (rows, columns, 4), top row first, ``width`` columns; just large enough for its stock."""
    stock = heights.grid.stock
    across, away = _extent(stock)
    columns = width * _FINER
    scale = (columns - 8) / float(np.ptp(across))
    u = (np.arange(columns) - 3.5) / scale + across.min()
    step = 1.0 / (scale * math.sin(RISE))
    w = np.arange(away.min() - step, away.max() + step, step)
    lowest = (away.min() * math.sin(RISE) + stock.low[2] * math.cos(RISE)) * scale - 4.0
    highest = (away.max() * math.sin(RISE) + stock.high[2] * math.cos(RISE)) * scale + 4.0
    rows = math.ceil((highest - lowest) / _FINER) * _FINER
    grey, depth = _seen(_turned(heights, u, w, scale), lowest + np.arange(rows)[::-1] + 0.5)
    return _inked(grey, depth)


def _extent(stock: Box) -> tuple[Floats, Floats]:
    """How far to the right and how far away the stock's corners are, mm."""
    corners = np.array([(x, y) for x in (stock.low[0], stock.high[0]) for y in (stock.low[1], stock.high[1])])
    return corners @ _RIGHT, corners @ _AWAY


def _turned(heights: HeightMap, u: Floats, w: Floats, scale: float) -> Turned:
    x = u[None, :] * _RIGHT[0] + w[:, None] * _AWAY[0]
    y = u[None, :] * _RIGHT[1] + w[:, None] * _AWAY[1]
    low, cell = heights.grid.stock.low, heights.grid.cell
    column = np.floor((x - low[0]) / cell[0]).astype(np.int64).clip(-1, len(heights.x)) + 1
    row = np.floor((y - low[1]) / cell[1]).astype(np.int64).clip(-1, len(heights.y)) + 1
    z = np.pad(heights.z, 1, constant_values=-np.inf)
    grey = np.pad(_tone(_floor_light(heights.z, cell), heights.move < 0), 1)
    back = w[:, None] * math.sin(RISE)
    front, side = _wall_light(np.where(np.isfinite(z), z, low[2]), cell)
    return Turned(
        rise=(back + z[row, column] * math.cos(RISE)) * scale,
        foot=np.broadcast_to((back + low[2] * math.cos(RISE)) * scale, row.shape),
        x=column,
        y=row,
        z=z,
        grey=grey[row, column],
        front=front,
        side=side,
        bottom=low[2],
        upright=math.cos(RISE) * scale,
    )


def _seen(turned: Turned, v: Floats) -> tuple[Floats, Floats]:
    """How light each pixel is and how far off, in rows; NaN where nothing is. ``v``: the picture's rows, top first."""
    reached = np.ascontiguousarray(np.maximum.accumulate(turned.rise, axis=0).T)
    columns, count = reached.shape
    rows = np.stack([np.searchsorted(one, v) for one in reached])
    # from here on column by column and of what is seen alone
    column, pixel = np.nonzero(rows < count)
    row, up = rows[column, pixel], v[pixel]
    there = up >= turned.foot[row, column]
    column, pixel, row, up = column[there], pixel[there], row[there], up[there]
    tone = turned.grey[row, column]
    before = np.maximum(row - 1, 0)
    rise, foot = turned.rise[row, column], turned.foot[before, column]
    wall = np.flatnonzero((rise - np.maximum(reached[column, before], foot) > _WALL) & (up < rise - 1.0))
    tone[wall] = _wall_tone(turned, row[wall], before[wall], column[wall], foot[wall], up[wall])
    grey, depth = np.full((2, len(v), columns), np.nan)
    grey[pixel, column], depth[pixel, column] = tone, row
    return grey, depth


def _wall_tone(turned: Turned, row: Rows, before: Rows, column: Rows, foot: Floats, up: Floats) -> Floats:
    """How light walls are: a front one above the cell in front of it; below that the eye sees the end of both."""
    x, y = turned.x[before, column], turned.y[before, column]
    at = turned.y[row, column], turned.x[row, column]
    front = foot + (turned.z[y, turned.x[row, column]] - turned.bottom) * turned.upright
    raw = (x == 0) | (x == turned.z.shape[1] - 1) | (y == 0) | (y == turned.z.shape[0] - 1)
    return _tone(np.where(up > front, turned.front[at], turned.side[at]), raw)


def _tone(light: Floats | np.float64, raw: Mask | bool) -> Floats:
    """Lighter towards the light; raw faces darker than cut ones."""
    return np.asarray(np.where(raw, 0.53, 0.68) + 0.3 * light)


def _wall_light(z: Floats, cell: tuple[float, float]) -> tuple[Floats, Floats]:
    """How squarely the light falls on the walls of each cell that look to the front, and to the right, 0…1.

    A wall that runs on along an axis looks square to it; one that goes in steps is round or oblique, and looks the way
    in which the ground falls about it.
    """
    about = _blurred(z)
    fall_y, fall_x = (-np.gradient(about, size, axis=axis) for axis, size in ((0, cell[1]), (1, cell[0])))
    length = np.maximum(np.hypot(fall_x, fall_y), 1e-12)
    round_one = np.maximum(0.0, (fall_x * LIGHT[0] + fall_y * LIGHT[1]) / length)
    drop = 4.0 * min(cell)
    to_front = np.zeros(z.shape, dtype=bool)
    to_front[1:] = z[1:] - z[:-1] > drop
    to_right = np.zeros(z.shape, dtype=bool)
    to_right[:, :-1] = z[:, :-1] - z[:, 1:] > drop
    front = np.where(_runs_on(to_front, axis=1), -LIGHT[1], round_one)
    side = np.where(_runs_on(to_right, axis=0), max(0.0, LIGHT[0]), round_one)
    return front, side


def _runs_on(wall: Mask, axis: int) -> Mask:
    """Which cells belong to a wall that is straight for some cells along an axis."""
    stands = wall if axis == 1 else wall.T
    found = np.zeros_like(stands)
    for row, marks in enumerate(stands):
        for start, end in runs(marks):
            found[row, start:end] = end - start >= _STRAIGHT
    return found if axis == 1 else found.T


def _blurred(z: Floats) -> Floats:
    """Each cell as the mean of those about it."""
    wide = np.pad(z, _ABOUT, mode="edge")
    for axis in (0, 1):
        sums = np.cumsum(np.insert(wide, 0, 0.0, axis=axis), axis=axis)
        count = wide.shape[axis] - 2 * _ABOUT
        last = np.take(sums, range(2 * _ABOUT + 1, 2 * _ABOUT + 1 + count), axis=axis)
        wide = last - np.take(sums, range(count), axis=axis)
    return np.asarray(wide / (2 * _ABOUT + 1) ** 2)


def _floor_light(z: Floats, cell: tuple[float, float]) -> Floats:
    """How squarely the light falls on each floor, 0…1; a cell beside a wall counts as level."""
    level = np.where(np.isfinite(z), z, 0.0)
    slopes = []
    for axis, size in ((1, cell[0]), (0, cell[1])):
        slope = np.gradient(level, size, axis=axis) if z.shape[axis] > 1 else np.zeros_like(level)
        slopes.append(np.where(np.abs(slope) > 1.5, 0.0, slope))
    along = -slopes[0] * LIGHT[0] - slopes[1] * LIGHT[1] + LIGHT[2]
    return np.asarray(np.clip(along / np.sqrt(1 + slopes[0] ** 2 + slopes[1] ** 2), 0.0, 1.0))


def _inked(grey: Floats, depth: Floats) -> NDArray[np.uint8]:
    """Black where faces meet or one stands before another, then averaged down; clear where nothing is."""
    there = ~np.isnan(grey)
    light, far = np.where(there, grey, 1.0), np.where(there, depth, 1e6)
    ink = np.zeros(grey.shape, dtype=bool)
    for axis in (0, 1):
        edge = (np.abs(np.diff(light, axis=axis)) > 0.04) | (np.abs(np.diff(far, axis=axis)) > 8.0)
        for shift in (0, 1):
            part = [slice(None), slice(None)]
            part[axis] = slice(shift, grey.shape[axis] - 1 + shift)
            ink[part[0], part[1]] |= edge
    shown, cover = np.where(ink, 0.0, light), (there | ink).astype(np.float64)
    rows, columns = (length // _FINER for length in grey.shape)
    blocks = (rows, _FINER, columns, _FINER)
    share = cover.reshape(blocks).mean(axis=(1, 3))
    value = (shown * cover).reshape(blocks).mean(axis=(1, 3)) / np.maximum(share, 1e-9)
    pixels = np.empty((rows, columns, 4), dtype=np.uint8)
    pixels[..., :3] = np.round(255 * np.clip(value, 0, 1))[..., None]
    pixels[..., 3] = np.round(255 * share)
    return pixels
