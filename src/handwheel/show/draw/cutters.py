"""The outline of a cutter in its holder, seen from the side."""

from __future__ import annotations

import numpy as np

from handwheel.cut.cutter import cutter
from handwheel.motion import Tool
from handwheel.path.profile import Rounded
from handwheel.show.draw.labels import Floats


def outline(tool: Tool) -> Floats:
    """Across the axis and above the tip, closed by its first point, (n, 2) mm: flutes, shank, holder."""
    body = cutter(tool)
    half = [(0.0, 0.0)]
    for profile in (body.flutes, body.shank, body.holder):
        for piece in profile.pieces:
            heights = np.linspace(piece.low, piece.high, 13 if isinstance(piece, Rounded) else 2)
            half += zip(piece.radius_at(heights).tolist(), heights.tolist(), strict=True)
    half.append((0.0, half[-1][1]))
    right = np.array(half)
    return np.vstack([right, right[::-1] * (-1.0, 1.0)])
