"""What an error budget says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from handwheel.plan import Route

BESIDE_THE_PROOF: Final = (
    "The proof is of geometry alone: every figure met, nothing bent. A job may pass it and yet have parts out of "
    "limits here: the budget is what cutter and hand add to it in a shop."
)
"""Stands wherever a budget's shares out of limits stand near a verdict."""


@dataclass(frozen=True, slots=True)
class Share:
    """One input's part in one size; mm.

    ``value`` is the half-width of what the input may be off by, or what it always is off by, one way (its spread is 0
    then); ``enters`` how the size follows it, once for each time
    it is made anew (a diameter at both sides of a width: 0.5 and 0.5; not at all: nothing); ``shift`` what it moves the
    size by on the average; ``spread`` its standard uncertainty in the size; ``source`` where the value comes from.
    """

    name: str
    value: float
    enters: tuple[float, ...]
    shift: float
    spread: float
    source: str


@dataclass(frozen=True, slots=True)
class Budget:
    """The errors of one size on one route; mm.

    ``shift`` is where the size lies on the average, counted from what the plan makes it; ``spread`` the
    root-sum-square of the shares; ``simulated_spread`` and ``out_of_limits`` (0…1) are from the simulated parts, none
    of them corrected. ``measured_in`` is the step in which the size is taken before the last cut: what is off on the
    average can be found and cut away there, and ``out_if_corrected`` is the share then (``None``: it is not taken).
    """

    dimension: str
    route: Route
    planned: float
    lower: float
    upper: float
    shares: tuple[Share, ...]
    shift: float
    spread: float
    simulated_spread: float
    out_of_limits: float
    out_if_corrected: float | None
    measured_in: int | None
