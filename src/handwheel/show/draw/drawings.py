"""Every drawing of a job by its name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from matplotlib.figure import Figure

from handwheel.plan import Plan
from handwheel.proof import SetupProof
from handwheel.setup import Setup
from handwheel.show.draw.backplot import path_drawing
from handwheel.show.draw.part import part_drawing
from handwheel.show.draw.pictures import pictorial, stages_drawing
from handwheel.show.draw.saving import save
from handwheel.show.draw.setup_sheet import setup_drawing

__all__ = [
    "DRAWINGS",
    "OF_PART",
    "OF_SETUP",
    "Drawing",
    "part_drawing",
    "path_drawing",
    "pictorial",
    "save",
    "setup_drawing",
    "stages_drawing",
]

Drawing = Callable[[Setup, Plan, SetupProof], Figure]

OF_SETUP: Final[dict[str, Drawing]] = {
    "set-up": setup_drawing,
    "path": path_drawing,
    "steps": stages_drawing,
}
"""One for each set-up."""

OF_PART: Final[dict[str, Drawing]] = {"part": part_drawing, "picture": pictorial}
"""One for the part, after its last set-up."""

DRAWINGS: Final[dict[str, Drawing]] = {**OF_PART, **OF_SETUP}
