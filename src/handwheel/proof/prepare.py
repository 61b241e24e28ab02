"""What is the same for every program of a job: worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from handwheel.job import Job
from handwheel.motion import Control, Tool
from handwheel.path.box import Box
from handwheel.plan import intended, lowest_cut
from handwheel.setup import Setup, control, set_up, travel_box


@dataclass(frozen=True)
class Prepared:
    """A job in its vise, with what the control holds before a program starts."""

    job: Job
    setup: Setup
    control: Control
    tools: Mapping[int, Tool]
    intended: tuple[Box, ...]
    travel: Box


def prepare(job: Job) -> Prepared:
    """Set the job up.

    Raises
    ------
    JobError
        Where no parallels fit.
    """
    setup = set_up(job, lowest_cut(job))
    return Prepared(
        job=job,
        setup=setup,
        control=control(job, setup),
        tools={tool.number: tool for tool in job.tools},
        intended=intended(job),
        travel=travel_box(job, setup),
    )
