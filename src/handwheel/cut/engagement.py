"""What each move has in the cut: metal removed, greatest depth and width."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.path.profile import Floats


@dataclass(frozen=True)
class Engagement:
    """One value for each move, from a height map.

    Attributes
    ----------
    volume : (n,) mm³; metal removed, within the cells along the cut's outline
    depth : (n,) mm; greatest axial depth of cut, exact at the cells' centres
    width : (n,) mm; from edge to edge of what was cut, square to the path; a slot that stood open in between counts as
        cut. Within ``width_error``
    width_error : mm; one cell from corner to corner
    """

    volume: Floats
    depth: Floats
    width: Floats
    width_error: float
