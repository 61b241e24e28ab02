"""The two lists of the page: steps by hand with their actions, and the program with its blocks, as HTML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Literal

from handwheel.check import Finding
from handwheel.hand import Action, Execution
from handwheel.hand.actions import Feed
from handwheel.hand.scales import Scales
from handwheel.hand.words import sentence
from handwheel.job import Job
from handwheel.plan import Plan, Step
from handwheel.proof.in_common import Idea, ideas, knee_set_before
from handwheel.show.page.verdicts import finding_html, letters
from handwheel.units import to_units

RouteName = Literal["hand", "program"]
Lettered = tuple[Finding, str | None]
"""A finding with the letter that stands at its place in the views."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line that can be gone to: an action, or a block. ``stroke`` is its pass within the step, 0 for none."""

    number: int
    text: str
    stroke: int = 0
    kind: Literal["", "cuts", "comment"] = ""


@dataclass(frozen=True)
class Group:
    """A step with its lines; ``told`` are sentences about it, each with its label; ``counted`` is what it has
    several of. Step 0 is what belongs to none."""

    step: int
    title: str
    lines: tuple[Line, ...]
    told: tuple[tuple[str, str], ...] = field(default=())
    counted: str = "pass"


def hand_groups(job: Job, plan: Plan, actions: Sequence[Action], execution: Execution) -> tuple[Group, ...]:
    """The route sheet's steps."""
    scales = Scales(job)
    lines: dict[int, list[Line]] = {}
    for action, done in zip(actions, execution.done, strict=True):
        line = Line(done.number, sentence(done, scales), action.stroke, "cuts" if isinstance(action, Feed) else "")
        lines.setdefault(action.step, []).append(line)
    knee = knee_set_before(plan.steps, actions)
    return tuple(
        Group(
            step.number,
            step.title,
            tuple(lines.get(step.number, [])),
            tuple(_told(job, step, ideas(step, first=index == 0, knee_set_in=knee.get(step.number)))),
            "hole" if step.holes else "pass",
        )
        for index, step in enumerate(plan.steps)
    )


def _told(job: Job, step: Step, shared: Iterable[Idea]) -> Iterator[tuple[str, str]]:
    for idea in shared:
        yield _capital(idea.name), idea.by_hand
    yield "Why", step.why
    yield "Hazard", step.hazard
    if step.cuts:
        feed = to_units(step.speeds.feed_mm_min, job.units)
        rate = f"{feed:.1f} in/min" if job.units == "in" else f"{feed:.0f} mm/min"
        cut = f"{step.cutting}, " if step.cutting else ""
        yield "Cut", f"{cut}{step.speeds.rpm:g} rev/min, feed {rate}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def program_groups(
    plan: Plan, text: str, steps: Mapping[int, int], strokes: Mapping[int, int], cutting: Iterable[int]
) -> tuple[Group, ...]:
    """The program's lines by step.

    Parameters
    ----------
    steps : the step of each line of the text that is a block
    strokes : the pass within its step of each of those
    cutting : the lines that move at feed
    """
    titles = {step.number: step.title for step in plan.steps}
    told = {
        step.number: tuple((_capital(idea.name), idea.by_program) for idea in ideas(step, first=index == 0))
        for index, step in enumerate(plan.steps)
    }
    cuts = set(cutting)
    groups: list[tuple[int, list[Line]]] = []
    waiting: list[Line] = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        if number not in steps:
            waiting.append(Line(number, line, kind="comment"))
            continue
        if not groups or groups[-1][0] != steps[number]:
            groups.append((steps[number], []))
        groups[-1][1].extend(waiting)
        waiting = []
        groups[-1][1].append(Line(number, line, strokes.get(number, 0), "cuts" if number in cuts else ""))
    if waiting and not groups:
        groups.append((0, []))
    if waiting:
        groups[-1][1].extend(waiting)
    return tuple(
        Group(step, titles.get(step, "Before the first step"), tuple(lines), told.get(step, ()))
        for step, lines in groups
    )


def list_html(
    route: RouteName,
    groups: Sequence[Group],
    passes: Mapping[int, int],
    findings: Sequence[Finding],
    colours: Mapping[int, str],
) -> str:
    """The groups as headings and buttons.

    Parameters
    ----------
    passes : how many passes each step has, so that they are counted where there are several
    findings : those of this route; each stands under its line, or under its step's heading
    colours : the steps that have one, in the order of the palette
    """
    if not groups:
        return '<p class="told">There is nothing here.</p>'
    at = letters(findings)
    lettered = [(one, at.get(index)) for index, one in enumerate(findings)]
    return "\n".join(_group_html(route, group, passes, lettered, colours) for group in groups)


def _group_html(
    route: RouteName,
    group: Group,
    passes: Mapping[int, int],
    findings: Sequence[Lettered],
    colours: Mapping[int, str],
) -> str:
    own = {line.number for line in group.lines}
    here = [one for one in findings if one[0].line in own]
    first = group.lines[0].number if group.lines else 0
    parts = [f'<section class="step" data-step="{group.step}">', "<h3>"]
    parts.append(
        f'<button type="button" class="go" data-route="{route}" data-line="{first}" tabindex="-1">'
        f"{chip(group.step, colours)}<span>{escape(group.title)}</span></button></h3>"
    )
    if group.told:
        parts.append('<dl class="told">')
        parts.extend(f"<div><dt>{escape(label)}</dt> <dd>{escape(words)}</dd></div>" for label, words in group.told)
        parts.append("</dl>")
    parts.extend(finding_html(*one) for one in findings if one[0].line is None and one[0].step == group.step)
    parts.append("<ol>")
    stroke = 0
    for line in group.lines:
        if line.stroke not in (0, stroke):
            stroke = line.stroke
            if passes.get(group.step, 0) > 1:
                parts.append(f'<li class="pass">{group.counted} {stroke} of {passes[group.step]}</li>')
        parts.append(_line_html(route, line, group.step, [one for one in here if one[0].line == line.number]))
    parts.append("</ol></section>")
    return "".join(parts)


def _line_html(route: RouteName, line: Line, step: int, findings: Sequence[Lettered]) -> str:
    kind = f"go line {line.kind}".strip()
    found = "".join(finding_html(one, letter) for one, letter in findings)
    return (
        f'<li><button type="button" class="{kind}" data-route="{route}" data-line="{line.number}" data-step="{step}" '
        f'data-stroke="{line.stroke}" tabindex="-1"><b>{line.number}</b>'
        f"<span>{escape(line.text)}</span></button>{found}</li>"
    )


def chip(step: int, colours: Mapping[int, str]) -> str:
    """A step's number in its colour."""
    if step == 0:
        return ""
    kind = f"colour-{list(colours).index(step) % 6 + 1}" if step in colours else "colour-none"
    return f'<b class="chip {kind}"><span class="unseen">Step </span>{step}</b>'
