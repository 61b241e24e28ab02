"""What the proof says, as HTML: sizes, findings, and every slip beside the correct part."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from html import escape

from handwheel.check import Finding
from handwheel.plan import Route
from handwheel.proof import BothWays, Proof, SetupProof, SlipResult
from handwheel.proof.comparison import StepPair
from handwheel.units import Units, shop_number


def sizes_html(proofs: Sequence[tuple[str, Proof | SetupProof]], units: Units) -> str:
    """A table: each size of the drawing, its limits, and what each proof's part measures."""
    sizes = proofs[0][1].dimensions
    if not sizes:
        return "<p>The job names no size.</p>"
    unit = "inches" if units == "in" else "millimeters"
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name, _ in proofs)
    rows = []
    for index, size in enumerate(sizes):
        cells = []
        for _, proof in proofs:
            cells.append(f"<td>{_measured(proof, index, units)}</td>")
        rows.append(
            f'<tr><th scope="row">{escape(size.name)}</th><td>{shop_number(size.lower, units)} … '
            f"{shop_number(size.upper, units)}</td>{''.join(cells)}</tr>"
        )
    return (
        f'<table><caption>Sizes in {unit}</caption><thead><tr><th scope="col">size</th>'
        f'<th scope="col">limits</th>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table>'
    )


def _measured(proof: Proof | SetupProof, index: int, units: Units) -> str:
    """A size as it was found; none is taken of a part that was struck."""
    result = proof.dimensions[index]
    if proof.struck is not None:
        return "not measured"
    read = "nothing met" if result.measured is None else shop_number(result.measured, units)
    return read if result.ok else f"{read} <b>out</b>"


def letters(findings: Sequence[Finding]) -> dict[int, str]:
    """A letter for each finding that has a place, by its position in the list: it stands at that place in the views.

    After Z come AA, AB …
    """
    placed = [index for index, one in enumerate(findings) if one.at is not None]
    return {index: _letter(count) for count, index in enumerate(placed)}


def _letter(count: int) -> str:
    """
    >>> _letter(0), _letter(25), _letter(26)
    ('A', 'Z', 'AA')
    """
    more, last = divmod(count, 26)
    return (_letter(more - 1) if more else "") + chr(ord("A") + last)


def findings_html(proof: Proof | SetupProof) -> str:
    """All findings of a proof, the gravest first."""
    if not proof.findings:
        return "<p>Nothing found.</p>"
    at = letters(proof.findings)
    rows = "".join(f"<li>{finding_html(one, at.get(k), place=True)}</li>" for k, one in enumerate(proof.findings))
    return f'<ul class="findings">{rows}</ul>'


def finding_html(finding: Finding, letter: str | None, *, place: bool = False) -> str:
    """One finding; ``place`` adds step, line and how often."""
    mark = f'<b class="letter">{letter}</b> ' if letter else ""
    words = f"{mark}<b>{finding.level}</b> {escape(finding.message)}"
    if place:
        where = ", ".join(_where(finding))
        words += f" <small>({where})</small>" if where else ""
    return f'<p class="finding {finding.level}">{words}</p>'


def _where(finding: Finding) -> Iterator[str]:
    if finding.step:
        yield f"step {finding.step}"
    if finding.line:
        yield f"line {finding.line}"
    if finding.count > 1:
        yield f"{finding.count} times"


def slips_html(slips: Sequence[SlipResult], sound: Mapping[Route, Proof], units: Units) -> str:
    """A choice of slips; of each what was done, what came of it beside the sound part of its route, and a place for its
    picture."""
    buttons = "".join(
        f'<button type="button" class="slip" data-slip="{index}" aria-pressed="false" aria-controls="slip-{index}">'
        f"{escape(_words(slip.name))}</button>"
        for index, slip in enumerate(slips)
    )
    cards = "".join(_slip_card(index, slip, sound[slip.route], units) for index, slip in enumerate(slips))
    return f'<div class="slip-choice" role="group" aria-label="Slips">{buttons}</div>{cards}'


def _words(name: str) -> str:
    """A slip's name as it is said: an axis, D and H are capitals.

    >>> _words("wrong-side-touching-x")
    'wrong side touching X'
    """
    return " ".join(word.upper() if len(word) == 1 else word for word in name.split("-"))


