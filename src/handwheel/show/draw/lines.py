"""Kinds of line, by ISO 128-2 (from memory): wide and narrow in the ratio of two to one; dashes in line widths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

INK: Final = "#000000"
FAINT: Final = "#767676"
"""A grey that still prints; only for what is no line of the drawing itself."""

_POINTS_PER_MM: Final = 72 / 25.4


@dataclass(frozen=True, slots=True)
class LineKind:
    """``width`` in mm; ``dashes`` on and off in mm, empty for a continuous line."""

    width: float
    dashes: tuple[float, ...] = ()

    @property
    def points(self) -> float:
        """The width in points, as matplotlib wants it."""
        return self.width * _POINTS_PER_MM

    @property
    def pattern(self) -> tuple[float, list[float]] | str:
        """The dashes as matplotlib wants them: it multiplies them by the line's width."""
        if not self.dashes:
            return "solid"
        return (0.0, [length / self.width for length in self.dashes])


WIDE: Final = 0.5
NARROW: Final = 0.25

VISIBLE: Final = LineKind(WIDE)
"""01.2 continuous wide: visible edges and outlines."""
THIN: Final = LineKind(NARROW)
"""01.1 continuous narrow: dimension, extension and leader lines."""
HAIR: Final = LineKind(0.18)
"""Rules of tables and of the title block."""
HIDDEN: Final = LineKind(NARROW, (12 * NARROW, 3 * NARROW))
"""02.1 dashed narrow: hidden edges."""
CENTRE: Final = LineKind(NARROW, (24 * NARROW, 3 * NARROW, 0.5 * NARROW, 3 * NARROW))
"""04.1 long-dashed dotted narrow: centre lines."""
ADJACENT: Final = LineKind(NARROW, (24 * NARROW, 3 * NARROW, 0.5 * NARROW, 3 * NARROW, 0.5 * NARROW, 3 * NARROW))
"""05.1 long-dashed double-dotted narrow: outlines of adjacent parts, here of vise, parallels and table."""
FRAME: Final = LineKind(0.7)
"""The frame of the sheet (ISO 5457, from memory)."""
FEED: Final = LineKind(0.4)
"""Where the tip is fed: continuous, in the colour of its step."""
FEEDS: Final = (FEED, LineKind(0.9), LineKind(0.4, (6.0, 0.9)))
"""The first steps are drawn with the first; as the colours begin again, so the next is taken: heavy, then with gaps."""
RAPID: Final = LineKind(NARROW, (1.6, 1.2))
"""Where the tip goes at rapid: narrow, short dashes."""
