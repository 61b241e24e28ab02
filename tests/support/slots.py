"""Random slots for tests: any run, width, ends and entry, one or several to a job."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from jobs import Draft

HEIGHT = 40.0


@st.composite
def slotted(draw: st.DrawFn) -> Draft:
    """A block of random size with one or two slots that do not meet; lengths on the program's grid and on half a
    readout's step; by hand down the middle of a drilled place or straight down."""

    def length(low: float, high: float, step: float = 0.1) -> float:
        return round(draw(st.integers(round(low / step), round(high / step))) * step, 6)

    x, y = length(70, 160), length(70, 120)
    diameter = draw(st.sampled_from([6.0, 8.0, 10.0, 12.0]))
    operations: list[dict[str, Any]] = []
    across, run = draw(st.sampled_from([(y, x), (x, y)]))
    along = "x" if run == x and across == y else "y"
    for index in range(draw(st.integers(1, 2))):
        width = diameter if draw(st.booleans()) else round(diameter + length(0.6, 8), 6)
        lane = across / 2 * (index + 0.5)
        slot: dict[str, Any] = {
            "do": "slot",
            "name": f"slot {index + 1}",
            "tool": 1,
            "along": along,
            "middle": round(lane, 1),
            "width": width,
            "depth": length(1, 12),
            "cut": draw(st.sampled_from(["conventional", "climb"])),
            "entry": draw(st.sampled_from(["plunge", "ramp"])),
        }
        kind = draw(st.sampled_from(["through", "low", "high", "closed"]))
        inner = (length(8, run * 0.25), length(run * 0.25 + 12 + width, run - 8))
        if kind != "through":
            slot["ends"] = [
                -20.0 if kind == "low" else inner[0],
                run + 20.0 if kind == "high" else max(inner[1], inner[0] + width),
            ]
        if draw(st.booleans()):
            slot["pass_depth"] = length(1, 6)
        operations.append(slot)
    sizes = tuple(
        {
            "name": f"width {index + 1}",
            "axis": "y" if along == "x" else "x",
            "of": "inside",
            "at": slot["middle"],
            "through": {along: round(run / 4 + 6 + slot["width"] / 2, 1), "z": -slot["depth"] / 2},
            "nominal": slot["width"],
            "plus": 0.06,
            "minus": 0.06,
        }
        for index, slot in enumerate(operations)
    )
    return Draft(
        size=(x, y, HEIGHT),
        allowance={},
        tolerance=0.5,
        compensation=draw(st.sampled_from(["material-edge", "tool-path", "off"])),
        tools=(
            {
                "number": 1,
                "shape": "end mill",
                "diameter": diameter,
                "flutes": 3,
                "flute_length": 30.0,
                "reach": 40.0,
                "centre_cutting": True,
            },
        ),
        operations=tuple(operations),
        dimensions=sizes,
    )
