"""What a slip does to the part: each is a change to the actions, the set-up or the text, executed and cut."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from handwheel.errors import HandwheelError
from handwheel.plan import Route
from handwheel.proof.arithmetic import lift_over_jaws, sizes
from handwheel.proof.by_hand import prove_by_hand
from handwheel.proof.by_program import prove
from handwheel.proof.model import Proof
from handwheel.proof.routes import Routes
from handwheel.proof.slips import keying, touching, winding, wording
from handwheel.proof.slips.model import Expected, Impossible, Mistake, Slip, SlipResult
from handwheel.setup import Setup

__all__ = ["SLIPS", "Expected", "Slip", "SlipResult", "slip"]

SLIPS: Final[Mapping[str, Slip]] = MappingProxyType(
    {one.name: one for one in (*touching.SLIPS, *winding.SLIPS, *wording.SLIPS, *keying.SLIPS)}
)
"""Every slip by its name, those by hand first."""


def slip(setup: Setup, name: str, *, resolution: float | None = None) -> SlipResult:
    """Make a slip in a job and see what comes of it.

    Parameters
    ----------
    setup : the work as it is clamped
    name : of the slip
    resolution : of the height map, mm; from the stock where left out

    Raises
    ------
    HandwheelError
        Where there is no slip of that name.
    """
    if name not in SLIPS:
        raise HandwheelError(f"there is no slip {name!r}; the slips are {', '.join(SLIPS)}")
    return made(Routes(setup), SLIPS[name], resolution=resolution)


def made(routes: Routes, slip: Slip, *, resolution: float | None = None) -> SlipResult:
    """The same, where both routes have been worked out already."""
    mistake = slip.make(routes)
    if isinstance(mistake, Impossible):
        return SlipResult(slip.name, slip.route, slip.what, "", mistake.why, None, None, None)
    proof = _carried_out(mistake, slip, resolution)
    return SlipResult(
        name=slip.name,
        route=slip.route,
        what=mistake.sentence,
        notice=mistake.notice,
        cannot=None,
        expected=_expected(mistake),
        setup=mistake.setup,
        proof=proof,
    )


def _expected(mistake: Mistake) -> Expected:
    return Expected(
        reckoning=mistake.reckoning,
        sizes=sizes(mistake.setup, mistake.legs) if mistake.ways_clear else {},
        lift=lift_over_jaws(mistake.setup, mistake.legs),
        codes=mistake.codes,
    )


def _carried_out(mistake: Mistake, slip: Slip, resolution: float | None) -> Proof:
    if slip.route is Route.BY_HAND:
        return prove_by_hand(mistake.setup, mistake.doing, resolution=resolution)
    assert mistake.text is not None
    return prove(mistake.setup, mistake.text, slip.name, resolution=resolution)
