"""Numbers in rings, led to what they name."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from handwheel.show.draw.labels import Floats, Point2, around
from handwheel.show.draw.lettering import SMALL, width
from handwheel.show.draw.lines import THIN
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import View


def balloon(sheet: Sheet, view: View, at: tuple[float, float, float], label: str, colour: str) -> None:
    """A number in a ring of its step's colour, led to the path."""
    x, y = view.on_paper(at).tolist()
    window = view.window
    x, y = min(max(x, window.x0), window.x1), min(max(y, window.y0), window.y1)
    high = 4.6
    wide = max(width(label) + 2.4, high)
    place = sheet.room.place(around((x, y), wide + 0.6, high + 0.6), anchor=(x, y))
    if place is None:
        return
    ring = _stadium(place.centre, wide, high)
    middle = np.array(place.centre)
    towards = np.array([x, y]) - middle
    shares = np.linspace(0.0, 1.0, 200)[:, None]
    way = middle + shares * towards
    outside = way[_outside(way - middle, wide, high)]
    if len(outside):
        sheet.line((outside[0], (x, y)), THIN, colour, order=3)
    sheet.dot((x, y), 0.45, colour)
    sheet.fill(ring, "white", order=3.5)
    sheet.line(ring, THIN, colour, closed=True, order=3.6)
    sheet.text((place.centre[0], place.centre[1] - SMALL / 2), label, align="centre", reserve=False)


def _stadium(centre: Point2, wide: float, high: float) -> Floats:
    radius, half = high / 2, (wide - high) / 2
    turn = np.linspace(-np.pi / 2, np.pi / 2, 13)
    right = np.stack([half + radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    return np.vstack([right, -right]) + centre


def _outside(way: Floats, wide: float, high: float) -> NDArray[np.bool_]:
    beyond = np.maximum(np.abs(way[:, 0]) - (wide - high) / 2, 0.0)
    return np.asarray(np.hypot(beyond, way[:, 1]) > high / 2)
