"""What a slip does to the part: each is a change to the actions, the set-up or the text, executed and cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from handwheel.errors import HandwheelError
from handwheel.plan import Route
from handwheel.proof.arithmetic import lift_over_jaws, sizes
from handwheel.proof.legs import is_reckoned
from handwheel.proof.model import Proof
from handwheel.proof.prove import Program, prove, prove_by_hand
from handwheel.proof.routes import Routes
from handwheel.proof.slips import drilling, keying, touching, winding, wording
from handwheel.proof.slips.model import Expected, Impossible, Mistake, Slip, SlipResult

__all__ = ["SLIPS", "Expected", "Slip", "SlipResult", "slip"]

SLIPS: Final[Mapping[str, Slip]] = MappingProxyType(
    {one.name: one for one in (*touching.SLIPS, *winding.SLIPS, *wording.SLIPS, *keying.SLIPS, *drilling.SLIPS)}
)
"""Every slip by its name, those by hand first."""


def slip(routes: Sequence[Routes], name: str, *, resolution: float | None = None) -> SlipResult:
    """Make a slip in the first set-up of a part in which it can happen, and see what comes of it.

    All else is done as planned.

    Parameters
    ----------
    routes : the job's own two routes in every set-up
    name : of the slip
    resolution : of the height map, mm; from the stock where left out

    Raises
    ------
    HandwheelError
        Where there is no slip of that name.
    """
    if name not in SLIPS:
        raise HandwheelError(f"there is no slip {name!r}; the slips are {', '.join(SLIPS)}")
    return made(routes, SLIPS[name], resolution=resolution)


def made(routes: Sequence[Routes], slip: Slip, *, resolution: float | None = None) -> SlipResult:
    """The same, by the slip itself."""
    cannot = ""
    for one in routes:
        mistake = slip.make(one)
        if isinstance(mistake, Impossible):
            cannot = cannot or mistake.why
            continue
        return SlipResult(
            name=slip.name,
            route=slip.route,
            what=mistake.sentence,
            notice=mistake.notice,
            cannot=None,
            expected=_expected(mistake, one),
            setup=mistake.setup,
            proof=_carried_out(routes, mistake, slip, resolution),
        )
    return SlipResult(slip.name, slip.route, slip.what, "", cannot, None, None, None)


def _expected(mistake: Mistake, routes: Routes) -> Expected:
    reckoned = sizes(mistake.setup, mistake.legs) if mistake.ways_clear else {}
    known = [size.name for size in mistake.setup.job.dimensions if reckoned and is_reckoned(routes, size)]
    return Expected(
        reckoning=mistake.reckoning,
        sizes={name: reckoned[name] for name in known},
        lift=lift_over_jaws(mistake.setup, mistake.legs),
        codes=mistake.codes,
    )


def _carried_out(routes: Sequence[Routes], mistake: Mistake, slip: Slip, resolution: float | None) -> Proof:
    number = mistake.setup.number
    with_it = [replace(one, setup=mistake.setup) if one.setup.number == number else one for one in routes]
    if slip.route is Route.BY_HAND:
        assert mistake.doing is not None
        return prove_by_hand(with_it, {number: mistake.doing}, resolution=resolution)
    assert mistake.text is not None
    return prove(with_it, {number: Program(slip.name, mistake.text)}, resolution=resolution)
