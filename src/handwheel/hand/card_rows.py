"""The actions of a route as the rows of a card: each row is one thing to do, with all that it needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import Final

from handwheel.hand.actions import (
    Bring,
    EdgeFinder,
    Feed,
    Lever,
    Load,
    Oil,
    SetSpeed,
    Start,
    Stop,
    Touch,
    TurnTap,
    Wind,
)
from handwheel.hand.card import BLANK, Do, Drill, Pass, Phrases, Place, Row, Way
from handwheel.hand.card_words import phrase, phrases, place
from handwheel.hand.execute import Done, Execution
from handwheel.hand.repair import lines_of_side
from handwheel.hand.scales import Scales
from handwheel.hand.words import figure_of
from handwheel.plan import Measuring, Plan, SideStroke, Skim, Step
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

MOST_FEEDS: Final = 5
"""So many feeds stand in a row; a longer way has a table of its own, which other rows may name again."""

NAME_ROOM: Final = 20
"""Letters of an operation's name in a row."""


@dataclass(frozen=True)
class Group:
    """What is done in one row."""

    step: Step
    done: list[Done]


@dataclass
class Rows:
    """Makes the rows of a route; ``places`` collects the holes by letter, ``ways`` the tables of settings by number."""

    setup: Setup
    plan: Plan
    scales: Scales
    execution: Execution
    first: int
    places: dict[tuple[str, str], str] = field(default_factory=dict)
    ways: dict[Phrases, str] = field(default_factory=dict)

    def by_tool(self) -> Iterator[tuple[tuple[Step, ...], tuple[Row, ...]]]:
        """The steps that one tool makes one after the other, and their rows."""
        groups = [one for one in grouped(self.plan, self.execution) if self._says(one)]
        row_of = {done.number: self.first + at for at, group in enumerate(groups) for done in group.done}
        over_jaws = next((group for group in groups if self._is_first_full_depth(group)), None)
        at = self.first
        for _, of_tool in groupby(groups, key=lambda one: one.step.tool.number):
            rows, steps = [], {}
            for group in of_tool:
                rows.append(self._row(at, group, row_of, tries_air=group is over_jaws))
                steps[group.step.number] = group.step
                at += 1
            yield tuple(steps.values()), tuple(rows)

    def letters(self) -> tuple[Place, ...]:
        """The table of holes, once the rows are made."""
        return tuple(Place(letter, x, y) for (x, y), letter in self.places.items())

    def tables(self) -> tuple[Way, ...]:
        """The tables of settings, once the rows are made."""
        return tuple(Way(name, settings) for settings, name in self.ways.items())

    def _feeds(self, feeding: list[Done]) -> Phrases:
        """The feeds of a row, a long way by the name of its table."""
        said = phrases(feeding, self.scales)
        if len(said) <= MOST_FEEDS:
            return said
        down = 1 if said[0].startswith("FEED knee") else 0
        settings = tuple(one.removeprefix("FEED ") for one in said[down:])
        name = self.ways.setdefault(settings, f"W{len(self.ways) + 1}")
        return (*said[:down], f"FEED by table {name}")

    def _says(self, group: Group) -> bool:
        return bool(phrases(group.done, self.scales)) or bool(group.step.measuring)

    def _row(self, number: int, group: Group, row_of: dict[int, int], *, tries_air: bool) -> Row:
        done, step = group.done, group.step
        if any(isinstance(one.action, (Lever, TurnTap)) for one in done):
            return self._drill(number, group)
        if any(isinstance(one.action, Feed) for one in done):
            return self._pass(number, group, tries_air=tries_air)
        measured = [self._measured(step, size, row_of) for size in step.measuring if step.kind == "measure"]
        return Do(number, (*phrases(done, self.scales), *measured))

    def _pass(self, number: int, group: Group, *, tries_air: bool) -> Pass:
        done = group.done
        fed = [at for at, one in enumerate(done) if isinstance(one.action, Feed)]
        before, feeding, after = done[: fed[0]], done[fed[0] : fed[-1] + 1], done[fed[-1] + 1 :]
        check: Phrases = ()
        set_ = phrases(before, self.scales)
        if tries_air:
            assert self.setup.air is not None
            run = [one for one in before if isinstance(one.action, (Start, Oil))]
            again = phrases(run, self.scales) or (f"START {done[0].before.rpm:g}",)
            rest = phrases([one for one in before if one not in run], self.scales)
            set_ = rest if run else ("STOP", *rest)
            air = f"{self.scales.length(self.setup.air)} {self.scales.job.units}"
            check = (f"spindle off: does a drill shank of {air} go between cutter and jaw", *again)
        return Pass(number, self._what(group), set_, check, self._feeds(feeding), phrases(after, self.scales))

    def _what(self, group: Group) -> str:
        step = group.step
        number = next(one.action.stroke for one in group.done if isinstance(one.action, Feed))
        stroke = step.strokes[number - 1]
        name = shortened(step.operation)
        alike = [at for at, one in enumerate(step.strokes, start=1) if one.purpose == stroke.purpose]
        count = f" {alike.index(number) + 1}/{len(alike)}" if len(alike) > 1 else ""
        if isinstance(stroke, Skim):
            return f"{name}: {'round' if stroke.purpose == 'round' else 'across'} the top{count}"
        return f"{name}, {stroke.purpose}{count}"

    def _drill(self, number: int, group: Group) -> Drill:
        step, done = group.step, group.done
        at = [k for k, one in enumerate(done) if isinstance(one.action, (Lever, TurnTap))]
        prepared = next(k for k, one in enumerate(done) if one.action.stroke > 0)
        places: dict[int, list[Done]] = {}
        for k in at:
            places.setdefault(done[k].action.stroke, []).append(done[k])
        pecks = {stroke: self._pecks(levers) for stroke, levers in places.items()}
        same = len(set(pecks.values())) == 1
        common = (next(iter(pecks.values())),) if same and next(iter(pecks.values())) else ()
        letters = tuple(
            self._letter(levers[0]) + (f" ({pecks[stroke]})" if not same and pecks[stroke] else "")
            for stroke, levers in places.items()
        )
        out = ("out at the same feed, spindle turning",) if step.holes[0].feeds_out else ()
        # a stop is set with the spindle off
        before = sorted(phrases(done[:prepared], self.scales), key=lambda one: one.startswith("START"))
        first = (
            *before,
            *common,
            *out,
            *(phrase(done[k], self.scales) for k in at[:1] if isinstance(done[k].action, TurnTap)),
        )
        return Drill(number, shortened(step.operation), first, letters, phrases(done[at[-1] + 1 :], self.scales))

    def _pecks(self, levers: Sequence[Done]) -> str:
        downs = [
            self.scales.length(one.action.down)
            for one in levers
            if isinstance(one.action, Lever) and not one.action.to_stop
        ]
        return f"pecks at {' '.join(downs)}, brush after each" if downs else ""

    def _letter(self, lever: Done) -> str:
        at = (place("x", lever, self.scales), place("y", lever, self.scales))
        return self.places.setdefault(at, letter_of(len(self.places)))

    def _measured(self, step: Step, size: Measuring, row_of: dict[int, int]) -> str:
        """A size with its blank, and what its correction does to the rows that make it."""
        length = self.scales.length
        text = f"measure {size.dimension}, {size.gauge}: should read {length(size.wanted)}, reads {BLANK}"
        last = next((one for one in self.plan.steps if one.number > step.number and one.strokes), None)
        if last is None or not last.sides:
            return f"{text}. Minus {length(size.wanted)} = {BLANK} to cut more"
        lines = lines_of_side(self.execution, last)
        first = lines[0].action
        assert isinstance(first, Wind)
        sign = "+" if last.sides[0].edge in ("left", "front") else "-"
        rows = ", ".join(dict.fromkeys(str(row_of[one.number]) for one in lines))
        many = "rows" if "," in rows else "row"
        setting = figure_of(first, self.scales)
        return f"{text}. In {many} {rows}: {setting} {sign} (reading - {length(size.wanted)}) = {BLANK}"

    def _is_first_full_depth(self, group: Group) -> bool:
        """Whether the row brings the cutter down to the lowest cut over the jaws."""
        feed = next((one.action for one in group.done if isinstance(one.action, Feed)), None)
        if feed is None or self.setup.air is None or self.setup.lowest is None:
            return False
        stroke = group.step.strokes[feed.stroke - 1]
        return isinstance(stroke, SideStroke) and stroke.level <= self.setup.lowest + CONTACT


