"""Drawings on paper: the backplot, the set-up, the part, and the part after each step."""

from handwheel.show.draw.backplot import path_drawing
from handwheel.show.draw.part import part_drawing
from handwheel.show.draw.saving import save
from handwheel.show.draw.setup_sheet import setup_drawing

__all__ = ["part_drawing", "path_drawing", "save", "setup_drawing"]
