"""Drawings on paper: the backplot, the set-up, the part, the part after each step, and a shaded picture."""

from handwheel.show.draw.backplot import path_drawing
from handwheel.show.draw.part import part_drawing
from handwheel.show.draw.pictures import pictorial, stages_drawing
from handwheel.show.draw.saving import save
from handwheel.show.draw.setup_sheet import setup_drawing

__all__ = ["part_drawing", "path_drawing", "pictorial", "save", "setup_drawing", "stages_drawing"]
