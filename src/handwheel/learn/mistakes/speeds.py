"""Mistakes with spindle and feed: not started, the wrong way, no or absurd speed and feed, a rapid for a feed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from handwheel.learn.case import Case, Word
from handwheel.learn.trouble import Change, Trouble
from handwheel.plan import Step
from handwheel.units import program_number

FACTORS: Final = (0.1, 10.0, 0.01, 100.0)
"""By what a speed or a feed is off where a digit or a point slipped."""

FEEDS: Final = frozenset({"no-feed", "feed-far-too-high", "feed-too-high", "feed-too-low", "beyond-machine"})
SPEEDS: Final = frozenset({"speed-far-too-high", "speed-too-high", "beyond-machine", "spindle-stopped", *FEEDS})


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of spindle and feed that may be the cure."""
    yield from _direction(trouble)
    yield from _stopped(trouble)
    yield from _words(trouble, "S", SPEEDS)
    yield from _words(trouble, "F", FEEDS)
    yield from _no_feed(trouble)
    yield from _rapid(trouble)


def _planned(trouble: Trouble) -> Mapping[int, Step]:
    """The first cutting step of each tool, as the job has it."""
    steps: dict[int, Step] = {}
    for step in trouble.plan.steps:
        if step.cuts:
            steps.setdefault(step.tool.number, step)
    return steps


def _direction(trouble: Trouble) -> Iterator[Change]:
    case = trouble.case
    for index in case.coded:
        for word in case.blocks[index].words:
            if word.text == "M4" and "spindle-reversed" in trouble.codes:
                yield trouble.in_block(
                    index,
                    word,
                    "M3",
                    "The cutter turns backwards: M3 turns it clockwise, as seen from above.",
                    0.0,
                    habit="M4 for M3",
                )


def _stopped(trouble: Trouble) -> Iterator[Change]:
    """M3 left out, or S."""
    case, shown = trouble.case, trouble.shown_by("spindle-stopped")
    if shown is None:
        return
    for index in case.coded:
        block = case.blocks[index]
        if block.get("S") is not None and not block.names & {"M3", "M4"}:
            yield _started(trouble, index, f"{block.bare} M3", case.with_block(index, block.with_last("M3")))
        if block.names & {"M3", "M4"} and block.get("S") is None:
            yield from _with_speed(trouble, index)
        if index <= shown and block.names & {"M5", "M6", "M0", "M1"}:
            rpm = case.in_force[shown].speed
            step = _planned(trouble).get(case.in_force[shown].tool)
            text = f"S{step.speeds.rpm:.0f} M3" if step and not rpm else "M3"
            yield trouble.put_in(
                index + 1,
                text,
                f"The spindle is off from {case.named(index)} on: put {text} after it.",
                0.05 + 0.05 * ("M6" not in block.names) + 0.1 * trouble.far(index),
            )


def _started(trouble: Trouble, index: int, text: str, case: Case) -> Change:
    block = trouble.case.blocks[index]
    return Change(
        line=block.number,
        was=block.bare,
        would_be=text,
        because=f"{trouble.case.said(index)} says {block.bare}, but nothing starts the spindle: {text}.",
        doubt=0.0,
        case=case,
        habit="no M3",
    )


def _with_speed(trouble: Trouble, index: int) -> Iterator[Change]:
    case = trouble.case
    step = _planned(trouble).get(case.in_force[index].tool)
    if step is None:
        return
    block, text = case.blocks[index], f"S{step.speeds.rpm:.0f}"
    yield Change(
        line=block.number,
        was=block.bare,
        would_be=f"{text} {block.bare}",
        because=f"{case.said(index)} starts the spindle, but no S says how fast: {text}.",
        doubt=0.1,
        case=case.with_block(index, block.with_first(text)),
    )


def _words(trouble: Trouble, letter: str, codes: frozenset[str]) -> Iterator[Change]:
    """A speed or a feed of another size: as the same tool has it elsewhere, as the job plans it, ten times more or
    less."""
    if not trouble.codes & codes:
        return
    case = trouble.case
    for index in case.coded:
        word = case.blocks[index].get(letter)
        if word is None:
            continue
        for value, because, doubt, habit in _values(trouble, index, word):
            if abs(value - word.value) > 1e-9:
                spelled = f"{letter}{value:.4f}".rstrip("0").rstrip(".")
                yield trouble.in_block(index, word, spelled, because, doubt, f"{letter} {habit}" if habit else "")


