"""The lesson page: the data of both routes, and the sources of the page, put into one file that needs no other."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from importlib.resources import files
from typing import Any

import numpy as np

from handwheel.check import Finding
from handwheel.cut.display import display_grid
from handwheel.hand import Action, Execution
from handwheel.motion import Kind
from handwheel.plan import Plan, Route
from handwheel.plan import plan as plan_of
from handwheel.program.head import CAUTIONS
from handwheel.proof import BothWays, Proof, SetupProof, SlipResult
from handwheel.proof.by_program import steps_by_line
from handwheel.proof.in_common import ideas
from handwheel.rs274 import Reading, read
from handwheel.setup import Setup
from handwheel.show.draw.colours import by_step
from handwheel.show.draw.passes import read_passes, steps_that_cut
from handwheel.show.page import scene, timeline
from handwheel.show.page.hole_table import holes_html
from handwheel.show.page.listing import Group, hand_groups, list_html, program_groups
from handwheel.show.page.metal import drops_in_page, finished_in_page
from handwheel.show.page.packing import Packing, json_in_page, number
from handwheel.show.page.timeline import Span
from handwheel.show.page.verdicts import figures_html, findings_html, letters, sizes_html, slips_html
from handwheel.units import Units, shop_number

SCRIPTS = (
    "unpack.js",
    "colours.js",
    "route.js",
    "metal.js",
    "faces.js",
    "camera.js",
    "pictorial.js",
    "paper.js",
    "plan.js",
    "end.js",
    "balloons.js",
    "looking.js",
    "dials.js",
    "lists.js",
    "slips.js",
    "lesson.js",
)
"""The page's script, in the order in which its parts stand in it."""

_COMMENT = re.compile(r"\([^)]*\)?|;.*")
_PLACE = re.compile(r"<!-- ([a-z-]+) -->")


def lesson(
    setup: Setup,
    plan: Plan,
    text: str,
    proof: SetupProof,
    actions: Sequence[Action],
    execution: Execution,
    proof_by_hand: SetupProof,
    comparison: BothWays | None = None,
    slips: Sequence[SlipResult] = (),
    whole: Mapping[Route, Proof] | None = None,
) -> str:
    """The whole of ``lesson.html``; the same job gives the same text.

    Parameters
    ----------
    setup : the work as it is clamped
    plan : its steps by program
    text, proof : the program, and what came of it
    actions, execution, proof_by_hand : the route sheet's actions, carried out, and what came of them
    comparison : both ways in figures, where they are known
    slips : what a slip does to the part, shown beside the sound one
    whole : the proofs of the whole part, where it has more set-ups than this one
    """
    job = setup.job
    reading = read(text, setup.control)
    steps = _steps_of_lines(reading, text)
    hand = timeline.by_hand(setup, actions, execution)
    program = timeline.by_program(setup, reading, proof.tip, sorted(steps.items()))
    colours = by_step(steps_that_cut(proof_by_hand.tip) | steps_that_cut(proof.tip))
    packing = Packing()
    facts = {
        "units": job.units,
        "colours": scene.colours_in_page(colours),
        "steps": _step_facts(plan),
        "boxes": scene.boxes(setup),
        "words": scene.set_up_words(setup),
        "cutters": scene.cutters(job.tools) | scene.finders(timeline.finders(setup)),
        "scales": scene.scales(setup),
        "routes": {
            "hand": _route(proof_by_hand, hand, packing),
            "program": _route(proof, program, packing),
        },
        "slips": [
            None
            if slip.proof is None or slip.setup is None
            else finished_in_page(slip.proof.setups[slip.setup.number - 1], packing)
            | {
                "route": "hand" if slip.route is Route.BY_HAND else "program",
                "findings": _marks(slip.proof.setups[slip.setup.number - 1].findings),
                "boxes": scene.boxes(slip.setup),
            }
            for slip in slips
        ],
    }
    by_hand_plan = plan_of(setup, Route.BY_HAND)
    sound = whole or {Route.BY_HAND: Proof((proof_by_hand,)), Route.BY_PROGRAM: Proof((proof,))}
    return _filled(
        {
            "title": escape(job.title),
            "fields": "".join(_fields(setup, proof)),
            "hand-list": _hand_list(hand_groups(job, by_hand_plan, actions, execution), proof_by_hand, colours),
            "program-list": _program_list(plan, text, steps, program, proof, colours),
            "hand-findings": findings_html(proof_by_hand),
            "program-findings": findings_html(proof),
            "sizes": sizes_html((("by hand", proof_by_hand), ("by program", proof)), job.units) + holes_html(setup),
            "figures": "" if comparison is None else f"<h3>Both ways in figures</h3>{figures_html(comparison)}",
            "slips": _slips_section(slips, sound, job.units) if slips else "",
            "slips-link": '<a href="#slips">Slips</a>' if slips else "",
            "cautions": "".join(f"<li>{escape(one)}</li>" for one in CAUTIONS),
            "facts": json_in_page(facts),
            "packed": packing.text(),
        }
    )


