"""What stands at the head of a program: what it makes, on which set-up, what to key in, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.motion import Side
from handwheel.plan import Plan
from handwheel.plan.offset_table import (
    planned_diameter,
    planned_length,
    touches_tools,
    what_d_holds,
    what_h_holds,
    where_wear_goes,
)
from handwheel.plan.words import tool_name
from handwheel.setup import Setup
from handwheel.units import shop_number

CAUTIONS = (
    "A simulation proves geometry under its stated assumptions; it does not make a set-up safe.",
    "First run above the work, in single block, with a hand on feed hold.",
    "Guards, eye protection, the lab's rules and a qualified instructor come first. Local codes stand above this text.",
    "Stop the spindle before a hand goes in.",
)
"""The usual cautions, in our own words."""


def head(setup: Setup, plan: Plan, unproved: Sequence[str]) -> Iterator[str]:
    """Lines of plain text for the head's comments; ``unproved`` holds the reasons why the proof failed, if it did."""

    def size(length: float) -> str:
        return shop_number(length, setup.job.units)

    if unproved:
        yield "NOT PROVED - do not run"
        for reason in unproved:
            yield f"NOT PROVED: {reason}"
    yield f"Title: {setup.job.title}"
    if setup.job.part_number:
        yield f"Part number: {setup.job.part_number}"
    yield f"Material: {setup.job.material.description}. Units: {'inches' if setup.job.units == 'in' else 'millimeters'}"
    several = len(setup.job.setups) > 1
    if several:
        yield f"Set-up {setup.number} of {len(setup.job.setups)}: {setup.name}. {_lies(setup)}"
        done = ", ".join(entry.name for entry in setup.job.setups[: setup.number - 1])
        yield f"Done before: {done}" if done else "Done before: nothing, the stock is raw"
    yield f"{'Work' if setup.before else 'Raw stock'}: " + " x ".join(size(length) for length in setup.raw.size)
    yield (
        f"Set-up: vise, parallels {size(setup.parallel_height)}, stick-out {size(setup.stick_out)}, "
        f"grip {size(setup.grip)}" + ("" if setup.air is None else f", lowest cut {size(setup.air)} above the jaws")
    )
    x, y, z = _side(setup.zero.x), _side(setup.zero.y), setup.zero.z
    yield f"Work zero {setup.entry.origin}: X {x}, Y {y}, Z {z} of the finished work"
    for tool in plan.tools:
        yield f"Tool {tool.number}: {tool_name(tool, setup.job.units)}"
        yield (
            f"Offset {tool.number} as planned: "
            f"length H{tool.number} = {planned_length(setup, tool.number)}, "
            f"{setup.job.by_program.offset_holds} D{tool.number} = {planned_diameter(setup, tool.number)}"
        )
    yield f"{what_h_holds(setup)}."
    if touches_tools(setup):
        yield f"Key in 0 for Z of {setup.entry.origin} in the zero table."
    yield f"{what_d_holds(setup)}."
    yield from (f"{text}." for text in where_wear_goes(setup))
    yield from _compensation(plan)
    yield from CAUTIONS


def _lies(setup: Setup) -> str:
    """Which of the drawing's faces is where."""
    return f"The {setup.entry.up} of the part is up, its {setup.entry.fixed_jaw} is on the fixed jaw"


def _side(name: str) -> str:
    return {"left": "left end", "right": "right end", "front": "front side", "back": "back side", "centre": "centre"}[
        name
    ]


def _compensation(plan: Plan) -> Iterator[str]:
    forms = dict.fromkeys(
        step.compensation for step in plan.steps if any(one.side is not Side.OFF for one in step.strokes)
    )
    for form in forms:
        yield {
            "material-edge": "The program follows the finished edge; the control keeps the cutter off by its radius.",
            "tool-path": "The program follows the cutter's center; the control adds what D holds.",
            "off": "The program follows the cutter's center; no correction at the control.",
        }[form]
