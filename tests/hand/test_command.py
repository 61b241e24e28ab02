"""``handwheel sheet`` at the terminal."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from handwheel.cli import main

EXAMPLE = Path(__file__).parents[2] / "examples" / "fence-stop" / "job.toml"


def test_the_sheet_of_a_job_is_printed() -> None:
    result = CliRunner().invoke(main, ["sheet", str(EXAMPLE)])
    assert result.exit_code == 0
    assert result.output.startswith("ROUTE SHEET: STOP FOR THE BANDSAW FENCE\n")
    assert result.output.rstrip().endswith("____________________")


def test_a_job_that_cannot_be_read_is_one_message_and_status_2(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["sheet", str(tmp_path / "none.toml")])
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_a_job_without_operations_has_a_set_up_sheet_and_no_step(tmp_path: Path) -> None:
    job = tmp_path / "bare.toml"
    job.write_text(
        'handwheel = 1\ntitle = "Bare block"\nunits = "mm"\nmaterial = "brass"\n[stock]\nsize = [60, 40, 30]\n',
        encoding="utf-8",
    )
    result = CliRunner().invoke(main, ["sheet", str(job)])
    assert result.exit_code == 0
    assert "SET-UP SHEET" in result.output
    assert "STEP" not in result.output
