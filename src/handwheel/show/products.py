"""All that one job gives, as bytes: the same job gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib.util import find_spec
from typing import Any

from handwheel.hand import execute, sheet
from handwheel.job import Job
from handwheel.plan import Plan, Route, plan
from handwheel.proof import SLIPS, Comparison, Proof, compare, slip
from handwheel.proof.report import as_json
from handwheel.setup import Setup, set_up, touches
from handwheel.show.animation import Options
from handwheel.show.page import lesson
from handwheel.show.second_process import SecondProcess
from handwheel.units import to_units

USES = (
    (".unproved.nc", "the program, NOT PROVED: do not run it"),
    (".nc", "the program for the control"),
    ("route-sheet.txt", "the same job by hand, step by step"),
    ("packet.pdf", "all sheets to print and hand out"),
    ("lesson.html", "both ways side by side, to click through in a browser"),
    (".gif", "the program cutting, for the projector"),
    (".mp4", "the same as a film"),
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


def products(job: Job, film: Options | None, second: SecondProcess, tell: Tell) -> tuple[Comparison, dict[str, bytes]]:
    """Both ways of the job, proved, and every file of it by name.

    Parameters
    ----------
    job : the job
    film : length, frames a second and size of the animation; ``None`` for none
    second : makes what is drawn on paper, while this process does the rest
    tell : is told what is being done, and the share of the whole that is done before it
    """
    tell("cutting, gauging, checking", 0.0)
    setup = set_up(job)[0]
    comparison = compare(setup)
    proof, text = comparison.by_program, comparison.text
    by_program, by_hand = plan(setup, Route.BY_PROGRAM), plan(setup, Route.BY_HAND)
    on_paper = second.call(_on_paper, setup, by_program, comparison)
    second.finish()
    slips = []
    for index, name in enumerate(SLIPS):
        tell(f"slip: {name}", 0.2 + 0.2 * index / len(SLIPS))
        slips.append(slip(setup, name))
    tell("lesson", 0.4)
    execution = execute(setup, comparison.actions)
    page = lesson(setup, by_program, text, proof, comparison.actions, execution, comparison.by_hand, comparison, slips)
    films = _films(setup, comparison, film, tell) if film is not None else {}
    told = _json(report(setup, proof))
    tell("drawings, packet", 0.99)
    packet, drawings = on_paper.result()
    marked = "" if proof.verdict == "pass" else ".unproved"
    return comparison, {
        f"{job.name}{marked}.nc": text.encode(),
        "route-sheet.txt": sheet(setup, by_hand, comparison.actions, comparison.by_hand.reasons).encode(),
        "packet.pdf": packet,
        "lesson.html": page.encode(),
        **films,
        "report.json": told,
        **drawings,
    }


def _on_paper(setup: Setup, by_program: Plan, comparison: Comparison) -> tuple[bytes, dict[str, bytes]]:
    """The packet, and every drawing in every form that is written."""
    from handwheel.show.draw.drawings import DRAWINGS, save
    from handwheel.show.paper import packet

    drawings: dict[str, bytes] = {}
    for name, drawing in DRAWINGS.items():
        figure = drawing(setup, by_program, comparison.by_program)
        drawings |= {f"{name}.{kind}": save(figure, kind) for kind in ("svg", "png")}
    shown = {f"{name} drawing": drawings[f"{name}.svg"] for name in ("part", "set-up")}
    return packet(setup, comparison, shown), drawings


def _films(setup: Setup, comparison: Comparison, film: Options, tell: Tell) -> dict[str, bytes]:
    """The animation; as a film too where the video extra is installed."""
    from handwheel.show.animation.writing import gif, mp4

    name = setup.job.name

    def telling(what: str, start: float) -> Callable[[int, int], None]:
        return lambda done, of: tell(what, start + 0.2 * done / of)

    films = {f"{name}.gif": gif(setup, comparison, Route.BY_PROGRAM, film, telling("animation", 0.6))}
    if find_spec("imageio_ffmpeg") is not None:
        films[f"{name}.mp4"] = mp4(setup, comparison, Route.BY_PROGRAM, film, telling("film", 0.8))
    return films


def _json(told: dict[str, Any]) -> bytes:
    return (json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def report(setup: Setup, proof: Proof) -> dict[str, Any]:
    """The proof's JSON with the set-up beside it."""

    def size(length: float | None) -> float | None:
        return None if length is None else to_units(length, setup.job.units) + 0.0

    first = next(iter(setup.operations), None)
    diameter = setup.job.tool(first.tool).diameter if first is not None else 0.0
    return as_json(proof, setup.job.units) | {
        "set_up": {
            "parallels": size(setup.parallel_height),
            "parallels_reason": setup.parallel_reason,
            "lowest_cut": size(setup.lowest),
            "work_zero": [size(value) for value in setup.control.origin],
            "offsets": [
                {"number": number, "length": size(offset.length), "diameter": size(offset.diameter)}
                for number, offset in sorted(setup.job.offsets.items())
            ],
            "touch_off": [
                {"axis": one.axis, "face": one.face, "with": one.with_, "set": size(one.spindle_at)}
                for one in touches(setup, diameter)
            ],
        }
    }
