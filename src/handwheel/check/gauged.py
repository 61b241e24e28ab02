"""Each size of the drawing as it came out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from handwheel.check.finding import Point
from handwheel.cut.gauge import Measurement, measure
from handwheel.cut.part import Part
from handwheel.job import Dimension
from handwheel.path.box import Box
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT


@dataclass(frozen=True, slots=True)
class Gauged:
    """A size as it came out; mm. ``measured`` is ``None`` where nothing is met, ``at`` is where it is taken."""

    name: str
    nominal: float
    lower: float
    upper: float
    measured: float | None
    ok: bool
    at: Point


def gauged(setup: Setup, part: Part) -> tuple[Gauged, ...]:
    """Every dimension of the job, measured on the finished part; where it is taken is told in the set-up's frame."""
    whole = part.seen_from(setup.placement.inverse())
    block = setup.job.finished_block
    each = (_gauged(size, whole, block) for size in setup.job.dimensions)
    return tuple(replace(one, at=setup.placement.point(one.at)) for one in each)


def _reading(size: Dimension, part: Part, block: Box) -> Measurement:
    """A distance is read from one middle to the other, as a caliper over two pins does."""
    if size.of != "distance":
        start = None
        if size.start is not None:
            face = size.start
            start = ((block.high if face.outwards > 0 else block.low)[face.axis], face.outwards)
        return measure(part, size.axis, size.through, size.of, size.at, start=start)
    assert size.between is not None
    low, high = (measure(part, size.axis, size.through, "middle", at).value for at in sorted(size.between))
    if low is None or high is None:
        return Measurement(None)
    return Measurement(high - low, low, high)


def _gauged(size: Dimension, part: Part, block: Box) -> Gauged:
    reading = _reading(size, part, block)
    value = reading.value
    ok = value is not None and size.lower - CONTACT <= value <= size.upper + CONTACT
    middle = 0.0 if reading.low is None or reading.high is None else (reading.low + reading.high) / 2.0
    x, y, z = (middle if axis == size.axis else size.through[axis] for axis in "xyz")
    return Gauged(size.name, size.nominal, size.lower, size.upper, value, ok, (x, y, z))
