"""The set-up along the jaws, small, for the machine card."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from handwheel.path.box import Box
from handwheel.show.draw.chain import Height, draw_chain
from handwheel.show.draw.fixture import draw_vise, work_lines
from handwheel.show.draw.lines import CENTRE, VISIBLE
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.views import View, place
from handwheel.units import shop_number

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from handwheel.setup import Setup

PICTURE: Final = (94.0, 37.0)
"""Width and height, mm on paper."""

BESIDE: Final = (19.0, 35.0)
"""For the heights left and right, mm on paper."""


@plain_settings()
def setup_picture(setup: Setup) -> Figure:
    """Jaws, parallels and work seen along the jaws from the right, with the heights that are set and measured."""
    sheet = Sheet(setup.job.units, PICTURE)
    view = _view(setup)
    draw_vise(sheet, view, setup, VISIBLE)
    sheet.segments(view.clip(work_lines(view, setup)), VISIBLE)
    bed, jaw, work = setup.bed.high[2], setup.jaw_top, setup.raw

    def size(name: str, length: float) -> str:
        return f"{name} {shop_number(length, setup.job.units)}"

    right = [
        Height(size("parallels", setup.parallel_height), bed, work.low[2]),
        Height(size("grip", setup.grip), work.low[2], jaw),
        Height(size("stick-out", setup.stick_out), jaw, work.high[2]),
    ]
    draw_chain(sheet, view, right, view.window.x1 + 3.0, view.rect(setup.fixed_jaw).x1)
    if setup.lowest is not None and setup.air is not None:
        left = [Height(size("air", setup.air), jaw, setup.lowest)]
        level = float(view.on_paper((0.0, 0.0, setup.lowest))[1])
        sheet.line(((view.window.x0 - 4, level), (view.rect(work).x1, level)), CENTRE)
        draw_chain(sheet, view, left, view.window.x0 - 4.0, view.rect(setup.movable_jaw).x0)
    return sheet.figure


def _view(setup: Setup) -> View:
    """From the vise's bed to a little above the work, as large as there is room for."""
    below = 0.1 * (setup.jaw_top - setup.bed.high[2])
    top = max(setup.raw.high[2], setup.jaw_top) + 2.0
    shown = Box(
        (setup.raw.low[0], setup.movable_jaw.low[1], setup.bed.high[2] - below),
        (setup.raw.high[0], setup.fixed_jaw.high[1], top),
    )
    left, right = BESIDE
    width, height = PICTURE[0] - left - right, PICTURE[1] - 3.0
    scale = min(width / shown.size[1], height / shown.size[2])
    corner = (left + (width - scale * shown.size[1]) / 2, (PICTURE[1] - scale * shown.size[2]) / 2)
    return place("right", corner, shown, scale)
