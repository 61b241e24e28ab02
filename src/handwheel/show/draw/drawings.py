"""Every drawing of a job by its name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from matplotlib.figure import Figure

from handwheel.plan import Plan
from handwheel.proof import Proof
from handwheel.setup import Setup
from handwheel.show.draw.backplot import path_drawing
from handwheel.show.draw.part import part_drawing
from handwheel.show.draw.pictures import pictorial, stages_drawing
from handwheel.show.draw.saving import save
from handwheel.show.draw.setup_sheet import setup_drawing

__all__ = [
    "DRAWINGS",
    "Drawing",
    "part_drawing",
    "path_drawing",
    "pictorial",
    "save",
    "setup_drawing",
    "stages_drawing",
]

Drawing = Callable[[Setup, Plan, Proof], Figure]

DRAWINGS: Final[dict[str, Drawing]] = {
    "part": part_drawing,
    "set-up": setup_drawing,
    "path": path_drawing,
    "steps": stages_drawing,
    "picture": pictorial,
}
