"""The known mistakes, a module a family: each looks at a failed program and gives the changes that would undo one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from handwheel.learn.mistakes import arcs, blocks, modes, numbers, offsets, speeds, zero
from handwheel.learn.trouble import Change, Trouble

FAMILIES: Final[tuple[Callable[[Trouble], Iterator[Change]], ...]] = (
    modes.candidates,
    offsets.candidates,
    speeds.candidates,
    numbers.candidates,
    arcs.candidates,
    blocks.candidates,
    zero.candidates,
)


def changes(trouble: Trouble) -> list[Change]:
    """Every change worth trying, the likeliest first; of two that make the same program the likelier."""
    found = sorted((change for family in FAMILIES for change in family(trouble)), key=lambda change: change.doubt)
    first: dict[tuple[str, int], Change] = {}
    for change in found:
        first.setdefault((change.case.text, id(change.case.setup)), change)
    return list(first.values())
