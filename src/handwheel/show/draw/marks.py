"""Marks that several drawings share: the work's zero, a view's caption, a name led to its thing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from handwheel.show.draw.labels import Point2, Rect, around
from handwheel.show.draw.lettering import PITCH, SMALL, width, wrapped
from handwheel.show.draw.lines import FAINT, THIN
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import AXES, View

_LINE = 4.2
"""The height that a line of lettering wants for itself, mm."""
_APART = 2.0
"""Nothing else is lettered this near to an axis's name, mm."""


def draw_caption(sheet: Sheet, view: View, words: str) -> None:
    """What a view is, below it, in two lines where the view is narrow."""
    window = view.window
    room = sheet.field.x1 - window.x0 if view.name == "right" else max(window.width + 8.0, 24.0)
    for index, line in enumerate(wrapped(words, room, lines=2)):
        sheet.text((window.x0, window.y0 - 5.4 - index * PITCH * SMALL), line, colour=FAINT)


def draw_zero(sheet: Sheet, view: View) -> None:
    """The work's zero with the two axes that the view shows."""
    x, y = view.on_paper((0.0, 0.0, 0.0)).tolist()
    length, head, half = 9.0, 1.8, 0.5
    sheet.circle((x, y), 1.1, THIN, order=3)
    for (dx, dy), axis in zip(((1.0, 0.0), (0.0, 1.0)), AXES[view.name], strict=True):
        tip = (x + dx * length, y + dy * length)
        back = (tip[0] - head * dx, tip[1] - head * dy)
        sheet.line(((x, y), tip), THIN, order=3)
        sheet.fill(
            (tip, (back[0] - half * dy, back[1] - half * dx), (back[0] + half * dy, back[1] + half * dx)), order=3
        )
        name = "XYZ"[axis]
        place = sheet.room.place(_beside(tip, (dx, dy), width(name) + 0.6))
        if place is not None:
            sheet.text((place.centre[0], place.centre[1] - SMALL / 2), name, align="centre", reserve=False)
            # a figure close by would be read as this axis's
            sheet.room.take(place.grown(_APART))


def _beside(tip: Point2, way: Point2, wide: float) -> Iterator[tuple[Rect, float]]:
    """Ahead of an arrow's tip, or beside it."""
    dx, dy = way
    for ahead in (2.6, 3.6, -1.5, 5.0, -4.0):
        for aside in (0.0, -2.8, 2.8, -4.0, 4.0):
            if ahead > 2.0 or aside:
                centre = (tip[0] + dx * ahead + dy * aside, tip[1] + dy * ahead + dx * aside)
                yield Rect.about(centre, wide, 3.6), abs(aside) + abs(ahead - 2.6)


def draw_label(
    sheet: Sheet, at: Point2, words: str, inside: Rect | None = None, *, others: Sequence[Rect] = ()
) -> None:
    """A name on its thing where that is large enough, else beside it with a leader, but never on one of the others."""
    if inside is not None and draw_name(sheet, inside, words):
        return
    wide = width(words) + 1.0
    spots = (one for one in around(at, wide, _LINE) if not any(one[0].overlaps(other) for other in others))
    spot = sheet.room.place(spots, anchor=at, per_line=14.0)
    if spot is None:
        return
    sheet.dot(at, 0.4)
    sheet.line((spot.nearest(at), at), THIN)
    sheet.text((spot.centre[0], spot.centre[1] - SMALL / 2), words, align="centre", reserve=False)


def draw_name(sheet: Sheet, inside: Rect, words: str, *, clear: bool = False) -> bool:
    """A name on its thing, in one line or in two; ``False``, and nothing drawn, where it finds no room (``clear``: none
    without lines)."""
    for lines in ([words], words.split(" ")):
        wide, high = max(width(line) for line in lines) + 1.0, len(lines) * _LINE
        if inside.width < wide or inside.height < high:
            continue
        spots = _within(inside, wide, high)
        if clear:
            spots = (one for one in spots if not sheet.room.crossings(one[0]))
        spot = sheet.room.place(spots, per_line=8.0)
        if spot is not None:
            for index, line in enumerate(lines):
                middle = spot.y1 - (index + 0.5) * _LINE
                sheet.text((spot.centre[0], middle - SMALL / 2), line, align="centre", reserve=False)
            return True
    return False


def _within(inside: Rect, wide: float, high: float) -> Iterator[tuple[Rect, float]]:
    """Places in a rectangle, those near its middle the cheapest."""
    x, y = inside.centre
    for rise in np.linspace(-0.5, 0.5, 11) * (inside.height - high):
        for run in np.linspace(-0.5, 0.5, 9) * (inside.width - wide):
            yield Rect.about((x + run, y + rise), wide, high), 0.2 * (abs(float(run)) + abs(float(rise)))
