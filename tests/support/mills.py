"""Mills and touch-offs to put into a draft's ``extra``."""

from __future__ import annotations

from typing import Final

DIALS_ONLY: Final = "[machine.by_hand]\nreadout_step = 0\n"
PROBES: Final[dict[str, dict[str, tuple[str, str, str, str]]]] = {
    "cutter": {},
    "paper": dict.fromkeys("xyz", ("paper", "thickness", "0.05 mm", "0.003 in")),
    "edge finder": {
        "x": ("edge finder", "diameter", "10 mm", "0.2 in"),
        "y": ("edge finder", "diameter", "6 mm", "0.5 in"),
        "z": ("gauge block", "height", "10 mm", "1 in"),
    },
    "edge finder in Y alone": {"y": ("edge finder", "diameter", "10 mm", "0.2 in")},
}


def touching(probes: str, units: str) -> str:
    """The job file's table for one of the ways to touch off."""
    lines = ["[touch_off]"]
    for axis, (with_, key, metric, inch) in PROBES[probes].items():
        lines.append(f'{axis} = {{ with = "{with_}", {key} = "{metric if units == "mm" else inch}" }}')
    return "\n".join(lines) + "\n"
