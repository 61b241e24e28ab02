"""What went wrong, and what to do about it: causes of a failed proof, measured parts and their corrections."""

from handwheel.learn.why import Undone, why

__all__ = ["Undone", "why"]
