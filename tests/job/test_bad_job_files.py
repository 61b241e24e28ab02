"""Every fault that a job file can have by itself: one clear message, all at once."""

from __future__ import annotations

import contextlib
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.errors import JobError, Problem
from handwheel.job import read_job, read_job_text

GOOD = """\
handwheel = 1
title = "Clamp foot"
units = "in"
material = "steel-1018"

[machine.by_hand]
like = "knee-mill-inch"

[vise]
like = "vise-6in"

[stock]
size = [3, 2, 1]
allowance = { left = 0.1, right = 0.1, front = 0.1, back = 0.1, top = 0.05 }

[touch_off]
x = { with = "cutter" }

[[tool]]
number = 1
like = "face-mill-2in-carbide"

[[tool]]
number = 2
like = "end-mill-1/2in-hss"

[[tool]]
number = 3
like = "drill-1/4in-hss"

[[offset]]
number = 2
diameter = 0.5

[[operation]]
do = "face"
name = "top"
tool = 1
to = 0

[[operation]]
do = "side"
name = "front"
tool = 2
edge = "front"
to = 0
depth = 0.4
rough_to = [-0.05, -0.01]

[[operation]]
do = "side"
name = "right"
tool = 2
edge = "right"
to = 2.8
depth = 0.4

[[dimension]]
name = "length"
axis = "x"
through = { y = 0.9, z = -0.2 }
nominal = 2.8

[[dimension]]
name = "width"
axis = "y"
through = { x = 1.4, z = -0.2 }
nominal = 1.8
"""


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(JobError) as error:
        read_job_text(text, "clamp-foot", file="clamp-foot.toml")
    return error.value.problems


def with_line(old: str, new: str) -> str:
    assert GOOD.count(old) >= 1, old
    return GOOD.replace(old, new, 1)


def test_a_chip_as_thick_as_the_flutes_are_deep_is_left_to_the_proof() -> None:
    assert read_job_text(with_line("to = 0\ndepth", "to = 0\nfeed_per_tooth = 0.125\ndepth"), "clamp-foot")


def test_the_job_that_these_tests_spoil_is_good() -> None:
    assert read_job_text(GOOD, "clamp-foot").title == "Clamp foot"


