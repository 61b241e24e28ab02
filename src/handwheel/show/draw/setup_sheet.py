"""The set-up: end view along the jaws with its chain of heights, and a small plan with stop and touch-off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from handwheel.job import Job
from handwheel.motion import Kind, Moves, Tool
from handwheel.path.box import Box
from handwheel.plan import Plan
from handwheel.plan.words import tool_name
from handwheel.setup import Setup, Touch, stop_body, touches
from handwheel.show.draw.chain import Height, draw_chain
from handwheel.show.draw.cutters import outline
from handwheel.show.draw.fixture import around_work, as_left, draw_vise, off_sides, on_sheet, work_lines
from handwheel.show.draw.labels import Rect
from handwheel.show.draw.lettering import LARGE, PITCH, SMALL
from handwheel.show.draw.lines import CENTRE, HAIR, HIDDEN, THIN, VISIBLE
from handwheel.show.draw.marks import draw_caption, draw_label, draw_zero
from handwheel.show.draw.sheet import Sheet, plain_settings
from handwheel.show.draw.solids import edges
from handwheel.show.draw.titles import of_setup, title_of
from handwheel.show.draw.views import View, edges_of, largest_scale, place, scale_text
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from handwheel.proof import SetupProof
    from handwheel.setup import Setup

SIDE_SHARE: Final = 0.33
"""The share of the sheet's width that the small plan and the touch-off table take."""
CROSS: Final = 1.6
"""Half of a cross that marks where the spindle stands, mm on paper."""


@plain_settings()
def setup_drawing(setup: Setup, plan: Plan, proof: SetupProof) -> Figure:
    """How the work stands: seen along the jaws from the right, and from above."""
    sheet = Sheet(setup.job.units)
    field = sheet.field
    split = field.x1 - SIDE_SHARE * field.width
    view = _end_view(Rect(field.x0 + 34, field.y0 + 8, split - 38, field.y1 - 6), setup)
    sheet.title_block(title_of(setup.job, of_setup(setup, "set-up"), view.scale))
    draw_caption(sheet, view, "End view along the jaws, from the right")
    cutter = _cutter(sheet, view, proof.tip, setup.tools)
    draw_vise(sheet, view, setup, VISIBLE)
    sheet.segments(work_lines(view, setup), VISIBLE)
    part = as_left(setup)
    sheet.segments(view.clip(off_sides(on_sheet(view, edges(part, "right").visible), view.rect(setup.raw))), THIN)
    stop = _stop_from_the_end(sheet, view, setup)
    _heights(sheet, view, setup)
    _names(sheet, view, setup)
    first = plan.tools[0] if plan.tools else None
    probes = touches(setup, first.diameter if first is not None else 0.0)
    side = Rect(split + 4, field.y0, field.x1, field.y1)
    floor = _touch_table(sheet, side, probes, setup.job, first)
    _small_plan(sheet, Rect(side.x0, side.y0 + 8, side.x1, floor - 8), setup, probes, setup.job)
    zero = f"Zero: finished {setup.zero.x}, {setup.zero.y}, {setup.zero.z}."
    nearest = proof.clearance.vise
    proved = f"Least clearance to the vise: {shop_number(nearest, setup.job.units)}." if nearest is not None else ""
    sheet.notes([stop, zero, proved, cutter, "Narrow lines: as finished."])
    return sheet.figure


def _end_view(area: Rect, setup: Setup) -> View:
    """From a little below the table's top to a little above the work; the jaws whole, the bed broken off."""
    across = (setup.movable_jaw.low[1], setup.fixed_jaw.high[1])
    below = 0.12 * (setup.jaw_top - setup.table.high[2])
    top = max(setup.raw.high[2], setup.jaw_top) + 0.35 * max(setup.stick_out, 0.0) + 0.1 * setup.raw.size[2] + 8.0
    shown = Box(
        (setup.raw.low[0], across[0] - 4.0, setup.table.high[2] - below), (setup.raw.high[0], across[1] + 4.0, top)
    )
    scale = largest_scale((shown.size[1], shown.size[2]), (area.width, area.height), setup.job.units)
    corner = (
        area.x0 + (area.width - scale * shown.size[1]) / 2,
        area.y0 + (area.height - scale * shown.size[2]) / 2,
    )
    return place("right", corner, shown, scale)


