"""Both ways of making a job's part, worked out once: plans, actions, the program's text and where each step stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from handwheel.hand import Action, Execution, actions, execute
from handwheel.job import Job
from handwheel.plan import Plan, Route, plan
from handwheel.program import write_program
from handwheel.setup import Setup, set_up

_STEP = re.compile(r"\(STEP (\d{1,6}):")
_BLOCK = re.compile(r"N\d+ ")


@dataclass(frozen=True)
class Routes:
    """A set-up's own two routes, before anything goes wrong.

    ``unproved`` holds the reasons that the program's head is to name, where its proof has failed.
    """

    setup: Setup
    unproved: tuple[str, ...] = ()

    @property
    def program_name(self) -> str:
        """What the program's file is called: by the job, and where it has several set-ups by the set-up's number."""
        number = f"-{self.setup.number}" if len(self.setup.job.setups) > 1 else ""
        return f"{self.setup.job.name}{number}.nc"

    @cached_property
    def by_hand(self) -> Plan:
        """The steps by hand."""
        return plan(self.setup, Route.BY_HAND)

    @cached_property
    def by_program(self) -> Plan:
        """The steps by program: the same numbers and titles."""
        return plan(self.setup, Route.BY_PROGRAM)

    @cached_property
    def doing(self) -> tuple[Action, ...]:
        """The route sheet's actions."""
        return actions(self.setup, self.by_hand)

    @cached_property
    def execution(self) -> Execution:
        """What comes of them."""
        return execute(self.setup, self.doing)

    @cached_property
    def text(self) -> str:
        """The program as it is written."""
        return write_program(self.setup, self.by_program, self.unproved)

    @cached_property
    def action_numbers(self) -> Mapping[int, tuple[int, int]]:
        """First and last action of each step, as numbered on the sheet."""
        numbers: dict[int, tuple[int, int]] = {}
        for number, action in enumerate(self.doing, start=1):
            first, _ = numbers.get(action.step, (number, number))
            numbers[action.step] = (first, number)
        return numbers

    @cached_property
    def block_lines(self) -> Mapping[int, tuple[int, ...]]:
        """The lines of the text, from 1, that hold each step's blocks; step 0 is what stands before the first."""
        lines: dict[int, list[int]] = {}
        step = 0
        for number, line in enumerate(self.text.splitlines(), start=1):
            head = _STEP.match(line)
            if head:
                step = int(head[1])
            elif _BLOCK.match(line):
                lines.setdefault(step, []).append(number)
        return {one: tuple(numbers) for one, numbers in lines.items()}


def routes_of(job: Job) -> tuple[Routes, ...]:
    """The job's own two routes in each of its set-ups, in order.

    Raises
    ------
    JobError
        Where no parallels fit.
    """
    return tuple(Routes(setup) for setup in set_up(job))
