"""Whole parts for tests: jobs of several set-ups, the part turned over between them."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import strategies as st

from handwheel.job import Job, read_job_text

MILL = """
[[tool]]
number = 1
shape = "end mill"
diameter = 20
flutes = 4
flute_length = 60
reach = 75
material = "HSS"
holder = [50, 60]

[[tool]]
number = 2
shape = "face mill"
diameter = 50
flutes = 5
flute_length = 12
reach = 45
material = "carbide"
holder = [40, 60]
"""


@dataclass(frozen=True)
class Part:
    """A block with an allowance all round, cut on four sides from above, turned over, and cut from below.

    Lengths in mm. ``deep`` is how deep the sides go from above; the second set-up takes the rest of them. ``second`` is
    which face looks up then, and which is on the fixed jaw.
    """

    finished: tuple[float, float, float] = (80.0, 43.0, 25.0)
    side: float = 1.5
    top: float = 1.0
    bottom: float = 6.0
    deep: float = 17.0
    second: tuple[str, str] = ("bottom", "back")
    extra: str = ""

    def text(self) -> str:
        """The job file."""
        x, y, z = self.finished
        raw = [x + 2 * self.side, y + 2 * self.side, z + self.top + self.bottom]
        allowance = ", ".join(f"{face} = {self.side}" for face in ("left", "right", "front", "back"))
        return f"""handwheel = 1
title = "Part turned over"
units = "mm"
material = "steel-s235"
{self.extra}
[stock]
size = {raw}
allowance = {{ {allowance}, top = {self.top}, bottom = {self.bottom} }}
{MILL}
[[setup]]
name = "body"
{_set_up(x, y, self.deep)}
[[setup]]
name = "foot"
up = "{self.second[0]}"
fixed_jaw = "{self.second[1]}"
{_set_up(x, y, z - self.deep)}
{_size("width", "y", {"x": x / 2, "z": -self.deep / 2}, y)}
{_size("length", "x", {"y": y / 2, "z": -self.deep / 2}, x)}
{_size("height", "z", {"x": x / 2, "y": y / 2}, z)}
{_size("foot width", "y", {"x": x / 2, "z": -(z + self.deep) / 2}, y)}
"""

    def job(self) -> Job:
        """The job itself."""
        return read_job_text(self.text(), "turned-over")


def _set_up(x: float, y: float, deep: float) -> str:
    sides = {"front": 0.0, "right": x, "back": y, "left": 0.0}
    face = '[[setup.operation]]\ndo = "face"\nname = "face"\ntool = 2\n'
    return face + "".join(
        f'[[setup.operation]]\ndo = "side"\nname = "{edge} side"\ntool = 1\nedge = "{edge}"\nto = {to}\n'
        f"depth = {deep}\n"
        for edge, to in sides.items()
    )


def _size(name: str, axis: str, through: dict[str, float], nominal: float) -> str:
    where = ", ".join(f"{key} = {value}" for key, value in through.items())
    return (
        f'[[dimension]]\nname = "{name}"\naxis = "{axis}"\nthrough = {{ {where} }}\nnominal = {nominal}\nplus = 0.05\n'
        "minus = 0.05\n"
    )


@st.composite
def turned_over(draw: st.DrawFn) -> Part:
    """Random parts of two set-ups; lengths on the program's grid, and on half a readout's step."""

    def length(low: float, high: float) -> float:
        return draw(st.integers(round(low * 10), round(high * 10))) / 10

    height = length(30, 44)
    return Part(
        finished=(length(45, 140), length(30, 110), height),
        side=length(0.5, 3),
        top=length(0, 2),
        bottom=length(0.5, 6),
        deep=round(height / 2 + 1, 1),
        second=("bottom", draw(st.sampled_from(["back", "front"]))),
    )