BAD = [
    # old line, new line, key, value as shown, what the message says
    ("handwheel = 1", "handwheel = 2", "handwheel", "2", "format 1 is the newest"),
    ("handwheel = 1", "handwheel = 0", "handwheel", "0", "must be from 1 to 1"),
    ("handwheel = 1", 'handwheel = "1"', "handwheel", '"1"', "whole number"),
    ("handwheel = 1", "handwheel = true", "handwheel", "true", "whole number"),
    ("handwheel = 1\n", "", "handwheel", None, "is missing"),
    ('title = "Clamp foot"\n', "", "title", None, "is missing"),
    ('title = "Clamp foot"', 'title = "  "', "title", '"  "', "is empty"),
    ('title = "Clamp foot"', 'title = "\\u0000\\u0007"', "title", '"\\x00\\x07"', "is empty; write something"),
    ('name = "front"', 'name = "\\u0000"', "operation[2].name", '"\\x00"', "is empty"),
    ('title = "Clamp foot"', "title = 7", "title", "7", "is no text"),
    ('title = "Clamp foot"', f'title = "{"long" * 51}"', "title", None, "at most 200 characters"),
    ('units = "in"', 'units = "inch"', "units", '"inch"', 'write one of "in" or "mm"'),
    ('units = "in"\n', "", "units", None, "is missing"),
    ('"steel-1018"', '"steel-1081"', "material", '"steel-1081"', "did you mean steel-1018?"),
    ('"steel-1018"', '"butter"', "material", '"butter"', "the shop has no such material"),
    ('title = "C', 'coolent = "mist"\ntitle = "C', "coolent", '"mist"', "did you mean coolant?"),
    ('title = "C', 'coolant = "oil"\ntitle = "C', "coolant", '"oil"', "is not recognized"),
    ('title = "C', 'compensation = "edge"\ntitle = "C', "compensation", '"edge"', "is not recognized"),
    ('title = "C', 'clear = "12 mmm"\ntitle = "C', "clear", '"12 mmm"', "'mmm' is no unit that is known"),
    ('title = "C', 'clear = "12 kg"\ntitle = "C', "clear", '"12 kg"', "'kg' is no unit of a length"),
    ('title = "C', 'clear = "high"\ntitle = "C', "clear", '"high"', "cannot be read as a length"),
    ('title = "C', 'clear = "1/0"\ntitle = "C', "clear", '"1/0"', "nothing below the line"),
    ('title = "C', 'clear = ""\ntitle = "C', "clear", '""', "cannot be read as a length"),
    ('title = "C', 'clear = 0\ntitle = "C', "clear", "0", "must be more than zero"),
    ('title = "C', 'clear = 1e9\ntitle = "C', "clear", "1000000000.0", "longer than ten metres"),
    ('title = "C', 'tolerance = -0.1\ntitle = "C', "tolerance", "-0.1", "must be more than zero"),
    ("[machine.by_hand]", "[machine]\nby_foot = 1\n[machine.by_hand]", "machine.by_foot", "1", "no such key"),
    ('"knee-mill-inch"', '"knee-mil"', "machine.by_hand.like", '"knee-mil"', "did you mean knee-mill-"),
    ('"knee-mill-inch"', '"knee-mill-inch"\npower = "3 N"', "machine.by_hand.power", '"3 N"', "no unit of a power"),
    (
        '"knee-mill-inch"',
        '"knee-mill-inch"\nslides.y.graduation = 0',
        "machine.by_hand.slides.y.graduation",
        "0",
        "must be more than zero",
    ),
    (
        '"knee-mill-inch"',
        '"knee-mill-inch"\nslides.x.graduation = "0.05 in"',
        "machine.by_hand.slides.x.graduation",
        '"0.05 in"',
        "fewer than 10 lines on the dial",
    ),
    (
        '"knee-mill-inch"',
        '"knee-mill-inch"\nslides.y.backlash = 0.3',
        "machine.by_hand.slides.y.backlash",
        "0.3",
        "more than a turn",
    ),
    (
        '"knee-mill-inch"',
        '"knee-mill-inch"\nreadout_step = 0.5',
        "machine.by_hand.readout_step",
        "0.5",
        "coarser than any readout counts",
    ),
    ('"knee-mill-inch"', '"knee-mill-inch"\nslides.z = 1', "machine.by_hand.slides.z", "1", "no such key"),
    ('"knee-mill-inch"', '"knee-mill-inch"\nslides = 1', "machine.by_hand.slides", "1", "is no table"),
    ('"knee-mill-inch"', '"knee-mill-inch"\nrpm = []', "machine.by_hand.rpm", "[]", "is neither steps nor a range"),
    ('"vise-6in"', "6", "vise.like", "6", "the shop has no such entry"),
    ('"vise-6in"', '"vise-6in"\nair = -1', "vise.air", "-1", "must not be negative"),
    ('"vise-6in"', '"vise-6in"\nstop = "centre"', "vise.stop", '"centre"', "is no place for a stop"),
    ('"vise-6in"', '"vise-6in"\njaw_widht = 5', "vise.jaw_widht", "5", "did you mean jaw_width?"),
    ("size = [3, 2, 1]", "size = [3, 2]", "stock.size[3]", None, "is missing"),
    ("size = [3, 2, 1]", "size = [3, 2, 1, 4]", "stock.size", "[3, 2, 1, 4]", "too many values"),
    ("size = [3, 2, 1]", "size = 3", "stock.size", "3", "is no list"),
    ("size = [3, 2, 1]", "", "stock.size", None, "is missing"),
    ("size = [3, 2, 1]", "size = [-3, 2, 1]", "stock.size[1]", "-3", "must be more than zero"),
    ("size = [3, 2, 1]", "size = [3, nan, 1]", "stock.size[2]", "nan", "must be a finite number"),
    ("size = [3, 2, 1]", "size = [3, 2, inf]", "stock.size[3]", "inf", "must be a finite number"),
    ("size = [3, 2, 1]", "size = [3, true, 1]", "stock.size[2]", "true", "a length is a number"),
    ("size = [3, 2, 1]", "size = [3, 2025-01-01, 1]", "stock.size[2]", "2025-01-01", "a length is a number"),
    ("size = [3, 2, 1]", "size = [3, 8, 1]", "stock.size[2]", "8", "is wider than the vise opens, 7.000 in"),
    ("left = 0.1", "left = 2.9", "stock.allowance", None, "leaves nothing of the work along x"),
    ("left = 0.1", "left = -0.1", "stock.allowance.left", "-0.1", "must not be negative"),
    ("left = 0.1", "port = 0.1", "stock.allowance.port", "0.1", "no such key"),
    ('{ with = "cutter" }', '{ with = "edge finder" }', "touch_off.x.diameter", None, "needs its diameter"),
    ('{ with = "cutter" }', '{ with = "paper", height = 1 }', "touch_off.x.thickness", None, "needs its thickness"),
    ('{ with = "cutter" }', '{ with = "thumb" }', "touch_off.x.with", '"thumb"', "is not recognized"),
    (
        'x = { with = "cutter" }',
        'z = { with = "edge finder", diameter = 0.2 }',
        "touch_off.z",
        None,
        "finds sides, not tops",
    ),
    ("number = 2\nlike", "number = 1\nlike", "tool[2].number", "1", "is there already, at tool[1]"),
    ("number = 2\nlike", "number = 2.0\nlike", "tool[2].number", "2.0", "whole number"),
    ("number = 2\nlike", "number = -2\nlike", "tool[2].number", "-2", "must be from 1 to 999"),
    ("number = 2\nlike", "like", "tool[2].number", None, "is missing"),
    ('"end-mill-1/2in-hss"', '"end-mill-1/2in"', "tool[2].like", '"end-mill-1/2in"', "did you mean end-mill-1/2in-"),
    ('"end-mill-1/2in-hss"', '"end-mill-1/2in-hss"\nflutes = 0', "tool[2].flutes", "0", "must be from 1 to 40"),
    ('"end-mill-1/2in-hss"', '"end-mill-1/2in-hss"\nreach = 0', "tool[2].reach", "0", "must be more than zero"),
    ('"end-mill-1/2in-hss"', '"end-mill-1/2in-hss"\nholder = [1]', "tool[2].holder[2]", None, "is missing"),
    (
        '"end-mill-1/2in-hss"',
        '"end-mill-1/2in-hss"\ncentre_cutting = "yes"',
        "tool[2].centre_cutting",
        '"yes"',
        "write true or false",
    ),
    (
        '"end-mill-1/2in-hss"',
        '"end-mill-1/2in-hss"\nshape = "corner-radius end mill"',
        "tool[2].corner_radius",
        None,
        "under half its diameter",
    ),
    (
        '"end-mill-1/2in-hss"',
        '"end-mill-1/2in-hss"\ncorner_radius = 0.1',
        "tool[2].corner_radius",
        "0.1",
        "does not go with",
    ),
    ('"end-mill-1/2in-hss"', '"end-mill-1/2in-hss"\nshape = "tap"', "tool[2].pitch", None, "a tap needs its pitch"),
    ("number = 2\ndiameter", "number = 0\ndiameter", "offset[1].number", "0", "must be from 1 to 999"),
    ("[[operation]]", "[[offset]]\nnumber = 2\n[[operation]]", "offset[2].number", "2", "is there already"),
    ('do = "face"', 'do = "bore"', "operation[1].do", '"bore"', 'write do = "face" or "side"'),
    ('do = "face"\n', "", "operation[1].do", None, "is missing"),
    ("tool = 1", "tool = 7", "operation[1].tool", "7", "no [[tool]] has this number"),
    ("tool = 1", "tool = 3", "operation[1].tool", "3", "is a drill, which does not cut"),
    ("tool = 2\nedge", "tool = 1\nedge", "operation[2].tool", "1", "is a face mill, which does not cut"),
    ("to = 0", "to = 0.06", "operation[1].to", "0.06", "is outside the stock, whose Z goes from -.950 in to .050 in"),
    ("to = 0", "to = -1", "operation[1].to", "-1", "is outside the stock"),
    ("to = 0", "to = 0\noverhang = 0.1", "operation[1].overhang", "0.1", "must be from 0.147 to 0.5"),
    ("to = 0", "to = 0\noverhang = 0.6", "operation[1].overhang", "0.6", "must be from 0.147 to 0.5"),
    ("to = 0", 'to = 0\noverhang = "1/4"', "operation[1].overhang", '"1/4"', "without quotes"),
    ("to = 0", "to = 0\noverlap = 1", "operation[1].overlap", "1", "must be from 0 to 0.9"),
    ("to = 0", 'to = 0\npath = "spiral"', "operation[1].path", '"spiral"', "is not recognized"),
    ("to = 0", 'to = 0\ncut = "down"', "operation[1].cut", '"down"', "is no direction of cut"),
    ("to = 0", "to = 0\ncut = { by_robot = 'climb' }", "operation[1].cut.by_robot", '"climb"', "no such key"),
    ("to = 0", "to = 0\nrpm = 0", "operation[1].rpm", "0", "must be more than zero"),
    ("to = 0", "to = 0\nrpm = 1e7", "operation[1].rpm", "10000000.0", "must not be more than 100000"),
    ("to = 0", "to = 0\nfeed_per_tooth = -1", "operation[1].feed_per_tooth", "-1", "must be more than zero"),
    ("to = 0", "to = 0\npass_depth = 1e-7", "operation[1].pass_depth", "1e-07", "too small to be set"),
    ("to = 0", "to = 0\ndepth = 1", "operation[1].depth", "1", "no such key"),
    ('edge = "front"', 'edge = "frnt"', "operation[2].edge", '"frnt"', 'did you mean "front"?'),
    ('edge = "front"\n', "", "operation[2].edge", None, "is missing"),
    ("to = 0\ndepth = 0.4", "to = -0.2\ndepth = 0.4", "operation[2].to", "-0.2", "whose Y goes from -.100 in to 1.900"),
    ("to = 2.8", "to = 2.95", "operation[3].to", "2.95", "whose X goes from -.100 in to 2.900 in"),
    ("to = 2.8", "to = -0.1", "operation[3].to", "-0.1", "is outside the stock"),
    ("to = 2.8", "to = [1]", "operation[3].to", "[1]", "a length is a number"),
    ("depth = 0.4\nrough", "depth = 1.2\nrough", "operation[2].depth", "1.2", "only .950 in of it is left"),
    ("depth = 0.4\nrough", "depth = 0\nrough", "operation[2].depth", "0", "must be more than zero"),
    ("[-0.05, -0.01]", "[-0.01, -0.05]", "operation[2].rough_to", "[-0.01, -0.05]", "does not go step by step"),
    ("[-0.05, -0.01]", "[-0.5]", "operation[2].rough_to", "[-0.5]", "does not go step by step"),
    ("[-0.05, -0.01]", "[0.05]", "operation[2].rough_to", "[0.05]", "does not go step by step"),
    ("[-0.05, -0.01]", "[-0.05]\nfinish = -1", "operation[2].finish", "-1", "must not be negative"),
    ("[-0.05, -0.01]", "[-0.05]\nspring_passes = 2.5", "operation[2].spring_passes", "2.5", "whole number"),
    ("[-0.05, -0.01]", "[-0.05]\nmeasure = 1", "operation[2].measure", "1", "write true or false"),
    # a quarter of the 1/2 in cutter: .125 in
    ("to = 0\ndepth", "to = 0\nfeed_per_tooth = 3\ndepth", "operation[2].feed_per_tooth", "3", "can be deep, .125 in"),
    ('name = "right"', 'name = "front"', "operation[3].name", '"front"', "is there already, at operation[2]"),
    ('name = "right"\n', "", "operation[3].name", None, "is missing"),
    (
        'edge = "right"',
        'edge = "right"\ncompensation = "tool-path"',
        "operation[3].compensation",
        '"tool-path"',
        "has one diameter offset",
    ),
    ('name = "width"', 'name = "length"', "dimension[2].name", '"length"', "is there already, at dimension[1]"),
    ('axis = "y"', 'axis = "b"', "dimension[2].axis", '"b"', "is not recognized"),
    ('axis = "y"', 'axis = "z"', "dimension[2].through", "{ x = 1.4, z = -0.2 }", "through one x and one y"),
    ("{ x = 1.4, z = -0.2 }", "{ x = 1.4 }", "dimension[2].through", "{ x = 1.4 }", "through one x and one z"),
    ("nominal = 1.8", "nominal = 0", "dimension[2].nominal", "0", "must be more than zero"),
    ("nominal = 1.8", "nominal = 0.01", "dimension[2].nominal", "0.01", "ISO 2768-m has no tolerance"),
    ("nominal = 1.8", "nominal = 1.8\nplus = -1", "dimension[2].plus", "-1", "must not be negative"),
    ("nominal = 1.8", 'nominal = 1.8\nof = "inside"', "dimension[2].at", None, "a gap needs the y at which it lies"),
    ("nominal = 1.8", 'nominal = 1.8\nof = "step"\nat = 1', "dimension[2].at", "1", "does not go with a step"),
    ("nominal = 1.8", 'nominal = 1.8\ngauge = "thumb"', "dimension[2].gauge", '"thumb"', "is not recognized"),
    (
        "[vise]",
        "[budget]\n'repeatability by hand' = -1\n[vise]",
        "budget.repeatability by hand",
        "-1",
        "must not be negative",
    ),
    ("[vise]", "[times]\noil = 'long'\n[vise]", "times.oil", '"long"', "must be a number"),
    ("[vise]", "[budget]\nweather = 1\n[vise]", "budget.weather", "1", "is no input of the error budget"),
    ("[vise]", "[budget]\n'repeatabilty by hand' = 1\n[vise]", "budget.repeatabilty by hand", "1", "did you mean"),
    (
        "[vise]",
        "[times]\nsmoking = 300\n[vise]",
        "times.smoking",
        "300",
        "there are: a block or paper taken away, a bore gauge",
    ),
    ("[vise]", "[zero]\nx = 'front'\n[vise]", "zero.x", '"front"', "is not recognized"),
    ("[vise]", "[allowance]\noil = 5\n[vise]", "allowance", "{ oil = 5 }", "write [times]"),
    ("[vise]", "[tools]\nx = 1\n[vise]", "tools", "{ x = 1 }", "did you mean tool?"),
]


