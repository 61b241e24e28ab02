"""From Python: the values are the commands' own, and what is wrong raises one error that says where."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

import handwheel
from handwheel.cli import main

JOB = Path("examples/gauge-stand-base/job.toml")
TURNED = Path("examples/rest-block/job.toml")


def printed(*words: str) -> object:
    return json.loads(CliRunner().invoke(main, words).stdout)


def test_what_python_gives_is_what_the_commands_print() -> None:
    job = handwheel.load_job(JOB)
    assert handwheel.prove(job).to_json() == printed("prove", str(JOB), "--json")
    assert json.loads(json.dumps(handwheel.compare(job).to_json())) == printed("compare", str(JOB), "--json")


def test_a_program_is_read_as_the_command_reads_it(tmp_path: Path) -> None:
    program = tmp_path / "x.nc"
    program.write_text("G20 G90 G17\nG0 X1\nG1 Y.5 F10\nM30\n", encoding="utf-8")
    assert handwheel.read_program(program).to_json() == printed("read", str(program), "--json")
    by_job = handwheel.read_program(program.read_text(encoding="utf-8"), handwheel.load_job(JOB))
    assert by_job.to_json() == printed("read", str(program), "--json", "--job", str(JOB))


def test_measured_sizes_come_as_rows_or_as_a_file(tmp_path: Path) -> None:
    job = handwheel.load_job(JOB)
    name = job.dimensions[0].name
    table = tmp_path / "sizes.csv"
    nominal = job.dimensions[0].nominal / 25.4
    table.write_text(f"part,{name}\npart 1,{nominal}\npart 2,\n", encoding="utf-8")
    rows = [{"part": "part 1", name: nominal}, {"part": "part 2", name: None}]
    assert handwheel.measure(job, rows).to_json() == handwheel.measure(job, table).to_json()


def test_a_notebook_shows_the_verdict_and_a_backplot_a_set_up() -> None:
    shown = handwheel.prove(handwheel.load_job(TURNED))._repr_html_()
    assert "PASS" in shown
    assert shown.count("<svg") == 2


def test_what_is_wrong_is_one_error_that_says_where() -> None:
    with pytest.raises(handwheel.HandwheelError, match=r"missing\.toml"):
        handwheel.load_job("missing.toml")
    job = handwheel.load_job(TURNED)
    with pytest.raises(handwheel.HandwheelError, match="set-ups; say which with setup: 1"):
        handwheel.prove(job, "G0 X0\nM30\n")
    with pytest.raises(handwheel.HandwheelError, match="is no size of the drawing"):
        handwheel.measure(job, [{"part": "1", "no such size": 1.0}])
    with pytest.raises(AttributeError, match="no attribute 'fly'"):
        handwheel.fly  # noqa: B018


def test_nothing_heavy_is_loaded_until_it_is_asked_for() -> None:
    loaded = "import sys, handwheel; print(any(one in sys.modules for one in ('numpy', 'numba', 'matplotlib')))"
    done = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True, encoding="utf-8")
    assert done.stdout.strip() == "False"
