"""The film's fixed palette: greys from paper to ink for lettering and lines, and tones of metal by step.

Metal that a step laid bare has that step's colour, paler or darker as its face is turned; raw metal is grey.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.show.draw.colours import STEP_COLOURS

PAPER: Final = 0
INK: Final = 15
FAINT: Final = 8
"""Indices 0 to 15 run from paper to ink."""
GREYS: Final = 16

FLOOR: Final = 0
FRONT: Final = 1
SIDE: Final = 2
"""Tones of metal by how a face is turned: to the sky, to the operator, to the right."""
TONES: Final = 3
RAW: Final = 0
"""Hue of raw metal; the steps' own begin after it."""
_BRIGHTNESS: Final = (1.0, 0.84, 0.68)
_TINT: Final = 0.45
_METAL: Final = 0.86

COLOURS: Final = GREYS + TONES * (len(STEP_COLOURS) + 1)
"""From here on the steps' full colours."""


def metal(hue: int, tone: int) -> int:
    """The index of a face of metal.

    >>> metal(RAW, FLOOR), metal(1, SIDE)
    (16, 21)
    """
    return GREYS + TONES * hue + tone


def hue_of(order: int) -> int:
    """The hue of the step that cuts as number ``order`` of them, from 0.

    >>> hue_of(0), hue_of(6)
    (1, 1)
    """
    return 1 + order % len(STEP_COLOURS)


def full(hue: int) -> int:
    """The index of a step's full colour; raw metal has ink for it."""
    return INK if hue == RAW else COLOURS + hue - 1


def _palette() -> NDArray[np.uint8]:
    table = np.full((128, 3), 255.0)
    table[:GREYS] = (255.0 - 17.0 * np.arange(GREYS))[:, None]
    colours = np.array([[int(text[k : k + 2], 16) for k in (1, 3, 5)] for text in STEP_COLOURS], dtype=np.float64)
    hues = np.vstack([np.full((1, 3), 255.0 * _METAL), (1.0 - _TINT) * 255.0 + _TINT * colours])
    for tone, brightness in enumerate(_BRIGHTNESS):
        table[GREYS + tone : COLOURS : TONES] = hues * brightness
    table[COLOURS : COLOURS + len(colours)] = colours
    return np.round(table).astype(np.uint8)


PALETTE: Final = _palette()
"""(128, 3) red, green, blue."""