@pytest.mark.parametrize(("old", "new", "key", "value", "said"), BAD)
def test_one_fault_is_one_problem_at_its_key(old: str, new: str, key: str, value: str | None, said: str) -> None:
    found = [problem for problem in problems(with_line(old, new)) if problem.key == key]
    assert len(found) == 1, [str(problem) for problem in problems(with_line(old, new))]
    assert said in str(found[0])
    if value is not None:
        assert found[0].value == value


def test_a_single_bracket_where_two_are_meant_is_said() -> None:
    text = re.sub(r"\[\[dimension\]\].*", "", GOOD, flags=re.DOTALL) + '[dimension]\nname = "w"\n'
    (problem,) = problems(text)
    assert problem.key == "dimension"
    assert "[[dimension]]" in problem.wanted


@pytest.mark.parametrize("name", ["machine", "vise", "stock", "zero", "touch_off", "tool", "operation", "times"])
def test_a_number_where_a_table_is_meant_is_said(name: str) -> None:
    top = re.sub(r"\n\[.*", "", GOOD, count=1, flags=re.DOTALL)
    stock = "" if name == "stock" else "[stock]\nsize = [3, 2, 1]\n"
    (problem,) = problems(f"{top}\n{name} = 5\n{stock}")
    assert (problem.key, problem.value) == (name, "5")


