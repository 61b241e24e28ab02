"""Good random jobs, and what is said of them once a mistake is planted."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from hypothesis import HealthCheck, Phase, given, settings
from jobs import Draft, drafts
from planted import Planted, plant

from handwheel.learn import Undone, why
from handwheel.proof import Program, Proof, Routes, SetupProof, prove_setup, routes_of

TRIED = 12
"""So many places for a mistake of one kind are looked at in a job, until one makes its proof fail."""


def _with_touch_off(draft: Draft, number: int) -> Draft:
    """Cutters of two lengths, a zero that is touched off with edge finder and gauge block, and compensation in two of
    three."""
    inch = draft.units == "in"
    first, second = draft.tools
    longer = {**first, "reach": first["reach"] + (0.3 if inch else 7.5)}
    finder = '{ with = "edge finder", diameter = %s }' % ("0.2" if inch else "10.0")
    block = '{ with = "gauge block", height = %s }' % ("0.5" if inch else "10.0")
    return replace(
        draft,
        compensation=("material-edge", "off", "tool-path", "material-edge", "material-edge")[number % 5],
        tools=(longer, second),
        extra=f"[touch_off]\nx = {finder}\ny = {finder}\nz = {block}",
    )


@cache
def good_jobs(count: int) -> tuple[Routes, ...]:
    """So many random jobs that prove, the same every time; most cut sides."""
    found: list[Routes] = []

    @settings(
        max_examples=3 * count + 20,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(draft=drafts())
    def collect(draft: Draft) -> None:
        if len(found) >= count or sum(one["do"] == "side" for one in draft.operations) < 1:
            return
        routes = routes_of(_with_touch_off(draft, len(found)).job())[0]
        if prove_setup(routes.setup, routes.text, "good.nc").verdict == "pass":
            found.append(routes)

    collect()
    return tuple(found)


def proved(routes: Routes, planted: Planted) -> tuple[SetupProof, tuple[Routes, ...]]:
    """The proof of a job with its mistake, and the job with it."""
    proof = prove_setup(planted.setup, planted.text, "suspect.nc")
    return proof, (Routes(planted.setup),)


def fails(proof: SetupProof) -> bool:
    """Whether there is anything to explain."""
    return proof.verdict == "fail" or any(one.code == "feed-too-low" for one in proof.findings)


def asked(kind: str, good: Routes, seed: int) -> tuple[Planted, tuple[Undone, ...]] | None:
    """A mistake of a kind that makes the proof fail, and what is said of it; ``None`` where the job has no room for
    one."""
    for planted in plant(kind, good.setup, good.text, seed)[:TRIED]:
        proof, routes = proved(good, planted)
        if fails(proof):
            return planted, why(routes, Proof((proof,)), {1: Program("suspect.nc", planted.text)})
    return None


def asked_of_two(kinds: tuple[str, str], good: Routes, seed: int) -> tuple[list[Planted], tuple[Undone, ...]] | None:
    """Two mistakes together, each of which makes the proof fail alone; ``None`` where the job has no room for them."""
    first, second = (list(plant(kind, good.setup, good.text, seed)[:TRIED]) for kind in kinds)
    for one in first:
        if not fails(proved(good, one)[0]):
            continue
        for other in plant(kinds[1], one.setup, one.text, seed)[:TRIED]:
            alone = next((same for same in second if (same.line, same.right) == (other.line, other.right)), None)
            if alone is None or not fails(proved(good, alone)[0]):
                continue
            proof, routes = proved(good, other)
            return [one, other], why(routes, Proof((proof,)), {1: Program("suspect.nc", other.text)})
    return None


def names_both(planted: list[Planted], causes: tuple[Undone, ...]) -> bool:
    """Whether two changes are told, they make the part pass, and they are the planted ones."""
    if len(causes) != 2 or causes[-1].verdict != "pass":
        return False
    return all(any(_is_of(one, told, 2) for told in causes) for one in planted)


def _is_of(planted: Planted, told: Undone, near: int) -> bool:
    if planted.line is None:
        return told.line is None and told.would_be.startswith(planted.right)
    return told.line is not None and abs(told.line - planted.line) <= near and planted.right in told.would_be


def names_it(planted: Planted, causes: tuple[Undone, ...]) -> bool:
    """Whether one change is told, it makes the part pass, and it is the planted one."""
    if len(causes) != 1 or causes[0].verdict != "pass":
        return False
    # a block that is put in may stand on either side of its neighbour
    return _is_of(planted, causes[0], 0 if causes[0].was else 1)
