"""Third-angle views: plan above, front below it, right side beside the front, at a standard scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike

from handwheel.path.box import Box
from handwheel.show.draw.labels import Floats, Point2, Rect, clipped
from handwheel.units import Units

ViewName = Literal["plan", "front", "right"]

AXES: Final[dict[ViewName, tuple[int, int]]] = {"plan": (0, 1), "front": (0, 2), "right": (1, 2)}
"""Which axis of the job's frame runs across the sheet and which up it: seen from above, from the operator's place, and
from the right along the jaws."""
TOWARDS: Final[dict[ViewName, tuple[int, float]]] = {"plan": (2, 1.0), "front": (1, -1.0), "right": (0, 1.0)}
"""The axis that points at the viewer, and its sign."""

SCALES: Final[dict[Units, tuple[float, ...]]] = {
    "mm": (20.0, 10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 2.5, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100),
    "in": (16.0, 8.0, 4.0, 2.0, 1.0, 3 / 4, 1 / 2, 3 / 8, 1 / 4, 1 / 8, 1 / 16, 1 / 32, 1 / 64),
}
"""Standard scales, large to small: ISO 5455 in millimeters, with 1:2.5 as the intermediate that it allows;
halves and three-quarters in inches (common practice)."""


@dataclass(frozen=True, slots=True)
class View:
    """One view: ``window`` is the paper it may use; ``origin`` where the job's zero falls on paper, mm."""

    name: ViewName
    window: Rect
    origin: Point2
    scale: float

    def on_paper(self, points: ArrayLike) -> Floats:
        """Points of the job's frame, (…, 3) mm, as places on paper, (…, 2) mm."""
        places = np.asarray(points, dtype=np.float64)
        across, up = AXES[self.name]
        return np.stack(
            [self.origin[0] + self.scale * places[..., across], self.origin[1] + self.scale * places[..., up]], axis=-1
        )

    def rect(self, box: Box) -> Rect:
        """A box as this view shows it."""
        (x0, y0), (x1, y1) = self.on_paper([box.low, box.high])
        return Rect(float(x0), float(y0), float(x1), float(y1))

    def clip(self, segments: ArrayLike) -> Floats:
        """The parts of lines on paper, (n, 2, 2) mm, that lie in the window."""
        return clipped(np.asarray(segments, dtype=np.float64), self.window)[0]

    def edges(self, box: Box) -> Floats:
        """The four edges of a box as lines on paper, as far as the window shows them."""
        return self.clip(edges_of(self.rect(box)))


@dataclass(frozen=True, slots=True)
class ThirdAngle:
    """Three views at one scale."""

    plan: View
    front: View
    right: View
    scale: float

    def __iter__(self) -> Iterator[View]:
        return iter((self.plan, self.front, self.right))


def third_angle(area: Rect, shown: Box, units: Units, gap: float = 10.0, *, to_left: bool = False) -> ThirdAngle:
    """Plan, front and right side of ``shown`` in the paper's ``area``, at the largest standard scale that fits.

    Parameters
    ----------
    area : on paper, mm
    shown : what the views' windows take in, in the job's frame, mm
    gap : between the views on paper, mm
    to_left : put them at the area's left instead of its middle
    """
    x, y, z = shown.size
    scale = largest_scale((x + y, y + z), (area.width - gap, area.height - gap), units)
    width, height = scale * (x + y) + gap, scale * (y + z) + gap
    left = area.x0 + (0.0 if to_left else 0.5) * (area.width - width)
    bottom = area.y0 + (area.height - height) / 2
    beside, above = left + scale * x + gap, bottom + scale * z + gap
    return ThirdAngle(
        plan=place("plan", (left, above), shown, scale),
        front=place("front", (left, bottom), shown, scale),
        right=place("right", (beside, bottom), shown, scale),
        scale=scale,
    )


def place(name: ViewName, corner: Point2, shown: Box, scale: float) -> View:
    """A view whose window's lower left corner stands at a place on paper."""
    across, up = AXES[name]
    window = Rect(*corner, corner[0] + scale * shown.size[across], corner[1] + scale * shown.size[up])
    return View(name, window, (corner[0] - scale * shown.low[across], corner[1] - scale * shown.low[up]), scale)


def largest_scale(size: Sequence[float], room: Sequence[float], units: Units) -> float:
    """The largest standard scale at which ``size`` (mm) fits into ``room`` (mm); the smallest where none does.

    >>> largest_scale((80, 50), (100, 100), "mm"), largest_scale((120, 50), (100, 100), "in")
    (1.0, 0.75)
    """
    for scale in SCALES[units]:
        if all(scale * length <= free + 1e-9 for length, free in zip(size, room, strict=True)):
            return scale
    return SCALES[units][-1]


def scale_text(scale: float) -> str:
    """
    >>> scale_text(2.0), scale_text(0.4), scale_text(0.375)
    ('2:1', '1:2.5', '3:8')
    """
    if (10 / scale).is_integer():
        return f"1:{1 / scale:g}" if scale < 1 else f"{scale:g}:1"
    ratio = Fraction(scale).limit_denominator(128)
    return f"{ratio.numerator}:{ratio.denominator}"


def edges_of(rect: Rect) -> Floats:
    """The four sides of a rectangle: (4, 2, 2) mm."""
    corners = np.array([(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)])
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)
