"""Why did it fail? The program is proved again with one known mistake undone at a time, until it passes.

Nothing is guessed: what is told was cut. The search is bounded by the number of proofs, never by the clock, so that its
answer is the same everywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Final

import numpy as np

from handwheel.job.offsets import offset_table
from handwheel.learn.case import Case, case_of
from handwheel.learn.mistakes import changes
from handwheel.learn.outcome import Outcome, Undone, grave_codes, nearer, outcome_of
from handwheel.learn.trouble import Change, Trouble
from handwheel.motion import Moves
from handwheel.proof import Program, Proof, Routes, SetupProof, left_after, prove_reading, prove_setup
from handwheel.rs274 import Reading, read
from handwheel.setup import lengthened

Tell = Callable[[str, float], None]

PROOFS: Final = 300
"""So many proofs are made at most."""

ALONE: Final = 0.6
"""The share of them that looks for one mistake; what is left looks for two."""


def why(
    routes: Sequence[Routes],
    proof: Proof,
    programs: Mapping[int, Program] | None = None,
    *,
    strict: bool = False,
    most: int = PROOFS,
    tell: Tell | None = None,
) -> tuple[Undone, ...]:
    """The mistakes that explain a failed proof: one where one does it, else two, else the one that leaves least.

    Parameters
    ----------
    routes : the job's own two routes in every set-up
    proof : of the programs, as it failed
    programs : by the number of its set-up, from 1, what was proved instead of the job's own program
    strict : as it was proved
    most : so many proofs at most
    tell : is told what is being done, and the share of the whole that is done before it

    Returns
    -------
    tuple of Undone
        To be made together, in order. Empty where nothing failed, and where no known mistake explains what did.
    """
    grave = grave_codes(proof.findings)
    if not grave:
        return ()
    programs = programs or {}
    suspects = sorted(programs) or [one.setup.number for one in routes]
    failing = [number for number in suspects if grave_codes(proof.setups[number - 1].findings)]
    suspects = failing or suspects
    best: Outcome | None = None
    for number in suspects:
        bench = _Bench(tuple(routes), proof, programs, number, strict, most // len(suspects), tell)
        found = bench.search()
        if found is not None and (best is None or found.key < best.key):
            best = found
        if best is not None and best.passes:
            break
    return best.told if best is not None else ()


class _Bench:
    """Where one set-up's program is proved again and again; all that does not change is prepared once."""

    def __init__(
        self,
        routes: tuple[Routes, ...],
        proof: Proof,
        programs: Mapping[int, Program],
        number: int,
        strict: bool,
        most: int,
        tell: Tell | None,
    ) -> None:
        self._tell = tell
        self._own = routes[number - 1]
        self._later = [(one.setup, programs.get(one.setup.number)) for one in routes[number:]]
        self._later_texts = [
            program.source if program is not None else one.text
            for one, (_, program) in zip(routes[number:], self._later, strict=True)
        ]
        self._before = left_after(proof.setups[: number - 1])
        self._strict = strict
        self._most = most
        self.made = 0
        program = programs.get(number)
        source = self._own.text if program is None else program.source
        text = source if isinstance(source, str) else "".join(source)
        self._name = self._own.program_name if program is None else program.name
        self._earlier = tuple(finding for one in proof.setups[: number - 1] for finding in one.findings)
        failing = proof.setups[number - 1 :]
        self._failed = outcome_of(case_of(text, self._own.setup), failing, self._unlike(failing[0]), self._earlier)

    def search(self) -> Outcome | None:
        failed = self._failed
        first, passed = self._round(failed, round(self._most * ALONE))
        if passed is not None:
            return passed
        for turn, one in enumerate(beam := nearer(failed, first)):
            share = (self._most - self.made) // (len(beam) - turn)
            _, passed = self._round(one, share)
            if passed is not None:
                return passed
        better = [one for one in first if one.wrong < failed.wrong or one.unread < failed.unread]
        return min((one for one in better if one.key < failed.key), key=lambda one: one.key, default=None)

    def _round(self, start: Outcome, most: int) -> tuple[list[Outcome], Outcome | None]:
        """Prove a case with one more change at a time: what came of each, and the first that passes."""
        outcomes: list[Outcome] = []
        read_before = self._read(start.case)
        seen: list[Moves] = [read_before.moves]
        end = self.made + most
        trouble = Trouble(
            case=start.case,
            findings=start.own_findings,
            moves=start.moves,
            codes=frozenset(one.code for one in start.findings),
            plan=self._own.by_program,
            reach=self._reach,
        )
        for change in changes(trouble):
            if self.made >= end:
                break
            reading = self._read(change.case)
            if _breaks_off_sooner(change.case, reading, start) or any(_same(reading.moves, one) for one in seen):
                continue
            seen.append(reading.moves)
            outcome = self._prove(change, reading, start)
            if outcome.passes:
                return outcomes, outcome
            outcomes.append(outcome)
        return outcomes, None

    def _read(self, case: Case) -> Reading:
        return read(case.text, case.setup.control, strict=self._strict)

    def _prove(self, change: Change, reading: Reading, start: Outcome) -> Outcome:
        if self._tell is not None:
            self._tell(f"{self._name}: looking for the mistake", self.made / self._most)
        self.made += 1
        proofs = [prove_reading(change.case.setup, reading, self._name, before=self._before)]
        for (setup, program), text in zip(self._later, self._later_texts, strict=True):
            before = left_after(proofs)
            proofs.append(prove_setup(setup, text, program.name if program else "", before=before, strict=self._strict))
        after = (*start.after, start) if start.changes else ()
        return outcome_of(change.case, proofs, self._unlike(proofs[0]), self._earlier, (*start.changes, change), after)

    def _unlike(self, proof: SetupProof) -> float:
        """By how much metal the work differs from what the job's own program leaves, mm³."""
        good, is_ = self._good.heights, proof.heights
        if good.z.shape != is_.z.shape:
            return 0.0  # another resolution was asked for
        bottom = good.grid.stock.low[2]
        cell = good.grid.cell[0] * good.grid.cell[1]
        return float(np.abs(np.maximum(good.z, bottom) - np.maximum(is_.z, bottom)).sum() * cell)

    @cached_property
    def _good(self) -> SetupProof:
        """The job's own program, with zero and table as they should be."""
        setup = self._own.setup
        offsets = offset_table((), setup.job.tools, setup.operations, setup.job.compensation)
        control = replace(
            setup.control,
            origin=setup.control.report,
            offsets=lengthened(offsets, setup.control.touched_at),
        )
        good = replace(setup, control=control)
        return prove_setup(good, self._own.text, self._own.program_name, before=self._before)

    @cached_property
    def _reach(self) -> tuple[tuple[float, float, float], tuple[float, float, float]] | None:
        moves = self._good.moves
        feeds = moves.end[~moves.at_rapid]
        if not len(feeds):
            return None
        low, high = feeds.min(axis=0).tolist(), feeds.max(axis=0).tolist()
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _breaks_off_sooner(case: Case, reading: Reading, start: Outcome) -> bool:
    """Whether the control refuses a block no later than it did without the change."""
    if reading.error is None:
        return False
    left = sum(index >= reading.error.line - 1 for index in case.coded)
    return start.unread == 0 or left >= start.unread


def _same(moves: Moves, other: Moves) -> bool:
    """Whether two programs do the same."""
    return (
        len(moves) == len(other)
        and np.array_equal(moves.end, other.end)
        and np.array_equal(moves.kind, other.kind)
        and np.array_equal(moves.feed, other.feed, equal_nan=True)
        and np.array_equal(moves.modal, other.modal)
        and np.array_equal(moves.centre, other.centre, equal_nan=True)
        and moves.modals == other.modals
    )
