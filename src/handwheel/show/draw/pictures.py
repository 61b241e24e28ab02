"""The cut part as a shaded picture, and the part after each step."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from handwheel.cut.heightmap import height_map
from handwheel.cut.part import Part
from handwheel.motion import Kind
from handwheel.plan import Plan
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import LARGE, PITCH, SMALL, wrapped
from handwheel.show.draw.passes import read_passes
from handwheel.show.draw.shading import proportion, shaded
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.titles import of_setup, title_of

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from handwheel.proof import SetupProof
    from handwheel.setup import Setup

LARGE_CELLS: Final = 90_000
SMALL_CELLS: Final = 16_000
"""About how many cells the height map of a picture has."""
DOTS_PER_MM: Final = 4.0
"""Of a picture on the sheet."""
MOST_STAGES: Final = 20
"""Of more steps than this an even choice is shown."""


@plain_settings()
def pictorial(setup: Setup, plan: Plan, proof: SetupProof) -> Figure:
    """The part as the program's text cuts it."""
    del plan
    job = setup.job
    sheet = Sheet(job.units)
    sheet.title_block(title_of(job, "picture", None))
    field = sheet.field
    sheet.text((field.x0, field.y1 - LARGE), "The part as the program cuts it", height=LARGE)
    sheet.text((field.x0, field.y1 - LARGE - PITCH * LARGE), "seen from in front and the right; raw faces darker")
    _show(sheet, Rect(field.x0 + 15, field.y0 + 4, field.x1 - 15, field.y1 - 14), proof.part, LARGE_CELLS)
    return sheet.figure


@plain_settings()
def stages_drawing(setup: Setup, plan: Plan, proof: SetupProof) -> Figure:
    """The part after each step that cuts."""
    job, tip = setup.job, proof.tip
    sheet = Sheet(job.units)
    sheet.title_block(title_of(job, of_setup(setup, "steps"), None))
    titles = {step.number: step.title for step in plan.steps}
    ends: dict[int, int] = {}
    for one in read_passes(tip):
        ends[one.step] = one.last
    holes = {step.number for step in plan.steps if step.holes}
    for row in np.flatnonzero(tip.kind == Kind.FEED).tolist():
        if int(tip.step[row]) in holes:
            ends[int(tip.step[row])] = row + 1
    steps = sorted(ends, key=lambda step: ends[step])
    if len(steps) > MOST_STAGES:
        steps = [steps[index] for index in np.linspace(0, len(steps) - 1, MOST_STAGES).round().astype(int).tolist()]
    for step, place in zip(steps, _cells(sheet.field, len(steps)), strict=True):
        sheet.text((place.x0, place.y1 - LARGE), str(step) if step else "–", height=LARGE, bold=True)
        for index, line in enumerate(wrapped(titles.get(step, "before the first step"), place.width - 12, lines=3)):
            sheet.text((place.x0 + 10, place.y1 - LARGE - index * PITCH * SMALL), line)
        before = Part(proof.part.stock, proof.part.cuts[:-1])
        picture = Rect(place.x0, place.y0, place.x1, place.y1 - LARGE - 2.5 * PITCH * SMALL)
        _show(sheet, picture, before.with_cut(tip.rows(slice(0, ends[step])), setup.tools), SMALL_CELLS)
    return sheet.figure


def _cells(field: Rect, count: int) -> list[Rect]:
    """The field in so many equal places, row by row, each about the shape of a picture with its words."""
    if not count:
        return []
    columns = min(range(1, count + 1), key=lambda one: _oddness(field, one, math.ceil(count / one)))
    rows = math.ceil(count / columns)
    wide, high = field.width / columns, field.height / rows
    return [
        Rect(x + 1, y - high + 1, x + wide - 5, y - 1)
        for index in range(count)
        for x, y in [(field.x0 + index % columns * wide, field.y1 - index // columns * high)]
    ]


def _oddness(field: Rect, columns: int, rows: int) -> float:
    return abs(math.log((field.width / columns) / (field.height / rows) / 1.6)) + 0.02 * columns * rows


def _show(sheet: Sheet, place: Rect, part: Part, cells: int) -> None:
    """The picture as large as the place allows, in its middle."""
    x, y, _ = part.stock.size
    width = min(place.width, place.height / proportion(part.stock))
    picture = shaded(height_map(part, math.sqrt(x * y / cells), setup=len(part.cuts) - 1), round(width * DOTS_PER_MM))
    rows, columns, _ = picture.shape
    scale = min(place.width / columns, place.height / rows)
    sheet.picture(picture, Rect.about(place.centre, columns * scale, rows * scale))
