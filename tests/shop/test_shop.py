"""What the shop holds, and a shop file of the user's own."""

from __future__ import annotations

import math
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.errors import JobError
from handwheel.shop import SpindleSpeeds, load_shop

SHOP = load_shop()
THREAD_OF = {(thread.diameter, thread.pitch): name for name, thread in SHOP.thread.items()}
INCH_SIZES = ("1/8", "3/16", "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1")
MILLIMETRE_SIZES = (3, 4, 5, 6, 8, 10, 12, 16, 20, 25)


def test_the_names_that_jobs_count_on_are_there() -> None:
    assert {"knee-mill-inch", "knee-mill-metric"} <= set(SHOP.knee_mill)
    assert {"cnc-mill-inch", "cnc-mill-metric"} <= set(SHOP.cnc_mill)
    assert {"vise-4in", "vise-5in", "vise-6in", "vise-125mm"} <= set(SHOP.vise)
    assert set(SHOP.material) == {
        "aluminium-6061",
        "aluminium-6082",
        "steel-1018",
        "steel-s235",
        "steel-4140",
        "stainless-304",
        "brass",
        "cast-iron",
        "acetal",
    }
    wanted = {f"end-mill-{size}in-{kind}" for size in INCH_SIZES for kind in ("hss", "carbide")}
    wanted |= {f"end-mill-{size}mm-{kind}" for size in MILLIMETRE_SIZES for kind in ("hss", "carbide")}
    wanted |= {"face-mill-2in-carbide", "face-mill-50mm-carbide", "drill-1/4in-hss", "drill-6.8mm-hss"}
    assert wanted <= set(SHOP.cutter)


@pytest.mark.parametrize(("name", "cutter"), SHOP.cutter.items())
def test_a_cutter_is_what_its_name_says_and_fits_its_holder(name: str, cutter: Any) -> None:
    tool = cutter.tool(1)
    size = name.removesuffix("-hss").removesuffix("-carbide").rsplit("-", 1)[-1]
    if tool.shape == "tap":
        assert f"tap-{THREAD_OF[tool.diameter, tool.pitch].replace(' ', '-')}-hss" == name
    elif name.startswith("drill-#") or size.isalpha():
        # a number, or a letter, that the handbook's list has: larger numbers are smaller drills
        assert tool.shape == "drill"
    elif size.endswith("in"):
        top, _, bottom = size.removesuffix("in").partition("/")
        assert tool.diameter == pytest.approx(25.4 * float(top) / float(bottom or 1), abs=1e-12)
    else:
        assert tool.diameter == float(size.removesuffix("mm"))
    assert name.startswith(tool.shape.replace(" ", "-"))
    assert tool.material == ("HSS" if name.endswith("hss") else "carbide")
    assert tool.flute_length <= tool.reach
    assert tool.shank < tool.holder_diameter or tool.shape == "face mill"
    assert tool.holder_length > 0


@pytest.mark.parametrize(
    ("name", "inches"),
    # Machinery's Handbook, number and letter sizes of drills (from memory)
    [
        *(("#43", 0.0890), ("#36", 0.1065), ("#29", 0.1360), ("#25", 0.1495), ("#21", 0.1590), ("#7", 0.2010)),
        *(("#3", 0.2130), ("#1", 0.2280), ("#60", 0.0400), ("F", 0.2570), ("I", 0.2720), ("U", 0.3680), ("Z", 0.4130)),
    ],
)
def test_number_and_letter_drills_are_the_handbook_s(name: str, inches: float) -> None:
    assert SHOP.cutter[f"drill-{name}-hss"].diameter == pytest.approx(25.4 * inches, abs=1e-9)


