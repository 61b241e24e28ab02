"""``handwheel read`` and the JSON of a reading."""

from __future__ import annotations

import json
import math
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from handwheel.cli import main
from handwheel.motion import Control, Offset
from handwheel.rs274 import read
from handwheel.rs274.report import as_json, json_pieces, summary

PROGRAM = """G21 G17 G40 G90 G94
T2 M6
G43 H2 S800 M3
G0 X-20 Y-20
G1 Z-1 F100 (down)
G42 D2 X0 Y0
X40
Y30
G40 X-20
G4 P2
G17 G2 X-20 Y-20 I0 J-25 F50
M2
"""

POINT = {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3}
SCHEMA = {
    "type": "object",
    "required": ["handwheel", "units", "moves", "parameters", "end", "notes"],
    "additionalProperties": False,
    "properties": {
        "handwheel": {"const": 1},
        "units": {"enum": ["in", "mm"]},
        "moves": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["line", "kind", "from", "to", "feed", "rpm", "spindle", "tool", "side", "seconds"],
                "additionalProperties": False,
                "properties": {
                    "line": {"type": "integer", "minimum": 1},
                    "kind": {"enum": ["rapid", "feed", "arc", "dwell"]},
                    "from": POINT,
                    "to": POINT,
                    "centre": POINT,
                    "clockwise": {"type": "boolean"},
                    "plane": {"enum": ["XY", "ZX", "YZ"]},
                    "feed": {"type": ["number", "null"]},
                    "rpm": {"type": "number"},
                    "spindle": {"enum": ["cw", "ccw", "off"]},
                    "tool": {"type": "integer"},
                    "side": {"enum": ["left", "right", "off"]},
                    "seconds": {"type": "number", "minimum": 0},
                },
            },
        },
        "parameters": {"type": "object", "additionalProperties": {"type": "number"}},
        "end": {"type": "object"},
        "notes": {
            "type": "array",
            "items": {"type": "object", "required": ["code", "line", "message", "count"]},
        },
        "error": {"type": "object", "required": ["line", "column", "words", "reason", "instead"]},
    },
}
"""The JSON of ``read`` as the design has it."""


def run(*words: str, text: str | None = None) -> Result:
    return CliRunner().invoke(main, ["read", *words], input=text)


def write(folder: Path, text: str) -> str:
    path = folder / "part.nc"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_the_table_has_a_row_a_move_and_a_summary(tmp_path: Path) -> None:
    result = run(write(tmp_path, PROGRAM), "--tool", "2=10,60")
    assert result.exit_code == 0, result.output
    rows = [line.split() for line in result.output.splitlines()]
    rapid = next(row for row in rows if row[:2] == ["4", "rapid"])
    assert rapid[2:5] == ["-20.000", "-20.000", "-60.000"]
    assert any(row[:3] == ["10", "dwell", "-20.000"] for row in rows)
    assert any(row[:3] == ["11", "arc", "cw"] for row in rows)
    assert "tools T2" in result.output


def test_json_is_as_designed(tmp_path: Path) -> None:
    result = run(write(tmp_path, PROGRAM), "--json", "--tool", "2=10,60")
    assert result.exit_code == 0
    found = json.loads(result.stdout)
    jsonschema.validate(found, SCHEMA)
    assert found["units"] == "mm"
    assert "error" not in found
    arc = next(move for move in found["moves"] if move["line"] == 11)
    assert (arc["kind"], arc["clockwise"], arc["plane"], arc["feed"]) == ("arc", True, "XY", 50.0)
    assert arc["to"] == [-20.0, -20.0, -1.0]
    assert next(move for move in found["moves"] if move["line"] == 8)["side"] == "right"


