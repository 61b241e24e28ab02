"""A part: its stock and the moves that cut it, set-up by set-up. All else is computed from these."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from handwheel.motion import Moves, Tool
from handwheel.path.box import Box
from handwheel.path.placement import Placement


@dataclass(frozen=True)
class Cut:
    """The moves of the *true tip* in one set-up's frame, the tools that really cut (by number), and how the part stands
    there. A move without a tool, or with one that is not in the table, removes nothing; a rapid cuts like a feed."""

    moves: Moves
    tools: Mapping[int, Tool]
    placement: Placement = field(default_factory=Placement)


@dataclass(frozen=True)
class Part:
    """A raw block, in the part's frame, and the cuts made on it, in order."""

    stock: Box
    cuts: tuple[Cut, ...] = ()

    def seen_from(self, placement: Placement) -> Part:
        """The same part in another frame: its stock turned, and every cut as it was made."""
        if placement.is_identity:
            return self
        back = placement.inverse()
        cuts = tuple(Cut(cut.moves, cut.tools, cut.placement.after(back)) for cut in self.cuts)
        return Part(placement.box(self.stock), cuts)

    def with_cut(self, moves: Moves, tools: Mapping[int, Tool]) -> Part:
        """The part once these moves were made on it, in its own frame; a tap takes nothing that is drawn or gauged."""
        cutting = {number: tool for number, tool in tools.items() if tool.shape != "tap"}
        return Part(self.stock, (*self.cuts, Cut(moves, cutting)))