def test_numbers_fall_and_letters_rise() -> None:
    numbers = [SHOP.cutter[f"drill-#{number}-hss"].diameter for number in range(60, 0, -1)]
    letters = [SHOP.cutter[f"drill-{letter}-hss"].diameter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
    assert numbers + letters == sorted(numbers + letters)


@pytest.mark.parametrize("name", SHOP.thread)
def test_the_shop_has_tap_and_tap_drill_for_every_thread(name: str) -> None:
    drills = [one.diameter for one in SHOP.cutter.values() if one.shape == "drill"]
    assert min(abs(SHOP.thread[name].tap_drill - one) for one in drills) < 1e-9


@pytest.mark.parametrize(
    ("name", "pilot"),
    # clearance holes and counterbores: ISO 273, DIN 974-1 (from memory)
    [("10mm", 5.5), ("11mm", 6.6), ("15mm", 9.0), ("18mm", 11.0)],
)
def test_a_counterbore_has_the_pilot_of_its_screw(name: str, pilot: float) -> None:
    assert SHOP.cutter[f"counterbore-{name}-hss"].pilot == pilot


def test_parallels_run_from_a_half_to_one_and_five_eighths_by_eighths() -> None:
    inches = [height / 25.4 for height in SHOP.parallel_set("in")]
    assert inches == pytest.approx([0.5, 0.625, 0.75, 0.875, 1.0, 1.125, 1.25, 1.375, 1.5, 1.625], abs=1e-12)


def test_the_six_inch_vise_opens_at_least_six_inches() -> None:
    assert SHOP.vise["vise-6in"].opening_max >= 6 * 25.4


@pytest.mark.parametrize("file", ["machines", "vises", "materials", "cutters", "hole_cutters", "threads"])
def test_every_value_of_the_shop_says_where_it_comes_from(file: str) -> None:
    text = (resources.files("handwheel.shop") / "data" / f"{file}.toml").read_text(encoding="utf-8")
    for kind, entries in tomllib.loads(text).items():
        for name, entry in entries.items():
            assert entry["source"], (kind, name)
            for part in ("force", "hss", "carbide"):
                assert kind != "material" or entry[part]["source"], (name, part)


def test_kienzle_values_lie_where_the_tables_have_them() -> None:
    # Kienzle's tables (from memory): plain steels 1500–2600 N/mm², aluminium alloys 400–800, grey iron 900–1300
    forces = {name: material.force.kc11 for name, material in SHOP.material.items()}
    for name in ("steel-1018", "steel-s235", "steel-4140", "stainless-304"):
        assert 1500 <= forces[name] <= 2600
    for name in ("aluminium-6061", "aluminium-6082"):
        assert 400 <= forces[name] <= 800
    assert 900 <= forces["cast-iron"] <= 1300


def test_hss_speeds_are_those_of_the_handbook() -> None:
    # Machinery's Handbook, milling with HSS (from memory): low-carbon steel 80–110 ft/min, 4140 pre-hardened 40–80
    feet = {name: material.cutting_speed("HSS") / 0.3048 for name, material in SHOP.material.items()}
    assert 80 <= feet["steel-1018"] <= 110
    assert 80 <= feet["steel-s235"] <= 110
    assert 40 <= feet["steel-4140"] <= 80
    assert feet["aluminium-6061"] == pytest.approx(300)


def test_chip_load_between_two_sizes_is_in_proportion_and_outside_them_the_nearest() -> None:
    steel = SHOP.material["steel-s235"]
    assert steel.chip_load("HSS", 6.0) == pytest.approx(0.025)
    assert steel.chip_load("HSS", 9.0) == pytest.approx(0.0375)
    assert steel.chip_load("HSS", 1.0) == pytest.approx(0.012)
    assert steel.chip_load("HSS", 80.0) == pytest.approx(0.12)


@given(st.floats(1.0, 9000.0))
def test_the_spindle_step_is_the_highest_not_above_the_speed(rpm: float) -> None:
    # common practice: the highest step not above the calculated speed
    steps = (80.0, 125.0, 200.0, 315.0, 500.0, 800.0, 1250.0, 2000.0)
    chosen = SpindleSpeeds(steps).highest_not_above(rpm)
    faster = [step for step in steps if step > chosen]
    assert chosen in steps
    assert chosen <= rpm or chosen == 80.0
    assert not faster or faster[0] > rpm


def test_a_stepless_spindle_is_set_in_whole_revolutions_within_its_range() -> None:
    stepless = SpindleSpeeds(least=100.0, greatest=6000.0)
    assert [stepless.highest_not_above(rpm) for rpm in (763.9, 50.0, 9000.0)] == [763.0, 100.0, 6000.0]


def test_a_shop_file_adds_entries_and_starts_from_ours(tmp_path: Path) -> None:
    file = tmp_path / "shop.toml"
    file.write_text(
        """
        units = "in"
        [vise.old-vise]
        like = "vise-6in"
        opening_max = 5
        [knee_mill.by-the-window]
        like = "knee-mill-inch"
        readout_step = 0
        slides.x.backlash = "15/1000 in"
        [cutter.long-reach]
        shape = "end mill"
        diameter = "1/2"
        flutes = 2
        """,
        encoding="utf-8",
    )
    shop = load_shop(file)
    assert shop.vise["old-vise"].opening_max == 127.0
    assert shop.vise["old-vise"].jaw_width == SHOP.vise["vise-6in"].jaw_width
    window = shop.knee_mill["by-the-window"]
    assert math.isclose(window.slides.x.backlash, 0.381)
    assert window.slides.x.per_turn == 5.08
    assert window.readout_step == 0
    assert shop.cutter["long-reach"].tool(4).flutes == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("units = 'cm'", "units = cm: is no system of units here"),
        ("[vice.mine]\nlike = 'vise-6in'", "vice: no such table in a shop file; did you mean vise?"),
        ("vise = 3", "vise = 3: is no table"),
        ("[vise]\nmine = 3", "vise.mine = 3: is no table"),
        ("[vise.mine]\nlike = 'vise-7in'", 'vise.mine.like = "vise-7in": the shop has no such entry'),
        ("[vise.mine]\nlike = 'vise-6in'\njaw_width = -1", "vise.mine.jaw_width = -1: must be more than zero"),
        ("[cnc_mill.mine]\nlike = 'cnc-mill-inch'\nrpm = [3, 2]", "the steps must rise"),
        ("[cnc_mill.mine]\nlike = 'cnc-mill-inch'\nrpm = { min = 9, max = 2 }", "min above its max"),
        ("[cnc_mill.mine]\nlike = 'cnc-mill-inch'\nrpm = 'fast'", "is neither steps nor a range"),
        ("[cnc_mill.mine]\nlike = 'cnc-mill-inch'\nefficiency = 1.5", "must not be more than 1"),
    ],
)
def test_a_bad_shop_file_says_what_is_wrong(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "shop.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(JobError) as error:
        load_shop(file)
    assert said in str(error.value)
    assert "shop.toml: " in str(error.value)