def test_bare_tool_sizes_are_in_the_units_at_the_end(tmp_path: Path) -> None:
    inches = PROGRAM.replace("G21", "G20")
    found = json.loads(run(write(tmp_path, inches), "--json", "--tool", "2=10,60").stdout)
    assert found["units"] == "in"
    assert found["moves"][0]["to"][2] == pytest.approx(-60.0)
    same = json.loads(run(write(tmp_path, inches), "--json", "--tool", "2=254 mm,1524 mm").stdout)
    for one, other in zip(found["moves"], same["moves"], strict=True):
        assert one["to"] == pytest.approx(other["to"])


def test_the_roll_before_a_rapid_is_listed_as_part_of_the_rapid(tmp_path: Path) -> None:
    outside = "G21 G90 G17 G40 G94 F100\nG41 D1 G1 X20\nX40\nG0 Y-30\nG40 X0\nM2\n"
    path = write(tmp_path, outside)
    rolled = [move for move in json.loads(run(path, "--json", "--tool", "1=10").stdout)["moves"] if move["line"] == 4]
    assert [(move["kind"], move["feed"]) for move in rolled] == [("rapid", None), ("rapid", None)]
    assert rolled[0]["centre"] == pytest.approx([40.0, 0.0, 0.0])
    listed = run(path, "--tool", "1=10").stdout
    assert not any("arc" in line for line in listed.splitlines() if line.startswith("     4 "))
    # a quarter of a turn at 5 mm, 30 mm along the edge, 40 + 5 mm home
    assert f"at rapid {2.5 * math.pi + 30 + 45:.3f} mm" in listed


def test_what_happens_between_the_moves_is_listed_where_it_happens(tmp_path: Path) -> None:
    program = """G21 G17 G40 G90 G94
T2 M6
(MSG, CLAMP TIGHT?)
S800 M3
M7
M8
G0 X-20.
G42 D2 G1 X0 F100
M1
G1 X40.
G40 X80.
M5
M9
M0
M30
"""
    listed = run(write(tmp_path, program), "--tool", "2=10").stdout.splitlines()[2:-6]
    assert [" ".join(row.split()[:4]) for row in listed if row.split()[1] not in ("rapid", "feed", "arc")] == [
        "2 tool change T2",
        "3 message: CLAMP TIGHT?",
        "4 spindle on: clockwise,",
        "5 coolant on: mist",
        "6 coolant on: flood",
        "9 optional stop",
        "12 spindle off",
        "13 coolant off",
        "14 stop",
        "15 end",
    ]
    lines = [int(row.split()[0]) for row in listed]
    assert lines == sorted(lines)


def test_a_message_cannot_write_over_the_terminal(tmp_path: Path) -> None:
    path = write(tmp_path, "G21 G90 G17 G40\n(MSG, \x1b[2Jhello)\nM2\n")
    assert "\x1b" not in run(path).stdout
    assert "hello" in run(path).stdout


def test_a_block_is_named_by_its_line_and_its_n_word(tmp_path: Path) -> None:
    path = write(tmp_path, "(no number)\nN10 G21 G17 G40 G94\nN0020 G0 X1\n/ n30 G0 X2\nG1 X\nN40 M2\n")
    result = run(path)
    rows = [line.split()[:3] for line in result.stdout.splitlines()]
    assert ["3", "N0020", "rapid"] in rows
    assert ["4", "N30", "rapid"] in rows
    assert "before it moves (line 3 (N0020))" in result.stdout
    assert "line 5, column 4" in result.stderr
    bad = run(write(tmp_path, "N10 G21\nN20 G0 X1 G1\nN30 M2\n"))
    assert bad.stderr.startswith("handwheel: part.nc: line 2 (N20), column 11: ")


def test_standard_input(tmp_path: Path) -> None:
    assert json.loads(run("--json", "-", text=PROGRAM).stdout) == json.loads(
        run("--json", write(tmp_path, PROGRAM)).stdout
    )


