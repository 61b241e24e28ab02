"""The known mistakes, a module a family: each looks at a failed program and gives the changes that would undo one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from handwheel.learn.case import Case
from handwheel.learn.mistakes import arcs, blocks, modes, numbers, offsets, speeds, tools, zero
from handwheel.learn.trouble import Change, Trouble

FAMILIES: Final[tuple[Callable[[Trouble], Iterator[Change]], ...]] = (
    modes.candidates,
    offsets.candidates,
    tools.candidates,
    speeds.candidates,
    numbers.candidates,
    arcs.candidates,
    blocks.candidates,
    zero.candidates,
)


EVERYWHERE: Final = 0.1
"""Made wherever it comes up a mistake is a little less likely than made once."""


def changes(trouble: Trouble) -> list[Change]:
    """Every change worth trying, the likeliest first; of two that make the same program the likelier."""
    if not trouble.case.coded:
        return []  # nobody wrote anything: there is no mistake to undo
    single = [change for family in FAMILIES for change in family(trouble)]
    found = sorted([*single, *_everywhere(trouble, single)], key=lambda change: change.doubt)
    first: dict[tuple[str, int], Change] = {}
    for change in found:
        first.setdefault((change.case.text, id(change.case.setup)), change)
    return list(first.values())


def _everywhere(trouble: Trouble, single: list[Change]) -> Iterator[Change]:
    """What somebody does wrong wherever it comes up, undone in every place."""
    habits: dict[str, list[Change]] = {}
    for change in single:
        if change.habit:
            habits.setdefault(change.habit, []).append(change)
    for alike in habits.values():
        if len(alike) < 2:
            continue
        case, lines = trouble.case, {change.line for change in alike}
        for change in reversed(alike):
            case = _as_well(case, trouble.case, change.case)
        others = "in one other block" if len(lines) == 2 else f"in {len(lines) - 1} other blocks"
        yield replace(
            alike[0],
            because=f"{alike[0].because} So it is {others}.",
            doubt=min(change.doubt for change in alike) + EVERYWHERE,
            case=case,
        )


def _as_well(case: Case, before: Case, after: Case) -> Case:
    """A case with the blocks changed, or put in, that tell two others apart; those are in it up to there."""
    pairs = zip(before.blocks, after.blocks, strict=False)
    at = next((index for index, (old, new) in enumerate(pairs) if old != new), len(before.blocks))
    added = len(after.blocks) - len(before.blocks)
    ends = at + added + (not added)
    return replace(case, blocks=(*case.blocks[:at], *after.blocks[at:ends], *case.blocks[at + (not added) :]))
