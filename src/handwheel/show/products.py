"""All that one job gives, as bytes: the same job gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from matplotlib.figure import Figure

from handwheel.hand import actions, sheet
from handwheel.job import Job
from handwheel.plan import Plan, Route, plan
from handwheel.program import write_program
from handwheel.program.seal import sealed
from handwheel.proof import Prepared, Proof, prepare, prove
from handwheel.proof.report import as_json
from handwheel.setup import touches
from handwheel.show import draw
from handwheel.units import to_units

Drawing = Callable[[Prepared, Plan, Proof], Figure]

DRAWINGS: tuple[tuple[str, Drawing], ...] = (
    ("part", draw.part_drawing),
    ("set-up", draw.setup_drawing),
    ("path", draw.path_drawing),
    ("steps", draw.stages_drawing),
    ("picture", draw.pictorial),
)

USES = (
    (".unproved.ngc", "the program, NOT PROVED: do not run it"),
    (".ngc", "the program for the control"),
    ("route-sheet.txt", "the same job by hand, step by step"),
    ("report.json", "the proof, for other programs"),
    ("part.svg", "drawing of the part"),
    ("set-up.svg", "the work in the vise, along the jaws"),
    ("path.svg", "backplot, passes by step"),
    ("steps.svg", "the part after each step"),
    ("picture.svg", "the part as it was cut"),
    (".png", "the same, for the projector"),
)
"""Each file by its ending, and what it is for."""

Tell = Callable[[str, float], None]


def products(job: Job, tell: Tell) -> tuple[Proof, dict[str, bytes]]:
    """Every file of a job by name, and the proof of its program."""
    tell("set-up", 0.0)
    prepared = prepare(job)
    by_program, by_hand = plan(job, Route.BY_PROGRAM), plan(job, Route.BY_HAND)
    text = write_program(job, prepared.setup, by_program)
    tell("cutting, gauging, checking", 0.1)
    proof = prove(prepared, text, f"{job.name}.ngc")
    if proof.verdict == "pass":
        files = {f"{job.name}.ngc": sealed(text)}
    else:
        text = write_program(job, prepared.setup, by_program, unproved=proof.reasons)
        files = {f"{job.name}.unproved.ngc": sealed(text)}
    tell("route sheet", 0.3)
    files["route-sheet.txt"] = sheet(job, prepared.setup, by_hand, actions(job, prepared.setup, by_hand))
    files["report.json"] = json.dumps(report(prepared, proof), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    pictures: dict[str, bytes] = {}
    for index, (name, drawing) in enumerate(DRAWINGS):
        tell(f"drawing: {name}", 0.4 + 0.6 * index / len(DRAWINGS))
        figure = drawing(prepared, by_program, proof)
        pictures |= {f"{name}.{kind}": draw.save(figure, kind) for kind in ("svg", "png")}
    tell("done", 1.0)
    return proof, {name: content.encode() for name, content in files.items()} | pictures


def report(prepared: Prepared, proof: Proof) -> dict[str, Any]:
    """The proof's JSON with the set-up beside it."""
    job, setup = prepared.job, prepared.setup

    def size(length: float | None) -> float | None:
        return None if length is None else to_units(length, job.units) + 0.0

    first = next(iter(job.operations), None)
    diameter = job.tool(first.tool).diameter if first is not None else 0.0
    return as_json(proof, job.units) | {
        "set_up": {
            "parallels": size(setup.parallel_height),
            "parallels_reason": setup.parallel_reason,
            "lowest_cut": size(setup.lowest),
            "work_zero": [size(value) for value in prepared.control.origin],
            "offsets": [
                {"number": number, "length": size(offset.length), "diameter": size(offset.diameter)}
                for number, offset in sorted(job.offsets.items())
            ],
            "touch_off": [
                {"axis": one.axis, "face": one.face, "with": one.with_, "set": size(one.spindle_at)}
                for one in touches(job, diameter)
            ],
        }
    }