def _slips_section(slips: Sequence[SlipResult], sound: Mapping[Route, Proof], units: Units) -> str:
    title = '<h2 id="slips-title">Slips</h2>'
    return f'<section id="slips" aria-labelledby="slips-title">{title}{slips_html(slips, sound, units)}</section>'


def _filled(places: Mapping[str, str]) -> str:
    """The page with each place filled once; what is filled in is not looked at again."""
    script = "(() => {\n'use strict';\n" + "\n".join(_source(name) for name in SCRIPTS) + "\n})();\n"
    style = _source("lesson.css")
    policy = (
        f"default-src 'none'; script-src {_hash(script)}; style-src {_hash(style)}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    all_places = {**places, "policy": policy, "style": style, "script": script}
    return _PLACE.sub(lambda match: all_places[match[1]], _source("lesson.html"))


def _source(name: str) -> str:
    return files("handwheel.show.page").joinpath("web", name).read_text(encoding="utf-8")


def _hash(source: str) -> str:
    """What a content security policy calls an inline source (W3C Content Security Policy Level 3)."""
    digest = hashlib.sha256(source.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def _fields(setup: Setup, proof: SetupProof) -> Iterator[str]:
    """The title block's fields."""
    job = setup.job
    raw = " × ".join(shop_number(length, job.units) for length in setup.raw.size)
    verdict = "proved" if proof.verdict == "pass" else "NOT PROVED: do not run"
    for label, value in (
        ("Part", job.part_number or job.name),
        ("Material", job.material.description),
        ("Raw", f"{raw} {job.units}"),
        ("Program", verdict),
    ):
        yield f"<div><dt>{label}</dt><dd>{escape(value)}</dd></div>"


def _route(proof: SetupProof, spans: Sequence[Span], packing: Packing) -> dict[str, Any]:
    return {
        "moves": scene.moves_in_page(proof.tip),
        "spans": scene.spans_in_page(spans),
        "metal": drops_in_page(display_grid(proof.part, setup=len(proof.part.cuts) - 1), packing),
        "findings": _marks(proof.findings),
    }


def _marks(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    """Letter and place of each finding that has a place."""
    return [
        {"letter": letter, "at": [number(value) for value in findings[index].at or ()]}
        for index, letter in letters(findings).items()
    ]


def _step_facts(plan: Plan) -> list[dict[str, Any]]:
    """Number and title of each step, and its chief idea in both forms."""
    facts = []
    for index, step in enumerate(plan.steps):
        idea = next(iter(ideas(step, first=index == 0)), None)
        words = {} if idea is None else {"idea": idea.name, "byHand": idea.by_hand, "byProgram": idea.by_program}
        facts.append({"number": step.number, "title": step.title} | words)
    return facts


def _steps_of_lines(reading: Reading, text: str) -> dict[int, int]:
    """The step of every block that was read, by its line."""
    last = next((event.line for event in reading.events if event.what == "end"), None)
    if reading.error is not None:
        last = reading.error.line
    blocks = [
        number
        for number, line in enumerate(text.splitlines(), start=1)
        if _COMMENT.sub("", line).strip(" \t%") and (last is None or number <= last)
    ]
    steps = steps_by_line(reading.comments, np.array(blocks, dtype=np.int32))
    return dict(zip(blocks, steps.tolist(), strict=True))


def _hand_list(groups: Sequence[Group], proof: SetupProof, colours: Mapping[int, str]) -> str:
    passes = {group.step: max((line.stroke for line in group.lines), default=0) for group in groups}
    return list_html("hand", groups, passes, proof.findings, colours)


def _program_list(
    plan: Plan,
    text: str,
    steps: Mapping[int, int],
    spans: Sequence[Span],
    proof: SetupProof,
    colours: Mapping[int, str],
) -> str:
    strokes = {span.line: span.stroke for span in spans}
    feeding = proof.tip.line[(proof.tip.kind == Kind.FEED) | (proof.tip.kind == Kind.ARC)]
    groups = program_groups(plan, text, steps, strokes, feeding.tolist())
    passes: dict[int, int] = {}
    for one in read_passes(proof.tip):
        passes[one.step] = max(passes.get(one.step, 0), one.number)
    return list_html("program", groups, passes, proof.findings, colours)
