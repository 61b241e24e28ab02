"""``make``, ``write`` and ``prove`` as a person uses them."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jobs import sides

from handwheel.cli import main
from handwheel.program.seal import untouched

DRAFT = sides("front", "back")
JAWS_IN_THE_WAY = {"jaw_height": 60.0, "parallels": 42.0}  # 30 high on 42: 12 stick out, 13 are cut


def _job(folder: Path, text: str = DRAFT.text()) -> Path:
    path = folder / "test-block.toml"
    path.write_text(text, encoding="utf-8")
    return path


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def _in_the_way(folder: Path) -> Path:
    return _job(folder, replace(DRAFT, vise=JAWS_IN_THE_WAY).text())


def test_make_names_every_file_and_its_use(tmp_path: Path) -> None:
    result = _run("make", _job(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    for path in (tmp_path / "out").iterdir():
        assert path.name in result.stdout
    assert (tmp_path / "out" / "test-block.nc").is_file()


def test_make_gives_the_same_bytes_again(tmp_path: Path) -> None:
    job = _job(tmp_path)
    for folder in ("one", "two"):
        assert _run("make", job, "--out", tmp_path / folder).exit_code == 0
    for path in sorted((tmp_path / "one").iterdir()):
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes(), path.name


def test_where_the_proof_fails_the_program_says_not_proved(tmp_path: Path) -> None:
    result = _run("make", _in_the_way(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 1
    assert "NOT PROVED" in result.stdout
    assert not (tmp_path / "out" / "test-block.nc").exists()
    text = (tmp_path / "out" / "test-block.unproved.nc").read_text(encoding="utf-8")
    assert "NOT PROVED" in text.split("N10 ")[0]
    assert "VISE" in text.split("N10 ")[0] or "JAW" in text.split("N10 ")[0]


def test_where_the_way_by_hand_fails_the_sheet_says_not_proved(tmp_path: Path) -> None:
    short = replace(DRAFT, extra="[machine.by_hand]\ntravel = [60, 30, 20]\n").text()
    result = _run("make", _job(tmp_path, short), "--out", tmp_path / "out", "--no-animation")
    assert result.exit_code == 1
    assert "NOT PROVED: the way by hand" in result.stdout
    head = (tmp_path / "out" / "route-sheet.txt").read_text(encoding="utf-8").split("[ ]")[0]
    assert "NOT PROVED" in head
    assert "of travel" in " ".join(head.split())
    assert (tmp_path / "out" / "test-block.nc").is_file()


def test_a_program_that_is_no_longer_true_does_not_lie_beside_the_new_one(tmp_path: Path) -> None:
    assert _run("make", _job(tmp_path), "--out", tmp_path / "out").exit_code == 0
    assert _run("make", _in_the_way(tmp_path), "--out", tmp_path / "out").exit_code == 1
    assert not (tmp_path / "out" / "test-block.nc").exists()


def test_a_program_edited_by_hand_is_never_written_over_without_force(tmp_path: Path) -> None:
    job, out = _job(tmp_path), tmp_path / "out"
    assert _run("make", job, "--out", out).exit_code == 0
    program = out / "test-block.nc"
    edited = program.read_text(encoding="utf-8").replace("M30", "M2")
    program.write_text(edited, encoding="utf-8")
    refused = _run("make", job, "--out", out)
    assert refused.exit_code == 2
    assert "edited by hand" in refused.stderr
    assert program.read_text(encoding="utf-8") == edited
    assert _run("make", job, "--out", out, "--force").exit_code == 0
    assert untouched(program.read_text(encoding="utf-8"))


def test_a_program_of_the_older_name_goes_unless_somebody_edited_it(tmp_path: Path) -> None:
    job, out = _job(tmp_path), tmp_path / "out"
    assert _run("make", job, "--out", out, "--no-animation").exit_code == 0
    older, failed = out / "test-block.ngc", out / "test-block.unproved.ngc"
    text = (out / "test-block.nc").read_text(encoding="utf-8")
    older.write_text(text, encoding="utf-8")
    failed.write_text(text.replace("M30", "M2"), encoding="utf-8")
    result = _run("make", job, "--out", out, "--no-animation")
    assert result.exit_code == 0
    assert not older.exists()
    assert failed.read_text(encoding="utf-8") == text.replace("M30", "M2")
    assert "test-block.unproved.ngc was edited by hand and is kept" in result.stdout


def test_a_file_that_was_never_a_program_of_ours_is_not_said_to_be_edited(tmp_path: Path) -> None:
    program = tmp_path / "part.nc"
    program.write_text("%\nG21\nM30\n%\n", encoding="utf-8")
    refused = _run("write", _job(tmp_path), "-o", program)
    assert refused.exit_code == 2
    assert "edited" not in refused.stderr
    assert "bears no mark" in refused.stderr
    assert program.read_text(encoding="utf-8") == "%\nG21\nM30\n%\n"
    assert _run("write", tmp_path / "test-block.toml", "-o", program, "--force").exit_code == 0
    assert untouched(program.read_text(encoding="utf-8"))


def test_prove_says_fail_by_its_status_and_its_json(tmp_path: Path) -> None:
    job = _in_the_way(tmp_path)
    result = _run("prove", job, "--json")
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    assert next(iter(told)) == "handwheel"
    assert told["handwheel"] == 1
    assert told["verdict"] == "fail"
    assert {"level", "code", "setup", "line", "step", "at", "count", "message"} == set(told["findings"][0])
    assert told["setups"][0]["clearance"]["vise"] == pytest.approx(-1.0, abs=1e-6)


def test_prove_takes_several_programs_and_gives_a_line_each(tmp_path: Path) -> None:
    job = _job(tmp_path)
    program = tmp_path / "own.nc"
    assert _run("write", job, "-o", program).exit_code == 0
    result = _run("prove", job, program, program, "--json")
    assert result.exit_code == 0
    assert [json.loads(line)["program"] for line in result.stdout.splitlines()] == ["own.nc", "own.nc"]


def test_a_program_that_no_control_would_read_fails_with_bad_block(tmp_path: Path) -> None:
    job = _job(tmp_path)
    result = CliRunner().invoke(main, ["prove", str(job), "-", "--json"], input="N10 G1 (no end\nM30\n")
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    bad = next(one for one in told["findings"] if one["code"] == "bad-block")
    assert bad["line"] == 1


def test_engagement_comes_with_the_moves(tmp_path: Path) -> None:
    told = json.loads(_run("prove", _job(tmp_path), "--json", "--moves").stdout)
    engagement = told["setups"][0]["engagement"]
    assert len(engagement) == told["setups"][0]["moves"]
    assert max(one["volume"] for one in engagement) > 0


def test_the_summary_says_what_never_came_near(tmp_path: Path) -> None:
    result = _run("prove", _job(tmp_path, replace(DRAFT, vise={"stop": "right"}).text()))
    # a 20 mm cutter at 13 of 30 depth in jaws some 40 high stays far more than 25 mm above the table
    assert "of table: more than 25 mm away" in result.stdout


def test_a_length_that_is_not_there_is_said_in_words_and_never_as_a_dash(tmp_path: Path) -> None:
    text = DRAFT.text()
    bare = text[: text.index("[[operation]]")] + "".join(
        f"[[dimension]]{part}" for part in text[text.index("[[operation]]") :].split("[[dimension]]")[1:]
    )
    result = _run("prove", _job(tmp_path, bare))
    assert "- mm" not in result.stdout
    assert "- in" not in result.stdout
    assert "no cut planned over the jaws" in result.stdout


def test_programs_of_one_name_are_told_apart_by_their_folders(tmp_path: Path) -> None:
    job = _job(tmp_path)
    paths = [tmp_path / folder / "x.nc" for folder in ("a", "b")]
    for path in paths:
        path.parent.mkdir()
        assert _run("write", job, "-o", path).exit_code == 0
    result = _run("prove", job, *paths, "--json")
    assert [json.loads(line)["program"] for line in result.stdout.splitlines()] == ["a/x.nc", "b/x.nc"]


@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_missing_program_among_several_is_one_line_and_the_others_are_proved(tmp_path: Path, place: int) -> None:
    job = _job(tmp_path)
    paths = [tmp_path / "a.nc", tmp_path / "b.nc"]
    for path in paths:
        assert _run("write", job, "-o", path).exit_code == 0
    paths.insert(place, tmp_path / "gone.nc")
    for command in (["prove", job], ["read", "--job", job]):
        result = _run(*command, *paths, "--json")
        assert result.exit_code == 2
        assert len(result.stdout.splitlines()) == 2
        (line,) = result.stderr.splitlines()
        assert "gone.nc" in line
