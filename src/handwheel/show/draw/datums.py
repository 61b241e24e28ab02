"""The zero faces as datums: a filled triangle on the face, led to a framed letter (ISO 5459, from memory)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from handwheel.setup import Setup
from handwheel.show.draw.labels import Point2, Rect
from handwheel.show.draw.lettering import SMALL
from handwheel.show.draw.lines import CENTRE, THIN
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import AXES, ThirdAngle, View, ViewName

IN_VIEW: Final[dict[str, ViewName]] = {"x": "plan", "y": "plan", "z": "front"}
LETTER: Final = {"x": "A", "y": "B", "z": "C"}
FACE: Final = {
    "left": "left end",
    "right": "right end",
    "front": "front side",
    "back": "back side",
    "top": "top",
    "bottom": "bottom",
    "centre": "centre",
}
_HIGH: Final = ("right", "back", "top")
_TRIANGLE: Final = 2.6
_BOX: Final = 5.0
_OFF: Final = 5.0


def draw_datums(sheet: Sheet, views: ThirdAngle, setup: Setup) -> None:
    """Mark the faces that X, Y and Z count from."""
    for axis in ("x", "y", "z"):
        view = next(view for view in views if view.name == IN_VIEW[axis])
        _datum(sheet, view, "xyz".index(axis), getattr(setup.zero, axis), LETTER[axis])


def datum_words(setup: Setup) -> list[str]:
    """Which face each letter marks."""
    return [f"{LETTER[axis]}: {axis.upper()} zero, {FACE[getattr(setup.zero, axis)]}" for axis in ("x", "y", "z")]


def _datum(sheet: Sheet, view: View, axis: int, face: str, letter: str) -> None:
    level: Literal[0, 1] = 0 if AXES[view.name][0] == axis else 1
    window = view.window
    at = view.origin[level]
    low, high = (window.y0, window.y1) if level == 0 else (window.x0, window.x1)
    if face == "centre":
        _centre_line(sheet, level, at, low, high)
        end: tuple[Point2, Point2] = ((at, high + 2.5), (0.0, 1.0)) if level == 0 else ((low - 2.5, at), (-1.0, 0.0))
        _marked(sheet, letter, [end])
        return
    outwards = 1.0 if face in _HIGH else -1.0
    way = (outwards, 0.0) if level == 0 else (0.0, outwards)
    ends = (window.x0, window.x1) if level == 0 else (window.y0, window.y1)
    if abs(at - ends[face in _HIGH]) < 0.05:
        along = [low + share * (high - low) for share in (0.5, 0.3, 0.7, 0.15, 0.85)]
    else:
        # the face stands back: mark its extension line, off the view
        along = [low - _OFF, high + _OFF]
    feet = [((at, one) if level == 0 else (one, at), way) for one in along]
    foot = _marked(sheet, letter, feet)
    if foot is not None and len(along) == 2:
        below = foot[1 - level] < low
        near, far = (low - 1.0, low - _OFF - 2.5) if below else (high + 1.0, high + _OFF + 2.5)
        sheet.line(((at, near), (at, far)) if level == 0 else ((near, at), (far, at)), THIN)


def _marked(sheet: Sheet, letter: str, feet: list[tuple[Point2, Point2]]) -> Point2 | None:
    """A triangle on the first foot (place, way outwards) whose letter finds room; that place."""

    def candidates() -> Iterator[tuple[Rect, float]]:
        for rank, (foot, way) in enumerate(feet):
            for length in (1.5, 4.0):
                reach = _TRIANGLE + length + _BOX / 2
                yield Rect.about((foot[0] + way[0] * reach, foot[1] + way[1] * reach), _BOX, _BOX), rank + length

    place = sheet.room.place(candidates())
    if place is None:
        return None
    x, y = place.centre
    foot, way = min(feet, key=lambda one: abs((x - one[0][0]) * one[1][1]) + abs((y - one[0][1]) * one[1][0]))
    side = (-way[1], way[0])
    tip = (foot[0] + way[0] * _TRIANGLE, foot[1] + way[1] * _TRIANGLE)
    base = [
        (foot[0] + sign * side[0] * _TRIANGLE * 0.6, foot[1] + sign * side[1] * _TRIANGLE * 0.6) for sign in (-1, 1)
    ]
    sheet.fill((tip, *base), order=3)
    sheet.line((tip, (x - way[0] * _BOX / 2, y - way[1] * _BOX / 2)), THIN)
    sheet.line(
        ((place.x0, place.y0), (place.x1, place.y0), (place.x1, place.y1), (place.x0, place.y1)), THIN, closed=True
    )
    sheet.text((x, y - SMALL / 2), letter, align="centre", reserve=False)
    return foot


def _centre_line(sheet: Sheet, level: int, at: float, low: float, high: float) -> None:
    past = 2.5
    ends = ((at, low - past), (at, high + past)) if level == 0 else ((low - past, at), (high + past, at))
    sheet.line(ends, CENTRE)