def test_everything_wrong_is_said_at_once() -> None:
    text = with_line('"steel-1018"', '"steel"').replace("[3, 2, 1]", "[3, 8, 1]").replace("to = 2.8", "to = 28")
    text = text.replace('"vise-6in"', '"vise-6in"\ncolour = 1').replace("tool = 1", "tool = 9", 1)
    keys = [problem.key for problem in problems(text)]
    assert set(keys) == {"material", "vise.colour", "operation[1].tool", "operation[3].to"}
    with pytest.raises(JobError) as error:
        read_job_text(text, "clamp-foot", file="clamp-foot.toml")
    assert str(error.value).count("\n") == len(keys) - 1
    assert all(line.startswith("clamp-foot.toml: ") for line in str(error.value).splitlines())


def test_a_misspelt_shop_entry_does_not_hide_what_else_is_wrong_in_its_table() -> None:
    found = problems(with_line('like = "vise-6in"', 'like = "vise-6"\njaw_width = -5\njaw_heihgt = 2'))
    assert {problem.key for problem in found} == {"vise.like", "vise.jaw_width", "vise.jaw_heihgt"}


def test_a_tool_of_the_users_own_says_what_it_lacks() -> None:
    found = problems(with_line('like = "end-mill-1/2in-hss"', "flutes = 3"))
    assert {problem.key for problem in found} == {"tool[2].shape", "tool[2].diameter"}
    assert "like" in found[0].wanted


