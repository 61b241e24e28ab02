"""What the terminal says, and how it ends when nobody reads on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jobs import sides

from handwheel.cli import main

WIDTH = {"name": "width", "axis": "y", "through": {"x": 38.0, "z": -6.0}, "nominal": 40.5, "gauge": "micrometer"}


@pytest.fixture
def job(tmp_path: Path) -> Path:
    from dataclasses import replace

    path = tmp_path / "test-block.toml"
    path.write_text(replace(sides("front", "back"), dimensions=(WIDTH,)).text(), encoding="utf-8")
    return path


def _run(*words: str | Path, text: str | None = None) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], input=text)


def test_a_slip_of_the_pen_in_one_block_is_told_first_and_what_follows_of_itself_in_one_line(job: Path) -> None:
    good = _run("write", job).stdout
    line, block = next((n, text) for n, text in enumerate(good.splitlines(), 1) if text.endswith(" G40"))
    result = _run("prove", job, "-", text=good.replace(block, block.replace("G40", "G4O"), 1))
    assert result.exit_code == 1
    told = result.stdout.splitlines()
    number = block.split()[0]
    assert told[0] == "standard input on test-block: FAIL"
    assert told[1].startswith(f"  stop   bad-block: line {line} ({number}), column {block.index('40') + 2}: ")
    rejects = [text for text in told if text.startswith("  reject")]
    assert len(rejects) == 1
    assert "1 dimension-out" in rejects[0]
    assert f"line {line} ({number})" in rejects[0]


def test_a_finding_names_its_block_by_line_and_n_word(job: Path) -> None:
    good = _run("write", job).stdout
    line, block = next((n, text) for n, text in enumerate(good.splitlines(), 1) if " M3" in text)
    told = _run("prove", job, "-", text=good.replace(block, block.replace("M3", "M4"), 1)).stdout
    reversed_spindle = next(text for text in told.splitlines() if "spindle-reversed" in text)
    cut = int(reversed_spindle.split("(line ")[1].split()[0])
    assert cut > line
    assert f"(line {cut} ({good.splitlines()[cut - 1].split()[0]})" in reversed_spindle


def test_the_summary_of_a_proof_names_the_holders_clearance(job: Path) -> None:
    assert "; holder clear of work: " in _run("prove", job).stdout


@pytest.mark.parametrize("resolution", ["500 mm", "45.5"])
def test_a_height_map_coarser_than_the_stock_is_refused(job: Path, resolution: str) -> None:
    """The stock is 45 mm across."""
    result = _run("prove", job, "--resolution", resolution)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.splitlines() == [
        f"handwheel: --resolution {resolution}: is coarser than the stock, 45 mm; give a fraction of that"
    ]


@pytest.mark.parametrize("command", ["sheet", "prove", "read"])
def test_a_reader_that_has_enough_ends_a_command_quietly(job: Path, command: str) -> None:
    """As a shell reports any command whose reader went away: 128 and SIGPIPE's 13 (POSIX)."""
    place = job
    if command == "read":
        place = job.with_name("long.nc")
        place.write_text("G21 G90 G17 G40 G0\n" + "X1\nX2\n" * 20_000 + "M2\n", encoding="utf-8")
    words = [sys.executable, "-c", "from handwheel.cli import main; main()", command, str(place)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        said = running.stderr.read().decode()
        assert running.wait(timeout=120) == 141
    assert "Traceback" not in said
    assert "Exception" not in said
