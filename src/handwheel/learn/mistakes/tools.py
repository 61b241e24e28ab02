"""Mistakes at the control and in the spindle: what the offset table holds, and another tool than the one meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from handwheel.job.offsets import forms
from handwheel.learn.case import Block, Case, Word
from handwheel.learn.trouble import Change, Trouble
from handwheel.motion import Offset, Tool
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of the table, and of which tool is called, that may be the cure."""
    yield from _table(trouble)
    yield from _other_tool(trouble)


def _table(trouble: Trouble) -> Iterator[Change]:
    """What the control's table holds: a length or a diameter that is not the tool's, or a full diameter for a program
    that follows the cutter's center."""
    case = trouble.case
    setup = case.setup
    for number, tool in setup.tools.items():
        held = setup.control.offsets.get(number, Offset())
        length = tool.length + setup.control.touched_at
        if abs(held.length - length) > CONTACT:
            yield _held(trouble, f"H{number}", held.length, length, "it is what tool {} measures", tool, 0.3)
        usual = 0.0 if _follows_centre(setup, number) else tool.diameter
        why = {
            tool.diameter: "it is the diameter of tool {}, new and measured",
            0.0: "the path is that of the center of tool {}, so D holds the difference only",
        }
        for value, doubt in ((usual, 0.3), (tool.diameter - usual, 1.0)):
            if abs(held.diameter - value) > CONTACT:
                yield _held(trouble, f"D{number}", held.diameter, value, why[value], tool, doubt)


def _follows_centre(setup: Setup, number: int) -> bool:
    return next(iter(forms(setup.operations, number)), setup.job.compensation) == "tool-path"


def _held(trouble: Trouble, name: str, held: float, value: float, why: str, tool: Tool, doubt: float) -> Change:
    setup = trouble.case.setup
    old = setup.control.offsets.get(tool.number, Offset())
    new = replace(old, **{"length" if name[0] == "H" else "diameter": value})
    offsets: Mapping[int, Offset] = MappingProxyType({**setup.control.offsets, tool.number: new})
    return Change(
        line=None,
        was=f"{name} = {trouble.number(held)}",
        would_be=f"{name} = {trouble.number(value)}",
        because=f"The offset table holds {name} = {trouble.number(held)}. Key in {trouble.number(value)}: "
        f"{why.format(tool.number)}.",
        doubt=doubt,
        case=replace(trouble.case, setup=replace(setup, control=replace(setup.control, offsets=offsets))),
    )


def _other_tool(trouble: Trouble) -> Iterator[Change]:
    """Another tool in the spindle than the one that is meant: one call, or two tools' numbers exchanged throughout."""
    case = trouble.case
    tools = list(case.setup.tools)
    for index in case.coded:
        word = case.blocks[index].get("T")
        if word is None:
            continue
        called = _called_after(case, index)
        for number in tools:
            if number != word.value:
                doubt = 0.4 + 0.3 * (word.value in tools and "no-tool" not in trouble.codes)
                yield trouble.in_block(
                    index,
                    word,
                    f"T{number}",
                    f"What follows is the work of tool {number}.",
                    # where H and D both name another tool, it is the call that is wrong
                    -0.1 if len(called) > 1 and set(called) == {number} else doubt,
                )
    for first, one in enumerate(tools):
        for other in tools[first + 1 :]:
            yield from _exchanged(case, one, other)


def _called_after(case: Case, index: int) -> list[float]:
    """The numbers of the H and D words from a tool's call to the next."""
    found: list[float] = []
    for at in case.coded:
        if at > index and case.blocks[at].get("T") is not None:
            break
        if at >= index:
            found += [word.value for word in case.blocks[at].words if word.letter in "HD"]
    return found


def _exchanged(case: Case, one: int, other: int) -> Iterator[Change]:
    swap = {float(one): other, float(other): one}
    changed: dict[int, Block] = {}
    for index in case.coded:
        block = case.blocks[index]
        for letter in "THD":
            word: Word | None = block.get(letter)
            if word is not None and word.value in swap:
                block = block.with_word(word, f"{letter}{swap[word.value]}")
        if block is not case.blocks[index]:
            changed[index] = block
    if changed:
        first = min(changed)
        yield Change(
            line=case.blocks[first].number,
            was=case.blocks[first].bare,
            would_be=changed[first].bare,
            because=f"The program takes tool {one} for tool {other}: exchange the two in the holders, or in every T, H "
            f"and D word, from {case.named(first)} on.",
            doubt=1.0,
            case=case.with_blocks(changed),
        )
