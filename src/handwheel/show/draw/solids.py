"""Which edges of a block with boxes taken from it each view shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handwheel.path.blocks import Blocks, runs
from handwheel.show.draw.labels import Floats
from handwheel.show.draw.views import AXES, TOWARDS, ViewName


@dataclass(frozen=True, slots=True)
class Edges:
    """Edges in a view, in the job's frame: (n, 2, 2), its two coordinates, mm."""

    visible: Floats
    hidden: Floats


def edges(body: Blocks, view: ViewName) -> Edges:
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
                for start, end in runs(marks[index]):
                    at, low, high = float(stations[index]), float(ahead[start]), float(ahead[end])
                    kind.append((at, low, at, high) if along == 0 else (low, at, high, at))
    return Edges(np.array(visible).reshape(-1, 2, 2), np.array(hidden).reshape(-1, 2, 2))
