"""Mistakes with whole blocks: one left out, two exchanged, G80 left out after holes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from handwheel.learn.trouble import Change, Trouble

MOST: Final = 3
"""So many different blocks are tried in one gap."""

_CYCLES: Final = ("G73", "G81", "G82", "G83", "G84", "G85", "G86", "G89")


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of whole blocks that may be the cure."""
    yield from _left_out(trouble)
    yield from _exchanged(trouble)
    yield from _cycle_on(trouble)


def _left_out(trouble: Trouble) -> Iterator[Change]:
    """A block that stands between two of these shapes elsewhere, on the same path a moment before or later."""
    case, coded = trouble.case, trouble.case.coded
    blocks = [case.blocks[index] for index in coded]
    shapes = [block.shape for block in blocks]
    between: dict[tuple[str, str], list[int]] = {}
    for place in range(1, len(coded) - 1):
        between.setdefault((shapes[place - 1], shapes[place + 1]), []).append(place)
    for gap, pair in enumerate(pairwise(shapes)):
        places = between.get(pair, [])
        usual = trouble.next_to[pair] > 1

        def unlike(place: int, gap: int = gap) -> tuple[int, int]:
            """How unlike the two places are: neighbours with other numbers, and how far apart."""
            same = (blocks[place - 1].bare == blocks[gap].bare) + (blocks[place + 1].bare == blocks[gap + 1].bare)
            return -same, abs(place - gap)

        found: dict[str, int] = {}
        for place in sorted(places, key=unlike):
            found.setdefault(blocks[place].bare, place)
        for text, place in list(found.items())[:MOST]:
            index = coded[gap + 1]
            same = -unlike(place)[0]
            if usual and not same:
                continue  # two blocks that often follow one another miss nothing
            yield trouble.put_in(
                index,
                text,
                f"A block is left out before {case.named(index)}. On the same path "
                f"{case.named(coded[place])} says {text}: put it there as well.",
                0.5 - 0.2 * same + 0.4 * min(trouble.far(index), trouble.far(coded[gap])) + 0.3 * usual,
            )


def _exchanged(trouble: Trouble) -> Iterator[Change]:
    """Two blocks in the wrong order; most likely where other places have them only the other way round."""
    case, coded = trouble.case, trouble.case.coded
    for place, (first, second) in enumerate(pairwise(coded)):
        if case.blocks[first].bare == case.blocks[second].bare:
            continue
        around = trouble.around(first, 1)
        at = min(place, 1)
        turned = [*around[:at], around[at + 1], around[at], *around[at + 2 :]]
        odd = sum(trouble.next_to[pair] <= 1 for pair in pairwise(around))
        swapped = odd >= 2 and trouble.is_in_line(turned)
        far = min(trouble.far(first), trouble.far(second))
        if far >= 1.0 and not swapped:
            continue
        one, other = case.blocks[first], case.blocks[second]
        yield Change(
            line=one.number,
            was=f"{one.bare}, then {other.bare}",
            would_be=f"{other.bare}, then {one.bare}",
            because=f"{case.said(first)} says {one.bare} and {case.named(second)} {other.bare}: the other way round.",
            doubt=0.3 * far if swapped else 1.0 + 0.5 * far,
            case=case.swapped(first, second),
        )


def _cycle_on(trouble: Trouble) -> Iterator[Change]:
    """G80 left out: a place after the holes is drilled too."""
    case = trouble.case
    for index in case.coded:
        block = case.blocks[index]
        if case.in_force[index].motion in _CYCLES and not block.names and (block.get("X") or block.get("Y")):
            far = trouble.far(index)
            yield Change(
                line=block.number,
                was=block.bare,
                would_be=f"G80, then G0 {block.bare}",
                because=f"{case.said(index)} says {block.bare}, with {case.in_force[index].motion} still in force: "
                f"another hole. Write G80, and G0 {block.bare}.",
                doubt=0.3 + 0.5 * far,
                case=case.with_block(index, block.with_first("G0")).with_new(index, "G80"),
            )
