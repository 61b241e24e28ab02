"""The words and figures round the views: step, block or action, readout, dials, both clocks."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import ImageDraw

from handwheel.hand.scales import Scales
from handwheel.hand.slides import SLIDES, SlideName, slide_of
from handwheel.job import Job
from handwheel.show.animation.layout import Layout
from handwheel.show.animation.lettering import length, wrapped, write
from handwheel.show.animation.palette import FAINT, INK, PAPER, full

Pixels = NDArray[np.uint8]

DIALS: tuple[SlideName, ...] = ("knee", "x", "y")
MARKS = 20
"""Of a dial, drawn; every second one is longer."""


def clock_text(seconds: float) -> str:
    """
    >>> clock_text(754.6)
    '12:34'
    """
    minutes, rest = divmod(int(seconds), 60)
    return f"{minutes}:{rest:02d}"


def write_caption(canvas: Pixels, layout: Layout, number: int, title: str) -> None:
    """The step's number and sentence at the top."""
    unit = layout.unit
    x = 1.2 * unit
    label = str(number) if number else "–"
    write(canvas, (x, 3.4 * unit), label, 2.2 * unit, "bold")
    x += length(label, 2.2 * unit, "bold") + 1.4 * unit
    for index, line in enumerate(wrapped(title, layout.caption_width - x, 1.25 * unit, 2, "bold")):
        write(canvas, (x, (2.0 + 2.0 * index) * unit), line, 1.25 * unit, "bold")


def write_clocks(canvas: Pixels, layout: Layout, by_hand: float, by_program: float) -> None:
    """How long each route has taken so far."""
    unit, right = layout.unit, layout.width - 1.2 * layout.unit
    for index, (name, seconds) in enumerate((("by hand", by_hand), ("by program, without stops", by_program))):
        y = (1.8 + 1.9 * index) * unit
        write(canvas, (right, y), clock_text(seconds), 1.25 * unit, "bold", right=True)
        write(canvas, (right - 6.2 * unit, y), name, unit, right=True)


def draw_steps(
    draw: ImageDraw.ImageDraw,
    canvas: Pixels,
    layout: Layout,
    steps: Sequence[int],
    hues: Mapping[int, int],
    current: int,
) -> None:
    """A row with every step's number, each underlined in its colour once it is begun; the present one is framed."""
    unit = layout.unit
    wide = 3.3 * unit
    most = int((layout.width - 2 * unit) / wide)
    at = max((index for index, step in enumerate(steps) if step <= current), default=0)
    first = max(0, min(at - most // 2, len(steps) - most))
    for place, step in enumerate(steps[first : first + most]):
        x, y = unit + place * wide, layout.steps_top
        text = str(step)
        write(canvas, (x + wide / 2 - length(text, unit) / 2, y + 1.5 * unit), text, unit)
        begun = step <= current
        colour = full(hues.get(step, 0)) if begun else FAINT // 3
        draw.rectangle((x + 0.3 * unit, y + 1.85 * unit, x + wide - 0.3 * unit, y + 2.25 * unit), fill=colour)
        if step == current:
            draw.rectangle((x + 1, y + 0.1 * unit, x + wide - 1, y + 2.5 * unit), outline=INK, width=2)


def write_action(canvas: Pixels, layout: Layout, number: int, text: str, below: str) -> None:
    """One action of the route sheet."""
    unit, top = layout.unit, layout.panel_top
    label = str(number)
    write(canvas, (1.2 * unit, top + 1.6 * unit), label, unit, "bold")
    x = 1.2 * unit + max(length(label, unit, "bold"), length("000", unit, "bold")) + 0.8 * unit
    for index, line in enumerate(wrapped(text, layout.text_width - x, unit, 3)):
        write(canvas, (x, top + (1.6 + 1.7 * index) * unit), line, unit)
    write(canvas, (1.2 * unit, top + 7.2 * unit), below, unit)


def write_blocks(
    draw: ImageDraw.ImageDraw, canvas: Pixels, layout: Layout, blocks: Sequence[str], current: int, below: str
) -> None:
    """The present block between the one before it and the one after."""
    unit, top = layout.unit, layout.panel_top
    for index, offset in enumerate((-1, 0, 1)):
        if not 0 <= current + offset < len(blocks):
            continue
        y = top + (1.6 + 1.8 * index) * unit
        text = wrapped(blocks[current + offset], layout.text_width - 3 * unit, unit, 1, "mono")[0]
        write(canvas, (2.8 * unit, y), text, unit, "mono")
        if offset == 0:
            mark = [(1.2 * unit, y - unit), (1.2 * unit, y), (2.2 * unit, y - 0.5 * unit)]
            draw.polygon(mark, fill=INK)
    write(canvas, (1.2 * unit, top + 7.2 * unit), below, unit)


def write_readout(canvas: Pixels, layout: Layout, figures: Sequence[tuple[str, str]]) -> None:
    """Names and figures, one below the other."""
    unit = layout.unit
    for index, (name, figure) in enumerate(figures):
        y = layout.panel_top + (1.8 + 2.3 * index) * unit
        write(canvas, (layout.readout_left, y), name, 1.2 * unit, "bold")
        write(canvas, (layout.readout_left + 10.0 * unit, y), figure, 1.2 * unit, right=True)


def draw_dials(
    draw: ImageDraw.ImageDraw, canvas: Pixels, layout: Layout, job: Job, readings: Sequence[float | None]
) -> None:
    """Knee, table and saddle: the ring turned as it stands, and its reading."""
    unit, scales = layout.unit, Scales(job)
    wide = (layout.width - layout.dials_left - unit) / len(DIALS)
    for index, (slide, reading) in enumerate(zip(DIALS, readings, strict=True)):
        x = layout.dials_left + (index + 0.5) * wide
        _dial(
            draw,
            (x, layout.panel_top + 2.6 * unit),
            2.0 * unit,
            0.0 if reading is None else reading / slide_of(job.by_hand, slide).per_turn,
        )
        name, text = SLIDES[slide].name, scales.short_dial(slide, reading)
        write(canvas, (x - length(name, unit) / 2, layout.panel_top + 5.8 * unit), name, unit)
        write(canvas, (x - length(text, unit) / 2, layout.panel_top + 7.4 * unit), text, unit)


def _dial(draw: ImageDraw.ImageDraw, centre: tuple[float, float], radius: float, turns: float) -> None:
    x, y = centre
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), outline=INK, fill=PAPER)
    for mark in range(MARKS):
        angle = math.tau * (mark / MARKS - turns)
        inner = radius * (0.66 if mark == 0 else 0.82 if mark % 2 == 0 else 0.9)
        ends = [(x + r * math.sin(angle), y - r * math.cos(angle)) for r in (inner, radius)]
        draw.line(ends, fill=INK, width=3 if mark == 0 else 1)
    draw.polygon(
        [(x - 0.14 * radius, y - 1.24 * radius), (x + 0.14 * radius, y - 1.24 * radius), (x, y - radius)], fill=INK
    )
