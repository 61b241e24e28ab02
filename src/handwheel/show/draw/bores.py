"""Holes on the part drawing: circles with their centre lines, hidden walls, and a callout a pattern (ISO 129-1 and
ASME Y14.5, from memory: count, diameter, depth)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from handwheel.path.box import Box
from handwheel.path.meant import Bore, Meant
from handwheel.plan.hole_table import HoleGroup
from handwheel.show.draw.fixture import on_sheet
from handwheel.show.draw.labels import Floats
from handwheel.show.draw.lines import CENTRE, HIDDEN, VISIBLE
from handwheel.show.draw.marks import draw_label
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import AXES, TOWARDS, ThirdAngle, View
from handwheel.tolerances import CONTACT

SIDES: Final = 72
"""Of the polygon that a circle is drawn as."""
PAST: Final = 2.0
"""How far a centre line runs past its circle, mm on paper (common practice)."""


def draw_bores(
    sheet: Sheet, views: ThirdAngle, solids: Sequence[Meant], part: Box, groups: Sequence[HoleGroup]
) -> None:
    """Draw every bore in every view, and say once a pattern what it is.

    Parameters
    ----------
    solids : all that the part is meant to lose
    part : the box that holds the part, mm: a bore is drawn within it
    groups : the patterns, with their callouts
    """
    bores = [one.solid for one in solids if isinstance(one.solid, Bore)]
    for view in views:
        for bore in bores:
            _draw(sheet, view, _within(bore, part))
    plan = next(view for view in views if view.name == "plan")
    for group in groups:
        x, y = group.places[0]
        reach = group.radius * 0.7071
        at = plan.on_paper((x + reach, y + reach, 0.0)).tolist()
        draw_label(sheet, (at[0], at[1]), f"{group.letter}  {group.callout}" if len(groups) > 1 else group.callout)


def _within(bore: Bore, part: Box) -> Bore:
    """As much of a bore as there is part round it."""
    low, high = part.low[bore.axis], part.high[bore.axis]
    opening, full, tip = (min(max(value, low), high) for value in (bore.open, bore.full, bore.tip))
    return replace(bore, open=opening, full=full, tip=tip)


def _draw(sheet: Sheet, view: View, bore: Bore) -> None:
    deep, _ = TOWARDS[view.name]
    if bore.axis == deep:
        sheet.segments(view.clip(on_sheet(view, _circle(bore))), VISIBLE)
        sheet.segments(view.clip(on_sheet(view, _cross(bore, PAST / view.scale))), CENTRE)
    else:
        sheet.segments(view.clip(on_sheet(view, np.array(list(_walls(view, bore))))), HIDDEN)


def _circle(bore: Bore) -> Floats:
    turns = np.linspace(0.0, 2.0 * np.pi, SIDES + 1)
    points = np.array(bore.centre) + bore.radius * np.column_stack([np.cos(turns), np.sin(turns)])
    return np.stack([points[:-1], points[1:]], axis=1)


def _cross(bore: Bore, past: float) -> Floats:
    x, y = bore.centre
    reach = bore.radius + past
    return np.array([[[x - reach, y], [x + reach, y]], [[x, y - reach], [x, y + reach]]])


def _walls(view: View, bore: Bore) -> Iterator[list[list[float]]]:
    """Both walls, the floor, and the point, in the view's own two coordinates."""
    across, up = AXES[view.name]
    others = [axis for axis in range(3) if axis != bore.axis]
    shown = next(axis for axis in (across, up) if axis != bore.axis)
    middle = bore.centre[others.index(shown)]

    def place(aside: float, along: float) -> list[float]:
        return [along, aside] if bore.axis == across else [aside, along]

    left, right = middle - bore.radius, middle + bore.radius
    yield [place(left, bore.open), place(left, bore.full)]
    yield [place(right, bore.open), place(right, bore.full)]
    yield [place(left, bore.full), place(right, bore.full)]
    if abs(bore.tip - bore.full) > CONTACT:
        yield [place(left, bore.full), place(middle, bore.tip)]
        yield [place(right, bore.full), place(middle, bore.tip)]
