"""Threads by hand and by program: a tap turned in a hole that is there, in step with its pitch, never to the bottom."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.errors import JobError
from handwheel.hand.actions import Lever, Neutral, Start, TurnTap
from handwheel.job import Job, read_job_text
from handwheel.proof import Program, Proof, prove, prove_by_hand, routes_of
from handwheel.shop import load_shop

THREADS = load_shop().thread


def tapped(
    thread: str = "M8x1.25",
    *,
    drill: str | None = None,
    depth: str = "depth = 18",
    deep: float = 20.0,
    called: str | None = None,
    holes: str = "row",
    more: str = "",
    first: bool = True,
    at: str = "[[15, 12], [60, 30]]",
) -> Job:
    """A plate 80 x 42 x 30 with tapped holes; the drill is the thread's own where it is left out."""
    form = THREADS[thread]
    text = f"""handwheel = 1
title = "Plate"
units = "mm"
material = "steel-s235"
[stock]
size = [80, 42, 30]
[vise]
parallels = 20
[[tool]]
number = 1
shape = "spot drill"
diameter = 20
flute_length = 20
reach = 50
[[tool]]
number = 2
shape = "drill"
diameter = {drill or form.tap_drill}
flute_length = 60
reach = 80
[[tool]]
number = 3
shape = "tap"
diameter = {form.diameter}
pitch = {form.pitch}
flutes = 3
lead = 3
shank = {form.minor - 0.3}
flute_length = 40
reach = 60
[[holes]]
name = "row"
at = {at}
[[holes]]
name = "other"
at = [[40, 20]]
"""
    if first:
        text += (
            '[[operation]]\ndo = "spot"\nname = "spot"\ntool = 1\nholes = "row"\n'
            f"diameter = {form.diameter + 0.5}\n"
            f'[[operation]]\ndo = "drill"\nname = "drill"\ntool = 2\nholes = "row"\ndepth = {deep}\npeck = 6\n'
        )
    text += f'[[operation]]\ndo = "tap"\nname = "thread"\ntool = 3\nholes = "{holes}"\nthread = "{called or thread}"\n'
    return read_job_text(text + depth + "\n" + more, "plate")


def codes(proof: Proof) -> set[str]:
    return {one.code for one in proof.findings if one.level != "note"}


def both(job: Job) -> tuple[Proof, Proof]:
    routes = routes_of(job)
    return prove_by_hand(routes, resolution=2.0), prove(routes, resolution=2.0)


def by_program(job: Job, change: str, to: str) -> Proof:
    (routes,) = routes_of(job)
    assert re.search(change, routes.text)
    return prove([routes], {1: Program("other.nc", re.sub(change, to, routes.text))}, resolution=2.0)


def test_a_thread_is_tapped_in_its_hole_both_ways_and_takes_nothing_away() -> None:
    hand, program = both(tapped())
    assert codes(hand) == codes(program) == set()
    for proof in (hand, program):
        assert not any(tool.shape == "tap" for cut in proof.part.cuts for tool in cut.tools.values())


@given(
    thread=st.sampled_from(["M4x0.7", "M6x1", "M8x1", "M10x1.5", "M12x1.75", "#10-32 UNF", "1/4-20 UNC", "1/2-13 UNC"]),
    depth=st.integers(90, 180),
    x=st.integers(100, 600),
)
@settings(max_examples=10, deadline=None)
def test_random_threads_are_in_step_both_ways(thread: str, depth: int, x: int) -> None:
    form = THREADS[thread]
    job = tapped(thread, depth=f"depth = {depth / 10}", deep=depth / 10 + 2, at=f"[[{x / 10}, 20]]")
    for proof in both(job):
        assert codes(proof) == set()
    speed, feed = (
        float(re.findall(pattern, routes_of(job)[0].text)[-1]) for pattern in (r"S([\d.]+) M3", r"G84.*F([\d.]+)")
    )
    # feed a turn is the pitch: within a tenth of a percent (common practice)
    assert feed / speed == pytest.approx(form.pitch, rel=1e-3)