def _cutter(sheet: Sheet, view: View, tip: Moves, tools: Mapping[int, Tool]) -> str:
    """The cutter at the end of its lowest move that is nearest a jaw; says which tool it is."""
    feeding = (tip.kind == Kind.FEED) | (tip.kind == Kind.ARC)
    known = np.isin(tip.of_modal("tool"), list(tools)) if len(tip) else feeding
    rows = np.flatnonzero(feeding & known & (tip.length > 0))
    if not len(rows):
        return ""
    ends = np.concatenate([tip.start[rows], tip.end[rows]])
    lowest = np.flatnonzero(ends[:, 2] <= ends[:, 2].min() + CONTACT)
    middle = (view.window.centre[0] - view.origin[0]) / view.scale
    chosen = lowest[np.argmax(np.abs(ends[lowest, 1] - middle))]
    tool = tools[tip[int(rows[chosen % len(rows)])].modal.tool]
    x, y = view.on_paper(ends[chosen]).tolist()
    profile = outline(tool) * view.scale + (x, y)
    sheet.segments(view.clip(np.stack([profile, np.roll(profile, -1, axis=0)], axis=1)), THIN)
    sheet.segments(view.clip([((x, y - 3.0), (x, view.window.y1))]), CENTRE)
    return f"Cutter shown at its lowest: tool {tool.number}, {tool_name(tool, sheet.units)}."


def _heights(sheet: Sheet, view: View, setup: Setup) -> None:
    """Right: what the work stands on, what holds it, what stands out. Left: the vise, and what the cutter leaves."""
    bed, jaw, work = setup.bed.high[2], setup.jaw_top, setup.raw

    def size(name: str, length: float) -> str:
        return f"{name} {shop_number(length, setup.job.units)}"

    right = [
        Height(size("parallels", setup.parallel_height), bed, work.low[2]),
        Height(size("grip", setup.grip), work.low[2], jaw),
        Height(size("stick-out", setup.stick_out), jaw, work.high[2]),
    ]
    left = [
        Height(size("bed", bed - setup.table.high[2]), setup.table.high[2], bed),
        Height(size("jaws", jaw - bed), bed, jaw),
    ]
    if setup.lowest is not None and setup.air is not None:
        left.append(Height(size("air", setup.air), jaw, setup.lowest))
        left.append(Height(size("depth", work.high[2] - setup.lowest), setup.lowest, work.high[2]))
        level = float(view.on_paper((0.0, 0.0, setup.lowest))[1])
        sheet.line(((view.window.x0 - 4, level), (view.rect(work).x1, level)), CENTRE)
    draw_chain(sheet, view, right, view.window.x1 + 7.0, view.rect(setup.fixed_jaw).x1)
    draw_chain(sheet, view, left, view.window.x0 - 7.0, view.rect(setup.movable_jaw).x0)


def _names(sheet: Sheet, view: View, setup: Setup) -> None:
    """What each thing is, led to it."""
    front, back = setup.parallels
    named = {
        words: view.rect(box).within(view.window)
        for words, box in (
            ("work", setup.raw),
            ("fixed jaw", setup.fixed_jaw),
            ("movable jaw", setup.movable_jaw),
            ("parallels", front if front.size[2] else back),
            ("bed", setup.bed),
        )
    }
    for words, rect in named.items():
        others = [other for name, other in named.items() if name != words]
        draw_label(sheet, rect.centre, words, rect, others=others)


def _touch_table(sheet: Sheet, side: Rect, probes: Sequence[Touch], job: Job, first: Tool | None) -> float:
    """What to touch, with what, and what to set; gives the height where the table ends."""
    y = side.y1 - LARGE
    sheet.text(
        (side.x0, y), f"Touch off on the {'raw ' if all(probe.is_raw for probe in probes) else ''}faces", height=LARGE
    )
    y -= 1.5 * LARGE
    columns = (0.0, 12.0, 30.0)
    rows = [("Axis", "Face", "With", "Set")]
    for probe in probes:
        cutter = f"tool {first.number}" if first is not None else "cutter"
        with_ = cutter if probe.with_ == "cutter" else probe.with_
        rows.append((probe.axis.upper(), probe.face, with_, shop_number(probe.spindle_at, job.units)))
    for index, row in enumerate(rows):
        for column, cell in zip(columns, row, strict=False):
            sheet.text((side.x0 + column, y), cell, bold=index == 0)
        sheet.text((side.x1, y), row[-1], align="right", bold=True)
        if index == 0:
            sheet.line(((side.x0, y - 1.4), (side.x1, y - 1.4)), HAIR)
            y -= 1.0
        y -= PITCH * SMALL
    return y


