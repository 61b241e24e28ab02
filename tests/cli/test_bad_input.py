"""Bad input gets one clear message with its place, status 2, and leaves nothing half-written."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jobs import sides

from handwheel.cli import main

SOUND = sides("front", "back").text()


def _make(folder: Path, text: str | bytes, name: str = "job.toml") -> Result:
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return CliRunner().invoke(main, ["make", str(path), "--out", str(folder / "out")])


def _refused(result: Result, folder: Path, *words: str) -> None:
    assert result.exit_code == 2, result.output
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
    for word in words:
        assert word in result.stderr
    assert not (folder / "out").exists()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('title = "Test block"', 'title = "Test block"\ntitel = "x"', ("titel", "title")),
        ("tolerance = 0.5", 'tolerance = "12 mmm"', ("stock.tolerance", "mmm")),
        ("tolerance = 0.5", 'tolerance = "2 kg"', ("stock.tolerance", "kg")),
        ("size = [80.0, 45.0, 30.0]", "size = [-80.0, 45.0, 30.0]", ("stock.size",)),
        ("size = [80.0, 45.0, 30.0]", "size = [0, 45.0, 30.0]", ("stock.size",)),
        ("size = [80.0, 45.0, 30.0]", "size = [nan, 45.0, 30.0]", ("stock.size",)),
        ("size = [80.0, 45.0, 30.0]", "size = [inf, 45.0, 30.0]", ("stock.size",)),
        ("size = [80.0, 45.0, 30.0]", "size = [80.0, 450.0, 30.0]", ("stock", "vise")),
        ("tool = 1\n", "tool = 7\n", ("operation[1].tool", "7")),
        ('edge = "front"\nto = 0.0', 'edge = "front"\nto = -50', ("operation[1].to",)),
        ("depth = 12.0", "depth = 120.0", ("operation[1].depth",)),
        ('title = "Test block"', f'title = "{"x" * 201}"', ("title", "200")),
        ("size = [80.0, 45.0, 30.0]", "size = [80.0, 45.0, 16.0]", ("parallels", "stick-out")),
        ("handwheel = 1", "handwheel = 2", ("handwheel", "2")),
        ("handwheel = 1", "handwheel = ", ("line 1",)),
    ],
)
def test_a_faulty_job_is_refused_with_its_place(tmp_path: Path, old: str, new: str, words: tuple[str, ...]) -> None:
    assert old in SOUND
    _refused(_make(tmp_path, SOUND.replace(old, new, 1)), tmp_path, "job.toml", *words)


def test_a_tool_number_given_twice_is_refused(tmp_path: Path) -> None:
    twice = SOUND.replace("[[operation]]", '[[tool]]\nnumber = 1\nlike = "end-mill-12mm-hss"\n[[operation]]', 1)
    _refused(_make(tmp_path, twice), tmp_path, "tool[2].number")


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    _refused(_make(tmp_path, ""), tmp_path, "job.toml")


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    _refused(_make(tmp_path, b"\xff\xfe\x00"), tmp_path, "UTF-8")


def test_a_folder_or_nothing_in_place_of_a_file_is_refused(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "nowhere.toml"):
        result = CliRunner().invoke(main, ["make", str(place), "--out", str(tmp_path / "out")])
        _refused(result, tmp_path)


def test_an_output_folder_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(SOUND, encoding="utf-8")
    blocked = tmp_path / "a-file"
    blocked.write_text("", encoding="utf-8")
    result = CliRunner().invoke(main, ["make", str(job), "--out", str(blocked / "out")])
    assert result.exit_code == 2
    assert result.stderr == f"handwheel: {blocked}: cannot be written: it is no folder; name another place\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a-file", "job.toml"]


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["write", "job.toml", "-o", "."], "."),
        (["write", "job.toml", "-o", "a-folder"], "a-folder"),
        (["write", "job.toml", "-o", "a-folder", "--force"], "a-folder"),
        (["write", "job.toml", "-o", str(Path("a-file", "x.nc"))], "a-file"),
        (["make", "job.toml", "--no-animation", "--out", "a-file"], "a-file"),
        (["new", "a-file"], "a-file"),
        (["new", str(Path("a-file", "b"))], str(Path("a-file", "b"))),
        (["read", "."], "."),
        (["read", str(Path("a-folder", "x.nc"))], str(Path("a-folder", "x.nc"))),
        (["prove", "job.toml", "a-folder"], "a-folder"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else value,
)
def test_a_message_about_a_place_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], named: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("job.toml").write_text(SOUND, encoding="utf-8")
    Path("a-file").write_text("mine", encoding="utf-8")
    Path("a-folder").mkdir()
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"handwheel: {named}: ")
    assert len(result.stderr.splitlines()) == 1
    assert Path("a-file").read_text(encoding="utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["a-file", "a-folder", "job.toml"]


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    faulty = SOUND.replace("depth = 12.0", "depth = -1", 2).replace("tolerance = 0.5", "tolerance = true")
    result = _make(tmp_path, faulty)
    _refused(result, tmp_path, "stock.tolerance", "operation[1].depth", "operation[2].depth")


@pytest.mark.parametrize("command", ["make", "write", "prove", "sheet"])
def test_a_command_without_its_job_says_so(command: str) -> None:
    assert CliRunner().invoke(main, [command]).exit_code == 2


def test_a_program_that_is_not_there_is_refused(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(SOUND, encoding="utf-8")
    result = CliRunner().invoke(main, ["prove", str(job), str(tmp_path / "nowhere.nc")])
    assert result.exit_code == 2
    assert "nowhere.nc" in result.stderr