def _slip_card(index: int, slip: SlipResult, sound: Proof, units: Units) -> str:
    told = [f"<p>{escape(slip.what)}</p>"]
    if slip.expected is not None:
        told.append(f"<p><b>Effect:</b> {escape(slip.expected.reckoning)}</p>")
    if slip.notice:
        told.append(f"<p><b>How to catch it:</b> {escape(slip.notice)}</p>")
    if slip.cannot is not None:
        told.append(f"<p><b>Not in this job:</b> {escape(slip.cannot)}</p>")
    if slip.proof is not None:
        told.extend(_struck(slip.proof))
        told.append(_pair(slip.name, _in_short(slip.proof, slip.outcome(sound))))
        told.append(sizes_html((("correct part", sound), ("after the slip", slip.proof)), units))
        told.append(findings_html(slip.proof))
    return (
        f'<article class="slip-card" id="slip-{index}" data-slip="{index}"><h3>{escape(_words(slip.name))} '
        f"<small>({escape(slip.route.value)})</small></h3>{''.join(told)}</article>"
    )


def _struck(proof: Proof) -> Iterator[str]:
    struck = proof.struck
    if struck is not None:
        where = ", ".join(_where(replace(struck, count=1)))
        yield (
            f"<p><b>First collision{f' ({where})' if where else ''}:</b> {escape(struck.message)}. There the job ends, "
            "and the part is not measured; the picture shows what the moves would have left, had they gone on.</p>"
        )


def _in_short(proof: Proof, outcome: str) -> str:
    """What came of a slip without the findings' codes: these stand below in their own words."""
    if proof.struck is not None:
        return "had the moves gone on"
    if proof.verdict == "fail":
        return "the part fails"
    return "the part passes" if outcome == "pass" else "sizes hold, but it is unsafe"


def _pair(name: str, outcome: str) -> str:
    return (
        '<div class="pair"><figure><canvas class="sound" width="640" height="400" role="img" '
        'aria-label="The correct part"></canvas><figcaption>correct part</figcaption></figure>'
        '<figure><canvas class="slipped" width="640" height="400" role="img" '
        f'aria-label="The part after the slip: {escape(_words(name))}"></canvas>'
        f"<figcaption>after the slip: {escape(outcome)}</figcaption></figure></div>"
    )


def figures_html(comparison: BothWays) -> str:
    """Both ways in figures: step by step what each asks, and how long it takes."""
    head = (
        "step",
        "touches",
        "turns",
        "readings",
        "decisions",
        "min by hand",
        "blocks",
        "min by program, with stops",
    )
    pairs = comparison.steps
    rows = [_figures_row(f"{pair.number} {pair.title}", [pair]) for pair in pairs]
    rows.append(_figures_row("in all", pairs))
    names = "".join(f'<th scope="col">{name}</th>' for name in head)
    caption = "What each step asks of the operator, and of the program"
    stops = (
        "With stops: cleaning, deburring and measuring where the program waits for them are counted as by hand. The "
        "clock beside the dials is the machine's own, without stops."
    )
    return (
        f'<div class="wide" tabindex="0" role="region" aria-label="{caption}"><table><caption>{caption}</caption>'
        f"<thead><tr>{names}</tr></thead><tbody>{''.join(rows)}</tbody></table></div><p>{stops}</p>"
    )


def _figures_row(title: str, pairs: Sequence[StepPair]) -> str:
    """One step's figures, or several steps' together."""
    counts = [pair.counts for pair in pairs]
    cells = (
        sum(one.touches for one in counts),
        f"{sum(one.turns for one in counts):.1f}",
        sum(one.readings for one in counts),
        sum(one.decisions for one in counts),
        f"{sum(pair.seconds_by_hand for pair in pairs) / 60:.1f}",
        sum(one.blocks for one in counts),
        f"{sum(pair.seconds_by_program for pair in pairs) / 60:.1f}",
    )
    return f'<tr><th scope="row">{escape(title)}</th>{"".join(f"<td>{cell}</td>" for cell in cells)}</tr>'