def _values(trouble: Trouble, index: int, word: Word) -> Iterator[tuple[float, str, float, str]]:
    case, tool = trouble.case, trouble.tool(index)
    elsewhere = {
        other.value
        for at in case.coded
        if at != index and case.in_force[at].tool == case.in_force[index].tool
        for other in case.blocks[at].words
        if other.letter == word.letter
    }
    far = 0.3 * trouble.far(index)
    for value in sorted(elsewhere, key=lambda value: (abs(value - word.value), value))[:2]:
        yield value, f"The same tool runs at {word.letter}{value:g} elsewhere.", 0.1 + far, ""
    for factor in FACTORS:
        near = any(
            abs(word.value * factor - value) <= 0.02 * value
            for value in (*elsewhere, _plan_value(trouble, index, word))
        )
        yield (
            word.value * factor,
            "A digit or the decimal point slipped.",
            (0.05 if near else 0.5) + far,
            f"{word.value:g} times {factor}",
        )
    step = _planned(trouble).get(case.in_force[index].tool)
    speed = case.in_force[index].speed or (step.speeds.rpm if step else 0.0)
    if word.letter == "F" and tool is not None and speed:
        minute = word.value * speed * tool.flutes
        yield (
            float(f"{minute:.4g}"),
            f"F is the feed a minute, and not the feed a tooth: {word.value:g} × {tool.flutes} teeth × {speed:g} "
            "rev/min.",
            0.08 + far,
            "a tooth",
        )
    if step is not None:
        planned = _plan_value(trouble, index, word)
        yield planned, f"That is what the job plans for tool {step.tool.number}.", 0.3 + far, "as planned"


def _plan_value(trouble: Trouble, index: int, word: Word) -> float:
    step = _planned(trouble).get(trouble.case.in_force[index].tool)
    if step is None:
        return 0.0
    if word.letter == "S":
        return round(step.speeds.rpm)
    return float(program_number(step.speeds.feed_mm_min, trouble.case.setup.job.units))


def _no_feed(trouble: Trouble) -> Iterator[Change]:
    case, shown = trouble.case, trouble.shown_by("no-feed", "bad-block")
    if shown is None or case.in_force[shown].feed or case.blocks[shown].get("F") is not None:
        return
    step = _planned(trouble).get(case.in_force[shown].tool)
    if step is None:
        return
    text = f"F{float(program_number(step.speeds.feed_mm_min, case.setup.job.units)):g}"
    block = case.blocks[shown]
    yield Change(
        line=block.number,
        was=block.bare,
        would_be=f"{block.bare} {text}",
        because=f"{case.said(shown)} says {block.bare}, and no F says how fast to feed: {text}.",
        doubt=0.0,
        case=case.with_block(shown, block.with_last(text)),
    )


def _rapid(trouble: Trouble) -> Iterator[Change]:
    """G0 for G1; and G1 left out, so that the G0 before it goes on."""
    case = trouble.case
    for index in case.coded:
        block = case.blocks[index]
        if not (block.get("X") or block.get("Y") or block.get("Z")) or block.names & {"G53", "G28", "G30"}:
            continue
        word = next((word for word in block.words if word.text == "G0"), None)
        far = trouble.far(index)
        if word is not None:
            shapes = trouble.around(index)
            fed = [block.shape.replace("G0", "G1") if shape == block.shape else shape for shape in shapes]
            doubt = 0.1 if trouble.is_in_line(fed) and trouble.is_out_of_line(shapes) else 0.4
            yield trouble.in_block(
                index,
                word,
                "G1",
                "There the cutter feeds through the work, and does not go at rapid: G1.",
                doubt + 0.8 * far,
            )
        elif case.in_force[index].motion == "G0" and not block.names & {"G1", "G2", "G3"}:
            yield Change(
                line=block.number,
                was=block.bare,
                would_be=f"G1 {block.bare}",
                because=f"{case.said(index)} says {block.bare}, with G0 still in force: G1 {block.bare}.",
                doubt=0.3 + 0.8 * far,
                case=case.with_block(index, block.with_first("G1")),
            )
