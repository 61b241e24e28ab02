"""A sheet of paper in millimeters: frame, title block, projection symbol, and everything that puts ink on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final, Literal

import matplotlib
import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import Polygon
from numpy.typing import ArrayLike, NDArray

from handwheel.show.draw.labels import Point2, Rect, Room
from handwheel.show.draw.lettering import ASCENT, DESCENT, LARGE, PITCH, SMALL, elided, font, legible, width, wrapped
from handwheel.show.draw.lines import CENTRE, FAINT, FRAME, HAIR, INK, THIN, VISIBLE, LineKind
from handwheel.units import Units

Align = Literal["left", "centre", "right"]

PAPER: Final[dict[Units, tuple[float, float]]] = {"in": (279.4, 215.9), "mm": (297.0, 210.0)}
"""Letter for jobs in inches, A4 for jobs in millimeters; both lying."""
FILING_EDGE: Final = 20.0
EDGE: Final = 10.0
"""The frame's distance from the paper's left edge and from the others, mm (ISO 5457, from memory)."""
TITLE_WIDTH: Final = 180.0
"""The title block's width, mm (ISO 7200, from memory)."""
NOTE_LINES: Final = 7
"""How many lines of lettering stand beside it."""
TITLE_ROWS: Final = (9.5, 9.5, 13.5)
"""The heights of its rows from the bottom up, mm."""


@dataclass(frozen=True, slots=True)
class Title:
    """What the title block says (the fields of ISO 7200, from memory). What a person must sign or date stays blank."""

    title: str
    document: str
    number: str
    material: str
    scale: str
    tolerance: str = ""


@contextmanager
def plain_settings() -> Iterator[None]:
    """matplotlib as it is delivered, whatever the user's own settings file says; also put round a whole function."""
    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams["svg.hashsalt"] = "handwheel"
        matplotlib.rcParams["svg.fonttype"] = "path"
        matplotlib.rcParams["text.hinting"] = "no_hinting"
        yield


