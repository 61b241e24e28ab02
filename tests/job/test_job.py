"""A job file read whole: defaults, frames, shop entries."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import Draft

from handwheel.errors import JobError
from handwheel.job import Job, Stock, Zero, read_job, read_job_text
from handwheel.job.limits import general_tolerance
from handwheel.job.work import boxes
from handwheel.motion import Offset
from handwheel.setup import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"

SMALL = """
handwheel = 1
title = "Spacer"
units = "{units}"
material = "brass"
{top}
[stock]
size = [2, 1.5, 1]
allowance = {{ left = 0.1, front = 0.05, top = 0.02, bottom = 0.01 }}
{tables}
"""

MILLED = """
[[tool]]
number = 2
like = "end-mill-1/2in-hss"
[[operation]]
do = "face"
name = "top"
tool = 2
[[operation]]
do = "side"
name = "front"
tool = 2
edge = "front"
to = 0
depth = 0.25
"""


def small(tables: str = "", *, units: str = "in", top: str = "") -> Job:
    return read_job_text(SMALL.format(units=units, top=top, tables=tables), "spacer")


def test_what_an_inch_job_leaves_out_is_a_round_inch_size() -> None:
    job = small(MILLED)
    assert (job.setups[0].clear, job.tolerance) == (25.4, 0.0254)
    assert job.setups[0].operations[1].finish == pytest.approx(0.254)  # type: ignore[union-attr]
    assert job.by_hand.slides.x.per_turn == 5.08
    assert job.setups[0].vise.opening_max >= 152.4
    assert job.setups[0].vise.air == 2.0
    assert job.parallel_set[0] == 12.7


def test_what_a_metric_job_leaves_out_is_a_round_metric_size() -> None:
    job = small(MILLED, units="mm").setups[0].operations
    metric = small(units="mm")
    assert (metric.setups[0].clear, metric.tolerance) == (25.0, 0.02)
    assert job[1].finish == 0.25  # type: ignore[union-attr]
    assert metric.by_hand.slides.x.per_turn == 5.0
    assert metric.setups[0].vise.jaw_width == 125.0


def test_zero_is_on_the_finished_left_front_top() -> None:
    job = small()
    assert job.finished_block.low == pytest.approx((0.0, 0.0, -0.97 * 25.4))
    assert job.finished_block.high == pytest.approx((1.9 * 25.4, 1.45 * 25.4, 0.0))
    assert job.raw_block.low == pytest.approx((-2.54, -1.27, -0.98 * 25.4))
    assert job.raw_block.high == pytest.approx((1.9 * 25.4, 1.45 * 25.4, 0.02 * 25.4))


@given(
    st.tuples(*[st.floats(10.0, 200.0)] * 3),
    st.lists(st.floats(0.0, 4.0), min_size=6, max_size=6),
    st.sampled_from(("left", "centre", "right")),
    st.sampled_from(("front", "centre", "back")),
    st.sampled_from(("top", "bottom")),
)
def test_wherever_the_zero_is_the_raw_block_keeps_its_size_and_allowances(
    size: tuple[float, float, float], spare: list[float], x: str, y: str, z: str
) -> None:
    faces = ("left", "right", "front", "back", "top", "bottom")
    stock = Stock.model_validate({"size": size, "allowance": dict(zip(faces, spare, strict=True))})
    raw, finished = boxes(stock, Zero.model_validate({"x": x, "y": y, "z": z}))
    assert raw.size == pytest.approx(size)
    assert finished.low[0] - raw.low[0] == pytest.approx(spare[0], abs=1e-9)
    assert raw.high[0] - finished.high[0] == pytest.approx(spare[1], abs=1e-9)
    assert finished.low[1] - raw.low[1] == pytest.approx(spare[2], abs=1e-9)
    assert raw.high[1] - finished.high[1] == pytest.approx(spare[3], abs=1e-9)
    assert raw.high[2] - finished.high[2] == pytest.approx(spare[4], abs=1e-9)
    assert finished.low[2] - raw.low[2] == pytest.approx(spare[5], abs=1e-9)
    on = {"left": finished.low[0], "right": finished.high[0], "centre": finished.centre[0]}
    assert on[x] == pytest.approx(0.0, abs=1e-9)


def test_facing_to_nothing_said_is_facing_to_the_finished_top() -> None:
    assert small(MILLED).setups[0].operations[0].to == 0.0
    bottom = small('[zero]\nz = "bottom"\n' + MILLED)
    assert bottom.setups[0].operations[0].to == pytest.approx(0.97 * 25.4)
    assert set_up(bottom)[0].finished_top == pytest.approx(0.97 * 25.4)


def test_depths_count_from_the_lowest_facing() -> None:
    assert set_up(small(MILLED.replace('do = "face"', 'do = "face"\nto = -0.1')))[0].finished_top == pytest.approx(
        -2.54
    )


def test_one_word_for_the_cut_serves_both_ways_and_a_table_tells_them_apart() -> None:
    both = small(MILLED.replace('edge = "front"', 'edge = "front"\ncut = "climb"')).setups[0].operations[1].cut
    apart = (
        small(MILLED.replace('edge = "front"', 'edge = "front"\ncut = { by_program = "climb" }'))
        .setups[0]
        .operations[1]
        .cut
    )
    assert (both.by_hand, both.by_program) == ("climb", "climb")
    assert (apart.by_hand, apart.by_program) == ("conventional", "climb")


def test_the_offset_table_holds_the_whole_cutter_or_nothing_as_the_program_is_written() -> None:
    length = small(MILLED).tool(2).length
    assert small(MILLED).offsets == {2: Offset(length, 12.7)}
    path = small(MILLED, top='compensation = "tool-path"')
    assert path.setups[0].operations[1].compensation == "tool-path"
    assert path.offsets == {2: Offset(length, 0.0)}


def test_an_operation_may_have_a_compensation_of_its_own_and_the_offset_follows() -> None:
    job = small(MILLED.replace('edge = "front"', 'edge = "front"\ncompensation = "tool-path"'))
    assert job.setups[0].operations[0].compensation == "material-edge"
    assert job.setups[0].operations[1].compensation == "tool-path"
    assert job.offsets[2].diameter == 0.0


def test_an_offset_that_the_job_states_stands_and_the_rest_is_as_it_ought_to_be() -> None:
    job = small(MILLED + "[[offset]]\nnumber = 2\ndiameter = 0.498\n[[offset]]\nnumber = 9\nlength = 3")
    assert job.offsets[2] == Offset(job.tool(2).length, pytest.approx(0.498 * 25.4))  # type: ignore[arg-type]
    assert job.offsets[9] == Offset(pytest.approx(76.2), 0.0)  # type: ignore[arg-type]


def test_a_shop_entry_is_overridden_key_by_key() -> None:
    job = small('[machine.by_hand]\nlike = "knee-mill-metric"\nslides.y.backlash = 0.02\nrpm = [100, 200]')
    assert job.by_hand.slides.y.backlash == pytest.approx(0.508)
    assert job.by_hand.slides.y.per_turn == 5.0
    assert job.by_hand.rpm.steps == (100.0, 200.0)
    assert job.by_hand.power == 2200.0


def test_a_tool_without_a_shop_entry_is_complete_from_shape_and_diameter() -> None:
    tool = small('[[tool]]\nnumber = 5\nshape = "drill"\ndiameter = "1/4"').tool(5)
    assert (tool.diameter, tool.flutes, tool.point_angle, tool.centre_cutting) == (6.35, 2, 118.0, True)
    assert tool.reach > tool.flute_length


def test_a_ball_end_mill_has_half_its_diameter_as_corner() -> None:
    assert small('[[tool]]\nnumber = 5\nshape = "ball end mill"\ndiameter = 0.5').tool(5).corner_radius == 6.35


@pytest.mark.parametrize(
    ("nominal", "plus_minus"),
    # ISO 2768-1, table 1, class m (from memory), with the ends of each range
    [(0.5, 0.1), (3, 0.1), (6, 0.1), (6.01, 0.2), (30, 0.2), (48, 0.3), (120, 0.3), (400, 0.5), (1000, 0.8)],
)
def test_a_size_without_tolerance_has_the_general_one(nominal: float, plus_minus: float) -> None:
    assert general_tolerance(nominal) == plus_minus
    size = small(
        f'[[dimension]]\nname = "w"\naxis = "y"\nthrough = {{ x = 1, z = -1 }}\nnominal = {nominal}', units="mm"
    ).dimensions[0]
    assert (size.lower, size.upper) == (pytest.approx(nominal - plus_minus), pytest.approx(nominal + plus_minus))


def test_a_tolerance_to_one_side_leaves_nothing_to_the_other() -> None:
    size = small(
        '[[dimension]]\nname = "w"\naxis = "y"\nthrough = { x = 1, z = -1 }\nnominal = 1\nminus = 0.002'
    ).dimensions[0]
    assert (size.lower, size.upper) == (pytest.approx(0.998 * 25.4), 25.4)
    assert size.gauge == "micrometer"


def test_the_same_job_in_inches_and_in_millimeters_is_the_same_job() -> None:
    text = SMALL.format(units="in", top='clear = "1 in"', tables=MILLED)
    metric = text.replace('units = "in"', 'units = "mm"').replace("[2, 1.5, 1]", "[50.8, 38.1, 25.4]")
    metric = metric.replace(
        "left = 0.1, front = 0.05, top = 0.02, bottom = 0.01", "left = 2.54, front = 1.27, top = 0.508, bottom = 0.254"
    )
    metric = metric.replace("depth = 0.25", "depth = 6.35")
    inch_job, metric_job = read_job_text(text, "spacer"), read_job_text(metric, "spacer")
    assert inch_job.raw_block.low == pytest.approx(metric_job.raw_block.low, abs=1e-12)
    assert inch_job.raw_block.high == pytest.approx(metric_job.raw_block.high, abs=1e-12)
    assert inch_job.tools == metric_job.tools
    assert inch_job.setups[0].operations[1].depth == pytest.approx(metric_job.setups[0].operations[1].depth)  # type: ignore[union-attr]


def test_a_job_without_operations_is_a_set_up_for_somebody_elses_program() -> None:
    assert small().setups[0].operations == ()


def test_the_job_is_named_by_its_file_or_by_its_folder(tmp_path: Path) -> None:
    text = SMALL.format(units="in", top="", tables="")
    (tmp_path / "rest-pad").mkdir()
    for file in (tmp_path / "rest-pad" / "job.toml", tmp_path / "clamp.toml"):
        file.write_text(text, encoding="utf-8")
    assert read_job(tmp_path / "rest-pad" / "job.toml").name == "rest-pad"
    assert read_job(tmp_path / "rest-pad" / ".." / "clamp.toml").name == "clamp"


@pytest.mark.parametrize("name", ["../out", "a/b", "", " ", "..", "a\\b", "con", "x" * 200, "a\nb", "what?", ".hidden"])
def test_a_name_that_no_file_can_have_is_refused(name: str) -> None:
    with pytest.raises(JobError) as error:
        read_job_text(SMALL.format(units="in", top="", tables=""), name)
    assert len(error.value.problems) == 1
    assert error.value.problems[0].key == "the job's name"


@pytest.mark.parametrize("example", sorted(EXAMPLES.glob("*/job.toml")), ids=lambda path: path.parent.name)
def test_every_example_reads(example: Path) -> None:
    job = read_job(example)
    assert job.name == example.parent.name
    assert job.setups[0].operations
    assert job.dimensions


@pytest.mark.parametrize(
    ("material", "coolant"),
    [
        # Machinery's Handbook, cutting fluids for milling: steels with soluble oil, cast iron dry (from memory)
        ("steel-1018", "flood"),
        ("steel-4140", "flood"),
        ("cast-iron", "off"),
        # common practice: oil mist on aluminium, brass and acetal dry
        ("aluminium-6061", "mist"),
        ("brass", "off"),
        ("acetal", "off"),
    ],
)
def test_a_job_that_says_nothing_of_coolant_is_cut_as_its_material_usually_is(material: str, coolant: str) -> None:
    assert Draft(material=material).job().coolant == coolant
    assert Draft(material=material, extra='coolant = "flood"').job().coolant == "flood"
