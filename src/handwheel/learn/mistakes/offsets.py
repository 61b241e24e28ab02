"""Mistakes with offsets in the program: H, D, the side of the path, G40, the lead-in."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from handwheel.learn.trouble import Change, Trouble

_SIDES: Final = {"G41": "G42", "G42": "G41"}
_WORK_IS: Final = {"G41": "right", "G42": "left"}
LEAD_IN: Final = 1.5
"""A lead-in that is made longer gets so many radii: it must be longer than one."""


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of an offset, or of what goes with it, that may be the cure."""
    yield from _slots(trouble, "H", "G43", 0.0)
    yield from _no_length(trouble)
    yield from _sides(trouble)
    yield from _slots(trouble, "D", "G41", 0.1)
    yield from _still_on(trouble)
    yield from _never_on(trouble)
    yield from _lead_in(trouble)


def _slots(trouble: Trouble, letter: str, _: str, doubt: float) -> Iterator[Change]:
    """H or D of another tool than the one in the spindle: each, and all of them at once."""
    case, wrong = trouble.case, {}
    for index in case.coded:
        block, tool = case.blocks[index], case.in_force[index].tool
        selected = case.in_force[index].selected if "M6" in block.names else tool
        word = block.get(letter)
        if word is not None and selected in case.setup.tools and word.value != selected:
            wrong[index] = (word, selected)
    called = {"H": "length offset", "D": "diameter offset"}[letter]
    for index, (word, tool) in wrong.items():
        yield trouble.in_block(
            index,
            word,
            f"{letter}{tool}",
            f"Tool {tool} is in the spindle, and its {called} is {letter}{tool}.",
            doubt + 0.3 * trouble.far(index) + (0.1 if len(wrong) > 1 else 0.0),
        )
    if len(wrong) > 1:
        first, (word, tool) = next(iter(wrong.items()))
        yield Change(
            line=case.blocks[first].number,
            was=word.text,
            would_be=f"{letter}{tool}",
            because=f"{case.said(first)} says {word.text}, and so do others. Tool {tool} is in the spindle, and its "
            f"{called} is {letter}{tool}: in every one of them the tool's own.",
            doubt=doubt,
            case=case.with_blocks(
                {at: case.blocks[at].with_word(word, f"{letter}{tool}") for at, (word, tool) in wrong.items()}
            ),
        )


def _no_length(trouble: Trouble) -> Iterator[Change]:
    """G43 left out after a tool change, or G49 in force."""
    case = trouble.case
    for index in case.coded:
        block = case.blocks[index]
        if "M6" in block.names:
            tool = case.in_force[index + 1].tool if index + 1 < len(case.blocks) else 0
            later = [at for at in case.coded if at > index][:3]
            if tool not in case.setup.tools or any("G43" in case.blocks[at].names for at in (index, *later)):
                continue
            yield trouble.put_in(
                index + 1,
                f"G43 H{tool}",
                f"After {case.named(index)} the control does not know how long tool {tool} is: put G43 H{tool} there.",
                0.0,
            )


def _sides(trouble: Trouble) -> Iterator[Change]:
    """G41 and G42 exchanged: in one block, or in all."""
    case = trouble.case
    found = [(index, word) for index in case.coded for word in case.blocks[index].words if word.text in _SIDES]
    counts = {side: sum(word.text == side for _, word in found) for side in _SIDES}
    for index, word in found:
        other = _SIDES[word.text]
        odd = counts[word.text] < counts[other]
        yield trouble.in_block(
            index,
            word,
            other,
            f"Looking along the travel the work is on the {_WORK_IS[other]} of the cutter: {other}.",
            0.2 + 0.6 * trouble.far(index) - (0.1 if odd else 0.0),
        )
    if len(found) > 1:
        first, word = found[0]
        other = _SIDES[word.text]
        yield Change(
            line=case.blocks[first].number,
            was=word.text,
            would_be=other,
            because=f"{case.said(first)} says {word.text}. Looking along the travel the work is on the "
            f"{_WORK_IS[other]} of the cutter: {other}, and the other side in every block that has G41 or G42.",
            doubt=0.7,
            case=case.with_blocks(
                {index: case.blocks[index].with_word(word, _SIDES[word.text]) for index, word in found}
            ),
        )