def test_twenty_threads_an_inch_at_five_hundred_turns_is_twenty_five_inches_a_minute() -> None:
    """S500 F25. for 20 threads an inch (common practice); a round feed for every pitch."""
    text = routes_of(
        read_job_text(
            """handwheel = 1
title = "Plate"
units = "in"
material = "aluminium-6061"
[stock]
size = [3, 2, 1]
[[tool]]
number = 1
shape = "drill"
diameter = 0.201
flute_length = 2
reach = 3
[[tool]]
number = 2
shape = "tap"
diameter = "1/4"
pitch = "1/20"
flute_length = 1
shank = 0.19
reach = 2
[[holes]]
name = "one"
at = [[1, 1]]
[[operation]]
do = "drill"
name = "drill"
tool = 1
holes = "one"
depth = 0.75
peck = 0.2
[[operation]]
do = "tap"
name = "tap"
tool = 2
holes = "one"
thread = "1/4-20"
depth = 0.7
rpm = 519
""",
            "plate",
        )
    )[0].text
    assert "S500 M3" in text
    assert re.search(r"G98 G84 Z-0\.7000 R0\.1500 F25\n", text)


def test_by_hand_the_spindle_is_off_and_in_neutral_while_a_tap_turns() -> None:
    (routes,) = routes_of(tapped())
    assert not any(isinstance(one, Lever) and one.step == 6 for one in routes.doing)
    free = False
    for one in routes.doing:
        free = one.free if isinstance(one, Neutral) else free
        assert free or not isinstance(one, TurnTap)
        assert not (free and isinstance(one, Start))
    without = [one for one in routes.doing if not isinstance(one, Neutral)]
    with pytest.raises(ValueError, match="spindle is off and in neutral"):
        prove_by_hand([routes], {1: without}, resolution=2.0)


@pytest.mark.parametrize(
    ("change", "to", "code"),
    [
        ("F200", "F160", "tap-feed-not-pitch"),  # 1 mm a turn, the pitch of M8x1
        ("S160 M3", "S180 M3", "tap-feed-not-pitch"),
        ("G84", "G81", "tap-feed-not-pitch"),  # pulled out at rapid
        ("G84", "G85", "tap-feed-not-pitch"),  # fed out, still turning in
        ("F200", "F199.9", ""),  # within a tenth of a percent
        (r"G84 Z-18\.000", "G84 Z-21.900", "tap-bottoms"),  # 20 deep: 1.9 too deep
        (r"G84 Z-18\.000", "G84 Z-16.000", "left-uncut"),
        (r"(G84.*)\n.*\n", r"\1\n", "left-uncut"),  # the second hole forgotten
        (r"(G84.*\nN\d+ X60\.000 Y)30\.000", r"\g<1>26.000", "no-hole"),
        (r"(G81 .*\nN\d+ X60\.000 Y)30\.000(\nN\d+ G80\n)", r"\g<1>30.000\2", ""),
    ],
)
def test_a_tap_that_would_break_is_found_in_anybody_s_program(change: str, to: str, code: str) -> None:
    found = codes(by_program(tapped(), change, to))
    assert code in found if code else not found


@pytest.mark.parametrize(("drill", "code"), [("6.7", ""), ("6.8", ""), ("7.0", ""), ("7.6", "no-hole")])
def test_a_hole_is_judged_by_the_percent_of_thread_that_it_leaves(drill: str, code: str) -> None:
    """M8: minor diameter 6.647 (ISO 724, from memory); 7.6 leaves 25 percent of a thread."""
    for proof in both(tapped(drill=drill)):
        assert (code in codes(proof)) if code else not codes(proof)


def test_a_hole_as_deep_as_the_tap_goes_and_no_deeper_is_deep_enough() -> None:
    for proof in both(tapped(deep=18.1)):
        assert codes(proof) == set()
    for proof in both(tapped(deep=17.5)):
        assert codes(proof) == {"tap-bottoms"}


