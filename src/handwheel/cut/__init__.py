"""The judge of both routes: what a cutter leaves of the stock, seen by rays; height map and gauge.

The truth of a part is its stock and its moves. Everything else here answers one question about them: what does this
straight ray still pass through?
"""

from handwheel.cut.display import DisplayGrid, display_grid
from handwheel.cut.engagement import Engagement
from handwheel.cut.gauge import ANVIL, Measurement, measure
from handwheel.cut.heightmap import HeightMap, Volume, height_map
from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, Stretches, left
from handwheel.path.placement import Placement

__all__ = [
    "ANVIL",
    "Cut",
    "DisplayGrid",
    "Engagement",
    "HeightMap",
    "Measurement",
    "Part",
    "Placement",
    "Rays",
    "Stretches",
    "Volume",
    "display_grid",
    "height_map",
    "left",
    "measure",
]
