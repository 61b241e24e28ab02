"""What went wrong, and what to do about it: causes of a failed proof, measured parts and their corrections."""

from handwheel.learn.measure import MeasuredSize, Measurements, measure
from handwheel.learn.outcome import Undone
from handwheel.learn.sizes import Measured, read_sizes
from handwheel.learn.why import why

__all__ = ["Measured", "MeasuredSize", "Measurements", "Undone", "measure", "read_sizes", "why"]
