"""What an editor is told of the job file, and the file that ``handwheel new`` writes."""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from handwheel.cli import main
from handwheel.job import read_job, read_job_text
from handwheel.job.schema import FILE, json_schema, schema_text

ROOM = resources.files("handwheel.job")
STARTER = (ROOM / "starter.toml").read_text(encoding="utf-8")
EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = {path.parent.name: path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*/job.toml"))}


def faults(text: str) -> list[Any]:
    return list(jsonschema.Draft202012Validator(json_schema()).iter_errors(tomllib.loads(text)))


def test_the_schema_that_is_shipped_is_todays() -> None:
    assert (ROOM / FILE).read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("text", [STARTER, *FILES.values()], ids=["starter", *FILES])
def test_a_good_job_file_has_no_fault_by_the_schema(text: str) -> None:
    assert faults(text) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('units = "in"', 'units = "inch"'),
        ("handwheel = 1", "handwheel = 2"),
        ("number = 2", "nubmer = 2"),
        ('edge = "back"', 'edge = "rear"'),
        ("depth = 0.5", "depth = -0.5"),
        ('do = "face"', 'do = "pocket"'),
        ("size = [3.125, 2.0, 1.25]", "size = [3.125, 2.0]"),
    ],
)
def test_an_editor_underlines_what_is_wrong(old: str, new: str) -> None:
    assert old in STARTER
    assert faults(STARTER.replace(old, new))


def test_an_editor_offers_the_shops_names() -> None:
    tables = json_schema()["$defs"]
    assert "end-mill-3/4in-hss" in tables["ToolEntry"]["properties"]["like"]["anyOf"][0]["enum"]
    assert "brass" in json_schema()["properties"]["material"]["anyOf"][0]["enum"]


def test_the_starter_reads_and_every_key_it_shows_in_a_comment_is_a_key() -> None:
    read_job_text(STARTER, "starter")
    opened = re.sub(r"^# (\w[\w.]* = )", r"\1", STARTER, flags=re.MULTILINE)
    opened = re.sub(r"^# (\[\[offset\]\])", r"\1", opened, flags=re.MULTILINE)
    assert len(tomllib.loads(opened)) > len(tomllib.loads(STARTER))
    job = read_job_text(opened, "starter")
    assert job.offsets[2].diameter == pytest.approx(0.748 * 25.4)


def test_new_writes_a_job_that_reads_and_never_writes_over_one(tmp_path: Path) -> None:
    folder = tmp_path / "rest-block"
    first = CliRunner().invoke(main, ["new", str(folder)])
    assert first.exit_code == 0, first.output
    assert read_job(folder / "job.toml").name == "rest-block"
    (folder / "job.toml").write_text("mine", encoding="utf-8")
    second = CliRunner().invoke(main, ["new", str(folder)])
    assert second.exit_code == 2
    assert "is there already" in second.stderr
    assert (folder / "job.toml").read_text(encoding="utf-8") == "mine"


def test_new_into_something_that_is_no_folder_is_one_message(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    shown = CliRunner().invoke(main, ["new", str(tmp_path / "file")])
    assert shown.exit_code == 2
    assert "cannot be written" in shown.stderr
