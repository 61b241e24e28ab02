"""What is printed: the packet in the order in which an instructor hands its sheets out, and the machine cards."""

from handwheel.show.paper.cards import cards
from handwheel.show.paper.packet import packet

__all__ = ["cards", "packet"]