def _still_on(trouble: Trouble) -> Iterator[Change]:
    """G40 forgotten: put in before the cutter leaves the work."""
    case = trouble.case
    end = len(case.blocks) if trouble.error is None else trouble.error
    if trouble.error is not None and case.in_force[end].side == "G40":
        return
    left = False
    refused = trouble.error is None or not case.blocks[trouble.error].names & {*_SIDES, "G53", "G28", "G30", "M6"}
    for index in case.coded:
        block = case.blocks[index]
        if case.in_force[index].side == "G40" or "G40" in block.names:
            left = False
            continue
        on_again = bool(block.names & set(_SIDES))
        leaves = "G0" in block.names and block.get("X") is None and block.get("Y") is None and not on_again
        first = leaves and not left
        if first or (leaves and index <= end) or index == end:
            yield trouble.put_in(
                index,
                "G40",
                f"Cutter compensation is still on in {case.named(index)}: put G40 before it.",
                0.05 + 0.3 * trouble.far(index) + 0.5 * (not first) + 0.4 * refused,
                habit="no G40" if first else "",
            )
        left = (left or leaves) and not on_again


def _never_on(trouble: Trouble) -> Iterator[Change]:
    """G41 left out where the cutter goes down beside the work and feeds along it."""
    case = trouble.case
    if not trouble.codes & {"gouge", "dimension-out", "left-uncut"}:
        return
    used = {word.text for index in case.coded for word in case.blocks[index].words if word.text in _SIDES}
    for before, index in zip(case.coded, case.coded[1:], strict=False):
        block, tool = case.blocks[index], trouble.tool(index)
        began = case.blocks[before]
        feeds = "G1" in block.names or (case.in_force[index].motion == "G1" and not block.names)
        level = block.get("Z") is None and (block.get("X") or block.get("Y"))
        down = began.get("Z") is not None and began.get("X") is None and began.get("Y") is None
        if not (feeds and level and down and tool) or case.in_force[index].side != "G40":
            continue
        if block.names & {"G40", "G41", "G42"}:
            continue
        for side in sorted(used or _SIDES):
            text = f"{side} D{tool.number}"
            yield Change(
                line=block.number,
                was=block.bare,
                would_be=f"{text} {block.bare}",
                because=f"{case.said(index)} says {block.bare}: the control is not told on which side of the path the "
                f"cutter is. Looking along the travel the work is on the {_WORK_IS[side]} of the cutter: {text}.",
                doubt=0.9 + 0.6 * trouble.far(index),
                case=case.with_block(index, block.with_first(text)),
            )


def _lead_in(trouble: Trouble) -> Iterator[Change]:
    """A lead-in that is no longer than the radius: the block before it moves further away."""
    case, error = trouble.case, trouble.error
    if error is None:
        return
    on = [index for index in case.coded if index <= error and case.blocks[index].names & set(_SIDES)]
    if not on:
        return
    index = on[-1]
    tool, start = trouble.tool(index), case.in_force[index].at
    if tool is None or not {"X", "Y"} <= set(start):
        return
    block = case.blocks[index]
    end = {letter: word.value if (word := block.get(letter)) else start[letter] for letter in "XY"}
    run = math.hypot(end["X"] - start["X"], end["Y"] - start["Y"])
    radius = trouble.in_units(tool.diameter / 2)
    placed = [at for at in case.coded if at < index and (case.blocks[at].get("X") or case.blocks[at].get("Y"))]
    if not 0.0 < run <= radius or not placed:
        return
    at = placed[-1]
    longer = {letter: end[letter] + (start[letter] - end[letter]) * LEAD_IN * radius / run for letter in "XY"}
    changed = case.blocks[at]
    for letter in "XY":
        word = changed.get(letter)
        if word is not None:
            changed = changed.with_word(word, f"{letter}{trouble.number(longer[letter] * trouble.scale)}")
    said = f"{trouble.size(run * trouble.scale)}, and half the diameter of tool {tool.number} is "
    yield Change(
        line=case.blocks[at].number,
        was=case.blocks[at].bare,
        would_be=changed.bare,
        because=f"{case.said(at)} says {case.blocks[at].bare}. From there the lead-in is only {said}"
        f"{trouble.size(tool.diameter / 2)}: start further away, {changed.bare}.",
        doubt=0.1,
        case=case.with_block(at, changed),
    )
