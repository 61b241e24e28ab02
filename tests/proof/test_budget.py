"""The error budget: force and deflection against the handbook's closed forms and integrals, its sums against theory."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from jobs import Draft, sides
from mills import DIALS_ONLY, touching
from scipy import integrate, stats
from two_blocks import STAND, STOP

from handwheel.check.gauged import gauged
from handwheel.cut.part import Part
from handwheel.hand import actions, execute
from handwheel.hand.actions import Wind
from handwheel.plan import Route, plan
from handwheel.proof.budget import Budget, budget
from handwheel.proof.budget.deflection import (
    arc_of_contact,
    deflection,
    mean_chip,
    shares_off_the_side,
    tangential_force,
)
from handwheel.proof.size_line import Line
from handwheel.setup import set_up
from handwheel.shop.materials import CuttingForce

STEEL = CuttingForce(kc11=1700.0, m_c=0.25)
ZERO = (
    "touch-off feel, cutter",
    "cutter diameter, as marked",
    "cutter diameter, as keyed in",
    "repeatability by hand",
    "repeatability by program",
    "backlash left, by program",
    "tool length, as keyed in",
    "setting step, table",
    "setting step, saddle",
    "setting step, knee",
    "setting step, by program",
    "backlash left, knee",
    "share by which the cutting force may differ",
    "plus and minus of the radial force's share",
)


# deflection ----------------------------------------------------------------------------------------------------------


def test_the_end_of_a_loaded_bar_gives_as_the_bending_moment_integrates() -> None:
    force, reach, diameter, elasticity = 180.0, 45.0, 9.6, 210_000.0
    # second moment of a disc: y² over its area; Castigliano: the moment F·x times x over E·I
    second_moment, _ = integrate.quad(lambda y: 2.0 * y * y * math.sqrt(diameter**2 / 4 - y * y), -4.8, 4.8)
    bent, _ = integrate.quad(lambda x: force * x * x / (elasticity * second_moment), 0.0, reach)
    assert deflection(force, reach, reach, diameter, elasticity) == pytest.approx(bent, rel=1e-9)


def test_the_end_of_a_bar_that_is_loaded_within_its_span_gives_as_the_curvature_integrates() -> None:
    # beam theory: the slope is the integral of M / EI, the end's deflection that of (L − x) · M / EI
    force, reach, lever, diameter, elasticity = 180.0, 45.0, 38.5, 9.6, 210_000.0
    second_moment, _ = integrate.quad(lambda y: 2.0 * y * y * math.sqrt(diameter**2 / 4 - y * y), -4.8, 4.8)
    bent, _ = integrate.quad(lambda x: (reach - x) * force * (lever - x) / (elasticity * second_moment), 0.0, lever)
    assert deflection(force, lever, reach, diameter, elasticity) == pytest.approx(bent, rel=1e-9)


def test_eight_tenths_of_the_diameter_is_four_tenths_as_stiff() -> None:
    # 0.8⁴ = 0.41: beam theory
    assert deflection(1.0, 10.0, 10.0, 10.0, 1.0) / deflection(1.0, 10.0, 10.0, 8.0, 1.0) == pytest.approx(0.4096)


def test_the_mean_chip_is_the_mean_over_the_arc_of_contact() -> None:
    feed, width, diameter = 0.08, 3.0, 12.0
    arc = arc_of_contact(width, diameter)
    area, _ = integrate.quad(lambda angle: feed * math.sin(angle), 0.0, arc)
    assert mean_chip(feed, width, diameter) == pytest.approx(area / arc)
    # a full slot: half a turn, 2/π of the feed
    assert mean_chip(feed, diameter, diameter) == pytest.approx(feed * 2.0 / math.pi)


def test_the_force_times_the_cutting_speed_is_the_power_of_the_cut() -> None:
    # power = kc · removal rate (Machinery's Handbook, from memory); a slot with 4 teeth has two in the cut
    diameter, teeth, feed, depth, rpm = 12.0, 4, 0.05, 5.0, 800.0
    force = tangential_force(STEEL, feed, diameter, depth, diameter, teeth)
    speed_mm_s = math.pi * diameter * rpm / 60.0
    removal_mm3_s = diameter * depth * feed * teeth * rpm / 60.0
    pressure = 1700.0 * (feed * 2.0 / math.pi) ** -0.25
    assert force * speed_mm_s == pytest.approx(pressure * removal_mm3_s)


def test_at_least_one_tooth_bears_the_cut_of_a_thin_shaving() -> None:
    # 0.25 of 20: an arc of 0.22 rad, so that 4 teeth are in it a seventh of the time; the surface is made by the one
    thin = tangential_force(STEEL, 0.1, 0.25, 10.0, 20.0, 4)
    assert thin == pytest.approx(tangential_force(STEEL, 0.1, 0.25, 10.0, 20.0, 1))


def test_no_cut_no_force() -> None:
    assert tangential_force(STEEL, 0.1, 0.0, 10.0, 20.0, 4) == 0.0
    assert tangential_force(STEEL, 0.1, 5.0, 0.0, 20.0, 4) == 0.0


def off_the_side(feed: float, width: float, diameter: float, cutting: str, radial: float) -> float:
    """The mean force square to a side, for 1 N/mm², 1 mm deep, one tooth: summed up from vectors along the arc.

    The side lies along X, the work below it; a right-hand cutter turns clockwise seen from above. Each tooth is pushed
    against its own way and, by a share of that, towards the axis; the chip is the feed along the tooth's radius.
    """
    radius, along = diameter / 2.0, 1.0 if cutting == "climb" else -1.0
    steps, total, weight = 20_000, 0.0, 0
    for index in range(steps):
        # clockwise from above: a tooth at an angle from +X has its way along (sin, −cos)
        angle = -math.pi + (index + 0.5) * math.pi / steps
        x, y = radius * math.cos(angle), radius * math.sin(angle)
        chip = feed * math.cos(angle) * along
        # only what stands above the finished side by less than the width, and ahead of the cutter, is cut
        if chip <= 0.0 or y + radius > width:
            continue
        way = (math.sin(angle), -math.cos(angle))
        push = (-way[0] * chip - radial * chip * x / radius, -way[1] * chip - radial * chip * y / radius)
        total, weight = total + push[1], weight + 1
    return total / weight


@pytest.mark.parametrize("width", [0.25, 2.0, 9.0])
@pytest.mark.parametrize("radial", [0.3, 0.5])
@pytest.mark.parametrize("cutting", ["conventional", "climb"])
def test_the_force_off_the_side_is_the_sum_over_the_arc_of_what_is_square_to_it(
    cutting: Any, radial: float, width: float
) -> None:
    feed, diameter = 0.08, 20.0
    pressure_one = CuttingForce(kc11=1.0, m_c=0.0)
    along = tangential_force(pressure_one, feed, width, 1.0, diameter, 1)
    shares = shares_off_the_side(width, diameter, cutting)
    expected = off_the_side(feed, width, diameter, cutting, radial)
    assert along * (shares.tangential + radial * shares.radial) == pytest.approx(expected, rel=5e-3, abs=1e-5)


def test_a_heavy_conventional_cut_pulls_the_cutter_into_the_side_and_a_climb_cut_pushes_it_off() -> None:
    # common practice: up milling undercuts, down milling leaves metal
    conventional, climb = (shares_off_the_side(8.0, 20.0, cutting) for cutting in ("conventional", "climb"))
    assert conventional.tangential + 0.4 * conventional.radial < 0.0
    assert climb.tangential + 0.4 * climb.radial > 0.9


def test_a_shaving_bends_the_cutter_off_its_side_by_little_more_than_the_radial_force() -> None:
    # as the arc goes to nothing the rim runs along the side: all of the radial force is square to it
    for cutting in ("conventional", "climb"):
        shares = shares_off_the_side(1e-4, 20.0, cutting)  # type: ignore[arg-type]
        assert abs(shares.tangential) < 0.01
        assert shares.radial == pytest.approx(1.0, abs=1e-4)


# what enters, and how often ------------------------------------------------------------------------------------------


def sized(draft: Draft, *sizes: dict[str, Any], budget_of: dict[str, float] | None = None, extra: str = "") -> Draft:
    """The draft with these dimensions and these inputs."""
    lines = [extra, "[budget]", *(f'"{name}" = {value}' for name, value in (budget_of or {}).items())]
    return replace(draft, dimensions=sizes, extra="\n".join(lines) + "\n")


WIDTH = {"name": "width", "axis": "y", "through": {"x": 38, "z": -4}, "nominal": 40.5, "plus": 0.05, "minus": 0.05}
TO_RAW = {"name": "to raw", "axis": "y", "through": {"x": 38, "z": -4}, "nominal": 43.5, "plus": 0.05, "minus": 0.05}
BOTH = sides("front", "back")


def by(route: Route, draft: Draft) -> Budget:
    return next(one for one in budget(set_up(draft.job())[0]) if one.route is route)


def enters(one: Budget, name: str) -> tuple[float, ...]:
    return next((share.enters for share in one.shares if share.name == name), ())


@pytest.mark.parametrize("route", Route)
def test_a_width_between_two_cut_sides_knows_nothing_of_the_touch(route: Route) -> None:
    assert enters(by(route, sized(BOTH, WIDTH)), "touch-off feel, cutter") == ()


@pytest.mark.parametrize("route", Route)
def test_a_size_to_a_raw_face_has_the_touch_in_it_once(route: Route) -> None:
    one = by(route, sized(sides("front"), TO_RAW, extra=touching("cutter", "mm")))
    (once,) = enters(one, "touch-off feel, cutter")
    # the front cut nearer to the back by the feel: as much smaller
    assert once == pytest.approx(-1.0)


def test_the_diameter_enters_a_width_as_a_radius_at_each_side() -> None:
    for route, name in ((Route.BY_HAND, "as marked"), (Route.BY_PROGRAM, "as keyed in")):
        (whole,) = enters(by(route, sized(BOTH, WIDTH)), f"cutter diameter, {name}")
        assert whole == pytest.approx(-1.0)


def test_a_side_cut_with_the_cutter_that_touched_it_does_not_depend_on_the_diameter() -> None:
    # the radius too much outwards at the touch is the radius too much inwards at the cut: the front comes out right
    with_cutter = sized(sides("front"), TO_RAW, extra=touching("cutter", "mm"))
    assert enters(by(Route.BY_HAND, with_cutter), "cutter diameter, as marked") == ()


def test_a_side_touched_with_an_edge_finder_has_the_radius_in_it() -> None:
    finder = '[touch_off]\ny = { with = "edge finder", diameter = 10 }\n'
    draft = sized(sides("front"), TO_RAW, extra=finder)
    (once,) = enters(by(Route.BY_HAND, draft), "cutter diameter, as marked")
    assert once == pytest.approx(-0.5)


def test_a_width_has_the_preset_at_its_first_side_and_the_setting_of_its_second_in_it() -> None:
    # the readout is preset where the front was cut: what that setting was off by stands on both sides of the sum
    one = by(Route.BY_HAND, sized(BOTH, WIDTH))
    assert sorted(map(abs, enters(one, "setting step, saddle"))) == pytest.approx([1.0, 1.0])
    assert enters(one, "repeatability by hand") == pytest.approx((1.0,))
    assert enters(one, "setting step, table") == ()
    assert enters(one, "setting step, knee") == ()


def test_a_depth_from_the_skimmed_top_has_the_second_cutters_touch_and_two_settings_in_it() -> None:
    setup = set_up(STAND.job())[0]
    foot, height = (
        next(one for one in budget(setup) if one.route is Route.BY_HAND and one.dimension == name)
        for name in ("foot", "height")
    )
    assert enters(foot, "touch-off feel, paper") == pytest.approx((-1.0,))
    # the second cutter is touched on the skimmed top, wherever that is: its dial's ring is set, then the knee raised.
    # The foot is cut along several sides at one setting of the knee
    assert sum(enters(foot, "setting step, knee")) == pytest.approx(-2.0)
    # likewise the first cutter on the raw top
    assert enters(height, "setting step, knee") == pytest.approx((1.0, 1.0))


def test_a_readout_sees_past_the_backlash_and_a_dial_does_not() -> None:
    def left(extra: str) -> float:
        one = by(Route.BY_HAND, sized(BOTH, WIDTH, extra=extra))
        return next(share.value for share in one.shares if share.name == "backlash left, saddle")

    assert left("") == 0.0
    # a tenth of the 0.25 that the metric knee mill has: common practice
    assert left(DIALS_ONLY) == pytest.approx(0.025)


# sums ----------------------------------------------------------------------------------------------------------------


def alone(name: str, value: float) -> dict[str, float]:
    """Everything else without error, and cutters that do not bend."""
    stiff = {"elasticity of HSS, GPa": 1e12, "elasticity of carbide, GPa": 1e12}
    return dict.fromkeys(ZERO, 0.0) | stiff | {name: value}


def test_two_even_errors_make_a_triangle() -> None:
    one = by(Route.BY_PROGRAM, sized(BOTH, WIDTH, budget_of=alone("repeatability by program", 0.04)))
    triangle = stats.triang(0.5, loc=-0.08, scale=0.16)
    assert one.spread == pytest.approx(triangle.std())
    assert one.simulated_spread == pytest.approx(triangle.std(), rel=0.02)
    # three standard deviations of a count of 20 000
    out = 2.0 * triangle.cdf(-0.05)
    assert one.out_of_limits == pytest.approx(out, abs=3.0 * math.sqrt(out * (1.0 - out) / 20_000))


def test_one_even_error_leaves_the_limits_by_its_share_outside() -> None:
    one = by(Route.BY_PROGRAM, sized(BOTH, WIDTH, budget_of=alone("cutter diameter, as keyed in", 0.08)))
    # ±0.08 on the diameter, on the width as much; limits ±0.05
    assert one.spread == pytest.approx(0.08 / math.sqrt(3.0))
    assert one.out_of_limits == pytest.approx(3.0 / 8.0, abs=3.0 * math.sqrt(3.0 / 8.0 * 5.0 / 8.0 / 20_000))


@pytest.mark.parametrize("route", Route)
def test_root_sum_square_and_simulated_parts_agree(route: Route) -> None:
    one = by(route, sized(BOTH, WIDTH))
    assert one.spread**2 == pytest.approx(sum(share.spread**2 for share in one.shares))
    assert one.simulated_spread == pytest.approx(one.spread, rel=0.03)


def test_the_same_job_has_the_same_budget_to_the_last_bit() -> None:
    draft = sized(BOTH, WIDTH)
    assert budget(set_up(draft.job())[0]) == budget(set_up(draft.job())[0])


def test_deflection_leaves_metal_on_both_sides_and_the_cut_after_measuring_takes_it_off() -> None:
    one = by(Route.BY_HAND, sized(BOTH, WIDTH))
    shift = next(share.shift for share in one.shares if share.name == "deflection, mean")
    # two sides: 0.25 wide, 13 deep (1 of raw top above), an HSS end mill 20 with 4 teeth, 45 out of the holder
    job = sized(BOTH, WIDTH).job()
    steel = job.material.force
    step = next(one for one in plan(set_up(job)[0], Route.BY_HAND).steps if one.kind == "finish")
    feed = step.speeds.feed_per_tooth
    arc = math.acos(1.0 - 2.0 * 0.25 / 20.0)
    chip, _ = integrate.quad(lambda angle: feed * math.sin(angle) / arc, 0.0, arc)
    pressure = steel.kc11 * chip**-steel.m_c
    # square to the side in a conventional cut: 0.4 of the tangential force outwards, the tangential force inwards
    off, _ = integrate.quad(
        lambda angle: feed * math.sin(angle) * (0.4 * math.cos(angle) - math.sin(angle)) / arc, 0.0, arc
    )
    second_moment = math.pi * 16.0**4 / 64.0
    # half way down the 13: 38.5 from the holder
    bent, _ = integrate.quad(
        lambda x: (45.0 - x) * pressure * 13.0 * off * (38.5 - x) / (210_000.0 * second_moment), 0.0, 38.5
    )
    assert shift == pytest.approx(2.0 * bent)
    assert one.measured_in is not None
    assert one.out_if_corrected is not None
    assert one.out_if_corrected <= one.out_of_limits


@pytest.mark.parametrize("route", Route)
def test_what_the_cutter_gives_way_on_the_average_is_a_bias_beside_its_spread(route: Route) -> None:
    one = by(route, sized(BOTH, WIDTH))
    mean, about = (
        next(share for share in one.shares if share.name == f"deflection, {what}")
        for what in ("mean", "about its mean")
    )
    # a known bias shifts and does not spread; what it may differ by spreads and does not shift (JCGM 100:2008, 3.2.3,
    # from memory). An even spread of three tenths on each of two sides alike: 0.3 / sqrt(3) of a side's mean, sqrt(2)
    assert (mean.shift, mean.spread) == (one.shift, 0.0)
    assert about.shift == 0.0
    assert about.spread == pytest.approx(0.3 / math.sqrt(3.0) * math.sqrt(2.0) * mean.shift / 2.0)


def test_a_radial_force_that_is_not_sure_spreads_by_its_share_on_each_side() -> None:
    one = by(Route.BY_HAND, sized(BOTH, WIDTH))
    other = by(Route.BY_HAND, sized(BOTH, WIDTH, budget_of={"radial force as a share of the tangential": 0.5}))
    radial = next(share for share in one.shares if share.name == "deflection, radial force")
    assert radial.shift == 0.0
    # a tenth more of it is what the mean then grows by, half on each of two sides; even within that: by the root of 3
    grown = (other.shift - one.shift) / 2.0
    assert radial.spread == pytest.approx(grown / math.sqrt(3.0) * math.sqrt(2.0))


def test_the_force_of_a_cut_is_the_mean_over_the_arc_and_not_the_peak() -> None:
    # kc at the mean chip, over the arc of one tooth: the force times the arc is the work of its chip (Kienzle)
    feed, width, depth, diameter = 0.1, 0.25, 10.0, 20.0
    arc = arc_of_contact(width, diameter)
    area, _ = integrate.quad(lambda angle: feed * math.sin(angle), 0.0, arc)
    pressure = 1700.0 * (area / arc) ** -0.25
    force = tangential_force(STEEL, feed, width, depth, diameter, 1)
    assert force * arc == pytest.approx(pressure * depth * area)
    assert force < 0.6 * pressure * depth * feed * math.sin(arc)


def test_a_spring_pass_takes_off_most_of_what_the_cutter_gave_way() -> None:
    springy = replace(BOTH, operations=tuple({**one, "spring_passes": 1} for one in BOTH.operations))
    exact = dict.fromkeys(ZERO, 0.0)
    stiff, sprung = (by(Route.BY_HAND, sized(one, WIDTH, budget_of=exact)) for one in (BOTH, springy))
    assert 0.0 < sprung.shift < 0.75 * stiff.shift


def test_a_size_that_nobody_takes_in_time_cannot_be_corrected() -> None:
    height = {"name": "height", "axis": "z", "through": {"x": 38, "y": 20}, "nominal": 30, "plus": 0.1, "minus": 0.1}
    one = by(Route.BY_HAND, sized(BOTH, height))
    assert one.measured_in is None
    assert one.out_if_corrected is None


# cut ------------------------------------------------------------------------------------------------------------------


SLOTTED = Draft(
    vise={"parallels": 20},
    operations=(
        {"do": "face", "name": "top", "tool": 1, "to": 0},
        {"do": "slot", "name": "way", "tool": 2, "along": "x", "middle": 20, "width": 12, "depth": 5},
    ),
    tools=(
        {"number": 1, "shape": "face mill", "diameter": 50.0, "flutes": 4, "flute_length": 8.0, "reach": 40.0},
        {"number": 2, "shape": "end mill", "diameter": 10.0, "flutes": 4, "flute_length": 22.0, "reach": 45.0},
    ),
)
WAY = {"name": "way", "axis": "y", "of": "inside", "at": 20, "through": {"x": 38, "z": -2}, "nominal": 12, "plus": 0.1}
FLOOR = {"name": "floor", "axis": "z", "through": {"x": 38, "y": 20}, "nominal": 24, "plus": 0.2, "minus": 0.2}
MIDDLE = {**WAY, "name": "middle", "of": "middle", "nominal": 20, "minus": 0.1}
STOP_SIZES = tuple(
    {key: value for key, value in {**one, "name": f"{one['name']} cut"}.items() if key != "of"}
    for one in STOP.dimensions
)
STOP_CUT = replace(STOP, dimensions=STOP_SIZES)


def wound_at_random(draft: Draft, within: float, parts: int) -> dict[str, list[float]]:
    """Each size of so many parts: at every one each setting that a handwheel is turned to is off by up to so much,
    carried out, cut and gauged."""
    setup = set_up(draft.job())[0]
    doing = actions(setup, plan(setup, Route.BY_HAND))
    random = np.random.default_rng(7)
    found: dict[str, list[float]] = {}
    for _ in range(parts):
        done = execute(
            setup,
            [replace(a, to=a.to + random.uniform(-within, within)) if type(a) is Wind else a for a in doing],
        )
        for one in gauged(setup, Part(setup.stock).with_cut(done.moves, done.tools)):
            assert one.measured is not None
            found.setdefault(one.name, []).append(one.measured)
    return found


@pytest.mark.parametrize("draft", [STOP_CUT, replace(SLOTTED, dimensions=(WAY, FLOOR, MIDDLE))])
def test_parts_cut_with_their_settings_off_at_random_lie_as_the_budget_says(draft: Draft) -> None:
    # Monte Carlo (JCGM 101:2008) through the mill, the cut and the gauge, of which the budget knows nothing
    within, parts = 0.02, 250
    touch = {f"touch-off feel, {name}": 0.0 for name in ("edge finder", "paper", "gauge block")}
    inputs = alone("repeatability by hand", within) | touch
    lines = ["[budget]", *(f'"{name}" = {value}' for name, value in inputs.items())]
    job = replace(draft, extra="\n".join([draft.extra, *lines]) + "\n")
    found = wound_at_random(draft, within, parts)
    budgets = [one for one in budget(set_up(job.job())[0]) if one.route is Route.BY_HAND]
    assert {one.dimension for one in budgets} == set(found)
    for one in budgets:
        sizes = np.array(found[one.dimension])
        chance = 4.0 * max(float(sizes.std()), 1e-6) / math.sqrt(parts)
        assert float(sizes.mean()) == pytest.approx(one.planned + one.shift, abs=chance), one.dimension
        # a standard deviation is known to its part in the root of twice the count
        assert float(sizes.std()) == pytest.approx(one.simulated_spread, abs=chance / math.sqrt(2.0)), one.dimension


def test_of_several_settings_at_one_depth_the_deepest_counts() -> None:
    # a lip cut at one depth setting twice over, each even within a: the deeper of two is a third of a deeper on the
    # average, and the difference of the larger of two from its line has the rest of its spread (order statistics:
    # mean a/3, variance 2a²/9)
    low = np.linspace(-1.0, 1.0, 401)
    first, second = (each.ravel() for each in np.meshgrid(low, low))
    line = Line(np.column_stack((first, second)), np.full((len(first), 2), 9.0), -20.0, 5.0)
    assert line.top().mean() == pytest.approx(-1.0 / 3.0, abs=2e-3)
    assert line.top().var() == pytest.approx(2.0 / 9.0, rel=1e-2)


# the job's own values ------------------------------------------------------------------------------------------------


def test_the_job_sets_an_input_by_the_name_that_is_printed() -> None:
    one = by(Route.BY_HAND, sized(BOTH, WIDTH, budget_of={"cutter diameter, as marked": 0.1}))
    share = next(share for share in one.shares if share.name == "cutter diameter, as marked")
    assert (share.value, share.source) == (0.1, "the job file")


def test_every_printed_name_can_be_set() -> None:
    shares = [share for one in budget(set_up(sized(BOTH, WIDTH).job())[0]) for share in one.shares]
    names = {share.name for share in shares if not share.name.startswith(("deflection", "several"))}
    found = budget(set_up(sized(BOTH, WIDTH, budget_of=dict.fromkeys(sorted(names), 0.001)).job())[0])
    assert {share.value for one in found for share in one.shares if share.name in names} == {0.001}


def test_every_input_has_a_source() -> None:
    assert all(share.source for one in budget(set_up(sized(BOTH, WIDTH).job())[0]) for share in one.shares)
