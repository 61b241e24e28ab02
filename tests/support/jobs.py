"""Whole jobs for tests: one plain job, and random ones in the whole of the format."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from typing import Any

from hypothesis import strategies as st

from handwheel.job import Job, read_job_text

EDGES = ("front", "right", "back", "left")


@dataclass(frozen=True)
class Draft:
    """A job file's facts before they are text; numbers in the job's units."""

    units: str = "mm"
    size: tuple[float, float, float] = (80.0, 45.0, 30.0)
    allowance: dict[str, float] = field(
        default_factory=lambda: {"left": 2.0, "right": 2.0, "front": 1.5, "back": 3.0, "top": 1.0}
    )
    tolerance: float = 0.5
    zero: dict[str, str] = field(default_factory=dict)
    compensation: str = "material-edge"
    tools: tuple[dict[str, Any], ...] = (
        {"number": 1, "shape": "end mill", "diameter": 20.0, "flutes": 4, "flute_length": 38.0, "reach": 45.0},
    )
    operations: tuple[dict[str, Any], ...] = ()
    dimensions: tuple[dict[str, Any], ...] = ()
    vise: dict[str, Any] = field(default_factory=dict)
    material: str = "steel-s235"
    extra: str = ""

    def text(self) -> str:
        """The job file."""
        lines = ["handwheel = 1", 'title = "Test block"', f'units = "{self.units}"', f'material = "{self.material}"']
        lines.append(f'compensation = "{self.compensation}"')
        lines.append(self.extra)
        lines.append("[stock]")
        lines.append(f"size = {list(self.size)}")
        lines.append(f"tolerance = {self.tolerance}")
        lines.append(f"allowance = {_toml(self.allowance)}")
        if self.zero:
            lines += ["[zero]", *(f"{key} = {json.dumps(value)}" for key, value in self.zero.items())]
        if self.vise:
            lines += ["[vise]", *(f"{key} = {_toml(value)}" for key, value in self.vise.items())]
        for name, tables in (("tool", self.tools), ("operation", self.operations), ("dimension", self.dimensions)):
            for table in tables:
                lines += ["", f"[[{name}]]", *(f"{key} = {_toml(value)}" for key, value in table.items())]
        return "\n".join(lines) + "\n"

    def job(self) -> Job:
        """The job itself."""
        return read_job_text(self.text(), "test-block")


def with_setup(job: Job, **changes: Any) -> Job:
    """The job with something else asked for in its first set-up."""
    first, *others = job.setups
    return replace(job, setups=(replace(first, **changes), *others))


def sides(*edges: str, cut: str = "conventional", depth: float = 12.0, to: dict[str, float] | None = None) -> Draft:
    """The plain block with these sides milled to their finished faces."""
    draft = Draft()
    finished = finished_sides(draft)
    return replace(
        draft,
        operations=tuple(
            {
                "do": "side",
                "name": f"{edge} side",
                "tool": 1,
                "edge": edge,
                "to": (to or finished)[edge],
                "depth": depth,
                "cut": cut,
            }
            for edge in edges
        ),
    )


def finished_sides(draft: Draft) -> dict[str, float]:
    """Where the finished sides stand, worked out from the raw size (zero on left and front)."""
    allowance = {edge: draft.allowance.get(edge, 0.0) for edge in EDGES}
    return {
        "left": 0.0,
        "front": 0.0,
        "right": round(draft.size[0] - allowance["left"] - allowance["right"], 6),
        "back": round(draft.size[1] - allowance["front"] - allowance["back"], 6),
    }


@st.composite
def drafts(draw: st.DrawFn) -> Draft:
    """Random jobs: sizes, cutters, edges, overhangs, directions, units, zeros, compensation forms.

    All are sound: what sticks out clears the jaws, flutes are long enough for a depth pass, the cutter reaches down.
    Lengths are on the program's grid.
    """
    units = draw(st.sampled_from(["in", "mm"]))
    scale = 1.0 if units == "mm" else 1 / 25.4
    decimals = 2 if units == "mm" else 3

    def length(low: float, high: float) -> float:
        """A length between two in mm, in the job's units and on its grid."""
        step = 10**-decimals
        return round(draw(st.integers(round(low * scale / step), round(high * scale / step))) * step, decimals)

    depth = length(2, 20)
    top = length(0, 4)
    air = length(2, 5)
    grip = length(14, 30)
    tolerance = length(0, 1.5)
    allowance = {edge: length(0, 8) for edge in EDGES} | {"top": top}
    if draw(st.booleans()):
        allowance["bottom"] = length(0, 2)
    height = round(top + depth + air + grip, decimals)
    size = (length(25, 200), length(25, 140), height)
    finished = {
        "x": round(size[0] - allowance["left"] - allowance["right"], decimals),
        "y": round(size[1] - allowance["front"] - allowance["back"], decimals),
    }
    zero = {
        "x": draw(st.sampled_from(["left", "right", "centre"])),
        "y": draw(st.sampled_from(["front", "back", "centre"])),
        "z": draw(st.sampled_from(["top", "bottom"])),
    }
    shift_x = {"left": 0.0, "centre": finished["x"] / 2, "right": finished["x"]}[zero["x"]]
    shift_y = {"front": 0.0, "centre": finished["y"] / 2, "back": finished["y"]}[zero["y"]]
    at = {"left": -shift_x, "right": finished["x"] - shift_x, "front": -shift_y, "back": finished["y"] - shift_y}
    flute = length(25, 45)
    holder = [50 * scale, 60 * scale]
    face_tool = {
        "number": 1,
        "shape": draw(st.sampled_from(["face mill", "end mill", "corner-radius end mill"])),
        "diameter": length(12, 80),
        "flutes": draw(st.integers(2, 6)),
        "flute_length": flute,
        "reach": flute + 20 * scale,
        "holder": holder,
        "centre_cutting": False,
    }
    if face_tool["shape"] == "corner-radius end mill":
        face_tool["corner_radius"] = length(0.2, 2)
    side_tool = {
        "number": 2,
        "shape": "end mill",
        "diameter": length(6, 32),
        "flutes": draw(st.integers(2, 6)),
        "flute_length": flute,
        "reach": flute + 20 * scale,
        "holder": holder,
    }
    cuts = st.sampled_from(
        [
            "conventional",
            "climb",
            {"by_hand": "conventional", "by_program": "climb"},
            {"by_hand": "climb", "by_program": "conventional"},
        ]
    )
    operations: list[dict[str, Any]] = []
    facing = draw(st.booleans()) or top == 0
    if facing:
        operations.append(
            {
                "do": "face",
                "name": "top",
                "tool": 1,
                "path": draw(st.sampled_from(["perimeter", "rows"])),
                "overhang": draw(st.integers(147, 500)) / 1000,
                "overlap": draw(st.integers(5, 30)) / 100,
                "cut": draw(cuts),
            }
        )
    for edge in draw(st.lists(st.sampled_from(EDGES), unique=True, min_size=0 if facing else 1)):
        side: dict[str, Any] = {
            "do": "side",
            "name": f"{edge} side",
            "tool": draw(st.sampled_from([2, 2, 2])),
            "edge": edge,
            "to": round(at[edge], decimals + 1),
            "depth": depth,
            "cut": draw(cuts),
            "spring_passes": draw(st.integers(0, 1)),
        }
        if draw(st.booleans()):
            side["pass_depth"] = length(2, 20)
        operations.append(side)
    return Draft(
        units=units,
        size=size,
        allowance=allowance,
        tolerance=tolerance,
        zero=zero,
        compensation=draw(st.sampled_from(["material-edge", "tool-path", "off"])),
        tools=(face_tool, side_tool),
        operations=tuple(operations),
        vise={
            "jaw_height": round(60 * scale, decimals),
            "parallels": round(round(60 * scale, decimals) - grip, decimals),
            "air": air,
            "opening_max": round(160 * scale, decimals),
            "jaw_width": length(40, 160),
        },
        material="aluminium-6061" if units == "in" else draw(st.sampled_from(["steel-s235", "aluminium-6082"])),
    )


def _toml(value: Any) -> str:
    """A value as TOML writes it."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(one)}" for key, one in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return json.dumps(value)
