"""The backplot: what the program's text was read as, by step, over the work in its vise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Final

import numpy as np

from handwheel.motion import Kind, Moves, Tool
from handwheel.motion.strokes import strokes
from handwheel.path.box import Box
from handwheel.plan import Plan
from handwheel.setup import Setup
from handwheel.show.draw.balloons import balloon
from handwheel.show.draw.colours import NO_STEP, by_step, feed_by_step
from handwheel.show.draw.cutters import outline
from handwheel.show.draw.fixture import around_work, as_left, draw_vise, draw_work
from handwheel.show.draw.key import line_key, step_key
from handwheel.show.draw.labels import Rect, clipped
from handwheel.show.draw.lines import FEED, RAPID, THIN
from handwheel.show.draw.marks import draw_caption, draw_name, draw_zero
from handwheel.show.draw.passes import SharedTrack, read_holes, read_passes, steps_that_cut, tracks
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.strokes import GRAIN, distinct
from handwheel.show.draw.titles import of_setup, title_of
from handwheel.show.draw.views import AXES, ThirdAngle, View, third_angle

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from handwheel.proof import SetupProof
    from handwheel.setup import Setup

MOST_NUMBERED: Final = 4
"""Of a step with more tracks than this only the first and the last are numbered: more would hide the path."""
MOST_LINES: Final = 20_000
"""Of a view with more lines than this the ends are moved onto a coarser grid, up to the width of a line."""
CAPTIONS: Final = {
    "plan": "Plan",
    "front": "Front, from the operator",
    "right": "End view along the jaws, from the right",
}


@plain_settings()
def path_drawing(setup: Setup, plan: Plan, proof: SetupProof) -> Figure:
    """Plan, front and end view in third angle with the passes of each step.

    Parameters
    ----------
    setup, plan : the job in its vise; its steps, for their titles
    proof : the program; what is drawn is ``proof.tip``, as its text was read
    """
    sheet, tip = Sheet(setup.job.units), proof.tip
    field = sheet.field
    part = as_left(setup)
    views = third_angle(
        Rect(field.x0 + 20, field.y0 + 9, field.x1 - 4, field.y1 - 6),
        shown(setup, plan, tip, setup.tools),
        setup.job.units,
        12.0,
        to_left=True,
    )
    sheet.title_block(title_of(setup.job, of_setup(setup, "backplot"), views.scale))
    passes = read_passes(tip)
    colours = by_step(steps_that_cut(tip))
    holes = read_holes(tip)
    plan_tracks = [*tracks(tip, passes, 0.05 / views.scale), *holes]
    beside = Rect(views.plan.window.x1 + 14.0, views.right.window.y1 + 7.0, field.x1, field.y1)
    step_key(sheet, beside, plan, colours)
    line_key(sheet, proof.verdict == "pass")
    for view in views:
        draw_vise(sheet, view, setup)
        draw_work(sheet, view, setup, part)
        draw_caption(sheet, view, CAPTIONS[view.name])
    for view in views:
        _path(sheet, view, tip, colours)
        if view.name == "plan":
            _holes(sheet, view, holes, tip, setup.tools, colours)
        draw_zero(sheet, view)
        for track in _entries(tip, plan_tracks):
            _cutter(sheet, view, track, setup.tools[tip[track.row].modal.tool])
    for words, jaw in (("fixed jaw", setup.fixed_jaw), ("movable jaw", setup.movable_jaw)):
        draw_name(sheet, views.plan.rect(jaw).within(views.plan.window), words, clear=True)
    _balloons(sheet, views, plan_tracks, colours)
    return sheet.figure


def shown(setup: Setup, plan: Plan, tip: Moves, tools: Mapping[int, Tool]) -> Box:
    """What the views take in: work, jaws, and the cutter wherever it feeds, as far as that is not far off."""
    around = around_work(setup)
    low, high = np.array(around.low), np.array(around.high)
    reach = 0.6 * (high - low) + 20.0
    feeding = (tip.kind == Kind.FEED) | (tip.kind == Kind.ARC)
    if feeding.any():
        radius = np.array([tools[modal.tool].diameter / 2 if modal.tool in tools else 0.0 for modal in tip.modals])
        grow = radius[tip.modal[feeding]][:, None] * (1.0, 1.0, 0.0)
        first = np.minimum(tip.start[feeding], tip.end[feeding]) - grow
        last = np.maximum(tip.start[feeding], tip.end[feeding]) + grow
        low = np.minimum(low, np.maximum(first.min(axis=0), low - reach))
        high = np.maximum(high, np.minimum(last.max(axis=0), high + reach))
    top = max(high[2], plan.clear) + 0.08 * setup.raw.size[2] + 3.0
    bottom = setup.bed.high[2] - 0.2 * (setup.jaw_top - setup.bed.high[2])
    return Box((low[0] - 1.5, low[1] - 1.5, bottom), (high[0] + 1.5, high[1] + 1.5, top))


def _path(sheet: Sheet, view: View, tip: Moves, colours: Mapping[int, str]) -> None:
    drawn = strokes(tip, 0.03 / view.scale)
    if not len(drawn.move):
        return
    rapid = tip.kind[drawn.move] == Kind.RAPID
    step = tip.step[drawn.move].astype(np.int64)
    places, inside = clipped(view.on_paper(drawn.places), view.window)
    rapid, step = rapid[inside], step[inside]
    lines, of = distinct(places, step * 2 + rapid)
    grain = GRAIN
    while len(lines) > MOST_LINES and grain < FEED.width:
        grain *= 2
        lines, of = distinct(places, step * 2 + rapid, grain)
    feeds = feed_by_step(colours)
    for number in np.unique(step[of]).tolist():
        colour, feed = colours.get(number, NO_STEP), feeds.get(number, FEED)
        these = step[of] == number
        sheet.segments(lines[these & rapid[of]], RAPID, colour, 2.4)
        # a heavy line lies below the others, so that what runs over it is seen
        sheet.segments(lines[these & ~rapid[of]], feed, colour, 2.5 if feed.width > FEED.width else 2.6)
    _end_on(sheet, view, tip, colours)


def _holes(
    sheet: Sheet,
    view: View,
    holes: list[SharedTrack],
    tip: Moves,
    tools: Mapping[int, Tool],
    colours: Mapping[int, str],
) -> None:
    """A circle as wide as the cutter at every hole, in its step's colour."""
    for one in holes:
        x, y = view.on_paper(one.entry).tolist()
        tool = tools.get(tip[one.row].modal.tool)
        radius = view.scale * (tool.diameter / 2 if tool else 1.0)
        turns = np.linspace(0.0, 2.0 * np.pi, 37)
        points = np.column_stack([x + radius * np.cos(turns), y + radius * np.sin(turns)])
        sheet.segments(np.stack([points[:-1], points[1:]], axis=1), FEED, colours.get(one.step, NO_STEP), 2.6)


