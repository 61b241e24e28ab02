"""The machine's frame by program: where the set-up's zero stands in it, and what the control holds before it starts."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.motion import Control, Offset
from handwheel.path.box import Box
from handwheel.setup.workpiece import Workpiece

Point = tuple[float, float, float]


def work_zero(piece: Workpiece, table_top: float) -> Point:
    """The set-up's zero in the machine's frame, mm: zero at home, axes running from −travel to 0.

    Where the job does not say, the work's centre stands mid-travel; Z follows from the daylight, the bed and the
    parallels, since the nose stands ``daylight`` above the table (at ``table_top``, Z) with Z at home.
    """
    machine = piece.job.by_program
    if machine.work_zero is not None:
        return machine.work_zero
    centre = piece.raw.centre
    return (
        -machine.travel[0] / 2 - centre[0],
        -machine.travel[1] / 2 - centre[1],
        -machine.daylight - table_top,
    )


def control(piece: Workpiece, zero: Point) -> Control:
    """What the control holds at the start of a program for this set-up: offsets, G54…, homes, limits.

    Where each tool is touched to the work, H is Z of the machine at which the tip is on Z zero, and the zero table has
    0 for Z (geometry).
    """
    machine = piece.job.by_program
    touched_at = zero[2] if machine.length_offsets == "touch to work" else 0.0
    origin = (zero[0], zero[1], zero[2] - touched_at)
    return Control(
        offsets=lengthened(piece.job.offsets, touched_at),
        units=piece.job.units,
        origin=origin,
        report=origin,
        touched_at=touched_at,
        rapid=machine.rapid,
        feed_max=machine.feed_max,
        acceleration=machine.acceleration,
        travel=max(machine.travel),
    )


def lengthened(offsets: Mapping[int, Offset], by: float) -> Mapping[int, Offset]:
    """The offset table with every length more by so much, mm."""
    return {number: Offset(one.length + by, one.diameter) for number, one in offsets.items()}


def travel_box(piece: Workpiece, zero: Point) -> Box:
    """Where the *nose* may stand, in the set-up's frame, mm."""
    travel = piece.job.by_program.travel
    low = tuple(-length - origin for length, origin in zip(travel, zero, strict=True))
    high = tuple(-origin for origin in zero)
    return Box(low, high)  # type: ignore[arg-type]
