"""A corner-radius cutter against rays."""

from __future__ import annotations

import numpy as np
import pytest

from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.motion import Kind, Modal, MovesBuilder, Tool
from handwheel.path.box import Box


def test_a_corner_radius_cutter_clears_all_that_stands_above_its_nose() -> None:
    # geometry: flutes 20 long, 3 deep in the work, a nose 2 × 0.5 high: nothing may be left between nose and raw top
    mill = Tool(1, "corner-radius end mill", 10.0, 4, 20.0, 10.0, 30.0, 40.0, 50.0, corner_radius=0.5)
    builder = MovesBuilder()
    builder.add(Kind.FEED, (-20.0, 0.0, -3.0), (20.0, 0.0, -3.0), Modal(tool=1), feed=100.0)
    part = Part(Box((-10.0, -10.0, -20.0), (10.0, 10.0, 0.0)), (Cut(builder.build(), {1: mill}),))
    stretches = left(part, Rays(2, np.array([[0.0, 0.0], [3.0, 4.0]])))
    assert stretches.low.tolist() == [-20.0, -20.0]
    assert stretches.high.tolist() == pytest.approx([-3.0, -3.0])
