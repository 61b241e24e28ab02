"""Measured sizes as charts: one after another with the drawing's limits, and how often each comes."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from handwheel.job import Job
from handwheel.learn.measure import MeasuredSize
from handwheel.learn.statistics import control_limits
from handwheel.show.draw.colours import STEP_COLOURS
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import LARGE, SMALL, elided
from handwheel.show.draw.lines import CENTRE, HIDDEN, THIN, VISIBLE, LineKind
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.titles import title_of
from handwheel.units import shop_number

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SHARE: Final = 0.68
"""Of the field's width that the individuals have; the histogram has the rest."""

MOST_BARS: Final = 20


@plain_settings()
def size_chart(job: Job, size: MeasuredSize, corrected_before: tuple[int, ...] = ()) -> Figure:
    """Individuals and histogram of one size, on one scale.

    Parameters
    ----------
    size : as it was measured
    corrected_before : the parts, from 0, before which something was corrected
    """
    sheet = Sheet(job.units)
    field = sheet.field
    top = field.y1 - 10.0
    sheet.text(
        (field.x0, field.y1 - 3.0),
        elided(f"{size.name}, {len(size.known)} measured", field.width, height=LARGE, bold=True),
        height=LARGE,
        bold=True,
    )
    middle = field.x0 + SHARE * field.width
    runs = Rect(field.x0 + 24.0, field.y0 + 12.0, middle - 24.0, top)
    bars = Rect(middle + 4.0, field.y0 + 12.0, field.x1 - 4.0, top)
    low, high = _scale(size)
    limits = control_limits(size.since)
    for place in (runs, bars):
        corners = [(place.x0, place.y0), (place.x1, place.y0), (place.x1, place.y1), (place.x0, place.y1)]
        sheet.line(corners, THIN, closed=True)

    def y(value: float) -> float:
        return runs.y0 + (value - low) / (high - low) * runs.height

    lines: list[tuple[float, LineKind, str]] = [
        (size.dimension.upper, VISIBLE, "upper limit"),
        (size.dimension.lower, VISIBLE, "lower limit"),
    ]
    if size.mean is not None:
        lines.append((size.mean, CENTRE, "mean"))
    if limits is not None:
        lines += [(limits[1], HIDDEN, "control limit"), (limits[0], HIDDEN, "control limit")]
    taken: list[float] = []
    for value, kind, name in lines:
        sheet.line([(runs.x0, y(value)), (runs.x1, y(value))], kind)
        sheet.line([(bars.x0, y(value)), (bars.x1, y(value))], kind)
        if all(abs(y(value) - one) > 1.4 * SMALL for one in taken):
            taken.append(y(value))
            sheet.text((runs.x0 - 1.5, y(value) - SMALL / 2), _number(value, job), align="right", reserve=False)
            sheet.text((runs.x1 + 1.0, y(value) - SMALL / 2), name, reserve=False)
    _individuals(sheet, runs, size, y, corrected_before)
    _histogram(sheet, bars, size, low, high)
    sheet.text((runs.x0 + runs.width / 2, runs.y0 - 8.5), "part", align="centre")
    sheet.text((bars.x0 + bars.width / 2, bars.y0 - 8.5), "how often", align="centre")
    sheet.title_block(title_of(job, f"Measured: {size.name}", None))
    return sheet.figure


def _scale(size: MeasuredSize) -> tuple[float, float]:
    """From where to where the sizes' axis goes, mm: all that was measured, and the limits, with room."""
    values = [*size.known, size.dimension.lower, size.dimension.upper]
    low, high = min(values), max(values)
    room = 0.08 * (high - low) or 0.1
    return low - room, high + room


def _individuals(
    sheet: Sheet, place: Rect, size: MeasuredSize, y: Callable[[float], float], corrected_before: tuple[int, ...]
) -> None:
    count = len(size.values)

    def x(index: float) -> float:
        return place.x0 + (index + 0.5) / count * place.width

    for index in corrected_before:
        sheet.line([(x(index - 0.5), place.y0), (x(index - 0.5), place.y1)], HIDDEN)
        sheet.text((x(index - 0.5) + 1.0, place.y0 + 1.0), "corrected", reserve=False)
    points = [(x(index), y(value)) for index, value in enumerate(size.values) if not math.isnan(value)]
    if len(points) > 1:
        sheet.line(points, THIN, STEP_COLOURS[0])
    for point in points:
        sheet.dot(point, min(1.0, max(0.3, place.width / count / 4)), STEP_COLOURS[0])
    every = max(1, math.ceil(count / 12))
    for index in range(0, count, every):
        sheet.text((x(index), place.y0 - 4.0), str(index + 1), align="centre", reserve=False)


def _histogram(sheet: Sheet, place: Rect, size: MeasuredSize, low: float, high: float) -> None:
    counts, edges = _counts(np.array(size.known))
    if not len(counts):
        return
    for count, bottom, top in zip(counts.tolist(), edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        ends = [place.y0 + (value - low) / (high - low) * place.height for value in (bottom, top)]
        right = place.x0 + count / int(counts.max()) * (place.width - 8.0)
        if count:
            corners = [(place.x0, ends[0]), (right, ends[0]), (right, ends[1]), (place.x0, ends[1])]
            sheet.fill(corners, "#DDDDDD", order=1)
            sheet.line(corners, THIN, closed=True)
            sheet.text((right + 1.0, (ends[0] + ends[1]) / 2 - SMALL / 2), str(count), reserve=False)


def _counts(values: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """How many values are between edges: about the root of their number of bars (common practice)."""
    if not len(values) or values.min() == values.max():
        middle = float(values[0]) if len(values) else 0.0
        return np.array([len(values)]), np.array([middle - 1e-3, middle + 1e-3])
    bars = min(MOST_BARS, max(3, round(math.sqrt(len(values)))))
    counts, edges = np.histogram(values, bins=bars)
    return counts.astype(np.int64), edges


def _number(value: float, job: Job) -> str:
    return shop_number(value, job.units, 4 if job.units == "in" else 3)
