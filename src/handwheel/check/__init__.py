"""One module a question, each giving findings; codes and levels stand in one file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from handwheel.check import (
    climb,
    cutting,
    datum,
    doglegs,
    drilling,
    fixture,
    grip,
    holes,
    low_rapid,
    meeting_work,
    modes_set,
    power,
    rates,
    reading,
    stops,
    surface,
    taps,
    tooling,
    travel,
)
from handwheel.check import dimensions as _dimensions
from handwheel.check.finding import LEVELS, Finding, Level, in_order, level_of
from handwheel.check.gauged import Gauged
from handwheel.check.inspection import Inspection
from handwheel.check.power import power as spindle_power
from handwheel.tolerances import NEAR

__all__ = [
    "LEVELS",
    "Clearance",
    "Finding",
    "Gauged",
    "Inspection",
    "Level",
    "clearances",
    "dimensions",
    "findings",
    "level_of",
    "spindle_power",
]

Check = Callable[[Inspection], Iterator[Finding]]

CHECKS: Final[tuple[Check, ...]] = (
    reading.findings,
    modes_set.findings,
    datum.findings,
    stops.findings,
    fixture.findings,
    meeting_work.findings,
    doglegs.findings,
    low_rapid.findings,
    tooling.findings,
    rates.findings,
    travel.findings,
    grip.findings,
    climb.findings,
    power.findings,
    cutting.findings,
    drilling.findings,
    holes.findings,
    taps.findings,
    _dimensions.findings,
    surface.findings,
)
"""Every question that is asked."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """The nearest that flutes, shank and holder come to what holds the work, and the holder to the standing work; mm.

    Where they overlap, minus the least lift that frees them; ``None`` where nothing came nearer than ``NEAR``.
    """

    vise: float | None
    parallels: float | None
    table: float | None
    holder: float | None


def findings(inspection: Inspection) -> tuple[Finding, ...]:
    """Everything that is found: a cause before what follows from it, else the gravest first."""
    return in_order(finding for check in CHECKS for finding in check(inspection))


def clearances(inspection: Inspection) -> Clearance:
    """How near the tools come."""
    vise, parallels, table = (
        near.approach.gap if near.approach else None
        for near in (inspection.near_vise, inspection.near_parallels, inspection.near_table)
    )
    met = inspection.standing
    if met.holder.any():
        holder: float | None = -float(met.holder.max())
    else:
        holder = met.gap if met.gap < NEAR else None
    return Clearance(vise, parallels, table, holder)


def dimensions(inspection: Inspection) -> tuple[Gauged, ...]:
    """Every dimension of the job as it came out."""
    return inspection.gauged