def _end_on(sheet: Sheet, view: View, tip: Moves, colours: Mapping[int, str]) -> None:
    """A dot where a feed move runs straight at the viewer."""
    across, up = AXES[view.name]
    going = (tip.end - tip.start)[:, (across, up)]
    level = (tip.kind == Kind.FEED) & (tip.length > 0.05 / view.scale) & (np.abs(going) < 1e-6).all(axis=1)
    if view.name == "plan":
        return
    places = view.on_paper(tip.start[level])
    seen: set[tuple[float, float, int]] = set()
    for (x, y), number in zip(np.round(places, 1).tolist(), tip.step[level].tolist(), strict=True):
        inside = view.window.x0 <= x <= view.window.x1 and view.window.y0 <= y <= view.window.y1
        if inside and (x, y, number) not in seen:
            seen.add((x, y, number))
            sheet.dot((x, y), 0.6, colours.get(number, NO_STEP))


def _entries(tip: Moves, plan_tracks: list[SharedTrack]) -> Iterator[SharedTrack]:
    """The first pass of each cutter."""
    seen: set[int] = set()
    for track in plan_tracks:
        tool = tip[track.row].modal.tool
        if tool not in seen and tool:
            seen.add(tool)
            yield track


def _cutter(sheet: Sheet, view: View, track: SharedTrack, tool: Tool) -> None:
    """The cutter where it starts its first pass."""
    x, y = view.on_paper(track.entry).tolist()
    if view.name == "plan":
        sheet.circle((x, y), tool.diameter / 2 * view.scale, THIN)
        cross = 2.0
        sheet.segments([((x - cross, y), (x + cross, y)), ((x, y - cross), (x, y + cross))], THIN)
        return
    profile = outline(tool) * view.scale + (x, y)
    sheet.segments(view.clip(np.stack([profile, np.roll(profile, -1, axis=0)], axis=1)), THIN)


def _balloons(sheet: Sheet, views: ThirdAngle, plan_tracks: list[SharedTrack], colours: Mapping[int, str]) -> None:
    """Numbers beside the colours: every pass in plan as far as there is room, every step in the other views."""
    by: dict[int, list[SharedTrack]] = {}
    for track in plan_tracks:
        by.setdefault(track.step, []).append(track)
    for step, alike in sorted(by.items()):
        if step == 0:
            continue
        named = alike if len(alike) <= MOST_NUMBERED else [alike[0], alike[-1]]
        for track in named:
            balloon(sheet, views.plan, track.entry, track.label(len(alike) == 1), colours[step])
        for view in (views.front, views.right):
            balloon(sheet, view, alike[-1].entry, str(step), colours[step])
