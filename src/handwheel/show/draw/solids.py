"""A block with boxes taken from it: which of its edges each view shows, and where a ray goes in and out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.path.box import Box
from handwheel.show.draw.labels import Floats
from handwheel.show.draw.views import AXES, TOWARDS, ViewName
from handwheel.tolerances import CONTACT


@dataclass(frozen=True)
class Solid:
    """Cells between the planes of all faces; ``full`` tells which hold material.

    ``planes`` are the coordinates of the faces along X, Y and Z, mm; ``full`` is (nx, ny, nz), one less each.
    """

    planes: tuple[Floats, Floats, Floats]
    full: NDArray[np.bool_]

    @property
    def box(self) -> Box:
        """The least box that holds the material; of no size where there is none."""
        lows, highs = [], []
        for axis, planes in enumerate(self.planes):
            there = np.flatnonzero(self.full.any(axis=tuple(other for other in range(3) if other != axis)))
            lows.append(float(planes[there[0]]) if len(there) else float(planes[0]))
            highs.append(float(planes[there[-1] + 1]) if len(there) else float(planes[0]))
        return Box((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


@dataclass(frozen=True, slots=True)
class Edges:
    """Edges in a view, in the job's frame: (n, 2, 2), its two coordinates, mm."""

    visible: Floats
    hidden: Floats


def solid(block: Box, gone: Sequence[Box]) -> Solid:
    """The block without the boxes."""
    planes = tuple(_planes(block, gone, axis) for axis in range(3))
    full = np.ones(tuple(len(one) - 1 for one in planes), dtype=bool)
    for box in gone:
        within = []
        for axis in range(3):
            middle = (planes[axis][:-1] + planes[axis][1:]) / 2
            within.append((middle > box.low[axis]) & (middle < box.high[axis]))
        full &= ~(within[0][:, None, None] & within[1][None, :, None] & within[2][None, None, :])
    return Solid((planes[0], planes[1], planes[2]), full)


def _planes(block: Box, gone: Sequence[Box], axis: int) -> Floats:
    low, high = block.low[axis], block.high[axis]
    faces = sorted(
        face for box in gone for face in (box.low[axis], box.high[axis]) if low + CONTACT < face < high - CONTACT
    )
    planes = [low]
    for face in faces:
        if face - planes[-1] > CONTACT:
            planes.append(face)
    return np.array([*planes, high])


def edges(body: Solid, view: ViewName) -> Edges:
    """The visible and the hidden edges of a solid in a view, joined where they run on."""
    across, up = AXES[view]
    deep, sign = TOWARDS[view]
    cells = np.transpose(body.full, (across, up, deep))
    if sign > 0:
        cells = cells[:, :, ::-1]
    # empty cells all round, so that an outline is an edge like any other
    cells = np.pad(cells, ((1, 1), (1, 1), (0, 0)))
    first = np.where(cells.any(axis=2), cells.argmax(axis=2), -1)
    u, v = body.planes[across], body.planes[up]
    visible: list[tuple[float, float, float, float]] = []
    hidden: list[tuple[float, float, float, float]] = []
    for along in (0, 1):
        ahead, stations = (v, u) if along == 0 else (u, v)
        depth, column = (first, cells) if along == 0 else (first.T, cells.transpose(1, 0, 2))
        seen = depth[1:, 1:-1] != depth[:-1, 1:-1]
        there = (column[1:, 1:-1] != column[:-1, 1:-1]).any(axis=2)
        for kind, marks in ((visible, seen), (hidden, there & ~seen)):
            for index in range(marks.shape[0]):
                for start, end in _runs(marks[index]):
                    at, low, high = float(stations[index]), float(ahead[start]), float(ahead[end])
                    kind.append((at, low, at, high) if along == 0 else (low, at, high, at))
    return Edges(np.array(visible).reshape(-1, 2, 2), np.array(hidden).reshape(-1, 2, 2))


def _runs(marks: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """The first and the last plane of each run of marked cells."""
    change = np.flatnonzero(np.diff(np.concatenate([[False], marks, [False]]).astype(np.int8)))
    return [(int(start), int(end)) for start, end in zip(change[::2], change[1::2], strict=True)]


def spans(body: Solid, axis: int, through: tuple[float, float]) -> list[tuple[float, float]]:
    """Where a level ray along an axis is in material: first and last coordinate of each stretch, mm.

    ``through`` are its other two coordinates in the order of the axes. On a face the ray counts as within material on
    either side of it.
    """
    others = [other for other in range(3) if other != axis]
    cells = np.moveaxis(body.full, axis, 0)
    for place, other in zip(through, others, strict=True):
        planes = body.planes[other]
        near = (planes[:-1] <= place + CONTACT) & (planes[1:] >= place - CONTACT)
        cells = np.any(cells[:, near], axis=1) if near.any() else np.zeros_like(cells[:, 0])
    return [(float(body.planes[axis][start]), float(body.planes[axis][end])) for start, end in _runs(cells)]
