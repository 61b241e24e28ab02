"""A whole part proved, set-up after set-up: each cuts what the ones before have left."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from handwheel.cut.part import Part
from handwheel.hand import Action
from handwheel.proof.by_hand import prove_setup_by_hand
from handwheel.proof.by_program import prove_setup
from handwheel.proof.model import Proof, SetupProof
from handwheel.proof.routes import Routes

Tell = Callable[[str, float], None]


@dataclass(frozen=True)
class Program:
    """The text of a program, or its lines, and what it is called in the report."""

    name: str
    source: str | Iterable[str]


def prove(
    routes: Sequence[Routes],
    programs: Mapping[int, Program] | None = None,
    *,
    strict: bool = False,
    resolution: float | None = None,
    tell: Tell | None = None,
) -> Proof:
    """Prove a part by program.

    Parameters
    ----------
    routes : the job's own two routes in every set-up, in order
    programs : by the number of its set-up, from 1, what is proved instead of the job's own program
    strict : refuse what the standard refuses though many controls take it
    resolution : of the height map, mm; from the stock where left out
    tell : is told what is being done, and the share of the whole that is done before it

    Raises
    ------
    HandwheelError
        Where the resolution asks for more cells than there may be. A faulty program raises nothing: it is a finding.
    """
    proofs: list[SetupProof] = []
    for index, one in enumerate(routes):
        program = (programs or {}).get(one.setup.number) or Program(one.program_name, one.text)
        proofs.append(
            prove_setup(
                one.setup,
                program.source,
                program.name,
                before=left_after(proofs),
                strict=strict,
                resolution=resolution,
                tell=_share(tell, index, len(routes)),
            )
        )
    return Proof(tuple(proofs))


def prove_by_hand(
    routes: Sequence[Routes],
    doings: Mapping[int, Sequence[Action]] | None = None,
    *,
    resolution: float | None = None,
) -> Proof:
    """Prove a part by hand.

    Parameters
    ----------
    routes : the job's own two routes in every set-up, in order
    doings : by the number of its set-up, from 1, what is done instead of what the route sheet says
    resolution : of the height map, mm; from the stock where left out
    """
    proofs: list[SetupProof] = []
    for one in routes:
        doing = (doings or {}).get(one.setup.number, one.doing)
        proofs.append(prove_setup_by_hand(one.setup, doing, before=left_after(proofs), resolution=resolution))
    return Proof(tuple(proofs))


def left_after(proofs: Sequence[SetupProof]) -> Part | None:
    """The part after these set-ups, in its own frame; ``None`` where there are none."""
    if not proofs:
        return None
    last = proofs[-1]
    return last.part.seen_from(last.setup.placement.inverse())


def _share(tell: Tell | None, index: int, count: int) -> Tell | None:
    if tell is None or count == 1:
        return tell
    return lambda what, share: tell(what, (index + share) / count)
