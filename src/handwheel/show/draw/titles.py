"""What the title block of each drawing of a job says."""

from __future__ import annotations

from handwheel.job import Job
from handwheel.setup import Setup
from handwheel.show.draw.sheet import Title
from handwheel.show.draw.views import scale_text


def of_setup(setup: Setup, document: str) -> str:
    """A document's name; where the part has several set-ups, with the number of its own."""
    return document if len(setup.job.setups) == 1 else f"{document} {setup.number}"


def title_of(job: Job, document: str, scale: float | None) -> Title:
    """The fields; ``scale`` ``None`` for a picture that has none."""
    return Title(
        title=job.title,
        document=document,
        number=job.part_number or job.name,
        material=job.material.description,
        scale="none" if scale is None else scale_text(scale),
    )
