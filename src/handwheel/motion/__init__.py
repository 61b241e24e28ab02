"""What a cutter does, from either route: one frozen table of moves; the tools and offsets; the machine's clock."""

from handwheel.motion.moves import Kind, Modal, Move, Moves, MovesBuilder, PathMode, Plane, Side, Spindle
from handwheel.motion.tables import Control, Offset, Tool

__all__ = [
    "Control",
    "Kind",
    "Modal",
    "Move",
    "Moves",
    "MovesBuilder",
    "Offset",
    "PathMode",
    "Plane",
    "Side",
    "Spindle",
    "Tool",
]