def test_a_through_tap_goes_its_whole_lead_below_the_work() -> None:
    job = tapped(depth="through = true", deep=30.0)
    text = routes_of(job)[0].text
    # 30 of work, 1 below it, and a lead of 3 threads of 1.25 (common practice)
    assert "G84 Z-34.750" in text


@pytest.mark.parametrize(
    ("make", "key"),
    [
        (lambda: tapped(first=False), "operation[1].holes"),
        (lambda: tapped(holes="other"), "operation[3].holes"),
        (lambda: tapped(called="M8x1.3"), "operation[3].thread"),
        (lambda: tapped(called="M10"), "operation[3].tool"),
        (lambda: tapped(drill="8.5"), "operation[3].thread"),
        (lambda: tapped(drill="5"), "operation[3].thread"),
        (lambda: tapped(depth="depth = 3"), "operation[3].depth"),
        (lambda: tapped(depth="depth = 18\npeck = 3"), "operation[3].peck"),
    ],
    ids=["no hole", "no hole there", "no thread", "another tap", "too wide", "too small", "all lead", "pecked"],
)
def test_a_thread_that_makes_no_sense_is_told_at_its_key(make: object, key: str) -> None:
    with pytest.raises(JobError) as refused:
        make()  # type: ignore[operator]
    assert key in [problem.key for problem in refused.value.problems]


KINDS = {
    "drill": "depth = {deep}\npeck = 4",
    "ream": "depth = {shallow}",
    "tap": 'depth = {shallow}\nthread = "M6"',
    "counterbore": "depth = 3",
    "countersink": "diameter = 8.5",
    "spot": "diameter = 4.5",
}
MIXED_TOOLS = """
[[tool]]
number = 1
like = "spot-drill-10mm-hss"
[[tool]]
number = 2
like = "drill-5mm-hss"
[[tool]]
number = 3
shape = "reamer"
diameter = 5.2
flute_length = 40
reach = 80
[[tool]]
number = 4
like = "tap-M6x1-hss"
flute_length = 30
reach = 50
shank = 4.5
[[tool]]
number = 5
like = "counterbore-10mm-hss"
[[tool]]
number = 6
like = "countersink-12.4mm-hss"
"""
TOOL_OF = {"spot": 1, "drill": 2, "ream": 3, "tap": 4, "counterbore": 5, "countersink": 6}


@given(
    finish=st.lists(
        st.sets(st.sampled_from(["ream", "tap", "counterbore", "countersink"]), max_size=2), min_size=1, max_size=3
    ),
    deep=st.integers(100, 200),
    readout=st.booleans(),
)
@settings(max_examples=10, deadline=None)
def test_random_jobs_with_holes_of_all_kinds_are_made_as_meant_both_ways(
    finish: list[set[str]], deep: int, readout: bool
) -> None:
    """No stop and no reject; by hand equals by program within a setting step."""
    text = (
        'handwheel = 1\ntitle = "Mixed"\nunits = "mm"\nmaterial = "aluminium-6082"\n[stock]\nsize = [90, 50, 25]\n'
        "[vise]\nparallels = 20\nparallel_inset = 3\n" + MIXED_TOOLS
    )
    text += "" if readout else "[machine.by_hand]\nreadout_step = 0\n"
    operations = ""
    for index, kinds in enumerate(finish):
        text += f'[[holes]]\nname = "p{index}"\nat = [[{15 + 25 * index}, 16], [{20 + 25 * index}.5, 36]]\n'
        for kind in ("spot", "drill", *(one for one in KINDS if one in kinds)):
            keys = KINDS[kind].format(deep=deep / 10, shallow=deep / 10 - 2)
            operations += (
                f'[[operation]]\ndo = "{kind}"\nname = "{kind} {index}"\ntool = {TOOL_OF[kind]}\nholes = "p{index}"\n'
                f"{keys}\n"
            )
    hand, program = both(read_job_text(text + operations, "mixed"))
    for proof in (hand, program):
        assert {one.code for one in proof.findings if one.level in ("stop", "reject", "warn")} == set()
    volumes = [proof.setups[-1].volume.removed for proof in (hand, program)]
    assert volumes[0] == pytest.approx(volumes[1], rel=0.02)