class Sheet:
    """One drawing. Lengths and places are mm on paper, from the lower left corner; ``room`` knows what is taken.

    ``size`` is that of a picture for a sheet of another kind: it has neither frame nor title block.
    """

    def __init__(self, units: Units, size: tuple[float, float] | None = None) -> None:
        self.units = units
        self.size = paper_width, paper_height = size or PAPER[units]
        self.figure = Figure(figsize=(paper_width / 25.4, paper_height / 25.4), dpi=200, facecolor="white")
        self._axes = self.figure.add_axes((0, 0, 1, 1))
        self._axes.set_xlim(0, paper_width)
        self._axes.set_ylim(0, paper_height)
        self._axes.set_axis_off()
        self._axes.autoscale(False)
        if size:
            self.frame = Rect(0.0, 0.0, paper_width, paper_height)
            self.room = Room(self.frame)
            return
        self.frame = Rect(FILING_EDGE, EDGE, paper_width - EDGE, paper_height - EDGE)
        self.room = Room(self.frame.grown(-1.0))
        self.line(_corners(self.frame), FRAME, closed=True)

    @property
    def field(self) -> Rect:
        """What the drawing has to itself: inside the frame, above the title block."""
        return Rect(self.frame.x0 + 4, self.frame.y0 + sum(TITLE_ROWS) + 3, self.frame.x1 - 4, self.frame.y1 - 4)

    def segments(
        self, segments: ArrayLike, kind: LineKind, colour: str | Sequence[str] = INK, order: float = 2
    ) -> None:
        """Straight lines, (n, 2, 2) mm, of one colour or one each; lettering keeps off them."""
        places = np.asarray(segments, dtype=np.float64).reshape(-1, 2, 2)
        if not len(places):
            return
        self.room.keep_off(places)
        self._axes.add_collection(
            LineCollection(
                list(places),
                colors=colour,
                linewidths=kind.points,
                linestyles=[kind.pattern],
                capstyle="butt" if kind.dashes else "round",
                zorder=order,
            ),
            autolim=False,
        )

    def line(
        self, points: ArrayLike, kind: LineKind, colour: str = INK, *, closed: bool = False, order: float = 2
    ) -> None:
        """A line through points, (n, 2) mm; dashes run on round the corners."""
        places = np.asarray(points, dtype=np.float64)
        if closed:
            places = np.vstack([places, places[:1]])
        self.room.keep_off(np.stack([places[:-1], places[1:]], axis=1))
        self._axes.add_collection(
            LineCollection(
                [places],
                colors=colour,
                linewidths=kind.points,
                linestyles=[kind.pattern],
                capstyle="butt" if kind.dashes else "round",
                joinstyle="miter",
                zorder=order,
            ),
            autolim=False,
        )

    def circle(self, centre: Point2, radius: float, kind: LineKind, colour: str = INK, order: float = 2) -> None:
        """A circle."""
        turn = np.linspace(0.0, 2 * math.pi, 73)[:-1]
        ring = np.stack([centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)], axis=1)
        self.line(ring, kind, colour, closed=True, order=order)

    def dot(self, centre: Point2, radius: float, colour: str = INK) -> None:
        """A filled circle."""
        turn = np.linspace(0.0, 2 * math.pi, 17)[:-1]
        ring = np.stack([centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)], axis=1)
        self.fill(ring, colour, order=3)

    def fill(self, points: ArrayLike, colour: str = INK, order: float = 2) -> None:
        """A filled polygon, (n, 2) mm."""
        self._axes.add_patch(
            Polygon(np.asarray(points, dtype=np.float64), closed=True, fc=colour, ec="none", zorder=order)
        )

    def picture(self, pixels: NDArray[np.uint8], place: Rect) -> None:
        """A shaded picture, (rows, columns, 3 or 4), top row first, stretched over a rectangle."""
        self._axes.imshow(
            pixels,
            extent=(place.x0, place.x1, place.y0, place.y1),
            interpolation="antialiased",
            aspect="auto",
            zorder=1,
            resample=True,
        )
        self._axes.set_xlim(0, self.size[0])
        self._axes.set_ylim(0, self.size[1])

    def text(
        self,
        at: Point2,
        text: str,
        *,
        height: float = SMALL,
        align: Align = "left",
        bold: bool = False,
        upright: bool = False,
        colour: str = INK,
        reserve: bool = True,
    ) -> Rect:
        """A line of lettering whose baseline starts, is centred or ends at a place.

        ``upright`` text reads from the right-hand edge of the sheet. Gives the place that it takes, which is then taken
        unless ``reserve`` is false (the place was taken before).
        """
        shown = legible(text)
        box = text_box(at, shown, height=height, align=align, bold=bold, upright=upright)
        if reserve:
            self.room.take(box)
        if shown:
            self._axes.text(
                *at,
                shown,
                fontproperties=font(height, bold),
                ha="center" if align == "centre" else align,
                va="baseline",
                rotation=90 if upright else 0,
                rotation_mode="anchor",
                color=colour,
                parse_math=False,
                zorder=5,
            )
        return box

    def notes(self, notes: Sequence[str]) -> None:
        """Notes left of the title block, the weightiest first: what does not fit is left out."""
        left, y = self.frame.x0 + 4, self.field.y0 - 6.0
        free = NOTE_LINES
        for note in notes:
            lines = wrapped(note, self.frame.width - TITLE_WIDTH - 8.0, lines=max(free, 1))
            if len(lines) > free:
                return
            free -= len(lines)
            for line in lines:
                self.text((left, y), line)
                y -= PITCH * SMALL

    def title_block(self, title: Title) -> None:
        """The title block in the lower right corner."""
        block = Rect(self.frame.x1 - TITLE_WIDTH, self.frame.y0, self.frame.x1, self.frame.y0 + sum(TITLE_ROWS))
        self.room.take(block)
        unit = "inches" if self.units == "in" else "millimeters"
        rows: tuple[tuple[tuple[float, str, str], ...], ...] = (
            (
                (50, "Owner", ""),
                (36, "Drawn by", "handwheel"),
                (40, "Approved by", ""),
                (36, "Date", ""),
                (18, "Sheet", "1 of 1"),
            ),
            (
                (50, "Number", title.number),
                (76, "Material", title.material),
                (30, "Sizes in", unit),
                (24, "Scale", title.scale),
            ),
            ((104, "Title", title.title), (46, "Document", title.document), (30, "", "")),
        )
        y = block.y0
        for fields, height in zip(rows, TITLE_ROWS, strict=True):
            x = block.x0
            for length, name, content in fields:
                self.line(_corners(Rect(x, y, x + length, y + height)), HAIR, closed=True)
                self._field(Rect(x, y, x + length, y + height), name, content)
                x += length
            y += height
        self.line(_corners(block), VISIBLE, closed=True)
        self._projection_symbol((block.x1 - 15.0, block.y1 - TITLE_ROWS[-1] / 2))

    def _field(self, cell: Rect, name: str, content: str) -> None:
        self.text((cell.x0 + 1.2, cell.y1 - 1.2 - SMALL), name, colour=FAINT, reserve=False)
        free, x, y = cell.width - 2.4, cell.x0 + 1.2, cell.y0 + 1.5
        if cell.height <= TITLE_ROWS[1] + SMALL:
            self.text((x, y), elided(content, free), reserve=False)
        elif width(legible(content), LARGE) <= free:
            self.text((x, y + 1.2), content, height=LARGE, reserve=False)
        else:
            for index, line in enumerate(reversed(wrapped(content, free, lines=2))):
                self.text((x, y + index * PITCH * SMALL), line, reserve=False)

    def _projection_symbol(self, centre: Point2) -> None:
        """Third angle: the cone's end view stands on the side that it is seen from (ISO 5456-2, from memory)."""
        x, y = centre
        small, large = 1.8, 3.4
        left, right = x - 6.5, x + 4.5
        for radius in (small, large):
            self.circle((left, y), radius, THIN)
        half = 3.4
        ends = (
            (right - half, y - small),
            (right + half, y - large),
            (right + half, y + large),
            (right - half, y + small),
        )
        self.line(ends, THIN, closed=True)
        self.line(((left - large - 1.2, y), (left + large + 1.2, y)), CENTRE)
        self.line(((left, y - large - 1.2), (left, y + large + 1.2)), CENTRE)
        self.line(((right - half - 1.2, y), (right + half + 1.2, y)), CENTRE)


def text_box(
    at: Point2, text: str, *, height: float = SMALL, align: Align = "left", bold: bool = False, upright: bool = False
) -> Rect:
    """The place that a line of lettering takes, mm."""
    length = width(text, height, bold)
    before = {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * length
    x, y = at
    if upright:
        return Rect(x - ASCENT * height, y - before, x + DESCENT * height, y - before + length)
    return Rect(x - before, y - DESCENT * height, x - before + length, y + ASCENT * height)


def _corners(rect: Rect) -> tuple[Point2, ...]:
    return ((rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1))