def _small_plan(sheet: Sheet, area: Rect, setup: Setup, probes: Sequence[Touch], job: Job) -> None:
    """Jaws and work from above, the stop, and where the spindle stands when the faces are touched."""
    across, along, above = probes
    raw, around = setup.raw, around_work(setup)
    reach = [abs(probe.spindle_at - probe.face_at) for probe in (across, along)]
    spare = [2 * length + 3.0 for length in reach]
    shown = Box(
        (min(around.low[0], raw.low[0] - spare[0]), min(around.low[1], raw.low[1] - spare[1]), raw.low[2]),
        (max(around.high[0], raw.high[0] + spare[0]), max(around.high[1], raw.high[1] + spare[1]), raw.high[2]),
    )
    scale = largest_scale((shown.size[0], shown.size[1]), (area.width, area.height), job.units)
    corner = (area.x0 + (area.width - scale * shown.size[0]) / 2, area.y0 + (area.height - scale * shown.size[1]) / 2)
    view = place("plan", corner, shown, scale)
    draw_caption(sheet, view, f"Plan, {scale_text(scale)}")
    draw_vise(sheet, view, setup)
    sheet.segments(view.edges(raw), VISIBLE)
    _stop(sheet, view, setup)
    spots = (
        (across, reach[0], (across.spindle_at, raw.low[1] + 0.45 * raw.size[1], 0.0)),
        (along, reach[1], (raw.centre[0], along.spindle_at, 0.0)),
        (above, 0.0, (raw.low[0] + 0.7 * raw.size[0], raw.low[1] + 0.65 * raw.size[1], 0.0)),
    )
    for _, radius, at in spots:
        _touch_mark(sheet, view, at, radius)
        x, y = view.on_paper(at).tolist()
        sheet.room.take(Rect.about((x, y), 2 * CROSS, 2 * CROSS))
    draw_zero(sheet, view)
    for probe, _, at in spots:
        x, y = view.on_paper(at).tolist()
        draw_label(sheet, (x, y), f"{probe.axis.upper()} {shop_number(probe.spindle_at, job.units)}")


def _stop(sheet: Sheet, view: View, setup: Setup) -> None:
    """The work stop from above, against the work's end near the fixed jaw."""
    if setup.vise.stop.side == "none":
        return
    stop = view.rect(setup.stop or stop_body(setup, setup.raw.low[2], setup.jaw_top))
    sheet.segments(edges_of(stop), VISIBLE)
    draw_label(sheet, stop.centre, "stop")


def _stop_from_the_end(sheet: Sheet, view: View, setup: Setup) -> str:
    """The work stop along the jaws; says how high it stands, or that it is to be swung away."""
    if setup.vise.stop.side == "none":
        return ""
    if setup.stop is None:
        return "Stop: swing it away after clamping."
    stop = view.rect(setup.stop)
    # seen from the right, a stop at the left end stands behind the work
    sheet.segments(view.clip(edges_of(stop)), HIDDEN if setup.vise.stop.side == "left" else VISIBLE)
    jaws = [view.rect(jaw).within(view.window) for jaw in (setup.fixed_jaw, setup.movable_jaw)]
    draw_label(sheet, stop.centre, "stop", stop, others=jaws)
    most = "at most " if setup.vise.stop.height is None else ""
    return f"Stop: its top {most}{shop_number(setup.stop.high[2] - setup.jaw_top, setup.job.units)} above the jaws."


def _touch_mark(sheet: Sheet, view: View, at: tuple[float, float, float], radius: float) -> None:
    """Where the spindle stands, and the probe round it."""
    x, y = view.on_paper(at).tolist()
    if radius > 0:
        sheet.circle((x, y), radius * view.scale, THIN)
    sheet.segments([((x - CROSS, y), (x + CROSS, y)), ((x, y - CROSS), (x, y + CROSS))], THIN)
