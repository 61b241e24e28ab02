"""What stands at the head of a program: what it makes, on which set-up, what to key in, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.job import Job
from handwheel.plan import Plan
from handwheel.plan.words import tool_name
from handwheel.setup import Setup
from handwheel.units import program_number, shop_number

CAUTIONS = (
    "A simulation proves geometry under its stated assumptions; it does not make a set-up safe.",
    "First run above the work, in single block, with a hand on feed hold.",
    "Guards, eye protection, the lab's rules and a qualified instructor come first. Local codes stand above this text.",
    "Stop the spindle before a hand goes in.",
)
"""The usual cautions, in our own words."""


def head(job: Job, setup: Setup, plan: Plan, unproved: Sequence[str]) -> Iterator[str]:
    """Lines of plain text for the head's comments; ``unproved`` holds the reasons why the proof failed, if it did."""

    def size(length: float) -> str:
        return shop_number(length, job.units)

    if unproved:
        yield "NOT PROVED - do not run"
        for reason in unproved:
            yield f"NOT PROVED: {reason}"
    yield f"Title: {job.title}"
    if job.part_number:
        yield f"Part number: {job.part_number}"
    yield f"Material: {job.material_name}. Units: {'inches' if job.units == 'in' else 'millimetres'}"
    yield "Raw stock: " + " x ".join(size(length) for length in setup.work.size)
    yield (
        f"Set-up: vise, parallels {size(setup.parallel_height)}, stick-out {size(setup.stick_out)}, "
        f"grip {size(setup.grip)}" + ("" if setup.air is None else f", lowest cut {size(setup.air)} above the jaws")
    )
    yield f"Work zero G54: X {_side(job.zero.x)}, Y {_side(job.zero.y)}, Z {job.zero.z} of the finished work"
    for tool in plan.tools:
        offset = job.offsets[tool.number]
        yield f"Tool {tool.number}: {tool_name(tool, job.units)}"
        yield (
            f"Offset {tool.number} as planned: length H{tool.number} = {program_number(offset.length, job.units)}, "
            f"diameter D{tool.number} = {program_number(offset.diameter, job.units)}"
        )
    yield "Measure each tool and key in what it really is. D is a diameter. Halve it where the control holds a radius."
    yield from _compensation(job, plan)
    yield from CAUTIONS


def _side(name: str) -> str:
    return {"left": "left end", "right": "right end", "front": "front side", "back": "back side", "centre": "centre"}[
        name
    ]


def _compensation(job: Job, plan: Plan) -> Iterator[str]:
    del job
    forms = dict.fromkeys(step.compensation for step in plan.steps if step.passes and step.passes[0].edge is not None)
    for form in forms:
        yield {
            "material-edge": "The program follows the finished edge; the control keeps the cutter off by its radius.",
            "tool-path": "The program follows the cutter's centre; D holds actual minus nominal diameter, 0 when new.",
            "off": "The program follows the cutter's centre; no correction at the control.",
        }[form]
