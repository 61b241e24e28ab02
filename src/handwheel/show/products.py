"""All that one job gives, as bytes: the same job gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from importlib.util import find_spec
from typing import Any

from handwheel.hand import execute, sheet
from handwheel.job import Job
from handwheel.plan import Route, plan
from handwheel.proof import SLIPS, BothWays, Comparison, Proof, SlipResult, compare, routes_of, slip
from handwheel.setup import Setup, touches
from handwheel.show.animation import Options
from handwheel.show.page import lesson
from handwheel.show.second_process import SecondProcess
from handwheel.units import to_units

USES = (
    (".unproved.nc", "the program, NOT PROVED: do not run it"),
    (".nc", "the program for the control"),
    ("route-sheet.txt", "the same job by hand, step by step"),
    ("card.pdf", "machine cards: what lies on the mill, and at the control"),
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
"""Each file by its ending, less the number of its set-up, and what it is for."""

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
    routes = routes_of(job)
    comparison = compare(routes)
    on_paper = second.call(_on_paper, comparison)
    second.finish()
    slips = []
    for index, name in enumerate(SLIPS):
        tell(f"slip: {name}", 0.2 + 0.2 * index / len(SLIPS))
        slips.append(slip(routes, name))
    tell("lesson", 0.4)
    whole = {route: comparison.by(route) for route in Route}
    pages = {f"lesson{_of(both)}.html": _lesson(both, slips, whole).encode() for both in comparison.setups}
    films = _films(job.name, comparison, film, tell) if film is not None else {}
    told = _json(report(comparison.by_program))
    tell("drawings, packet", 0.99)
    packet, card, drawings = on_paper.result()
    sheets = [
        sheet(both.setup, plan(both.setup, Route.BY_HAND), both.actions, both.by_hand.reasons)
        for both in comparison.setups
    ]
    return comparison, {
        **{program_file(both): both.text.encode() for both in comparison.setups},
        "route-sheet.txt": "\n\n".join(sheets).encode(),
        "card.pdf": card,
        "packet.pdf": packet,
        **pages,
        **films,
        "report.json": told,
        **drawings,
    }


def program_file(both: BothWays) -> str:
    """What the program of a set-up is called: its name says where its proof has failed."""
    marked = "" if both.by_program.verdict == "pass" else ".unproved"
    return f"{both.setup.job.name}{_of(both)}{marked}.nc"


def _of(both: BothWays) -> str:
    """What a file of one set-up is told apart by; nothing where the part has one alone."""
    return f"-{both.setup.number}" if len(both.setup.job.setups) > 1 else ""


def _lesson(both: BothWays, slips: Sequence[SlipResult], whole: Mapping[Route, Proof]) -> str:
    setup = both.setup
    here = [one for one in slips if one.setup is None or one.setup.number == setup.number]
    return lesson(
        setup,
        plan(setup, Route.BY_PROGRAM),
        both.text,
        both.by_program,
        both.actions,
        execute(setup, both.actions),
        both.by_hand,
        both,
        here,
        whole,
    )


def _on_paper(comparison: Comparison) -> tuple[bytes, bytes, dict[str, bytes]]:
    """The packet, the cards, and every drawing in every form that is written."""
    from handwheel.show.draw.drawings import OF_PART, OF_SETUP, save
    from handwheel.show.draw.setup_card import setup_picture
    from handwheel.show.paper import cards, packet

    drawings: dict[str, bytes] = {}
    shown: dict[str, bytes] = {}
    for both in comparison.setups:
        is_last = both is comparison.setups[-1]
        steps = plan(both.setup, Route.BY_PROGRAM)
        for name, drawing in (*OF_SETUP.items(), *(OF_PART.items() if is_last else ())):
            # the part is drawn as it lies in its first set-up
            lies = comparison.setups[0].setup if name == "part" else both.setup
            figure = drawing(lies, steps, both.by_program)
            file = f"{name}{_of(both) if name in OF_SETUP else ''}"
            drawings |= {f"{file}.{kind}": save(figure, kind) for kind in ("svg", "png")}
            if name in ("part", "set-up", "path"):
                shown[f"{file} drawing"] = drawings[f"{file}.svg"]
        shown[f"set-up{_of(both)} card"] = save(setup_picture(both.setup), "svg")
    return packet(comparison, shown), cards(comparison, shown), drawings


def _films(name: str, comparison: Comparison, film: Options, tell: Tell) -> dict[str, bytes]:
    """The animation; as a film too where the video extra is installed."""
    from handwheel.show.animation.writing import gif, mp4

    def telling(what: str, start: float) -> Callable[[int, int], None]:
        return lambda done, of: tell(what, start + 0.2 * done / of)

    films = {f"{name}.gif": gif(comparison.setups, Route.BY_PROGRAM, film, telling("animation", 0.6))}
    if find_spec("imageio_ffmpeg") is not None:
        films[f"{name}.mp4"] = mp4(comparison.setups, Route.BY_PROGRAM, film, telling("film", 0.8))
    return films


def _json(told: dict[str, Any]) -> bytes:
    return (json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def report(proof: Proof) -> dict[str, Any]:
    """The proof's JSON with how each set-up stands beside it."""
    told = proof.to_json()
    if len(proof.setups) == 1:
        return told | {"set_up": _standing(proof.setups[0].setup)}
    return told | {"set_ups": [_standing(one.setup) for one in proof.setups]}


def _standing(setup: Setup) -> dict[str, Any]:
    def size(length: float | None) -> float | None:
        return None if length is None else to_units(length, setup.job.units) + 0.0

    first = next(iter(setup.operations), None)
    diameter = setup.job.tool(first.tool).diameter if first is not None else 0.0
    return {
        "parallels": size(setup.parallel_height),
        "parallels_reason": setup.parallel_reason,
        "lowest_cut": size(setup.lowest),
        "work_zero": [size(value) for value in setup.control.origin],
        "offsets": [
            {"number": number, "length": size(offset.length), "diameter": size(offset.diameter)}
            for number, offset in sorted(setup.control.offsets.items())
        ],
        "touch_off": [
            {"axis": one.axis, "face": one.face, "with": one.with_, "set": size(one.spindle_at)}
            for one in touches(setup, diameter)
        ],
    }
