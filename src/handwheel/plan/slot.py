"""A slot: down the middle, wider by even strokes, both walls last; in one where the cutter is as wide as the slot."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from handwheel.job import Dimension
from handwheel.job.slot import Slot
from handwheel.motion import Side, Tool
from handwheel.path.chain import Chain, reversed_chain, straight
from handwheel.path.line import XY, Line
from handwheel.plan.entering import entering
from handwheel.plan.leads import Leads, Room, from_outside, round_the_wall
from handwheel.plan.measuring import measuring, measuring_step
from handwheel.plan.model import Beside, Cutting, Inner, Step
from handwheel.plan.speeds import Speeds, speeds
from handwheel.plan.strokes import even_steps, lead_in, run_off
from handwheel.plan.which_route import Route
from handwheel.plan.within import along_wall, levels_down
from handwheel.plan.words import Numbering, counted
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT
from handwheel.units import on_program_grid, shop_number

WHY_WIDE = (
    "A cutter as wide as the slot takes both walls at once; it pulls to one side, so the slot comes out a little wide."
)
WHY_ROUGH = "The middle first, where size does not matter yet; an even finish cut stays on both walls."
WHY_WALL = "A light, even last cut gives each wall its place and its surface."
HAZARD = "Chips pack in a slot and break the cutter: brush them out with the spindle off, oil well, hands clear."


def steps(setup: Setup, operation: Slot, route: Route, top: float, numbering: Numbering) -> Iterator[Step]:
    """Roughing, measuring and both walls; ``top`` is the Z of the work's upper face, mm."""
    yield from _Slotting(setup, operation, route, top, setup.job.tool(operation.tool)).steps(numbering)