def test_a_file_of_a_later_format_is_refused_by_its_number_alone() -> None:
    (problem,) = problems("handwheel = 3\nsurface = 'new'\n")
    assert (problem.key, problem.value) == ("handwheel", "3")


@pytest.mark.parametrize(
    ("old", "new", "hint"),
    [
        ("depth = 0.4", "depth = 0,4", "the decimal sign is a point: 0.4"),
        ("nominal = 2.8", "nominal = 2,8 # wide", "the decimal sign is a point: 2.8"),
        ("depth = 0.4", "depth = 3/8", 'a fraction needs quotes: "3/8"'),
        ("depth = 0.4", "depth = 1-3/8 in", 'a fraction needs quotes: "1-3/8 in"'),
        ("depth = 0.4", "depth = 10 mm", 'a number with its unit needs quotes: "10 mm"'),
        ("depth = 0.4", 'depth = 0.4"', 'a number with its unit needs quotes: "0.4 in"'),
        ("depth = 0.4", "depth = .4", "a number begins before its point: 0.4"),
        ("to = 2.8", "to = 2.", "a number goes on after its point: 2.0"),
        ("depth = 0.4", "depth =", "a value is missing after ="),
        ("depth = 0.4", "depth: 0.4", "write = between key and value"),
        ("depth = 0.4", "depth = 0.4\ndepth = 0.5", "this key stands above already"),
        ('edge = "front"', "edge = front", 'a text needs quotes: "front"'),
        ('edge = "front"', "edge = “front”", "the quotes are straight ones"),
        ('edge = "front"', 'edge = "front', "the quotes at the end are missing"),
        ('"Clamp foot"', '"Clamp "foot""', "quotes inside a text are written"),
        ("size = [3, 2, 1]", "size = 3, 2, 1", "several values stand in square brackets: [3, 2, 1]"),
        ("[[tool]]\nnumber = 2", "[tool]\nnumber = 2", "write [[tool]], with two brackets"),
        ("[[tool]]\nnumber = 1", "[tool]\nnumber = 1", "write [[tool]], with two brackets"),
        ("[[tool]]\nnumber = 2", "[[tool]\nnumber = 2", "as many brackets close as open"),
        ("[vise]", "[vise", "as many brackets close as open"),
    ],
)
def test_a_beginners_slip_in_toml_gets_a_hint(old: str, new: str, hint: str) -> None:
    """TOML 1.0.0: numbers, strings, arrays and arrays of tables."""
    (problem,) = problems(with_line(old, new))
    assert "is not TOML" in problem.reason
    assert "at line" in problem.reason
    assert problem.wanted.startswith(hint)