def grouped(plan: Plan, execution: Execution) -> Iterator[Group]:
    """The actions by rows."""
    steps = {step.number: step for step in plan.steps}
    row: list[Done] = []
    for one in execution.done:
        if row and _begins(row, one):
            yield Group(steps[row[0].action.step], row)
            row = []
        row.append(one)
    if row:
        yield Group(steps[row[0].action.step], row)


def _begins(row: Sequence[Done], one: Done) -> bool:
    """Whether an action is the first of the next row."""
    action = one.action
    if action.step != row[0].action.step:
        return True
    is_run = isinstance(action, (Start, Stop, SetSpeed))
    winds = isinstance(action, (Wind, Bring, Touch))
    fed = [done.action.stroke for done in row if isinstance(done.action, Feed)]
    if fed:
        return is_run or (action.stroke != fed[0] and winds)
    if any(isinstance(done.action, (Lever, TurnTap)) for done in row):
        return is_run
    if any(isinstance(done.action, Load) for done in row):
        return winds or (isinstance(action, Start) and not isinstance(one.before.held, EdgeFinder))
    return _begins_after_touch(row, one)


def _begins_after_touch(row: Sequence[Done], one: Done) -> bool:
    """A touch's row ends once the cutter has backed off."""
    action = one.action
    touched = next((at for at, done in enumerate(row) if isinstance(done.action, Touch)), None)
    if touched is None:
        return False
    if isinstance(action, (Start, Stop, SetSpeed, Load)):
        return True
    if not isinstance(action, (Wind, Bring)) or action.slide == "knee":
        return False
    retreats = [d for d in row[touched + 1 :] if isinstance(d.action, (Wind, Bring)) and d.action.slide != "knee"]
    touch = row[touched].action
    return bool(retreats) or (isinstance(touch, Touch) and touch.slide == "knee")


def shortened(name: str) -> str:
    """
    >>> shortened("rest of the long right end")
    'rest of the long...'
    """
    return name if len(name) <= NAME_ROOM else name[: NAME_ROOM - 3].rstrip() + "..."


def letter_of(count: int) -> str:
    """
    >>> letter_of(0), letter_of(25), letter_of(26)
    ('A', 'Z', 'AA')
    """
    return (letter_of(count // 26 - 1) if count >= 26 else "") + chr(ord("A") + count % 26)
