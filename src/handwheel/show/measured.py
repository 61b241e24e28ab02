"""The files of measured parts: a chart for each size, and the inspection report."""

from __future__ import annotations

from itertools import pairwise

from handwheel.job import Job
from handwheel.learn import Measurements
from handwheel.show.draw.charts import size_chart
from handwheel.show.draw.saving import save
from handwheel.show.paper.inspection import inspection_report


def measured_files(job: Job, found: Measurements) -> dict[str, bytes]:
    """By name: ``chart-1.svg``, ``chart-1.png`` … in the order of the sizes, and ``inspection-report.pdf``."""
    corrected = tuple(row for row, (before, after) in enumerate(pairwise(found.run), start=1) if before != after)
    files: dict[str, bytes] = {}
    charts: dict[str, bytes] = {}
    for number, size in enumerate((one for one in found.sizes if one.known), start=1):
        figure = size_chart(job, size, corrected)
        files[f"chart-{number}.svg"] = charts[f"chart {number}"] = save(figure, "svg")
        files[f"chart-{number}.png"] = save(figure, "png")
    return files | {"inspection-report.pdf": inspection_report(job, found, charts)}