@settings(max_examples=200)
@given(st.text(alphabet="ab=.,-/[]{}\"'\n 019“:#mn", max_size=60))
def test_a_hint_never_fails(text: str) -> None:
    with contextlib.suppress(JobError):
        read_job_text(text, "clamp-foot")


def test_what_is_no_toml_names_line_and_column(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text("handwheel = 1\ntitle = Clamp foot\n", encoding="utf-8")
    with pytest.raises(JobError, match=r"is not TOML: .*line 2, column 9"):
        read_job(file)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"# nothing yet\n", "is empty"),
        (b'title = "\xff\xfe"\n', "is not UTF-8 text (line 1)"),
        ("title = 1\n".encode("utf-16"), "is not UTF-8 text"),
        (b"a = " + b"[" * 5000, "is nested too deeply"),
        (b"a = 1\na = 2\n", "is not TOML"),
        (b"a = " + b"9" * 5000, "is not TOML"),
    ],
)
def test_a_file_that_is_no_job_file_is_one_problem(tmp_path: Path, content: bytes, said: str) -> None:
    file = tmp_path / "job.toml"
    file.write_bytes(content)
    with pytest.raises(JobError) as error:
        read_job(file)
    assert len(error.value.problems) == 1
    assert said in str(error.value)


def test_a_folder_and_a_missing_file_are_said_to_be_so(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="is a folder"):
        read_job(tmp_path)
    with pytest.raises(JobError, match="there is no such file"):
        read_job(tmp_path / "none.toml")
    with pytest.raises(JobError, match="cannot be read"):
        read_job(tmp_path / "none\0.toml")


def test_a_file_saved_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    file = tmp_path / "clamp.toml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert read_job(file).name == "clamp"


VALUES = st.one_of(
    st.sampled_from(
        ["0x" + "f" * 5000, "1e400", "-0", "nan", "-inf", "true", "[]", "{}", '""', "[[[]]]", "1979-05-27"]
    ),
    st.integers(-(10**400), 10**400).map(str),
    st.text(st.characters(codec="ascii", exclude_characters='"\\', min_codepoint=32), max_size=30).map('"{}"'.format),
)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_whatever_stands_at_a_key_the_file_reads_or_says_what_is_wrong(data: st.DataObject) -> None:
    lines = [line for line in GOOD.splitlines() if " = " in line]
    line = data.draw(st.sampled_from(lines))
    text = GOOD.replace(line, f"{line.split(' = ')[0]} = {data.draw(VALUES)}", 1)
    with contextlib.suppress(JobError):
        read_job_text(text, "clamp-foot")
