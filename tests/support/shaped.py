"""Random jobs of pockets, outlines and chamfers for tests; all are sound."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st
from jobs import Draft

HEIGHT = 42.0
MILL, CHAMFER = 1, 2


def tools(diameter: float) -> tuple[dict[str, Any], ...]:
    return (
        {
            "number": MILL,
            "shape": "end mill",
            "diameter": diameter,
            "flutes": 3,
            "flute_length": 30.0,
            "reach": 42.0,
            "centre_cutting": True,
        },
        {
            "number": CHAMFER,
            "shape": "chamfer mill",
            "diameter": 10.0,
            "tip_diameter": 1.0,
            "point_angle": "90 deg",
            "flutes": 4,
            "flute_length": 12.0,
            "reach": 40.0,
        },
    )


@st.composite
def shaped(draw: st.DrawFn) -> Draft:
    """A block whose rim is an outline, with a pocket in it, and chamfers on either; lengths on the program's grid."""

    def length(low: float, high: float, step: float = 0.1) -> float:
        return round(draw(st.integers(round(low / step), round(high / step))) * step, 6)

    diameter = draw(st.sampled_from([6.0, 8.0, 10.0, 12.0]))
    least = math.ceil(diameter / 2 * 1.05 * 10) / 10
    x, y = length(70, 150), length(60, 110)
    side = length(0, 4)
    cut = draw(st.sampled_from(["conventional", "climb"]))
    rim = draw(
        st.one_of(
            st.just({"block": True, "corner_radius": length(0, 14)}),
            st.just({"circle": [x / 2, y / 2], "diameter": min(x, y)}),
            st.just(_notched(x, y, length(3, 12), least + length(0, 4))),
        )
    )
    operations: list[dict[str, Any]] = []
    deep = length(6, 16)
    if draw(st.booleans()):
        operations.append({"do": "outline", "name": "rim", "tool": MILL, "shape": rim, "depth": deep, "cut": cut})
    wide, high = length(diameter * 1.6, 40), length(diameter * 1.6, 30)
    middle = (round(x / 2, 1), round(y / 2, 1))
    radius = min(least + length(0, 5), min(wide, high) / 2)
    well = draw(
        st.one_of(
            st.just(
                {
                    "rectangle": [
                        middle[0] - wide / 2,
                        middle[1] - high / 2,
                        middle[0] + wide / 2,
                        middle[1] + high / 2,
                    ],
                    "corner_radius": radius,
                }
            ),
            st.just({"circle": list(middle), "diameter": max(wide, high)}),
        )
    )
    if draw(st.booleans()) or not operations:
        operations.append(
            {
                "do": "pocket",
                "name": "well",
                "tool": MILL,
                "shape": well,
                "depth": length(1, 12),
                "floor": draw(st.sampled_from([0.0, 0.2])),
                "cut": cut,
                "entry": draw(st.sampled_from(["plunge", "ramp"])),
            }
        )
    if operations[-1]["do"] == "pocket" and draw(st.booleans()) and (radius >= 3.0 or "circle" in well):
        operations.append(
            {"do": "chamfer", "name": "mouth", "tool": CHAMFER, "shape": well, "within": True, "size": length(0.1, 0.4)}
        )
    if operations[0]["do"] == "outline" and "start" not in rim and rim.get("corner_radius", 1) > 0:
        operations.append({"do": "chamfer", "name": "edge", "tool": CHAMFER, "shape": rim, "size": length(0.2, 1)})
    return Draft(
        size=(x + 2 * side, y + 2 * side, HEIGHT),
        allowance={"left": side, "right": side, "front": side, "back": side},
        tolerance=0.3,
        compensation=draw(st.sampled_from(["material-edge", "tool-path", "off"])),
        tools=tools(diameter),
        operations=tuple(operations),
        material="aluminium-6082",
    )


def _notched(x: float, y: float, deep: float, radius: float) -> dict[str, Any]:
    """The block with an oblique corner and a rounded notch in its front."""
    left, right = round(x / 2 - radius - 4, 3), round(x / 2 + radius + 4, 3)
    deep = round(deep + radius, 3)
    return {
        "start": [0.0, 0.0],
        "path": [
            {"to": [left, 0.0]},
            {"to": [left, round(deep - radius, 3)]},
            {"to": [round(left + radius, 3), deep], "turn": "cw", "radius": round(radius, 3)},
            {"to": [round(right - radius, 3), deep]},
            {"to": [right, round(deep - radius, 3)], "turn": "cw", "radius": round(radius, 3)},
            {"to": [right, 0.0]},
            {"to": [x, 0.0]},
            {"to": [x, round(y - 9.0, 3)]},
            {"to": [round(x - 14.0, 3), y]},
            {"to": [0.0, y]},
        ],
    }
