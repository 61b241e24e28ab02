"""A comparison, its slips and its error budget as JSON and as CSV: lengths in the job's units, unrounded."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any

from handwheel.proof.budget import Budget
from handwheel.proof.comparison import Comparison, StepPair
from handwheel.proof.model import Proof
from handwheel.proof.slips import SlipResult
from handwheel.units import Units, to_units


def comparison_json(comparison: Comparison, units: Units, slips: Sequence[SlipResult] = ()) -> dict[str, Any]:
    """The object that ``compare --json`` prints; ``slips`` is there where some were made."""
    cubed = to_units(1.0, units) ** 3
    content: dict[str, Any] = {
        "handwheel": 1,
        "job": comparison.by_hand.job,
        "units": units,
        "by_hand": comparison.by_hand.to_json(),
        "by_program": comparison.by_program.to_json(),
        "difference": {
            "largest": to_units(comparison.difference.largest, units),
            "volume": comparison.difference.volume * cubed,
        },
        "steps": [_step(pair) for pair in comparison.steps],
        "budget": [_budget(one, units) for one in comparison.budget],
    }
    if slips:
        content["slips"] = [slip_json(one, units, comparison.by(one.route)) for one in slips]
    return content


def _step(pair: StepPair) -> dict[str, Any]:
    counts = pair.counts
    return {
        "step": pair.number,
        "title": pair.title,
        "ideas": [
            {
                "name": idea.name,
                "by_hand": idea.by_hand,
                "by_program": idea.by_program,
                "error_by_hand": idea.error_by_hand,
                "error_by_program": idea.error_by_program,
            }
            for idea in pair.ideas
        ],
        "actions": pair.actions,
        "lines": pair.lines,
        "blocks": pair.blocks,
        "counts": {
            "touches": counts.touches,
            "turns": counts.turns,
            "readings": counts.readings,
            "decisions": counts.decisions,
            "blocks": counts.blocks,
        },
        "seconds": {"by_hand": pair.seconds_by_hand, "by_program": pair.seconds_by_program},
    }


def _budget(one: Budget, units: Units) -> dict[str, Any]:
    def size(length: float) -> float:
        return to_units(length, units) + 0.0

    return {
        "dimension": one.dimension,
        "route": one.route.value,
        "planned": size(one.planned),
        "lower": size(one.lower),
        "upper": size(one.upper),
        "inputs": [
            {
                "name": share.name,
                "value": size(share.value),
                "enters": share.enters,
                "shift": size(share.shift),
                "spread": size(share.spread),
                "source": share.source,
            }
            for share in one.shares
        ],
        "shift": size(one.shift),
        "spread": size(one.spread),
        "simulated_spread": size(one.simulated_spread),
        "out_of_limits": one.out_of_limits,
        "out_if_corrected": one.out_if_corrected,
        "measured_in": one.measured_in,
    }


def slip_json(one: SlipResult, units: Units, sound: Proof) -> dict[str, Any]:
    """A slip; ``expected`` and ``proof`` are null where it cannot happen in the job, and ``cannot`` says why. ``sound``
    is the job's own proof by the slip's route."""
    expected = one.expected
    return {
        "name": one.name,
        "route": one.route.value,
        "what": one.what,
        "cannot": one.cannot,
        "notice": one.notice,
        "outcome": one.outcome(sound),
        "expected": None
        if expected is None
        else {
            "reckoning": expected.reckoning,
            "sizes": {
                name: None if value is None else to_units(value, units) + 0.0 for name, value in expected.sizes.items()
            },
            "lift": to_units(expected.lift, units),
            "codes": expected.codes,
        },
        "proof": None if one.proof is None else one.proof.to_json(),
    }


COLUMNS = (
    "step",
    "title",
    "idea",
    "actions",
    "lines",
    "blocks",
    "touches",
    "turns",
    "readings",
    "decisions",
    "block count",
    "seconds by hand",
    "seconds by program, with stops",
    "error by hand",
    "error by program",
)


def comparison_csv(comparison: Comparison) -> str:
    """The steps as a table for a spreadsheet, RFC 4180."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for pair in comparison.steps:
        counts = pair.counts
        writer.writerow(
            [
                pair.number,
                pair.title,
                "; ".join(f"{idea.by_hand} / {idea.by_program}" for idea in pair.ideas),
                _range(pair.actions),
                _range(pair.lines),
                _range(pair.blocks),
                counts.touches,
                round(counts.turns, 3),
                counts.readings,
                counts.decisions,
                counts.blocks,
                round(pair.seconds_by_hand, 1),
                round(pair.seconds_by_program, 1),
                "; ".join(idea.error_by_hand for idea in pair.ideas),
                "; ".join(idea.error_by_program for idea in pair.ideas),
            ]
        )
    return out.getvalue()


def _range(ends: tuple[object, object] | None) -> str:
    return "" if ends is None else f"{ends[0]} to {ends[1]}"
