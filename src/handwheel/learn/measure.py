"""Measured parts against their drawing: a verdict a size, statistics, and what to correct."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from handwheel.job import Dimension
from handwheel.learn.correction import Correction, correction
from handwheel.learn.decision import SizeVerdict, decide
from handwheel.learn.response import Responses
from handwheel.learn.sizes import Measured
from handwheel.learn.statistics import Interval, deviation, mean, performance, trend
from handwheel.plan import Route
from handwheel.proof import Routes
from handwheel.proof.budget import budget
from handwheel.units import Units, to_units

EDITION: Final = "ISO 14253-1:2017"
"""By which ``guarded`` decides."""

SURE: Final = 2.0
"""A mean is off where it is off by more than so many of its own standard deviations (common practice)."""


@dataclass(frozen=True)
class MeasuredSize:
    """One size over all parts; lengths in mm.

    ``verdicts`` is one a part, ``None`` where it was not measured; ``out`` counts those that are out. Mean, deviation,
    trend, ``pp`` and ``ppk`` are of the parts since the last correction: across one they would say nothing.
    """

    dimension: Dimension
    uncertainty: float
    values: tuple[float, ...]
    verdicts: tuple[SizeVerdict | None, ...]
    since: tuple[float, ...]
    mean: float | None
    deviation: float | None
    trend: float | None
    pp: Interval | None
    ppk: Interval | None

    @property
    def name(self) -> str:
        """As the drawing has it."""
        return self.dimension.name

    @property
    def known(self) -> tuple[float, ...]:
        """What was measured."""
        return tuple(value for value in self.values if not math.isnan(value))

    @property
    def out(self) -> int:
        """How many parts are out."""
        return sum(one == "out" for one in self.verdicts)

    @property
    def verdict(self) -> SizeVerdict | None:
        """The worst of its parts; ``None`` where none was measured."""
        found = set(self.verdicts) - {None}
        worst: tuple[SizeVerdict, ...] = ("out", "doubtful", "in")
        return next((one for one in worst if one in found), None)


@dataclass(frozen=True)
class Measurements:
    """What the measured parts say; ``run`` counts the corrections before each part."""

    job: str
    units: Units
    parts: tuple[str, ...]
    run: tuple[int, ...]
    guarded: bool
    sizes: tuple[MeasuredSize, ...]
    corrections: tuple[Correction, ...]
    causes: Mapping[str, str]

    @property
    def passes(self) -> bool:
        """Whether nothing is out."""
        return not any(one.out for one in self.sizes)

    def to_json(self) -> dict[str, Any]:
        """The object that ``measure --json`` prints; lengths in the job's units."""

        def size(length: float | None) -> float | None:
            return None if length is None or math.isnan(length) else to_units(length, self.units) + 0.0

        return {
            "handwheel": 1,
            "job": self.job,
            "units": self.units,
            "parts": len(self.parts),
            "decided_by": EDITION if self.guarded else "drawing",
            "sizes": [
                {
                    "name": one.name,
                    "count": len(one.known),
                    "mean": size(one.mean),
                    "deviation": size(one.deviation),
                    "least": size(min(one.known, default=None)),
                    "most": size(max(one.known, default=None)),
                    "trend": size(one.trend),
                    "out": one.out,
                    "verdict": one.verdict,
                    "pp": _interval(one.pp),
                    "ppk": _interval(one.ppk),
                    "uncertainty": size(one.uncertainty),
                    "each": [
                        {"part": part, "value": size(value), "verdict": verdict}
                        for part, value, verdict in zip(self.parts, one.values, one.verdicts, strict=True)
                        if verdict is not None
                    ],
                }
                for one in self.sizes
            ],
            "corrections": [one.to_json(self.units) | {"cause": self.causes.get(one.size)} for one in self.corrections],
        }


def _interval(interval: Interval | None) -> dict[str, float] | None:
    return None if interval is None else {"value": interval.value, "low": interval.low, "high": interval.high}


def measure(
    routes: Sequence[Routes],
    measured: Measured,
    uncertainty: Mapping[str, float],
    *,
    guarded: bool = False,
) -> Measurements:
    """Judge measured parts.

    Parameters
    ----------
    routes : the job's own two routes in every set-up
    measured : the sizes, as :func:`handwheel.learn.read_sizes` gives them
    uncertainty : expanded, of each kind of gauge by its name, mm
    guarded : decide by ISO 14253-1 instead of by the drawing's own limits
    """
    job = routes[0].setup.job
    sizes = tuple(
        _size(one, measured, uncertainty.get(one.gauge, 0.0), guarded)
        for one in job.dimensions
        if one.name in measured.values
    )
    responses = Responses(tuple(routes))
    corrections = tuple(
        correction(responses, one.dimension, one.mean, one.since[-1])
        for one in sizes
        if one.mean is not None and _is_off(one, one.mean)
    )
    causes = _causes(routes, {one.size: one.off for one in corrections})
    return Measurements(job.name, job.units, measured.parts, measured.run, guarded, sizes, corrections, causes)


def _size(dimension: Dimension, measured: Measured, uncertainty: float, guarded: bool) -> MeasuredSize:
    values = measured.values[dimension.name]
    latest = max(measured.run)
    since = tuple(
        value for value, run in zip(values, measured.run, strict=True) if run == latest and not math.isnan(value)
    )
    lower, upper = dimension.lower, dimension.upper
    spread = deviation(since) if len(since) > 1 else None
    indices = performance(since, lower, upper)
    return MeasuredSize(
        dimension=dimension,
        uncertainty=uncertainty,
        values=values,
        verdicts=tuple(
            None if math.isnan(value) else decide(value, lower, upper, uncertainty, guarded=guarded) for value in values
        ),
        since=since,
        mean=mean(since) if since else None,
        deviation=spread,
        trend=trend(since),
        pp=indices and indices[0],
        ppk=indices and indices[1],
    )


def _is_off(size: MeasuredSize, typical: float) -> bool:
    """Whether the parts are off the middle by more than the gauge and chance account for: to correct for less makes it
    worse."""
    off = abs(typical - (size.dimension.lower + size.dimension.upper) / 2.0)
    chance = SURE * size.deviation / math.sqrt(len(size.since)) if size.deviation is not None else 0.0
    return off > max(size.uncertainty, chance)


def _causes(routes: Sequence[Routes], offs: Mapping[str, float]) -> dict[str, str]:
    """For each size that is off, which input of the error budget by program reaches furthest towards it."""
    # the budget knows parts of one set-up
    if not offs or len(routes) > 1:
        return {}
    causes = {}
    for one in budget(routes[0].setup):
        if one.route is not Route.BY_PROGRAM or one.dimension not in offs:
            continue
        reach = {
            share.name: abs(share.shift) + (share.value * abs(sum(share.enters)) if share.spread else 0.0)
            for share in one.shares
        }
        if reach and max(reach.values()) > 0.0:
            causes[one.dimension] = max(reach, key=lambda name: reach[name])
    return causes
