"""A drawing as a file's bytes: the same drawing gives the same bytes."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Final, Literal

from handwheel.show.draw.sheet import plain_settings

if TYPE_CHECKING:
    from matplotlib.figure import Figure

DOTS_PER_INCH: Final = 150
"""Of a PNG: a sheet is then some 1700 pixels wide, enough for a projector."""


def save(figure: Figure, kind: Literal["svg", "png"]) -> bytes:
    """The bytes of a drawing; no date, no version, no font of the machine in them. Lettering in SVG is outlines."""
    held = io.BytesIO()
    with plain_settings():
        if kind == "svg":
            figure.savefig(held, format="svg", dpi=DOTS_PER_INCH, metadata={"Date": None, "Creator": None})
        else:
            # at this level line drawings are packed as small as they get for a third less time
            packing = {"compress_level": 3}
            figure.savefig(held, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None}, pil_kwargs=packing)
    return held.getvalue()
