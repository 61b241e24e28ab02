"""A chain of heights beside a view, each with its name: stick-out, grip, parallels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handwheel.show.draw.dimensioning import ARROW, PAST, arrow
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import SMALL, width
from handwheel.show.draw.lines import THIN
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import View


@dataclass(frozen=True, slots=True)
class Height:
    """From ``low`` to ``high`` (either may be the higher), Z in mm, and what it is called, with its figure."""

    words: str
    low: float
    high: float


def draw_chain(sheet: Sheet, view: View, heights: Sequence[Height], at: float, start: float) -> None:
    """Heights on one line, ``at`` mm across the sheet; extension lines from ``start``; names on the line's far side."""
    outwards = 1.0 if at > start else -1.0
    levels = {level: float(view.on_paper((0.0, 0.0, level))[1]) for one in heights for level in (one.low, one.high)}
    for y in sorted(set(levels.values())):
        sheet.line(((start + outwards * 1.0, y), (at + outwards * PAST, y)), THIN)
    for one in heights:
        low, high = sorted((levels[one.low], levels[one.high]))
        _height(sheet, at, low, high)
        _name(sheet, at, outwards, (low + high) / 2, one.words)


def _height(sheet: Sheet, at: float, low: float, high: float) -> None:
    within = high - low >= 2 * ARROW + 1
    past = 0.0 if within else ARROW + 1.5
    sheet.line(((at, low - past), (at, high + past)), THIN)
    towards = 1.0 if within else -1.0
    arrow(sheet, (at, low), (0.0, -towards))
    arrow(sheet, (at, high), (0.0, towards))


def _name(sheet: Sheet, at: float, outwards: float, level: float, words: str) -> None:
    """Beside the line at its middle, or a little above or below with a leader."""
    wide = width(words)
    options = []
    for away in (2.0, 7.0):
        for shift in np.arange(-16.0, 16.1, 1.0):
            centre = (at + outwards * (away + wide / 2), level + float(shift))
            options.append((Rect.about(centre, wide + 0.6, 4.0), abs(float(shift)) + 2 * (away - 2.0)))
    place = sheet.room.place(options, per_line=2.0)
    if place is None:
        return
    y = place.centre[1]
    if abs(y - level) > 1.0 or abs(place.centre[0] - at) - wide / 2 > 3.0:
        near = place.x0 if outwards > 0 else place.x1
        sheet.line(((at, level), (near, y)), THIN)
    sheet.text((place.centre[0], y - SMALL / 2), words, align="centre", reserve=False)
