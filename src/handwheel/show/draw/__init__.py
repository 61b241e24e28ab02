"""Drawings on paper: the backplot, the set-up, the part, and the part after each step."""

from handwheel.show.draw.backplot import path_drawing
from handwheel.show.draw.saving import save

__all__ = ["path_drawing", "save"]
