"""Why did it fail? The program is proved again with one known mistake undone at a time, until it passes.

Nothing is guessed: what is told was cut. The search is bounded by the number of proofs, never by the clock, so that its
answer is the same everywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from handwheel.learn.case import Case, case_of
from handwheel.learn.mistakes import changes
from handwheel.learn.trouble import Change, Trouble
from handwheel.motion import Moves
from handwheel.proof import Program, Proof, Routes, SetupProof, left_after, prove_reading, prove_setup
from handwheel.proof.model import Verdict
from handwheel.rs274 import Reading, read

Tell = Callable[[str, float], None]

PROOFS: Final = 300
"""So many proofs are made at most."""

ALONE: Final = 0.6
"""The share of them that looks for one mistake; what is left looks for two."""

BEAM: Final = 4
"""So many single changes, those that leave least, are tried together with a second one."""

TOOL_SPOILED: Final = "feed-too-low"
"""A part that passes may still have been rubbed to size: a feed a tooth typed as a feed a minute."""


@dataclass(frozen=True)
class Undone:
    """A mistake undone, and what the proof says then.

    ``setup`` is its name, ``line`` that of the program as it was given (``None``: the set-up is concerned); ``was`` and
    ``would_be`` are what it says and should say; ``leaves`` are the codes of what is still wrong with this and the
    changes told before it.
    """

    change: str
    setup: str
    line: int | None
    was: str
    would_be: str
    verdict: Verdict
    leaves: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """The object in the list that ``prove --why --json`` gives as ``why``."""
        return {
            "change": self.change,
            "setup": self.setup,
            "line": self.line,
            "was": self.was,
            "would_be": self.would_be,
            "verdict": self.verdict,
            "leaves": list(self.leaves),
        }


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
    grave = _grave_codes(proof.setups)
    if not grave:
        return ()
    programs = programs or {}
    suspects = sorted(programs) or [one.setup.number for one in routes]
    failing = [number for number in suspects if _grave_codes(proof.setups[number - 1 : number])]
    suspects = failing or suspects
    best: _Found | None = None
    for number in suspects:
        bench = _Bench(tuple(routes), proof, programs, number, strict, most // len(suspects), tell)
        found = bench.search()
        if found is not None and (best is None or found.key < best.key):
            best = found
        if best is not None and best.passes:
            break
    return best.told if best is not None else ()


@dataclass(frozen=True)
class _Outcome:
    """What is cut with a case: the proofs from its set-up on."""

    case: Case
    proofs: tuple[SetupProof, ...]
    changes: tuple[Change, ...] = ()
    after: tuple[_Outcome, ...] = ()

    @cached_property
    def codes(self) -> tuple[str, ...]:
        return _grave_codes(self.proofs)

    @property
    def passes(self) -> bool:
        return not self.codes

    @cached_property
    def unread(self) -> int:
        """How many blocks are not read."""
        error = next((one.line for one in self.proofs[0].findings if one.code == "bad-block" and one.line), None)
        return 0 if error is None else sum(index >= error - 1 for index in self.case.coded)

    @cached_property
    def wrong(self) -> frozenset[str]:
        """All that is wrong, a word each: sizes by their names."""
        sizes = {f"size {one.name}" for one in self.proofs[-1].dimensions if not one.ok}
        return frozenset({*self.codes, *sizes} - {"dimension-out"})

    @cached_property
    def key(self) -> tuple[int, int, int, float]:
        """How bad it is: less is better."""
        grave = [one for one in self._findings if one.level in ("stop", "reject")]
        missing = 10.0 * max(self.proofs[0].setup.raw.size)
        off = sum(
            missing if one.measured is None else max(one.lower - one.measured, one.measured - one.upper, 0.0)
            for one in self.proofs[-1].dimensions
        )
        return self.unread, len(self.wrong), sum(one.count for one in grave), off

    @property
    def _findings(self) -> tuple[Any, ...]:
        return tuple(finding for one in self.proofs for finding in one.findings)


@dataclass(frozen=True)
class _Found:
    """The best that was found."""

    outcome: _Outcome

    @property
    def passes(self) -> bool:
        return self.outcome.passes

    @property
    def key(self) -> tuple[int, int, int, float]:
        return self.outcome.key

    @property
    def told(self) -> tuple[Undone, ...]:
        outcomes = (*self.outcome.after, self.outcome)
        return tuple(
            Undone(
                change=f"{change.because} {_with_it(number, outcome)}",
                setup=outcome.case.setup.name,
                line=change.line,
                was=change.was,
                would_be=change.would_be,
                verdict="pass" if outcome.passes else "fail",
                leaves=outcome.codes,
            )
            for number, (change, outcome) in enumerate(zip(self.outcome.changes, outcomes, strict=True), start=1)
        )


def _with_it(number: int, outcome: _Outcome) -> str:
    it = "it" if number == 1 else "both"
    if outcome.passes:
        return f"With {it} the part passes."
    return f"With {it} there is still: {', '.join(outcome.codes)}."


def _grave_codes(proofs: Sequence[SetupProof]) -> tuple[str, ...]:
    """The codes for which a proof fails, in order; where it passes, what spoils the tool."""
    findings = [one for proof in proofs for one in proof.findings]
    grave = [one.code for one in findings if one.level in ("stop", "reject")]
    return tuple(dict.fromkeys(grave or (one.code for one in findings if one.code == TOOL_SPOILED)))


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
        self._failed = _Outcome(case_of(text, self._own.setup), proof.setups[number - 1 :])
        self._seen: list[Reading] = []

    def search(self) -> _Found | None:
        failed = self._failed
        first, passed = self._round(failed, round(self._most * ALONE))
        if passed is not None:
            return _Found(passed)
        helped = sorted((one for one in first if one.key < failed.key), key=lambda one: one.key)
        best = [one for one in helped if one.wrong < failed.wrong or one.unread < failed.unread]
        for turn, one in enumerate(beam := helped[:BEAM]):
            share = (self._most - self.made) // (len(beam) - turn)
            second, passed = self._round(one, share)
            if passed is not None:
                return _Found(passed)
            del second
        return _Found(best[0]) if best else None

    def _round(self, start: _Outcome, most: int) -> tuple[list[_Outcome], _Outcome | None]:
        """Prove a case with one more change at a time: what came of each, and the first that passes."""
        outcomes: list[_Outcome] = []
        read_before = self._read(start.case)
        seen: list[Moves] = [read_before.moves]
        end = self.made + most
        trouble = Trouble(
            case=start.case,
            proof=start.proofs[0],
            codes=frozenset(one.code for proof in start.proofs for one in proof.findings),
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

    def _prove(self, change: Change, reading: Reading, start: _Outcome) -> _Outcome:
        if self._tell is not None:
            self._tell(f"{self._name}: looking for the mistake", self.made / self._most)
        self.made += 1
        proofs = [prove_reading(change.case.setup, reading, self._name, before=self._before)]
        for (setup, program), text in zip(self._later, self._later_texts, strict=True):
            before = left_after(proofs)
            proofs.append(prove_setup(setup, text, program.name if program else "", before=before, strict=self._strict))
        after = (*start.after, start) if start.changes else ()
        return _Outcome(change.case, tuple(proofs), (*start.changes, change), after)

    @cached_property
    def _reach(self) -> tuple[tuple[float, float, float], tuple[float, float, float]] | None:
        control = self._own.setup.control
        moves = read(self._own.text, replace(control, origin=control.report)).moves
        feeds = moves.end[~moves.at_rapid]
        if not len(feeds):
            return None
        low, high = feeds.min(axis=0).tolist(), feeds.max(axis=0).tolist()
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _breaks_off_sooner(case: Case, reading: Reading, start: _Outcome) -> bool:
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
