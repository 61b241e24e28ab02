"""The machine's frame by program: where the job's zero stands in it, and what the control holds before it starts."""

from __future__ import annotations

from handwheel.job import Job
from handwheel.motion import Control
from handwheel.path.box import Box
from handwheel.setup.fixture import Setup

Point = tuple[float, float, float]


def work_zero(job: Job, setup: Setup) -> Point:
    """The job's zero in the machine's frame, mm: zero at home, axes running from −travel to 0.

    Where the job does not say, the stock's centre stands mid-travel; Z follows from the daylight, the bed and the
    parallels, since the nose stands ``daylight`` above the table with Z at home.
    """
    machine = job.by_program
    if machine.work_zero is not None:
        return machine.work_zero
    centre = setup.work.centre
    table_top = setup.table.high[2]
    return (
        -machine.travel[0] / 2 - centre[0],
        -machine.travel[1] / 2 - centre[1],
        -machine.daylight - table_top,
    )


def control(job: Job, setup: Setup) -> Control:
    """What the control holds at the start of a program for this job: offsets, G54…, homes, limits."""
    zero = work_zero(job, setup)
    machine = job.by_program
    return Control(
        offsets=job.offsets,
        units=job.units,
        origin=zero,
        report=zero,
        rapid=machine.rapid,
        feed_max=machine.feed_max,
        acceleration=machine.acceleration,
    )


def travel_box(job: Job, setup: Setup) -> Box:
    """Where the *nose* may stand, in the job's frame, mm."""
    zero = work_zero(job, setup)
    travel = job.by_program.travel
    low = tuple(-length - origin for length, origin in zip(travel, zero, strict=True))
    high = tuple(-origin for origin in zero)
    return Box(low, high)  # type: ignore[arg-type]
