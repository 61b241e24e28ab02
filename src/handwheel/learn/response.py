"""How a size answers to what can be set: each setting changed a little, cut and gauged; nothing is worked out apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Final, Literal

from handwheel.check.gauged import gauged
from handwheel.cut.part import Part
from handwheel.hand import Action, execute
from handwheel.hand.actions import Wind
from handwheel.motion import Offset
from handwheel.proof import Program, Proof, Routes, prove, prove_by_hand
from handwheel.proof.by_program import true_tip
from handwheel.proof.judge import came_in
from handwheel.rs274 import read
from handwheel.tolerances import CONTACT

PROBE: Final = 0.05
"""By so much a setting is changed to see what a size does, mm: less than a finishing cut takes."""

Column = Literal["D", "H"]
Sizes = Mapping[str, float | None]


@dataclass(frozen=True, slots=True)
class Slot:
    """A number in the control's offset table: ``D2`` is the diameter of slot 2, ``H2`` its length."""

    column: Column
    number: int

    def __str__(self) -> str:
        return f"{self.column}{self.number}"


@dataclass(frozen=True, slots=True)
class Setting:
    """A reading that the operator winds a slide to, in one step: the actions' numbers in the set-up's sheet, from 1."""

    setup: int
    step: int
    numbers: tuple[int, ...]
    slide: str
    to: float


@dataclass(frozen=True)
class Responses:
    """A job's sizes as its settings make them; lengths in mm."""

    routes: tuple[Routes, ...]

    @property
    def held(self) -> Mapping[int, Offset]:
        """The control's table as it is."""
        return self.routes[0].setup.control.offsets

    @cached_property
    def slots(self) -> tuple[Slot, ...]:
        """What the table holds for the job's tools: diameters first, since a wear correction is nearest at hand."""
        tools = [tool.number for tool in self.routes[0].setup.job.tools]
        return tuple(Slot(column, number) for column in ("D", "H") for number in tools)

    def with_slot(self, slot: Slot, change: float) -> Mapping[int, Offset]:
        """The table with one number changed."""
        old = self.held.get(slot.number, Offset())
        new = (
            replace(old, diameter=old.diameter + change)
            if slot.column == "D"
            else replace(old, length=old.length + change)
        )
        return MappingProxyType({**self.held, slot.number: new})

    def holds(self, slot: Slot) -> float:
        """What a number of the table is."""
        held = self.held.get(slot.number, Offset())
        return held.diameter if slot.column == "D" else held.length

    @cached_property
    def by_program(self) -> Sizes:
        """Every size as the program makes it."""
        return self.sizes_by_program(self.held)

    def sizes_by_program(self, offsets: Mapping[int, Offset], *, again: Mapping[int, Offset] | None = None) -> Sizes:
        """Every size with another table; with ``again`` the last set-up's program is run once more, with that one."""
        before: Part | None = None
        for one in self.routes:
            for table in (offsets, again) if again is not None and one is self.routes[-1] else (offsets,):
                assert table is not None
                control = replace(one.setup.control, offsets=table)
                moves = true_tip(read(one.text, control).moves, one.setup)
                part = came_in(one.setup, before).with_cut(moves, one.setup.tools)
                before = part.seen_from(one.setup.placement.inverse())
        return self._gauged(before)

    @cached_property
    def by_hand(self) -> Sizes:
        """Every size as the route sheet makes it."""
        return self.sizes_by_hand({})

    def sizes_by_hand(self, doings: Mapping[int, Sequence[Action]]) -> Sizes:
        """Every size with other actions, by the number of the set-up."""
        before: Part | None = None
        for one in self.routes:
            done = execute(one.setup, doings.get(one.setup.number, one.doing))
            part = came_in(one.setup, before).with_cut(done.moves, done.tools)
            before = part.seen_from(one.setup.placement.inverse())
        return self._gauged(before)

    def _gauged(self, part: Part | None) -> Sizes:
        last = self.routes[-1].setup
        assert part is not None
        return {one.name: one.measured for one in gauged(last, part.seen_from(last.placement))}

    @cached_property
    def settings(self) -> tuple[Setting, ...]:
        """What slides are wound to in each step, the last of the sheet first."""
        found: dict[tuple[int, int, str, float], list[int]] = {}
        for one in self.routes:
            for number, act in enumerate(one.doing, start=1):
                # a feed's end is beyond the work: it makes no size
                if type(act) is Wind and act.step:
                    found.setdefault((one.setup.number, act.step, act.slide, act.to), []).append(number)
        return tuple(
            Setting(setup, step, tuple(numbers), slide, to)
            for (setup, step, slide, to), numbers in reversed(list(found.items()))
        )

    def with_setting(self, setting: Setting, change: float) -> Mapping[int, Sequence[Action]]:
        """The actions with one setting changed."""
        doing = list(self.routes[setting.setup - 1].doing)
        for number in setting.numbers:
            act = doing[number - 1]
            assert isinstance(act, Wind)
            doing[number - 1] = replace(act, to=act.to + change)
        return {setting.setup: doing}

    def slot_for(self, size: str) -> tuple[Slot, float] | None:
        """The number of the table that moves a size, and by how much a mm of it does; ``None`` where none does.

        Of two the one that moves fewer of the other sizes.
        """
        answers = []
        for slot in self.slots:
            changed = self.sizes_by_program(self.with_slot(slot, PROBE))
            moved = _moved(self.by_program, changed)
            if abs(moved.get(size, 0.0)) > CONTACT:
                answers.append((len(moved), self.slots.index(slot), slot, moved[size] / PROBE))
        if not answers:
            return None
        _, _, slot, gain = min(answers, key=lambda one: one[:2])
        return slot, gain

    def setting_for(self, size: str, need: float) -> tuple[Setting, float] | None:
        """The setting on the sheet that moves a size the way that is needed, and by how much a mm of it does."""
        axis = next(one.axis for one in self.routes[0].setup.dimensions if one.name == size)
        for setting in self.settings:
            placement = self.routes[setting.setup - 1].setup.placement
            slide_axis = {"x": 0, "y": 1, "knee": 2, "quill": 2}.get(setting.slide)
            if slide_axis is None or placement.axis("xyz".index(axis))[0] != slide_axis:
                continue
            for change in (PROBE, -PROBE):
                moved = _moved(self.by_hand, self.sizes_by_hand(self.with_setting(setting, change))).get(size, 0.0)
                if moved * need > CONTACT:
                    return setting, moved / change
        return None

    def proof_with_slot(self, slot: Slot, change: float) -> Proof:
        """The whole proof by program with one number of the table changed."""
        offsets = self.with_slot(slot, change)
        changed = [
            replace(one, setup=replace(one.setup, control=replace(one.setup.control, offsets=offsets)))
            for one in self.routes
        ]
        # the program stays as it is written
        texts = {one.setup.number: Program(one.program_name, one.text) for one in self.routes}
        return prove(changed, texts)

    def proof_with_setting(self, setting: Setting, change: float) -> Proof:
        """The whole proof by hand with one setting changed."""
        return prove_by_hand(self.routes, self.with_setting(setting, change))


def _moved(before: Sizes, after: Sizes) -> dict[str, float]:
    """By how much each size changed, of those that did."""
    changes = {name: new - old for name, old in before.items() if old is not None and (new := after[name]) is not None}
    return {name: change for name, change in changes.items() if abs(change) > CONTACT}
