"""Whole random jobs: written, read back, cut, gauged; whatever the sizes, cutters, edges and compensation forms."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from jobs import Draft, drafts

from handwheel.cut.rays import Rays, left
from handwheel.job import Facing, Job, SideMilling
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.proof import SetupProof, prove_setup
from handwheel.setup import Setup, set_up

WHOLE_JOBS = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def proved(draft: Draft) -> tuple[Setup, SetupProof]:
    setup = set_up(draft.job())[0]
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    return setup, prove_setup(setup, text, "random.nc")


def half_digit(job: Job) -> float:
    return 25.4 * 0.5e-4 if job.units == "in" else 0.5e-3


def walls(setup: Setup, proof: SetupProof, operation: SideMilling) -> np.ndarray:  # type: ignore[type-arg]
    """Where level rays, square to the side and just above its foot, meet the face along its whole length."""
    job = setup.job
    axis = operation.edge.axis
    run = 1 - axis
    along = np.linspace(job.raw_block.low[run], job.raw_block.high[run], 15)[1:-1]
    # beyond the finished ends another side may have taken the corner away
    ends = (job.finished_block.low[run], job.finished_block.high[run])
    along = along[(along > ends[0] + 1e-3) & (along < ends[1] - 1e-3)]
    height = set_up(job)[0].finished_top - operation.depth * 0.9
    across = np.column_stack([along, np.full(len(along), height)])
    stretches = left(proof.part, Rays(axis, across))
    outermost = []
    for ray in range(len(along)):
        rows = slice(stretches.first[ray], stretches.first[ray + 1])
        ends = stretches.high[rows] if operation.edge in ("right", "back") else stretches.low[rows]
        outermost.append(ends.max() if operation.edge in ("right", "back") else ends.min())
    return np.array(outermost)


@WHOLE_JOBS
@given(draft=drafts())
def test_a_sound_job_proves_and_leaves_every_face_where_it_should_be(draft: Draft) -> None:
    setup, proof = proved(draft)
    troubles = [one for one in proof.findings if one.level in ("stop", "reject")]
    assert not troubles
    job = setup.job
    raw = job.raw_block
    for operation in job.setups[0].operations:
        if isinstance(operation, SideMilling):
            wall = walls(setup, proof, operation)
            assert np.abs(wall - operation.to).max(initial=0.0) <= 2 * half_digit(job) + 1e-6
        elif isinstance(operation, Facing):
            x, y = np.meshgrid(
                np.linspace(raw.low[0], raw.high[0], 23)[1:-1], np.linspace(raw.low[1], raw.high[1], 19)[1:-1]
            )
            stretches = left(proof.part, Rays(2, np.column_stack([x.ravel(), y.ravel()])))
            tops = np.maximum.reduceat(stretches.high, stretches.first[:-1])
            assert tops.max() <= operation.to + half_digit(job) + 1e-6  # no ridge, no corner


def measured_on_the_way(draft: Draft) -> Draft:
    """The draft with a size along X and one along Y, for which the program stops."""
    job = draft.job()
    middle = job.finished_block.centre
    scale = 25.4 if draft.units == "in" else 1.0
    depth = min((one.depth for one in job.setups[0].operations if isinstance(one, SideMilling)), default=1.0)
    sizes = tuple(
        {
            "name": f"along {axis}",
            "axis": axis,
            "through": {
                "xy"[1 - index]: round(middle[1 - index] / scale, 4),
                "z": round((set_up(job)[0].finished_top - depth / 2) / scale, 4),
            },
            "nominal": round(job.finished_block.size[index] / scale, 4),
            "gauge": "caliper",
        }
        for index, axis in enumerate("xy")
    )
    return replace(draft, dimensions=sizes)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=drafts())
def test_stopping_to_measure_and_to_correct_brings_in_no_trouble(draft: Draft) -> None:
    stopping, plain = (
        {one.code for one in proved(job)[1].findings} - {"dimension-out", "at-limit"}  # what the sizes come out at
        for job in (measured_on_the_way(draft), draft)
    )
    assert stopping == plain


@cache
def _on_grid(form: str) -> SetupProof:
    draft = Draft(
        operations=tuple(
            {"do": "side", "name": edge, "tool": 1, "edge": edge, "to": to, "depth": 12.0}
            for edge, to in (("front", 0.0), ("right", 76.0), ("back", 40.5), ("left", 0.0))
        ),
        dimensions=(
            {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5},
            {"name": "length", "axis": "x", "through": {"y": 20.0, "z": -6.0}, "nominal": 76.0},
        ),
    )
    return proved(replace(draft, compensation=form))[1]


@pytest.mark.parametrize("form", ["material-edge", "tool-path", "off"])
def test_the_three_compensation_forms_give_the_same_part(form: str) -> None:
    proof = _on_grid(form)
    assert [one.measured for one in proof.dimensions] == pytest.approx([40.5, 76.0], abs=25.4e-6)
    assert np.abs(proof.heights.z - _on_grid("material-edge").heights.z).max() <= 25.4e-6
