"""The packet to print: all sheets of a job in the order an instructor hands them out."""

from handwheel.show.paper.packet import packet

__all__ = ["packet"]
