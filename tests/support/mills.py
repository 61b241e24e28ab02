"""Mills and touch-offs to put into a draft's ``extra``."""

from __future__ import annotations

from typing import Final

DIALS_ONLY: Final = "[machine.by_hand]\nreadout_step = 0\n"
WORN: Final = """[machine.by_hand]
readout_step = 0
[machine.by_hand.slides]
x = { per_turn = "1/8 in", graduation = "0.0005 in", backlash = "0.8 mm" }
y = { per_turn = "4 mm", graduation = "0.02 mm", backlash = "0.6 mm" }
knee = { per_turn = "1/8 in", graduation = "0.0125 mm", backlash = "1 mm" }
quill = { per_turn = "2 mm", graduation = "0.02 mm", backlash = "0.1 mm" }
"""
PLAYED_OUT: Final = """[machine.by_hand]
readout_step = 0
[machine.by_hand.slides]
x = { per_turn = "2 mm", graduation = "0.02 mm", backlash = "1.9 mm" }
y = { per_turn = "6 mm", graduation = "0.02 mm", backlash = "2.8 mm" }
knee = { per_turn = "2.5 mm", graduation = "0.02 mm", backlash = "1.3 mm" }
quill = { per_turn = "2 mm", graduation = "0.02 mm", backlash = "0.1 mm" }
"""
MILLS: Final = {
    "readout": "",
    "dials alone": DIALS_ONLY,
    "worn, of mixed systems": WORN,
    "with play of more than half a turn": PLAYED_OUT,
}
CUTTER: Final = ("cutter", "", "", "")
PROBES: Final[dict[str, dict[str, tuple[str, str, str, str]]]] = {
    "cutter": dict.fromkeys("xyz", CUTTER),
    "paper": dict.fromkeys("xyz", ("paper", "thickness", "0.05 mm", "0.003 in")),
    "edge finder": {
        "x": ("edge finder", "diameter", "10 mm", "0.2 in"),
        "y": ("edge finder", "diameter", "6 mm", "0.5 in"),
        "z": ("gauge block", "height", "10 mm", "1 in"),
    },
    "edge finder in Y alone": {"x": CUTTER, "y": ("edge finder", "diameter", "10 mm", "0.2 in"), "z": CUTTER},
    "as usual": {},
}


def touching(probes: str, units: str) -> str:
    """The job file's table for one of the ways to touch off."""
    lines = ["[touch_off]"]
    for axis, (with_, key, metric, inch) in PROBES[probes].items():
        size = f', {key} = "{metric if units == "mm" else inch}"' if key else ""
        lines.append(f'{axis} = {{ with = "{with_}"{size} }}')
    return "\n".join(lines) + "\n"
