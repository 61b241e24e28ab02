"""Holes on the part drawing: circles with their centre lines, hidden walls, and a callout a pattern (ISO 129-1 and
ASME Y14.5, from memory: count, diameter, depth)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from handwheel.path.box import Box
from handwheel.path.meant import Bore, Meant
from handwheel.plan.hole_table import HoleGroup
from handwheel.show.draw.fixture import on_sheet
from handwheel.show.draw.hole_profile import Stretch, profile, together
from handwheel.show.draw.labels import Floats
from handwheel.show.draw.lines import CENTRE, HIDDEN, VISIBLE
from handwheel.show.draw.marks import draw_label
from handwheel.show.draw.sheet import Sheet
from handwheel.show.draw.views import AXES, TOWARDS, ThirdAngle, View

SIDES: Final = 72
"""Of the polygon that a circle is drawn as."""
PAST: Final = 2.0
"""How far a centre line runs past its circle, mm on paper (common practice)."""
APART: Final = 0.5
"""Circles nearer than this to one another would run together, mm on paper."""


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
    holes = together([one.solid for one in solids if isinstance(one.solid, Bore)])
    for view in views:
        for bores in holes:
            _draw(sheet, view, bores, part)
    plan = next(view for view in views if view.name == "plan")
    for group in groups:
        x, y = group.places[0]
        reach = group.radius * 0.7071
        at = plan.on_paper((x + reach, y + reach, 0.0)).tolist()
        draw_label(sheet, (at[0], at[1]), f"{group.letter}  {group.callout}" if len(groups) > 1 else group.callout)


def _draw(sheet: Sheet, view: View, bores: Sequence[Bore], part: Box) -> None:
    """One hole, made by bores on one axis."""
    axis = bores[0].axis
    stretches = profile(bores, part.low[axis], part.high[axis])
    if not stretches:
        return
    deep, _ = TOWARDS[view.name]
    if axis != deep:
        lines = np.array(list(_walls(view, bores[0], stretches)))
        sheet.segments(view.clip(on_sheet(view, lines)), HIDDEN)
        return
    radii: list[float] = []
    for radius in sorted({radius for one in stretches for radius in (one.at_low, one.at_high)}, reverse=True):
        if radius > 0.0 and all(wider - radius > APART / view.scale for wider in radii):
            radii.append(radius)
            sheet.segments(view.clip(on_sheet(view, _circle(bores[0].centre, radius))), VISIBLE)
    sheet.segments(view.clip(on_sheet(view, _cross(bores[0].centre, radii[0] + PAST / view.scale))), CENTRE)


def _circle(centre: tuple[float, float], radius: float) -> Floats:
    turns = np.linspace(0.0, 2.0 * np.pi, SIDES + 1)
    points = np.array(centre) + radius * np.column_stack([np.cos(turns), np.sin(turns)])
    return np.stack([points[:-1], points[1:]], axis=1)


def _cross(centre: tuple[float, float], reach: float) -> Floats:
    x, y = centre
    return np.array([[[x - reach, y], [x + reach, y]], [[x, y - reach], [x, y + reach]]])


def _walls(view: View, bore: Bore, stretches: Sequence[Stretch]) -> Iterator[list[list[float]]]:
    """Walls, shoulders, floor and point, in the view's own two coordinates."""
    across, up = AXES[view.name]
    others = [axis for axis in range(3) if axis != bore.axis]
    shown = next(axis for axis in (across, up) if axis != bore.axis)
    middle = bore.centre[others.index(shown)]

    def place(aside: float, along: float) -> list[float]:
        return [along, middle + aside] if bore.axis == across else [middle + aside, along]

    for one in stretches:
        for side in (-1.0, 1.0):
            yield [place(side * one.at_low, one.low), place(side * one.at_high, one.high)]
    ends = [(one.low, one.at_low) for one in stretches] + [(one.high, one.at_high) for one in stretches]
    for along in sorted({along for along, _ in ends}):
        wide = max(radius for at, radius in ends if at == along)
        yield [place(-wide, along), place(wide, along)]
