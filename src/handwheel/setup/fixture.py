"""One set-up: the work in the vise on its parallels, all of it boxes in the set-up's frame."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from handwheel.job import Job
from handwheel.motion import Control
from handwheel.path.box import Box
from handwheel.setup.frame import control, travel_box, work_zero
from handwheel.setup.parallels import choose_parallels
from handwheel.setup.work_stop import stop_above_jaws, stop_body
from handwheel.setup.workpiece import Workpiece, workpieces
from handwheel.tolerances import CONTACT

TABLE_REACH = 2000.0
"""How far the table is taken to go on each way, mm: further than any cutter of a bench or knee mill gets."""
TABLE_THICKNESS = 60.0


@dataclass(frozen=True, kw_only=True)
class Setup(Workpiece):
    """The work clamped, and where everything stands; boxes in the set-up's frame, lengths in mm.

    ``stick_out`` is what above the jaws, ``grip`` what is held; ``air`` is what is left between the lowest
    planned cut and the jaws (``None`` where nothing is cut). ``stop`` is the work stop while the work is cut: ``None``
    where there is none, or it is swung away after clamping. ``control`` is what the control holds before a program
    starts.
    """

    fixed_jaw: Box
    movable_jaw: Box
    bed: Box
    table: Box
    parallels: tuple[Box, Box]
    parallel_height: float
    parallel_reason: str
    stick_out: float
    grip: float
    air: float | None
    stop: Box | None
    control: Control

    @property
    def jaw_top(self) -> float:
        """Z of the top of the jaws, mm."""
        return self.fixed_jaw.high[2]

    @property
    def travel(self) -> Box:
        """Where the nose may stand."""
        return travel_box(self, self.control.report)

    @property
    def vise_bodies(self) -> tuple[Box, Box, Box]:
        """Fixed jaw, movable jaw and bed."""
        return (self.fixed_jaw, self.movable_jaw, self.bed)


def set_up(job: Job) -> tuple[Setup, ...]:
    """Every set-up of a job, in order.

    Raises
    ------
    JobError
        Where no parallels fit.
    """
    return tuple(clamp(piece) for piece in workpieces(job))


def clamp(piece: Workpiece) -> Setup:
    """Stand the work on its parallels in the vise.

    Raises
    ------
    JobError
        Where no parallels fit.
    """
    vise, raw, lowest = piece.vise, piece.raw, piece.lowest
    choice = choose_parallels(piece)
    bed_top = raw.low[2] - choice.height
    jaw_top = bed_top + vise.jaw_height
    bed_bottom = bed_top - vise.bed_height
    left = _jaws_left(piece)
    right = left + vise.jaw_width
    held = _held(piece, left, right, jaw_top)
    front, back = held.low[1], held.high[1]
    middle = (left + right) / 2
    x0, x1 = middle - vise.parallel_length / 2, middle + vise.parallel_length / 2
    air = None if lowest is None else lowest - jaw_top
    height = stop_above_jaws(piece, air)
    bed_front = back - vise.opening_max - vise.jaw_thickness
    return Setup(
        job=piece.job,
        number=piece.number,
        entry=piece.entry,
        work=piece.work,
        before=piece.before,
        after=piece.after,
        is_last=piece.is_last,
        fixed_jaw=Box((left, back, bed_top), (right, back + vise.jaw_thickness, jaw_top)),
        movable_jaw=Box((left, front - vise.jaw_thickness, bed_top), (right, front, jaw_top)),
        bed=Box((left, bed_front, bed_bottom), (right, back + vise.jaw_thickness, bed_top)),
        table=Box(
            (middle - TABLE_REACH, back - TABLE_REACH, bed_bottom - TABLE_THICKNESS),
            (middle + TABLE_REACH, back + TABLE_REACH, bed_bottom),
        ),
        control=control(piece, work_zero(piece, bed_bottom)),
        parallels=parallels_at(piece, Box((x0, front, bed_top), (x1, back, raw.low[2])), vise.parallel_inset),
        parallel_height=choice.height,
        parallel_reason=choice.reason,
        stick_out=raw.high[2] - jaw_top,
        grip=_grip(piece, held),
        air=air,
        stop=None if height is None else stop_body(piece, (raw.low[2] + jaw_top) / 2, jaw_top + height),
    )


def parallels_at(piece: Workpiece, between: Box, inset: float) -> tuple[Box, Box]:
    """Front and back parallel, so far off the jaws, mm; ``between`` the jaws and along the parallels, up to the
    work."""
    (x0, front, bed), (x1, back, top) = between.low, between.high
    low, high = _stands_on(piece, front, back, inset)
    thick = piece.vise.parallel_thickness
    return Box((x0, low, bed), (x1, low + thick, top)), Box((x0, high - thick, bed), (x1, high, top))


def on_parallels(setup: Setup, height: float) -> Setup:
    """The same set-up on other parallels, mm high."""
    entry = replace(setup.entry, vise=setup.vise.model_copy(update={"parallels": height}))
    return clamp(Workpiece(setup.job, setup.number, entry, setup.work, setup.before, setup.after, setup.is_last))


def _jaws_left(piece: Workpiece) -> float:
    """X of the left end of the jaws: the work stands at one end of them, in their middle, or hangs out of them."""
    raw, width, at = piece.raw, piece.vise.jaw_width, piece.entry.at
    if at.by is not None:
        return raw.low[0] + at.by if at.past == "left" else raw.high[0] - at.by - width
    return {"left": raw.low[0], "centre": raw.centre[0] - width / 2, "right": raw.high[0] - width}[at.stands]


def _held(piece: Workpiece, left: float, right: float, jaw_top: float) -> Box:
    """What the jaws close on: the work between their ends, up to their tops; all of it where nothing is there."""
    raw = piece.raw
    between = Box(
        (min(left, raw.high[0]), raw.low[1], raw.low[2]),
        (max(right, raw.low[0]), raw.high[1], max(min(jaw_top, raw.high[2]), raw.low[2])),
    )
    return piece.shape.box_within(between) or raw


def _grip(piece: Workpiece, held: Box) -> float:
    """Over which height both jaws touch: a step or a wider foot in the jaws keeps them off the rest."""
    levels = [held.low[2], *(z for z in piece.shape.planes[2] if held.low[2] < z < held.high[2]), held.high[2]]
    grip = 0.0
    for low, high in pairwise(levels):
        if high - low <= CONTACT:
            continue
        slab = piece.shape.box_within(Box((held.low[0], held.low[1], low), (held.high[0], held.high[1], high)))
        if slab and slab.low[1] <= held.low[1] + CONTACT and slab.high[1] >= held.high[1] - CONTACT:
            grip += float(high - low)
    return grip


def _stands_on(piece: Workpiece, front: float, back: float, inset: float) -> tuple[float, float]:
    """Y of the outer sides of the parallels: off the jaws by the inset, or under the sole of the work where it is
    narrower."""
    raw, vise = piece.raw, piece.vise
    sole = piece.shape.box_within(Box(raw.low, (raw.high[0], raw.high[1], raw.low[2] + 2 * CONTACT)))
    if sole is None:
        return front + inset, back - inset
    low, high = max(front, sole.low[1]), min(back, sole.high[1])
    narrow = low - front > vise.parallel_thickness or back - high > vise.parallel_thickness
    return (low + inset, high - inset) if narrow else (front + inset, back - inset)
