"""Compiles the kernels of the cut by cutting a thimbleful: for a process of its own, beside the first proof."""

from __future__ import annotations

import numpy as np

from handwheel.cut.display import display_grid
from handwheel.cut.heightmap import height_map
from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.motion import Kind, Modal, MovesBuilder, Tool
from handwheel.path.box import Box


def warm() -> None:
    """Cut once by every kernel; what is compiled is kept on disk for every other process."""
    mill = Tool(1, "end mill", 10.0, 4, 20.0, 10.0, 30.0, 40.0, 50.0)
    builder = MovesBuilder()
    builder.add(Kind.FEED, (-20.0, 0.0, -1.0), (20.0, 0.0, -1.0), Modal(tool=1), feed=100.0)
    part = Part(Box((-5.0, -5.0, -5.0), (5.0, 5.0, 0.0)), (Cut(builder.build(), {1: mill}),))
    height_map(part, 1.0)
    for axis in (2, 0):
        left(part, Rays(axis, np.zeros((1, 2))))
    display_grid(part, 100)


if __name__ == "__main__":
    warm()