@dataclass(frozen=True)
class _Slotting:
    """One slot with one cutter."""

    setup: Setup
    operation: Slot
    route: Route
    top: float
    tool: Tool

    @property
    def radius(self) -> float:
        return self.tool.diameter / 2

    @property
    def spare(self) -> float:
        """What is left at each wall by a cutter down the middle."""
        return self.operation.width / 2 - self.radius

    @property
    def cut(self) -> Literal["conventional", "climb"]:
        cut = self.operation.cut
        return cut.by_hand if self.route is Route.BY_HAND else cut.by_program

    @property
    def open_ends(self) -> tuple[bool, bool]:
        return self.operation.is_open(self.setup.work)

    @property
    def speeds(self) -> Speeds:
        return speeds(self.setup, self.operation, self.tool, self.route)

    def steps(self, numbering: Numbering) -> Iterator[Step]:
        units, operation = self.setup.job.units, self.operation
        wide = self.spare <= CONTACT
        rough = tuple(self._roughing(wide))
        size = f"{shop_number(operation.width, units)} wide, {shop_number(operation.depth, units)} deep"
        left = shop_number(operation.finish, units)
        yield Step(
            number=next(numbering),
            kind="rough",
            operation=operation.name,
            title=f"{operation.name}: mill the slot {size}, {counted(len(rough), 'pass')}"
            if wide
            else f"{operation.name}: rough the slot {size}, leaving {left} on each wall, {counted(len(rough), 'pass')}",
            why=WHY_WIDE if wide else WHY_ROUGH,
            hazard=HAZARD,
            tool=self.tool,
            speeds=self.speeds,
            cutting="mixed",
            strokes=rough,
        )
        if not wide:
            yield from self._walls(numbering)

    # roughing ----------------------------------------------------------------------------------------------------

    def _roughing(self, wide: bool) -> Iterator[Inner]:
        offsets = () if wide else self._offsets()
        widths = [offset - before for before, offset in zip((0.0, *offsets), offsets, strict=False)]
        bottom = self.operation.lowest(self.setup.work, self.tool)
        levels = levels_down(self.top, bottom, self.operation.pass_depth, self.tool)
        for index, (above, level) in enumerate(levels):
            middle = self._middle(turned=all(self.open_ends) and index % 2 == 1)
            if not any(self.open_ends):
                yield self._inner(self._spread(middle, offsets), level, above, self.tool.diameter)
                continue
            yield self._inner(middle, level, above, self.tool.diameter)
            for offset, width in zip(offsets, widths, strict=True):
                for chain in self._sides(self.operation.width / 2 - offset):
                    yield self._inner(chain, level, above, width)

    def _spread(self, middle: Chain, offsets: tuple[float, ...]) -> Chain:
        """Of a closed slot: down the middle, then round and round, wider each time."""
        chain = middle
        for offset in offsets:
            ring = self._ring(self.operation.width / 2 - offset)
            last = chain[-1].end if chain else self.operation.point(self._centres()[1], 0.0)
            chain = (*chain, *straight((last, ring[0].start)), *ring)
        return chain

    def _sides(self, inset: float) -> Iterator[Chain]:
        """The strokes that make an open slot wider: along one wall and along the other, or in and out."""
        if not all(self.open_ends):
            yield self._ring(inset)
            return
        for wall in self._open_walls(inset):
            yield along_wall(wall, self.cut)[0]

    def _offsets(self) -> tuple[float, ...]:
        """How far off the middle the centre runs, mm, from inside to where the finish is left."""
        most = self.spare - self.operation.finish
        if most <= CONTACT:
            return ()
        limit = self.setup.job.material.width_limit(self.tool.material) * self.tool.diameter
        return tuple(on_program_grid(value, self.setup.job.units) for value in even_steps(0.0, most, limit))

    def _centres(self) -> tuple[float, float]:
        """Where along the slot the centre's middle stroke ends: off the work, or in the middle of a round end."""
        low, high = self.operation.stretch(self.setup.work)
        raw, run, half = self.setup.raw, self.operation.run, self.operation.width / 2
        off = run_off(self.setup, self.tool)
        open_low, open_high = self.open_ends
        return (
            raw.low[run] - off if open_low else low + half,
            raw.high[run] + off if open_high else high - half,
        )

    def _middle(self, turned: bool) -> Chain:
        """The stroke down the middle, in from an open end."""
        low, high = self._centres()
        chain = straight((self.operation.point(low, 0.0), self.operation.point(high, 0.0)))
        return reversed_chain(chain) if turned or self.open_ends == (False, True) else chain

    def _inner(self, chain: Chain, level: float, above: float, width: float) -> Inner:
        beside = any(self.open_ends)
        return Inner(
            purpose="rough",
            chain=chain,
            level=level,
            side=Side.OFF,
            room=Side.RIGHT if self.cut == "conventional" else Side.LEFT,
            cutting="mixed" if width >= self.tool.diameter - CONTACT else self.cut,
            width=width,
            depth=above - level,
            entry=Beside() if beside else entering(self.operation.entry, self.route, self.tool, chain, above, level),
        )

    def _open_walls(self, inset: float) -> tuple[Chain, Chain]:
        """The two walls of a slot that is open at both ends, the room on their left."""
        outline = self.operation.outline(self.setup.work, inset, run_off(self.setup, self.tool))
        return (outline[0],), (outline[2],)

    def _ring(self, inset: float) -> Chain:
        """The wall of any other slot, ``inset`` within it, in the direction of cut: all round, or in and out of the
        open end. It starts nearest to where the stroke down the middle ends."""
        outline = self.operation.outline(self.setup.work, inset, run_off(self.setup, self.tool))
        low_open, high_open = self.open_ends
        if low_open:
            wall = outline[:-1]
        elif high_open:
            gap = next(i for i, one in enumerate(outline) if isinstance(one, Line) and self._is_across(one))
            wall = (*outline[gap + 1 :], *outline[:gap])
        else:
            # the middle stroke ends at the high end: its arc comes first
            arc = 1 if isinstance(outline[0], Line) else 0
            wall = (*outline[arc:], *outline[:arc])
        return along_wall(wall, self.cut)[0]

    def _is_across(self, piece: Line) -> bool:
        return abs(piece.start[self.operation.run] - piece.end[self.operation.run]) <= CONTACT

    # walls -------------------------------------------------------------------------------------------------------

    def _walls(self, numbering: Numbering) -> Iterator[Step]:
        sizes = self._sizes()
        bottom = self.operation.lowest(self.setup.work, self.tool)
        down = even_steps(self.top, bottom, self.tool.flute_length)
        levels = tuple(zip((self.top, *down), down, strict=False))
        if all(self.open_ends):
            off = lead_in(self.setup, self.tool)
            for number, wall in enumerate(self._open_walls(0.0)):
                chain, side = along_wall(wall, self.cut)
                if number == 1:
                    yield from self._stop(numbering, sizes, 1)
                strokes = tuple(
                    self._wall(chain, side, from_outside(chain, side, self.radius, off), level, above)
                    for above, level in levels
                )
                yield self._finish(numbering, strokes, self._wall_name(wall))
            return
        yield from self._stop(numbering, sizes, 2)
        strokes = tuple(self._round(level, above) for above, level in levels)
        yield self._finish(numbering, strokes, "wall all round" if not any(self.open_ends) else "wall, in and out")

    def _round(self, level: float, above: float) -> Inner:
        chain = self._ring(0.0)
        side = Side.RIGHT if self.cut == "conventional" else Side.LEFT
        if any(self.open_ends):
            return self._wall(
                chain, side, from_outside(chain, side, self.radius, lead_in(self.setup, self.tool)), level, above
            )
        spare = self.operation.finish + 0.1 * self.radius
        room = Room(lambda point: self.spare - self._aside(point), min(self.operation.finish, self.spare) - CONTACT)
        begun, lead = round_the_wall(chain, side, self.radius, spare, room)
        return self._wall(begun, side, lead, level, above)

    def _aside(self, point: XY) -> float:
        """How far a point is from the line between the middles of the round ends."""
        run = self.operation.run
        low, high = self._centres()
        along = min(max(point[run], low), high)
        return math.hypot(point[run] - along, point[1 - run] - self.operation.middle)

    def _wall(self, chain: Chain, side: Side, lead: Leads, level: float, above: float) -> Inner:
        cut: Cutting = self.cut
        return Inner(
            purpose="finish",
            chain=chain,
            level=level,
            side=side,
            cutting=cut,
            width=min(self.operation.finish, self.spare) or self.spare,
            depth=above - level,
            run_up=lead.run_up,
            lead_in=lead.into,
            lead_out=lead.out,
        )

    def _finish(self, numbering: Numbering, strokes: tuple[Inner, ...], what: str) -> Step:
        return Step(
            number=next(numbering),
            kind="finish",
            operation=self.operation.name,
            title=f"{self.operation.name}: finish the {what}",
            why=WHY_WALL,
            hazard="The finished edges are sharp: deburr before you touch or re-seat the work.",
            tool=self.tool,
            speeds=self.speeds,
            cutting=self.cut,
            strokes=strokes,
            compensation=self.operation.compensation,
        )

    def _wall_name(self, wall: Chain) -> str:
        across = 1 - self.operation.run
        high = wall[0].start[across] > self.operation.middle
        return f"{('left', 'right')[high] if across == 0 else ('front', 'back')[high]} wall"

    # sizes -------------------------------------------------------------------------------------------------------

    def _sizes(self) -> list[Dimension]:
        """The gaps of the drawing that this slot makes."""
        if self.operation.measure is False or self.operation.finish <= CONTACT:
            return []
        return [size for size in self.setup.dimensions if self._makes(size)]

    def _makes(self, size: Dimension) -> bool:
        across = 1 - self.operation.run
        if size.of != "inside" or size.axis != "xy"[across] or size.at is None:
            return False
        low, high = self.operation.stretch(self.setup.work)
        bottom = self.operation.lowest(self.setup.work, self.tool)
        return (
            abs(size.at - self.operation.middle) < self.operation.width / 2
            and low < size.through["xy"[self.operation.run]] < high
            and bottom < size.through["z"] <= self.setup.finished_top + CONTACT
        )

    def _stop(self, numbering: Numbering, sizes: list[Dimension], walls: Literal[1, 2]) -> Iterator[Step]:
        taken = tuple(measuring(sizes, self.operation.finish, walls))
        return measuring_step(self.operation, self.tool, self.speeds, numbering, taken)
