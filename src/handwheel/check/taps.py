"""Taps: is there a hole of the right size and depth, does the feed keep step with the thread, is every thread cut?

A tap takes nothing away that is drawn or gauged, so threads are judged by hole, depth and pitch.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.check.finding import Finding, Point, level_of
from handwheel.check.holes import SAME_PLACE
from handwheel.check.inspection import Inspection
from handwheel.check.power import shown_power
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays, left
from handwheel.job.tapping import SAME, Tap
from handwheel.motion import Spindle, Tool
from handwheel.shop.threads import minor_diameter, percent_of_thread
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]

OUT_OF_STEP: Final = 0.001
"""By this share feed and pitch times speed may differ; a floating holder takes more, a stiff one does not (common
practice)."""

FULL, WEAK = 100.0, 45.0
"""Percent of thread: over a full one the core has no room; under about half of one the thread strips before the screw
breaks (Machinery's Handbook, tap drill sizes, from memory)."""

RING: Final = 8
"""Rays round a hole."""

BESIDE_HOLE: Final = 0.1
"""A tap stands over the middle of its hole, as a share of its diameter: one that is further beside it breaks."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a tap goes down: rows of the moves along Z there, the way in first; Z of the work round the hole, of the
    hole's floor in its axis and where it has its whole width (−inf: through); the hole's diameter (``None``: no hole)
    and how far its middle is beside the tap, mm."""

    rows: NDArray[np.int64]
    at: tuple[float, float]
    bottom: float
    top: float
    floor: float
    full: float
    diameter: float | None
    beside: float


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``no-hole``, ``tap-bottoms``, ``tap-feed-not-pitch``, ``overload`` and ``left-uncut`` of threads."""
    taps = inspection.has_tool("tap")
    for number in np.unique(inspection.tool_number[taps]).tolist():
        tool = inspection.tools[number]
        places = [one for run in _runs(inspection, number) for one in _places(inspection, tool, run)]
        yield from _holes(inspection, tool, places)
        yield from _in_step(inspection, tool, places)
        yield from _torque(inspection, tool, places)
    yield from _missing(inspection)


def _runs(inspection: Inspection, number: int) -> Iterator[NDArray[np.int64]]:
    """The rows of each time that the tap is in the spindle."""
    rows = np.flatnonzero(inspection.tool_number == number)
    yield from np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)


def _places(inspection: Inspection, tool: Tool, run: NDArray[np.int64]) -> Iterator[_Place]:
    tip = inspection.tip
    along_z = run[inspection.plunging[run] & (tip.start[run, 2] != tip.end[run, 2])]
    if not len(along_z):
        return
    part = inspection.before.with_cut(tip.rows(slice(0, int(run[0]))), inspection.tools)
    places, which = np.unique(tip.end[along_z, :2].round(6), axis=0, return_inverse=True)
    which = which.ravel()
    bottoms = np.array([tip.end[along_z[which == index], 2].min() for index in range(len(places))])
    tops = _highest(part, places, tool.diameter / 2.0 + SAME_PLACE).max(axis=1)
    floors = _highest(part, places, 0.0)[:, 0]
    fulls = _highest(part, places, 0.49 * minor_diameter(tool.diameter, tool.pitch)).max(axis=1)
    depths = np.where(np.isfinite(tops), np.clip(tops - bottoms, 0.0, tool.diameter), 0.0)
    across = _across(part, places, np.where(np.isfinite(tops), tops, 0.0) - depths / 2.0)
    for index, at in enumerate(places.tolist()):
        top, bottom = float(tops[index]), float(bottoms[index])
        rows = along_z[which == index]
        low = np.minimum(tip.start[rows, 2], tip.end[rows, 2])
        rows = rows[low < top - CONTACT]
        if not len(rows):
            continue
        diameter, beside = across[index]
        yield _Place(rows, (at[0], at[1]), bottom, top, float(floors[index]), float(fulls[index]), diameter, beside)


def _highest(part: Part, places: Floats, radius: float) -> Floats:
    """(n, k) how high the work stands round each place; −inf where nothing does."""
    count = RING if radius > 0.0 else 1
    turns = 2.0 * math.pi * np.arange(count) / count
    ring = radius * np.column_stack([np.cos(turns), np.sin(turns)])
    met = left(part, Rays(2, (places[:, None, :] + ring).reshape(-1, 2)))
    highest = np.full(len(places) * count, -math.inf)
    some = met.first[1:] > met.first[:-1]
    highest[some] = met.high[met.first[1:][some] - 1]
    return highest.reshape(len(places), count)


def _across(part: Part, places: Floats, levels: Floats) -> list[tuple[float | None, float]]:
    """Each hole's diameter along X and Y through its place, the greater of both, and how far its middle is beside
    it."""
    rays = [left(part, Rays(axis, np.column_stack([places[:, 1 - axis], levels]))) for axis in (0, 1)]
    found: list[tuple[float | None, float]] = []
    for index, at in enumerate(places.tolist()):
        gaps = [_gap(met.of(index), at[axis]) for axis, met in enumerate(rays)]
        if gaps[0] is None or gaps[1] is None:
            found.append((None, 0.0))
            continue
        (left_, right), (front, back) = gaps[0], gaps[1]
        beside = math.hypot((left_ + right) / 2.0 - at[0], (front + back) / 2.0 - at[1])
        found.append((max(right - left_, back - front), beside))
    return found


def _gap(pieces: Floats, at: float) -> tuple[float, float] | None:
    """Both ends of the gap at a coordinate; ``None`` within metal, or where the gap is open at a side."""
    before, after = pieces[pieces[:, 1] <= at], pieces[pieces[:, 0] >= at]
    return (float(before[-1, 1]), float(after[0, 0])) if len(before) and len(after) else None


def _holes(inspection: Inspection, tool: Tool, places: list[_Place]) -> Iterator[Finding]:
    core = minor_diameter(tool.diameter, tool.pitch)
    none, small, wide, beside, shallow = ([] for _ in range(5))
    for place in places:
        if place.floor > place.top - tool.pitch or place.diameter is None:
            none.append(place)
        elif place.beside > BESIDE_HOLE * tool.diameter:
            beside.append(place)
        elif place.diameter < core - CONTACT:
            small.append(place)
        elif percent_of_thread(tool.diameter, tool.pitch, place.diameter) < WEAK:
            wide.append(place)
        elif place.bottom < place.full - CONTACT:
            shallow.append(place)
    size = inspection.size
    for found, told in (
        (none, "tap {} goes down where there is no hole: it breaks"),
        (beside, "tap {} goes down {aside} beside the middle of its hole: it breaks"),
        (small, "the hole for tap {} is {hole} wide, less than the {core} of the tap's core: it jams and breaks"),
        (wide, "the hole for tap {} is {hole} wide and leaves {percent:.0f} percent of a thread, which strips"),
    ):
        if found:
            one = found[0]
            hole = one.diameter or 0.0
            percent = percent_of_thread(tool.diameter, tool.pitch, hole)
            message = told.format(
                tool.number, aside=size(one.beside), hole=size(hole), core=size(core), percent=percent
            )
            yield _finding(inspection, "no-hole", message, found)
    if shallow:
        deep = max(place.full - place.bottom for place in shallow)
        yield _finding(
            inspection,
            "tap-bottoms",
            f"tap {tool.number} is sent {size(deep)} past the full depth of its hole: it bottoms and breaks; drill "
            "deeper than the tap goes, and leave room for chips",
            shallow,
        )


def _in_step(inspection: Inspection, tool: Tool, places: list[_Place]) -> Iterator[Finding]:
    """Down turning clockwise and up the other way round, at the feed of the thread."""
    moves, tip = inspection.moves, inspection.tip
    rpm, spindle = moves.of_modal("rpm"), moves.of_modal("spindle")
    wrong = []
    for place in places:
        for row in place.rows.tolist():
            way = Spindle.CW if tip.end[row, 2] < tip.start[row, 2] else Spindle.CCW
            wanted = tool.pitch * float(rpm[row])
            fed = not moves.at_rapid[row] and abs(float(moves.feed[row]) - wanted) <= OUT_OF_STEP * wanted
            # a rapid ends, or starts, at the hole: it goes through none of it
            in_air = moves.at_rapid[row] and min(tip.start[row, 2], tip.end[row, 2]) >= place.top - tool.pitch
            if not in_air and not (fed and spindle[row] == way and wanted > 0.0):
                wrong.append(row)
    if not wrong:
        return
    first = min(wrong)
    if moves.at_rapid[first]:
        told = f"tap {tool.number} is moved at rapid in its thread, which tears it out"
    elif spindle[first] == Spindle.OFF or not rpm[first] > 0.0:
        told = f"tap {tool.number} is fed with the spindle off: it breaks"
    elif spindle[first] != (Spindle.CW if tip.end[first, 2] < tip.start[first, 2] else Spindle.CCW):
        told = f"tap {tool.number} turns the wrong way round for a right-hand thread"
    else:
        feed, wanted = float(moves.feed[first]), tool.pitch * float(rpm[first])
        told = (
            f"tap {tool.number} is fed {inspection.size(feed)} a minute; at {rpm[first]:g} rev/min its pitch of "
            f"{inspection.size(tool.pitch)} wants {inspection.size(wanted)}: it breaks"
        )
    yield inspection.finding("tap-feed-not-pitch", told, sorted(wrong))


def tap_torque(kc11: float, m_c: float, tool: Tool) -> float:
    """M = kc · P² · D / 8000, N·m, with kc = kc1.1 · h^(−m_c) at the chip that a tooth of the lead cuts.

    Source: machining handbooks (from memory); the depth of thread, 0.6134 P, is shared by the teeth of the lead.
    """
    chip = 0.6134 * tool.pitch / max(tool.lead * tool.flutes, 1.0)
    return float(kc11 * chip ** (-m_c) * tool.pitch**2 * tool.diameter / 8000.0)


def _torque(inspection: Inspection, tool: Tool, places: list[_Place]) -> Iterator[Finding]:
    """The power that a machine's spindle needs for a tap; a hand feels it."""
    if not inspection.by_program or not places:
        return
    job, rpm = inspection.job, inspection.moves.of_modal("rpm")
    rows = np.concatenate([place.rows for place in places])
    torque = tap_torque(job.material.force.kc11, job.material.force.m_c, tool)
    watts = torque * 2.0 * math.pi * float(rpm[rows].max()) / 60.0
    limit = job.by_program.power * job.by_program.efficiency
    if watts > limit:
        told = (
            f"tap {tool.number} takes about {torque:.2g} N·m, which asks {shown_power(watts, job.units)} of a spindle "
            f"that gives {shown_power(limit, job.units)}: tap slower"
        )
        yield inspection.finding("overload", told, rows)


def _missing(inspection: Inspection) -> Iterator[Finding]:
    """Threads that the set-up was to have: not tapped, with another tap, or not deep enough."""
    tip, work = inspection.tip, inspection.setup.work
    for operation in inspection.setup.operations:
        if not isinstance(operation, Tap):
            continue
        meant = inspection.job.tool(operation.tool)
        wanted = operation.tip(work, meant)
        like = [
            number
            for number, tool in inspection.tools.items()
            if tool.shape == "tap" and max(abs(tool.diameter - meant.diameter), abs(tool.pitch - meant.pitch)) <= SAME
        ]
        rows = inspection.feeding & inspection.plunging & np.isin(inspection.tool_number, like)
        ends = tip.end[rows]
        left_out: list[tuple[Point, float]] = []
        for x, y in operation.points:
            here = ends[np.hypot(ends[:, 0] - x, ends[:, 1] - y) < SAME_PLACE]
            lowest = float(here[:, 2].min()) if len(here) else math.inf
            if lowest > wanted + meant.pitch / 2.0:
                left_out.append(((x, y, operation.top(work)), lowest))
        if left_out:
            (at, lowest), size = left_out[0], inspection.size
            how = "is not tapped" if lowest > at[2] else f"is tapped only {size(at[2] - lowest)} deep"
            told = f"a thread {operation.callout} ({operation.name}) {how} at X {size(at[0])}, Y {size(at[1])}"
            code = "left-uncut"
            yield Finding(level_of(code), code, inspection.setup.name, None, None, at, len(left_out), told)


def _finding(inspection: Inspection, code: str, message: str, places: list[_Place]) -> Finding:
    one = inspection.finding(code, message, [int(place.rows[0]) for place in places], count=len(places))
    assert one.at is not None
    return one
