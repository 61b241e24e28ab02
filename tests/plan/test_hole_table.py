"""The hole table and the callouts of a drawing."""

from __future__ import annotations

from handwheel.hand import actions, sheet
from handwheel.job import Job, read_job_text
from handwheel.plan import Route, plan
from handwheel.plan.hole_table import hole_groups
from handwheel.setup import set_up
from handwheel.show.page.hole_table import holes_html

TWO_SIDES = """handwheel = 1
title = "Two sides"
units = "in"
material = "aluminium-6061"
[stock]
size = [4, 2, 1]
[[tool]]
number = 1
shape = "spot drill"
diameter = "1/2"
reach = 2
[[tool]]
number = 2
shape = "drill"
diameter = 0.201
flute_length = 2
reach = 3
[[tool]]
number = 3
shape = "tap"
diameter = "1/4"
pitch = "1/20"
shank = 0.19
flute_length = 1.25
reach = 2
[[tool]]
number = 4
shape = "countersink"
diameter = "3/4"
point_angle = 82
reach = 2
[[tool]]
number = 5
shape = "counterbore"
diameter = "7/16"
reach = 2
[[setup]]
name = "above"
[[setup.holes]]
name = "screws"
at = [[0.5, 0.5], [3.25, 1.5]]
[[setup.holes]]
name = "one"
at = [[2, 1]]
[[setup.operation]]
do = "spot"
name = "spots"
tool = 1
holes = "screws"
diameter = 0.28
[[setup.operation]]
do = "drill"
name = "tap drill"
tool = 2
holes = "screws"
through = true
peck = 0.2
[[setup.operation]]
do = "drill"
name = "pilot"
tool = 2
holes = "one"
depth = 0.75
peck = 0.2
[[setup.operation]]
do = "counterbore"
name = "seat"
tool = 5
holes = "one"
depth = 0.25
[[setup]]
name = "below"
up = "bottom"
[[setup.operation]]
do = "countersink"
name = "edges"
tool = 4
holes = "screws"
diameter = 0.4
[[setup.operation]]
do = "tap"
name = "threads"
tool = 3
holes = "screws"
thread = "1/4-20"
depth = 0.7
"""


def job() -> Job:
    return read_job_text(TWO_SIDES, "two-sides")


def test_a_callout_says_what_is_made_as_a_shop_drawing_does() -> None:
    """2X, diameter, depth sign, thread with its class (ASME Y14.5, ASME B1.1, from memory).

    The tap goes .700 deep, of which four threads of its lead are not full: .500 of thread.
    """
    first, second = hole_groups(set_up(job())[0])
    assert first.callout == "2X ∅.201 THRU, CSK ∅.400 X 82°, 1/4-20 UNC-2B ↧.500"
    assert second.callout == "∅.201 ↧.750, CBORE ∅.4375 ↧.250"
    assert first.words == "2X .201 dia through, CSK .400 dia x 82 deg, 1/4-20 UNC-2B .500 deep"
    assert (first.letter, second.letter) == ("D", "E")


def test_a_pattern_of_both_sides_is_one_and_is_counted_from_each_set_up_s_own_zero() -> None:
    above, below = set_up(job())
    places = [
        [(round(x / 25.4, 9), round(y / 25.4, 9)) for x, y in hole_groups(one)[0].places] for one in (above, below)
    ]
    # turned over end for end, the back still on the fixed jaw: X from the other end of 4 in
    assert places == [[(0.5, 0.5), (3.25, 1.5)], [(3.5, 0.5), (0.75, 1.5)]]
    assert [one.is_here for one in hole_groups(below)] == [True, False]


def test_sheet_and_page_give_every_hole_of_the_set_up_as_the_readout_shows_it() -> None:
    above, below = set_up(job())
    steps = plan(below, Route.BY_HAND)
    text = sheet(below, steps, actions(below, steps))
    table = text.split("Holes: where the spindle's center is")[1].split("The same at the control")[0]
    rows = [line.split() for line in table.splitlines() if line.strip()[:2] in ("D1", "D2", "E1")]
    assert rows == [["D1", "3.500", ".500"], ["D2", ".750", "1.500"]]
    assert '<th scope="row">E1</th><td>2.000</td><td>1.000</td>' in holes_html(above)
    assert "E1" not in holes_html(below)
