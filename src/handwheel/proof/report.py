"""A proof as JSON: lengths in the job's units, unrounded; names, never paths."""

from __future__ import annotations

from typing import Any

import numpy as np

from handwheel.proof.model import Proof, SetupProof
from handwheel.units import Units, to_units


def as_json(proof: Proof, units: Units, *, engagement: bool = False) -> dict[str, Any]:
    """The object that ``prove --json`` prints and ``report.json`` holds; with ``engagement`` what each move takes."""

    def size(length: float | None) -> float | None:
        return None if length is None else to_units(length, units) + 0.0

    return {
        "handwheel": 1,
        "job": proof.job,
        "program": proof.program,
        "units": units,
        "verdict": proof.verdict,
        "findings": [
            {
                "level": one.level,
                "code": one.code,
                "setup": one.setup,
                "line": one.line,
                "step": one.step,
                "at": None if one.at is None else [size(value) for value in one.at],
                "count": one.count,
                "message": one.message,
            }
            for one in proof.findings
        ],
        "dimensions": [
            {
                "name": one.name,
                "nominal": size(one.nominal),
                "lower": size(one.lower),
                "upper": size(one.upper),
                "measured": size(one.measured),
                "ok": one.ok,
            }
            for one in proof.dimensions
        ],
        "setups": [
            _setup(one, units) | ({"engagement": _engagement(one, units)} if engagement else {}) for one in proof.setups
        ],
    }


def _setup(proof: SetupProof, units: Units) -> dict[str, Any]:
    """One set-up: how it lies and is held, how near the tools came, what was cut, how long it took."""

    def size(length: float | None) -> float | None:
        return None if length is None else to_units(length, units) + 0.0

    cubed = to_units(1.0, units) ** 3
    setup, volume, seconds, clearance = proof.setup, proof.volume, proof.seconds, proof.clearance
    return {
        "name": setup.name,
        "program": proof.program,
        "up": setup.entry.up.value,
        "fixed_jaw": setup.entry.fixed_jaw.value,
        "clearance": {
            "vise": size(clearance.vise),
            "parallels": size(clearance.parallels),
            "table": size(clearance.table),
            "holder": size(clearance.holder),
        },
        "volume": {
            "stock": volume.stock * cubed,
            "removed": volume.removed * cubed,
            "left": volume.left * cubed,
            "error": volume.error * cubed,
        },
        "seconds": {
            "cutting": seconds.cutting,
            "rapid": seconds.rapid,
            "other": seconds.other,
            "total": seconds.total,
        },
        "moves": len(proof.moves),
        "stick_out": size(setup.stick_out),
        "grip": size(setup.grip),
        "air": size(setup.air),
    }


def _engagement(proof: SetupProof, units: Units) -> list[dict[str, Any]]:
    """What each move takes: volume, greatest depth and width of cut, removal rate a minute, and power in W."""
    one, cubed = to_units(1.0, units), to_units(1.0, units) ** 3
    engaged, moves = proof.heights.engagement, proof.moves
    minutes = np.divide(moves.length, moves.feed, out=np.full(len(moves), np.inf), where=moves.feed > 0)
    rate = np.divide(engaged.volume, minutes, out=np.zeros(len(moves)), where=minutes > 0)
    return [
        {
            "line": int(moves.line[row]),
            "step": int(moves.step[row]) or None,
            "volume": float(engaged.volume[row]) * cubed,
            "depth": float(engaged.depth[row]) * one,
            "width": float(engaged.width[row]) * one,
            "removal_rate": float(rate[row]) * cubed,
            "power_w": float(proof.power[row]),
        }
        for row in range(len(moves))
    ]
