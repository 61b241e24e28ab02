"""What came of a program with some of its mistakes undone: what is still wrong, how bad it is, and how it is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import zip_longest
from typing import Any, Final

from handwheel.check import Finding
from handwheel.learn.case import Case
from handwheel.learn.trouble import Change
from handwheel.motion import Moves
from handwheel.proof import SetupProof
from handwheel.proof.model import Verdict, verdict_of

BEAM: Final = 4
"""So many single changes of each sort that brings one nearer are tried together with a second one."""

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


@dataclass(frozen=True)
class Outcome:
    """What came of a case, without the part itself: there are hundreds of them.

    Attributes
    ----------
    findings, own_findings : of all set-ups, and of its own alone
    moves : of its set-up
    sizes_out : the names of the sizes that are out
    unlike : how much metal the work differs by from what the job's own program leaves, mm³
    changes, after : what was changed, and what came of it up to the last
    """

    case: Case
    findings: tuple[Finding, ...]
    own_findings: tuple[Finding, ...]
    moves: Moves
    sizes_out: frozenset[str]
    unlike: float
    changes: tuple[Change, ...] = ()
    after: tuple[Outcome, ...] = ()

    @cached_property
    def codes(self) -> tuple[str, ...]:
        """What is still wrong."""
        return grave_codes(self.findings)

    @property
    def passes(self) -> bool:
        """Whether nothing is."""
        return not self.codes

    @cached_property
    def unread(self) -> int:
        """How many blocks are not read."""
        error = next((one.line for one in self.own_findings if one.code == "bad-block" and one.line), None)
        return 0 if error is None else sum(index >= error - 1 for index in self.case.coded)

    @cached_property
    def wrong(self) -> frozenset[str]:
        """All that is wrong, a word each: sizes by their names."""
        return frozenset({*self.codes, *(f"size {name}" for name in self.sizes_out)} - {"dimension-out"})

    @cached_property
    def told_codes(self) -> frozenset[str]:
        """The codes of all that is more than worth knowing."""
        return frozenset(one.code for one in self.findings if one.level != "note")

    @cached_property
    def key(self) -> tuple[int, int, int, float]:
        """How bad it is: less is better."""
        grave = sum(one.count for one in self.findings if one.level in ("stop", "reject"))
        return self.unread, len(self.wrong), grave, self.unlike

    @property
    def told(self) -> tuple[Undone, ...]:
        """Its changes, each with what the proof said then."""
        outcomes = (*self.after, self)
        return tuple(
            Undone(
                change=f"{change.because} {_with_it(number, outcome)}",
                setup=outcome.case.setup.name,
                line=change.line,
                was=change.was,
                would_be=change.would_be,
                verdict=verdict_of(outcome.findings),
                leaves=outcome.codes,
            )
            for number, (change, outcome) in enumerate(zip(self.changes, outcomes, strict=True), start=1)
        )


def outcome_of(
    case: Case,
    proofs: Sequence[SetupProof],
    unlike: float,
    earlier: tuple[Finding, ...] = (),
    changes: tuple[Change, ...] = (),
    after: tuple[Outcome, ...] = (),
) -> Outcome:
    """What is kept of the proofs from a case's set-up on; ``earlier`` are the findings of the set-ups before it."""
    return Outcome(
        case=case,
        findings=(*earlier, *(finding for one in proofs for finding in one.findings)),
        own_findings=proofs[0].findings,
        moves=proofs[0].moves,
        sizes_out=frozenset(one.name for one in proofs[-1].dimensions if not one.ok),
        unlike=unlike,
        changes=changes,
        after=after,
    )


def _with_it(number: int, outcome: Outcome) -> str:
    it = "it" if number == 1 else "both"
    if outcome.passes:
        return f"With {it} the part passes."
    return f"With {it} there is still: {', '.join(outcome.codes)}."


def grave_codes(findings: Sequence[Finding]) -> tuple[str, ...]:
    """The codes for which a proof fails, in order; where it passes, what spoils the tool."""
    grave = [one.code for one in findings if one.level in ("stop", "reject")]
    return tuple(dict.fromkeys(grave or (one.code for one in findings if one.code == TOOL_SPOILED)))


def nearer(failed: Outcome, outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Those that a second change may finish: after which more is read, least is wrong, the part is most like itself,
    or something that was wrong is no more, the likeliest first."""
    sorts = (
        sorted((one for one in outcomes if one.key < failed.key), key=lambda one: one.key),
        [one for one in outcomes if failed.told_codes - one.told_codes],
        sorted((one for one in outcomes if one.unlike < failed.unlike), key=lambda one: (one.unread, one.unlike)),
    )
    found = [one for each in zip_longest(*(one[:BEAM] for one in sorts)) for one in each if one is not None]
    return list({id(one): one for one in found}.values())
