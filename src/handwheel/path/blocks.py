"""A block with boxes taken from it: where it is material, what box holds it, where a ray goes in and out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handwheel.path.box import Box
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Blocks:
    """Cells between the planes of all faces; ``full`` tells which hold material.

    ``planes`` are the coordinates of the faces along X, Y and Z, mm; ``full`` is (nx, ny, nz), one less each.
    """

    planes: tuple[Floats, Floats, Floats]
    full: NDArray[np.bool_]

    @property
    def box(self) -> Box:
        """The least box that holds the material; of no size where there is none."""
        return self._around(self.full)

    def box_within(self, region: Box) -> Box | None:
        """The least box that holds the material within a region; ``None`` where there is none.

        >>> step = blocks(Box((0, 0, 0), (10, 10, 10)), [Box((0, 0, 5), (4, 10, 10))])
        >>> step.box_within(Box((-1.0, -1.0, 6.0), (11.0, 11.0, 9.0)))
        Box(low=(4.0, 0.0, 6.0), high=(10.0, 10.0, 9.0))
        """
        there = [
            (planes[1:] > region.low[axis] + CONTACT) & (planes[:-1] < region.high[axis] - CONTACT)
            for axis, planes in enumerate(self.planes)
        ]
        within = self.full & there[0][:, None, None] & there[1][None, :, None] & there[2][None, None, :]
        if not within.any():
            return None
        box = self._around(within)
        low = tuple(map(max, box.low, region.low))
        high = tuple(map(min, box.high, region.high))
        return Box(low, high)  # type: ignore[arg-type]

    def _around(self, cells: NDArray[np.bool_]) -> Box:
        lows, highs = [], []
        for axis, planes in enumerate(self.planes):
            there = np.flatnonzero(cells.any(axis=tuple(other for other in range(3) if other != axis)))
            lows.append(float(planes[there[0]]) if len(there) else float(planes[0]))
            highs.append(float(planes[there[-1] + 1]) if len(there) else float(planes[0]))
        return Box((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


def blocks(block: Box, gone: Sequence[Box]) -> Blocks:
    """The block without the boxes.

    >>> blocks(Box((0, 0, 0), (10, 10, 10)), [Box((0, 0, 8), (10, 10, 10))]).box.high
    (10.0, 10.0, 8.0)
    """
    planes = tuple(_planes(block, gone, axis) for axis in range(3))
    full = np.ones(tuple(len(one) - 1 for one in planes), dtype=bool)
    for box in gone:
        within = []
        for axis in range(3):
            middle = (planes[axis][:-1] + planes[axis][1:]) / 2
            within.append((middle > box.low[axis]) & (middle < box.high[axis]))
        full &= ~(within[0][:, None, None] & within[1][None, :, None] & within[2][None, None, :])
    return Blocks((planes[0], planes[1], planes[2]), full)


def spans(body: Blocks, axis: int, through: tuple[float, float]) -> list[tuple[float, float]]:
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
    return [(float(body.planes[axis][start]), float(body.planes[axis][end])) for start, end in runs(cells)]


def runs(marks: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where each run of marked cells begins, and the plane at which it ends.

    >>> runs(np.array([False, True, True, False, True]))
    [(1, 3), (4, 5)]
    """
    change = np.flatnonzero(np.diff(np.concatenate([[False], marks, [False]]).astype(np.int8)))
    return [(int(start), int(end)) for start, end in zip(change[::2], change[1::2], strict=True)]


def _planes(block: Box, gone: Sequence[Box], axis: int) -> Floats:
    low, high = block.low[axis], block.high[axis]
    faces = sorted(
        face for box in gone for face in (box.low[axis], box.high[axis]) if low + CONTACT < face < high - CONTACT
    )
    planes = [float(low)]
    for face in faces:
        if face - planes[-1] > CONTACT:
            planes.append(face)
    return np.array([*planes, float(high)])