def test_a_refused_program_is_shown_as_far_as_it_goes(tmp_path: Path) -> None:
    result = run(write(tmp_path, "G21 G90 G17 G40\nG0 X1\nG1 X\nM2\n"))
    assert result.exit_code == 2
    assert "rapid" in result.stdout
    assert result.stderr.splitlines() == [
        "handwheel: part.nc: line 3, column 4: X: X has no value; write a number after X"
    ]
    found = json.loads(run(write(tmp_path, "G21 G90 G17 G40\nG0 X1\nG1 X\nM2\n"), "--json").stdout)
    jsonschema.validate(found, SCHEMA)
    assert (found["error"]["line"], found["error"]["column"]) == (3, 4)


def test_strict_and_block_delete(tmp_path: Path) -> None:
    inside = "G21 G90 G17 G40 F9\nG41 D1 G1 X20\nX40\nY30\nG40 X0\nM2\n"
    assert run(write(tmp_path, inside), "--tool", "1=10").exit_code == 0
    assert run(write(tmp_path, inside), "--tool", "1=10", "--strict").exit_code == 2
    marked = "G21 G90 G17 G40\n/G0 X1\nG0 X2\nM2\n"
    assert len(json.loads(run(write(tmp_path, marked), "--json").stdout)["moves"]) == 2
    assert len(json.loads(run(write(tmp_path, marked), "--json", "--block-delete").stdout)["moves"]) == 1


def test_a_tool_given_twice_is_refused(tmp_path: Path) -> None:
    result = run(write(tmp_path, PROGRAM), "--tool", "2=10", "--tool", "02=12,60")
    assert result.exit_code == 2
    assert result.stderr.splitlines() == ["handwheel: --tool 02=12,60: tool 2 is there already; give each tool once"]


@pytest.mark.parametrize("tool", ["1", "x=2", "1=", "1=2,", "1=2 kg", "1=1/0", "-1=3"])
def test_a_tool_that_says_nothing_is_refused(tmp_path: Path, tool: str) -> None:
    result = run(write(tmp_path, PROGRAM), "--tool", tool)
    assert result.exit_code == 2
    assert f"--tool {tool}: " in result.stderr


def test_several_programs_are_a_line_each(tmp_path: Path) -> None:
    path = write(tmp_path, PROGRAM)
    lines = run(path, path, "--json").stdout.splitlines()
    assert len(lines) == 2
    assert lines[0] == lines[1]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    result = run(str(tmp_path / "nowhere.nc"))
    assert result.exit_code == 2
    assert "nowhere.nc" in result.stderr


def test_the_pieces_are_the_whole() -> None:
    control = Control(offsets={2: Offset(60.0, 10.0)}, units="mm")
    reading = read(PROGRAM, control)
    for units in ("in", "mm"):
        assert json.loads("".join(json_pieces(reading, control, units))) == as_json(reading, control, units)


def test_units_asked_for_change_every_length() -> None:
    control = Control(offsets={2: Offset(60.0, 10.0)}, units="mm")
    reading = read(PROGRAM, control)
    inches, millimeters = as_json(reading, control, "in"), as_json(reading, control, "mm")
    for one, other in zip(inches["moves"], millimeters["moves"], strict=True):
        assert one["to"] == pytest.approx([value / 25.4 for value in other["to"]])
        assert one["seconds"] == other["seconds"]
    assert inches["end"]["position"] == pytest.approx([value / 25.4 for value in millimeters["end"]["position"]])
    assert inches["parameters"] == millimeters["parameters"]


def test_the_summary_adds_up() -> None:
    control = Control(units="mm", rapid=6000.0, acceleration=1e9)
    total = summary(
        read("G21 G90 G17 G40\nG0 X30 Y40\nG1 X0 F600\nG3 X0 Y40 I-5 J0\nG4 P1\nM2\n", control), control, "mm"
    )
    assert total.rapid == pytest.approx(50.0)
    assert total.feed == pytest.approx(30.0 + 10 * 3.141592653589793)
    assert total.seconds == pytest.approx(0.4 + 3.0 + 3.141592653589793 + 1.0, rel=1e-6)
    assert total.low == pytest.approx((-10.0, 0.0, 0.0))
    assert total.high == pytest.approx((30.0, 45.0, 0.0))
