"""A plate with holes of one pattern, for tests."""

from __future__ import annotations

from handwheel.job import Job, read_job_text
from handwheel.proof import Proof, prove, prove_by_hand, routes_of

TOOLS = """
[[tool]]
number = 1
shape = "spot drill"
diameter = 12
flute_length = 20
reach = 50
[[tool]]
number = 2
shape = "drill"
diameter = {drill}
flute_length = 60
reach = 80
[[tool]]
number = 3
shape = "reamer"
diameter = {reamer}
flute_length = 40
reach = 80
[[tool]]
number = 4
shape = "end mill"
diameter = {counterbore}
flutes = 2
flute_length = 30
reach = 60
centre_cutting = true
"""


def plate(
    places: str = "at = [[15, 12], [60, 30]]",
    *,
    spot: bool = True,
    drill: str = "depth = 18",
    more: str = "",
    vise: str = "",
    sizes: tuple[float, float, float] = (6.0, 6.2, 12.0),
) -> Job:
    """A plate 80 x 42 x 30, finished all round, with holes of one pattern."""
    text = f"""handwheel = 1
title = "Plate"
units = "mm"
material = "steel-s235"
[stock]
size = [80, 42, 30]
[vise]
parallels = 20
{vise}
{TOOLS.format(drill=sizes[0], reamer=sizes[1], counterbore=sizes[2])}
[[holes]]
name = "row"
{places}
"""
    if spot:
        text += '[[operation]]\ndo = "spot"\nname = "spot"\ntool = 1\nholes = "row"\ndiameter = 5\n'
    if drill:
        text += f'[[operation]]\ndo = "drill"\nname = "drill"\ntool = 2\nholes = "row"\n{drill}\n'
    return read_job_text(text + more, "plate")


def codes(proof: Proof) -> set[str]:
    """What is more than a note."""
    return {one.code for one in proof.findings if one.level != "note"}


def both(job: Job) -> tuple[Proof, Proof]:
    routes = routes_of(job)
    return prove_by_hand(routes, resolution=2.0), prove(routes, resolution=2.0)


TAPPED = """handwheel = 1
title = "Tapped"
units = "in"
material = "aluminium-6061"
[stock]
size = [4, 3, 1]
[[tool]]
number = 1
like = "drill-5/16in-hss"
[[tool]]
number = 2
shape = "tap"
diameter = "3/8"
pitch = "1/16"
shank = 0.28
flute_length = 1.25
reach = 2
[[tool]]
number = 3
shape = "countersink"
point_angle = 82
diameter = "1/2"
reach = 1.5
[[holes]]
name = "h"
at = [[1, 1], [3.25, 2.125]]
[[operation]]
do = "drill"
name = "drill"
tool = 1
holes = "h"
through = true
peck = 0.3
[[operation]]
do = "countersink"
name = "edge"
tool = 3
holes = "h"
diameter = 0.4
[[operation]]
do = "tap"
name = "tap"
tool = 2
holes = "h"
thread = "3/8-16"
depth = 0.75
"""
