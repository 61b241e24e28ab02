"""Measured parts: what a spreadsheet may hold, what is said of it, and what a correction does at the machine."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from jobs import Draft, sides

from handwheel.cli import main
from handwheel.errors import HandwheelError
from handwheel.job import Job
from handwheel.learn import Measurements, measure
from handwheel.learn.sizes import Measured, decoded, sizes_of
from handwheel.motion import Offset
from handwheel.proof import Routes, prove_setup, routes_of

U = {"micrometer": 0.005, "caliper": 0.04, "depth micrometer": 0.01}
"""Expanded, mm (common practice)."""


WITHIN = {"plus": 0.05, "minus": 0.05}


@cache
def draft(compensation: str = "material-edge") -> Draft:
    """A block with a width, a length and a step on the drawing."""
    return replace(
        sides("front", "back", "right", "left"),
        compensation=compensation,
        dimensions=(
            {
                "name": "width",
                "axis": "y",
                "through": {"x": 38.0, "z": -6.0},
                "nominal": 40.5,
                "plus": 0.05,
                "minus": 0.05,
            },
            {"name": "Länge", "axis": "x", "through": {"y": 20.0, "z": -6.0}, "nominal": 76.0, "gauge": "caliper"},
            {"name": "step", "axis": "z", "of": "step", "through": {"x": 38.0, "y": -0.7}, "nominal": 12.0},
        ),
    )


@cache
def routes(compensation: str = "material-edge") -> tuple[Routes, ...]:
    return routes_of(draft(compensation).job())


def job() -> Job:
    return routes()[0].setup.job


def judged(text: str, **options: bool) -> Measurements:
    return measure(routes(), sizes_of(text, "sizes.csv", job()), U, **options)


@pytest.mark.parametrize(
    "content",
    [
        "part,width,Länge\n1,40.5,76\n2,,76.02\n".encode(),
        "\ufeffpart;width;Länge\r\n1;40,5;76\r\n2;;76,02\r\n".encode(),
        "part;width;Länge\n1;40,5;76\n\n2;;76,02;;\n".encode("cp1252"),
        "part\twidth\tLänge\n1\t40,5\t76\n2\t\t76,02\n".encode("utf-16"),
        'part,WIDTH,"Länge"\n1,"40,5",76 mm\n2,,76.02\n'.encode(),
    ],
    ids=["comma", "semicolon and mark", "cp1252", "utf-16", "quoted"],
)
def test_a_spreadsheet_is_read_as_it_is_written(content: bytes) -> None:
    read = sizes_of(decoded(content), "sizes.csv", job())
    assert read.parts == ("1", "2")
    assert read.values["width"][0] == pytest.approx(40.5)
    assert read.values["width"][1] != read.values["width"][1]
    assert read.values["Länge"] == pytest.approx((76.0, 76.02))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("part,width\n", "has a head and no part"),
        ("name,width\n1,2\n", "line 1: the first column is 'name'"),
        ("part\n1\n", "has no size beside 'part'"),
        ("part,height\n1,2\n", "line 1: 'height' is no size of the drawing; the drawing has width, Länge, step"),
        ("part,width,Width\n1,2,3\n", "'width' has two columns"),
        ("part,width\n1,40,5\n", "line 2: has 3 cells, and the head has 2; where a comma"),
        ("part;width\n1;1.234,5\n", "line 2, width: '1.234,5' has more than one decimal sign"),
        ("part,width\n1,wide\n", "line 2, width: 'wide'"),
        ("part,width\n1,nan\n", "line 2, width: 'nan'"),
        ('part,width\n1,"40', "is no table of cells"),
    ],
)
def test_what_is_wrong_in_a_spreadsheet_is_told_with_its_line(text: str, said: str) -> None:
    with pytest.raises(HandwheelError, match=r"^sizes\.csv") as told:
        sizes_of(text, "sizes.csv", job())
    assert said in str(told.value)


def test_each_size_has_the_worst_verdict_of_its_parts() -> None:
    found = judged("part,width,Länge,step\n1,40.5,76.0,\n2,40.56,76.0,\n3,40.548,76.28,\n")
    width, length, step = found.sizes
    assert (width.verdicts, width.verdict, width.out) == (("in", "out", "doubtful"), "out", 1)
    assert (length.verdicts, length.verdict) == (("in", "in", "doubtful"), "doubtful")  # 76 ± 0.3 with a caliper
    assert (step.verdict, step.mean, step.known) == (None, None, ())
    assert not found.passes


def test_guarded_is_decided_by_the_standard_and_says_so() -> None:
    text = "part,width\n1,40.5455\n"
    assert judged(text).sizes[0].verdict == "doubtful"
    assert judged("part,width\n1,40.5458\n").sizes[0].verdict == "doubtful"
    assert judged("part,width\n1,40.5458\n", guarded=True).sizes[0].verdict == "in"  # band 1.65·0.0025 = 0.0041
    assert judged(text, guarded=True).to_json()["decided_by"] == "ISO 14253-1:2017"


def test_no_index_and_no_mean_reaches_across_a_correction() -> None:
    rows = [f"{number},{40.50 + 0.002 * (number % 5)}" for number in range(1, 31)]
    whole = judged("\n".join(["part,width", *rows])).sizes[0]
    assert whole.ppk is not None
    corrected = judged("\n".join(["part,width", *rows[:10], "correction", *rows[10:]])).sizes[0]
    assert corrected.ppk is None
    assert len(corrected.since) == 20
    assert len(corrected.known) == 30


def test_what_is_in_the_middle_within_the_gauge_s_uncertainty_is_left_alone() -> None:
    assert judged("part,width\n1,40.504\n").corrections == ()
    # spread accounts for it: two deviations of the mean
    assert judged("part,width\n1,40.45\n2,40.55\n3,40.53\n").corrections == ()


@pytest.mark.parametrize("compensation", ["material-edge", "tool-path"])
@pytest.mark.parametrize("wear", [-0.16, -0.04, 0.09])
def test_following_the_correction_brings_the_next_part_to_the_middle(compensation: str, wear: float) -> None:
    """The cutter is not what the table says: cut with it, measure, key in what is advised, cut again."""
    (one,) = routes(compensation)
    worn = tuple(replace(tool, diameter=tool.diameter + wear) for tool in one.setup.job.tools)
    real = replace(one.setup, job=replace(one.setup.job, tools=worn))
    first = prove_setup(real, one.text, "first.nc").dimensions[0].measured
    assert first == pytest.approx(40.5 - wear, abs=2e-3)  # half of it on either side
    read = Measured(("1",), {"width": (first,)}, (0,))
    (advised,) = measure((one,), read, U).corrections
    assert advised.by_program is not None
    assert (str(advised.by_program.slot), advised.by_program.change) == ("D1", pytest.approx(wear, abs=2e-3))
    assert advised.by_program.moves == ("Länge",)
    held = one.setup.control.offsets[1]
    offsets = {1: Offset(held.length, advised.by_program.becomes)}
    corrected = replace(real, control=replace(real.control, offsets=offsets))
    second = prove_setup(corrected, one.text, "second.nc").dimensions[0].measured
    assert second == pytest.approx(40.5, abs=2e-3)
    assert advised.by_program.next_part == pytest.approx(second, abs=1e-3)
    # too much metal can be cut away, too little cannot be put back
    assert advised.mend == (wear < -0.05)


def test_by_hand_the_setting_of_the_finishing_cut_is_changed() -> None:
    found = judged("part,width\n1,40.58\n")
    (advised,) = found.corrections
    assert advised.by_hand is not None
    step = routes()[0].by_hand.steps[advised.by_hand.step - 1]
    assert step.kind == "finish"
    assert step.operation in ("front side", "back side")
    assert abs(advised.by_hand.becomes - advised.by_hand.setting) == pytest.approx(0.08, abs=0.003)
    assert advised.by_hand.next_part == pytest.approx(40.5, abs=0.003)
    assert "The last part can be mended" in advised.reason


def test_a_step_is_corrected_through_the_length() -> None:
    (advised,) = judged("part,step\n1,12.11\n").corrections
    assert advised.by_program is not None
    # too deep: a larger H keeps the tip higher
    assert (str(advised.by_program.slot), advised.by_program.change) == ("H1", pytest.approx(0.11, abs=1e-3))


def test_without_compensation_no_diameter_is_advised() -> None:
    (advised,) = measure(routes("off"), Measured(("1",), {"width": (40.58,)}, (0,)), U).corrections
    assert advised.by_program is None
    assert "by_program" not in advised.to_json("mm")


def test_nothing_is_advised_that_does_not_do_and_a_size_in_inches_is_asked_about() -> None:
    (advised,) = judged("part,width\n1,1.594\n").corrections
    assert (advised.by_program, advised.by_hand, advised.mend) == (None, None, False)
    assert "Was it measured in inches?" in advised.reason


def test_measure_gives_json_charts_and_a_report(tmp_path: Path) -> None:
    (tmp_path / "block.toml").write_text(draft().text(), encoding="utf-8")
    rows = "".join(f"part {number};{40.49 + number / 1000:.3f};76,01\n".replace(".", ",") for number in range(1, 31))
    (tmp_path / "sizes.csv").write_text("part;width;Länge\n" + rows, encoding="cp1252")
    given = ["measure", str(tmp_path / "block.toml"), str(tmp_path / "sizes.csv")]
    ran = CliRunner().invoke(main, [*given, "--json", "-o", str(tmp_path / "out")])
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.stdout)
    assert (told["handwheel"], told["job"], told["units"], told["parts"]) == (1, "block", "mm", 30)
    width = told["sizes"][0]
    assert (width["count"], width["least"], width["most"]) == (30, pytest.approx(40.491), pytest.approx(40.52))
    assert width["trend"] == pytest.approx(0.001)
    assert width["ppk"]["low"] < width["ppk"]["value"] < width["ppk"]["high"]
    files = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert set(files) == {"chart-1.svg", "chart-1.png", "chart-2.svg", "chart-2.png", "inspection-report.pdf"}
    again = CliRunner().invoke(main, [*given, "-o", str(tmp_path / "again")])
    assert "width gets larger by 0.0010 mm from part to part" in again.stdout
    assert files == {path.name: path.read_bytes() for path in (tmp_path / "again").iterdir()}


def test_measure_ends_with_1_where_a_part_is_out_and_2_on_bad_input(tmp_path: Path) -> None:
    (tmp_path / "block.toml").write_text(draft().text(), encoding="utf-8")
    (tmp_path / "sizes.csv").write_text("part,width\n1,41\n", encoding="utf-8")
    out = CliRunner().invoke(main, ["measure", str(tmp_path / "block.toml"), str(tmp_path / "sizes.csv")])
    assert out.exit_code == 1
    assert "width: 1: out." in out.stdout
    missing = CliRunner().invoke(main, ["measure", str(tmp_path / "block.toml"), str(tmp_path / "none.csv")])
    assert missing.exit_code == 2
    assert "there is no such file" in missing.stderr
