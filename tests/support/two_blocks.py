"""Two whole jobs whose every number is known here, so that a test can say what one works out on paper."""

from __future__ import annotations

from typing import Any

from jobs import Draft


def _side(edge: str, to: float, depth: float, **more: Any) -> dict[str, Any]:
    return {"do": "side", "name": edge, "tool": 2, "edge": edge, "to": to, "depth": depth, **more}


def _size(name: str, axis: str, through: dict[str, float], nominal: float, within: float, gauge: str) -> dict[str, Any]:
    return {
        "name": name,
        "axis": axis,
        "through": through,
        "nominal": nominal,
        "plus": within,
        "minus": within,
        "gauge": gauge,
    }


STAND = Draft(
    units="in",
    size=(4.125, 2.5, 1.0),
    allowance={"left": 0.0625, "right": 0.0625, "front": 0.0625, "back": 0.0625, "top": 0.05},
    tolerance=0.03,
    material="aluminium-6061",
    vise={"like": "vise-6in"},
    extra="""[touch_off]
x = { with = "edge finder", diameter = 0.2 }
y = { with = "edge finder", diameter = 0.2 }
z = { with = "paper", thickness = 0.003 }
""",
    tools=({"number": 1, "like": "face-mill-2in-carbide"}, {"number": 2, "like": "end-mill-1/2in-hss"}),
    operations=(
        {"do": "face", "name": "top", "tool": 1},
        _side("front", 0.0, 0.4),
        _side("back", 2.375, 0.4, rough_to=[2.4, 2.385], spring_passes=1),
        _side("left", 0.0, 0.4),
        _side("right", 4.0, 0.4),
    ),
    dimensions=(
        _size("width", "y", {"x": 2.0, "z": -0.2}, 2.375, 0.002, "micrometer"),
        _size("length", "x", {"y": 1.1875, "z": -0.2}, 4.0, 0.005, "caliper"),
        _size("height", "z", {"x": 2.0, "y": 1.1875}, 0.95, 0.01, "micrometer"),
        {**_size("foot", "z", {"x": 2.0, "y": -0.05}, 0.4, 0.005, "height gauge"), "of": "step"},
    ),
)
"""A block 2.375 wide, 4.000 long, .950 high, its upper .400 milled all round; cutters 2 in and 1/2 in, 3.625 and 4.000
out of the spindle; .175 of air above the jaws."""

STOP = Draft(
    units="mm",
    size=(82.0, 50.0, 30.0),
    allowance={"left": 2.0, "front": 1.0, "back": 1.0, "top": 1.0},
    tolerance=0.5,
    material="steel-s235",
    vise={"like": "vise-125mm"},
    extra="""[touch_off]
x = { with = "edge finder", diameter = 10 }
y = { with = "edge finder", diameter = 10 }
z = { with = "gauge block", height = 10 }
""",
    tools=({"number": 1, "like": "face-mill-50mm-carbide"}, {"number": 2, "like": "end-mill-20mm-hss"}),
    operations=(
        {"do": "face", "name": "top", "tool": 1},
        _side("front", 0.0, 12.0),
        _side("back", 48.0, 12.0),
        _side("left", 0.0, 12.0, finish=0.3),
        _side("right", 68.0, 6.0),
    ),
    dimensions=(
        _size("width", "y", {"x": 34.0, "z": -8.0}, 48.0, 0.05, "micrometer"),
        _size("body length", "x", {"y": 24.0, "z": -3.0}, 68.0, 0.1, "caliper"),
        {**_size("lip depth", "z", {"x": 74.0, "y": 24.0}, 6.0, 0.05, "depth micrometer"), "of": "step"},
        _size("height", "z", {"x": 34.0, "y": 24.0}, 29.0, 0.2, "caliper"),
    ),
)
"""A bar 48 wide and 29 high, 68 long to a lip that lies 6 down; cutters 50 and 20, 90 and 118 out of the spindle; 3 of
air above the jaws."""
