"""The kinds of submission. A new kind is entered in ``KINDS``, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from handwheel.learn.whole_class.cutter_path import trace
from handwheel.learn.whole_class.judgement import Judgement
from handwheel.learn.why import why
from handwheel.proof import Program, Routes, prove

WHY_PROOFS: Final = 40
"""So many proofs look for the mistake in one submission at most."""
WHY_MOVES: Final = 20_000
"""No mistake is looked for in a program of more moves: forty proofs of it would take too long."""


@dataclass(frozen=True)
class Kind:
    """One kind of submission.

    Attributes
    ----------
    endings : of its files, small letters
    a_setup : whether it takes one file a set-up, in the order of their names; else it is one file
    judge : the job's routes and the files' bytes to a judgement; it may give one early that says less, and better ones
        after it: the last one counts
    """

    endings: frozenset[str]
    a_setup: bool
    judge: Callable[[tuple[Routes, ...], Sequence[bytes]], Iterator[Judgement]]


def judge_programs(routes: tuple[Routes, ...], contents: Sequence[bytes]) -> Iterator[Judgement]:
    """Prove one program a set-up as one part; then, where it fails, look for the mistake."""
    texts = [content.decode("utf-8-sig", errors="replace") for content in contents]
    programs = {one.setup.number: Program(one.program_name, text) for one, text in zip(routes, texts, strict=True)}
    proof = prove(routes, programs)
    told = proof.to_json()
    judged = Judgement(told, paths=tuple(trace(one.tip) for one in proof.setups))
    yield judged
    if proof.verdict == "fail" and sum(len(one.moves) for one in proof.setups) <= WHY_MOVES:
        causes = why(routes, proof, programs, most=WHY_PROOFS)
        yield Judgement(told, tuple(one.to_json() for one in causes), judged.paths)


KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {
        "program": Kind(
            frozenset({".nc", ".ngc", ".cnc", ".tap", ".gcode", ".txt"}),
            a_setup=True,
            judge=judge_programs,
        ),
    }
)
"""Every kind of submission, by name."""


def kind_of(ending: str) -> str | None:
    """The kind that a file's ending stands for.

    >>> kind_of(".NC"), kind_of(".pdf")
    ('program', None)
    """
    return next((name for name, kind in KINDS.items() if ending.lower() in kind.endings), None)
