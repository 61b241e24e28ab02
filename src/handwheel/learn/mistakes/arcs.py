"""Mistakes in an arc: I and J exchanged, from the wrong point or with the wrong sign, R's sign, the other way round,
G1 left out after it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from handwheel.learn.case import Block
from handwheel.learn.trouble import Change, Trouble

_WAYS: Final = {"G2": "G3", "G3": "G2"}
_SEEN: Final = {"G2": "clockwise", "G3": "counterclockwise"}


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of an arc that may be the cure."""
    case = trouble.case
    for index in case.coded:
        block, motion = case.blocks[index], case.in_force[index].motion
        named = next((word for word in block.words if word.text in _WAYS), None)
        if named is not None:
            other = _WAYS[named.text]
            yield trouble.in_block(
                index,
                named,
                other,
                f"Seen from above the cutter goes round {_SEEN[other]}: {other}.",
                0.3 + 0.5 * trouble.far(index),
            )
        is_arc = named is not None or (motion in _WAYS and not block.names & {"G0", "G1"})
        if is_arc and (block.get("I") or block.get("J")):
            yield from _centre(trouble, index)
        elif is_arc and (word := block.get("R")):
            other = word.spelled[1:] if word.spelled.startswith("-") else f"-{word.spelled.lstrip('+')}"
            less = "less" if word.spelled.startswith("-") else "more"
            yield trouble.in_block(
                index,
                word,
                f"R{other}",
                f"The arc is {less} than half a circle: R{other}.",
                0.3 + 0.5 * trouble.far(index),
            )
        elif motion in _WAYS and not block.names and (block.get("X") or block.get("Y") or block.get("Z")):
            yield Change(
                line=block.number,
                was=block.bare,
                would_be=f"G1 {block.bare}",
                because=f"{case.said(index)} says {block.bare}, with {motion} still in force from the arc before it: "
                f"G1 {block.bare}.",
                doubt=0.1 + 0.3 * trouble.far(index),
                case=case.with_block(index, block.with_first("G1")),
            )


def _centre(trouble: Trouble, index: int) -> Iterator[Change]:
    case = trouble.case
    block, start = case.blocks[index], case.in_force[index].at
    i, j = (word.value if (word := block.get(letter)) else 0.0 for letter in "IJ")
    doubt = 0.05 + 0.5 * trouble.far(index)
    tried: list[tuple[Mapping[str, float], str, float]] = [
        ({"I": j, "J": i}, "I and J are exchanged", 0.0),
        ({"I": -i, "J": j}, "The sign of I is wrong", 0.01),
        ({"I": i, "J": -j}, "The sign of J is wrong", 0.01),
        ({"I": -i, "J": -j}, "I and J go from the arc's start to its center, and not back", 0.02),
        ({"I": -j, "J": -i}, "I and J are exchanged, and their signs are wrong", 0.2),
    ]
    if {"X", "Y"} <= set(start):
        end = {letter: word.value if (word := block.get(letter)) else start[letter] for letter in "XY"}
        tried += [
            (
                {"I": i - start["X"], "J": j - start["Y"]},
                "I and J count from the arc's start, not from the work's zero",
                0.03,
            ),
            (
                {"I": end["X"] + i - start["X"], "J": end["Y"] + j - start["Y"]},
                "I and J count from the arc's start, not from its end",
                0.04,
            ),
        ]
    for centre, because, more in tried:
        changed = _with_centre(trouble, block, centre)
        if changed.bare != block.bare:
            yield Change(
                line=block.number,
                was=block.bare,
                would_be=changed.bare,
                because=f"{case.said(index)} says {block.bare}. {because}: {changed.bare}.",
                doubt=doubt + more + 0.3 * (not _is_tangent(trouble, index, centre)),
                case=case.with_block(index, changed),
            )


def _is_tangent(trouble: Trouble, index: int, centre: Mapping[str, float]) -> bool:
    """Whether the arc goes on from the move before it, or into the one after it, without a corner."""
    case = trouble.case
    place = case.coded.index(index)
    names = case.blocks[index].names
    turn = 1j if "G3" in names or (case.in_force[index].motion == "G3" and "G2" not in names) else -1j
    start, end = _place(trouble, index), _place(trouble, index + 1)
    before = _place(trouble, case.coded[place - 1]) if place else start
    after = _place(trouble, case.coded[place + 1] + 1) if place + 1 < len(case.coded) else end
    middle = start + complex(centre["I"], centre["J"])
    return _along(turn * (start - middle), start - before) or _along(turn * (end - middle), after - end)


def _along(one: complex, other: complex) -> bool:
    """Whether two directions are the same, within about a degree."""
    length = abs(one) * abs(other)
    return length > 0.0 and (one * other.conjugate()).real > 0.9998 * length


def _place(trouble: Trouble, index: int) -> complex:
    """Where the axes are as a block begins."""
    in_force = trouble.case.in_force
    at = in_force[min(index, len(in_force) - 1)].at
    return complex(at.get("X", 0.0), at.get("Y", 0.0))


def _with_centre(trouble: Trouble, block: Block, centre: Mapping[str, float]) -> Block:
    """The block with another centre; a word of zero is put in only where it was there before."""
    for letter, value in centre.items():
        text = f"{letter}{trouble.number(value * trouble.scale)}"
        word = block.get(letter)
        if word is not None:
            block = block.with_word(word, text)
        elif value:
            block = block.with_last(text)
    return block
