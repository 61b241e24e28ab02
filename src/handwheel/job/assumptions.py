"""What the manual clock and the error budget assume, by the names the reports print: a job may set each otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

SLIDE_NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {"x": "table", "y": "saddle", "knee": "knee", "quill": "quill"}
)

TIMES: Final[Mapping[str, float]] = MappingProxyType(
    {
        "a turn when winding": 0.6,
        "a setting read and met": 6.0,
        "a position by eye": 8.0,
        "a start of feed": 3.0,
        "a touch": 30.0,
        "a block or paper taken away": 3.0,
        "a dial set": 8.0,
        "a preset": 8.0,
        "a lock": 2.0,
        "a start or stop": 4.0,
        "a speed change": 25.0,
        "a cutter change": 90.0,
        "an edge finder put in": 45.0,
        "oil": 5.0,
        "cleaning": 20.0,
        "deburring": 30.0,
        "a micrometer reading": 30.0,
        "a caliper reading": 15.0,
        "a depth micrometer reading": 40.0,
        "a height gauge reading": 60.0,
        "a rule reading": 10.0,
        "a gauge pin reading": 15.0,
        "a bore gauge reading": 40.0,
        "a thread plug reading": 40.0,
        "a radius gauge reading": 15.0,
        "an indicator reading": 60.0,
    }
)
"""Seconds each, for a trained hand; a job's ``[times]`` overrides them by these names. Source: common practice."""

LENGTHS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "touch-off feel, cutter": (0.001, 0.02),
        "touch-off feel, edge finder": (0.0005, 0.01),
        "touch-off feel, paper": (0.0005, 0.01),
        "touch-off feel, gauge block": (0.0005, 0.01),
        "cutter diameter, as marked": (0.001, 0.025),
        "cutter diameter, as keyed in": (0.0003, 0.008),
        "tool length, as keyed in": (0.0005, 0.01),
        "repeatability by hand": (0.0005, 0.01),
        "repeatability by program": (0.0002, 0.005),
        "backlash left, by program": (0.0001, 0.002),
    }
)
"""Plus and minus so much, in inches and in millimeters. Source: common practice."""

NUMBERS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "share of backlash left on a dial": 0.1,
        "stiff share of the diameter": 0.8,
        "elasticity of HSS, GPa": 210.0,
        "elasticity of carbide, GPa": 600.0,
        "share by which the cutting force may differ": 0.3,
        "radial force as a share of the tangential": 0.4,
        "plus and minus of the radial force's share": 0.1,
    }
)
"""Plain numbers. Source: common practice; the radial force is 0.3 to 0.5 of the tangential one (from memory)."""

FROM_JOB: Final = (
    *(f"setting step, {name}" for name in SLIDE_NAMES.values()),
    "setting step, by program",
    *(f"backlash left, {name}" for name in SLIDE_NAMES.values()),
)
"""These follow from the job's machines, unless the job's ``[budget]`` says otherwise."""

BUDGET: Final = (*LENGTHS, *NUMBERS, *FROM_JOB)
"""All inputs of the error budget."""
