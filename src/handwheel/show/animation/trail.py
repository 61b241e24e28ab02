"""Where the cutter has been at feed in the present step."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from handwheel.motion import Kind, Moves
from handwheel.show.animation.flat import Plan
from handwheel.show.animation.palette import PAPER
from handwheel.show.animation.schedule import Instant
from handwheel.show.page.timeline import Span

Frame = NDArray[np.uint8]


class Trail:
    """Where the cutter's center went at feed in the present step, seen from above."""

    def __init__(self, view: Plan) -> None:
        self._view = view
        self._clean()

    def _clean(self) -> None:
        self._image = Image.new("L", (self._view.window.columns, self._view.window.rows), PAPER)
        self._step, self._row = -1, -1

    def follow(self, tip: Moves, span: Span, instant: Instant, colour: int) -> None:
        """Draw what was fed since the last frame."""
        if span.step != self._step:
            self._clean()
            self._step, self._row = span.step, instant.move - 1
        draw = ImageDraw.Draw(self._image)
        for row in range(max(self._row, 0), instant.move + 1):
            if tip.step[row] != span.step or tip.kind[row] not in (Kind.FEED, Kind.ARC):
                continue
            done = instant.done if row == instant.move else 1.0
            shares = np.linspace(0.0, done, 2 if tip.kind[row] == Kind.FEED else 25)
            points = self._view.places(np.array([tip.at(row, share) for share in shares.tolist()]))
            draw.line([(x, y) for x, y in points.tolist()], fill=colour, width=2)
        self._row = instant.move

    def show(self, place: Frame) -> None:
        """Lay it over the view."""
        trail = np.asarray(self._image)
        np.copyto(place, trail, where=trail != PAPER)
