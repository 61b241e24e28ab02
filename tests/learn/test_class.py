"""A class's submissions: every one judged, whatever the others are like; stopped, killed and taken up again."""

from __future__ import annotations

import json
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from handwheel.job import read_job
from handwheel.learn.whole_class.kinds import judge_programs
from handwheel.learn.whole_class.submissions import find_submissions
from handwheel.learn.whole_class.watched_process import Bounds, WatchedProcess
from handwheel.proof import Routes, routes_of

ROOT = Path(__file__).parents[2]
JOB = ROOT / "examples" / "gauge-stand-base" / "job.toml"
RUN = (sys.executable, "-c", "from handwheel.cli import main; main()", "class", str(JOB))
FILES = ("class.html", "class.csv", "class.json")


@pytest.fixture(scope="module")
def routes() -> tuple[Routes, ...]:
    return routes_of(read_job(JOB, None))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, routes: tuple[Routes, ...]) -> Path:
    """Submissions of all kinds, good and bad."""
    top = tmp_path_factory.mktemp("handed-in")
    good = routes[0].text
    for number in range(1, 7):
        (top / f"part {number}.nc").write_text(f"(SUBMISSION {number})\n{good}", encoding="utf-8")
    (top / "empty.nc").write_bytes(b"")
    (top / "binary.nc").write_bytes(random.Random(1).randbytes(20_000))
    (top / "=1+1.nc").write_text(good, encoding="utf-8")
    (top / "wrong side.txt").write_text(good.replace("G41", "G42"), encoding="utf-8")
    (top / "twin.nc").write_text(good, encoding="utf-8")
    (top / "twin.tap").write_text(good.replace("G43", "G49"), encoding="utf-8")
    (top / "submission 07").mkdir()
    (top / "submission 07" / "program.NC").write_text(good, encoding="utf-8")
    (top / "notes.pdf").write_bytes(b"%PDF")
    return top


@pytest.fixture(scope="module")
def report(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The report by one worker."""
    out = tmp_path_factory.mktemp("one") / "report"
    subprocess.run([*RUN, str(folder), "-o", str(out), "--workers", "1"], check=True, capture_output=True)
    return out


def same(one: Path, other: Path) -> bool:
    return all((one / name).read_bytes() == (other / name).read_bytes() for name in FILES)


def test_every_submission_has_its_entry_and_a_bad_one_stops_no_other(report: Path) -> None:
    told = json.loads((report / "class.json").read_text(encoding="utf-8"))
    verdicts = {one["name"]: one["verdict"] for one in told["submissions"]}
    assert verdicts == {
        **{f"part {number}": "pass" for number in range(1, 7)},
        **{"=1+1": "pass", "twin.nc": "pass", "submission 07": "pass"},
        **{"empty": "fail", "binary": "fail", "wrong side": "fail", "twin.tap": "fail"},
    }
    assert list(told) == ["handwheel", "job", "units", "submissions", "common"]
    assert not any("error" in one for one in told["submissions"])
    side = next(one for one in told["submissions"] if one["name"] == "wrong side")
    assert (side["why"][0]["was"], side["why"][0]["would_be"]) == ("G42", "G41")


def test_a_name_that_a_spreadsheet_takes_for_a_formula_gets_an_apostrophe(report: Path) -> None:
    # common practice against formulas in CSV
    assert "\n'=1+1,pass," in (report / "class.csv").read_text(encoding="utf-8-sig").replace("\r\n", "\n")


def test_two_workers_say_the_same_byte_for_byte(folder: Path, report: Path, tmp_path: Path) -> None:
    subprocess.run([*RUN, str(folder), "-o", str(tmp_path / "two"), "--workers", "2"], check=True, capture_output=True)
    assert same(report, tmp_path / "two")


def test_a_run_killed_again_and_again_goes_on_where_it_was(folder: Path, report: Path, tmp_path: Path) -> None:
    out, chance = tmp_path / "killed", random.Random(14)
    for _ in range(3):
        with subprocess.Popen([*RUN, str(folder), "-o", str(out)], stdout=-3, stderr=-3) as running:
            time.sleep(chance.uniform(3.0, 8.0))
            running.kill()
    before = {one: one.stat().st_mtime_ns for one in out.glob("proved/*/*.json")}
    subprocess.run([*RUN, str(folder), "-o", str(out)], check=True, capture_output=True)
    assert same(report, out)
    assert all(one.stat().st_mtime_ns == made for one, made in before.items()), "proved again"


def test_what_takes_too_long_or_too_much_is_an_error_and_the_next_is_proved(routes: tuple[Routes, ...]) -> None:
    import pickle

    good, many = routes[0].text.encode(), b"G20 G90 G94 G17 G40\nG0\n" + b"X.1\nX.2\n" * 400_000
    sent = pickle.dumps(routes)
    for bounds, word in ((Bounds(seconds=0.5), "longer than 0.5 s"), (Bounds(size=300_000_000), "more than 0.3 GB")):
        process = WatchedProcess(sent, bounds)
        try:
            judged = process.judge("program", (many,))
            assert word in (judged.error or "")
            assert process.judge("program", (good,)).verdict == "pass"
        finally:
            process.close()


def test_an_empty_program_is_judged(routes: tuple[Routes, ...]) -> None:
    assert [one.verdict for one in judge_programs(routes, [b""])][-1] == "fail"


def test_a_folder_with_one_program_a_set_up_is_one_submission(tmp_path: Path) -> None:
    for name in ("a/1.nc", "a/2.nc", "b/1.nc", "loose.nc"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("M2\n", encoding="utf-8")
    found = {one.name: one for one in find_submissions(tmp_path, 2)[0]}
    assert [one.name for one in found["a"].files] == ["1.nc", "2.nc"]
    assert found["a"].error is None
    assert found["b"].error == "1 program in the folder; the job has 2 set-ups"
    assert found["loose"].error is not None


def test_no_folder_and_no_program_are_refused_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    for folder, word in ((tmp_path / "in", "has no program in it"), (tmp_path / "none", "is no folder")):
        command = [*RUN, str(folder), "-o", str(tmp_path / "out")]
        ended = subprocess.run(command, check=False, capture_output=True, text=True)
        assert (ended.returncode, word in ended.stderr) == (2, True)
    assert not (tmp_path / "out").exists()


@contextmanager
def scheduler(tmp_path: Path) -> Iterator[str]:
    """A Dask scheduler as a process on this machine."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ["scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard"]
    with dask(words, tmp_path):
        yield f"tcp://127.0.0.1:{port}"


@contextmanager
def dask(words: list[str], place: Path) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", "distributed.cli.dask_" + words[0], *words[1:]]
    environment = os.environ | {"PYTHONWARNINGS": "ignore"}
    with subprocess.Popen(command, cwd=place, env=environment, stdout=-3, stderr=-3) as process:
        try:
            yield process
        finally:
            process.kill()


def test_a_cluster_says_the_same_though_a_worker_is_killed(folder: Path, report: Path, tmp_path: Path) -> None:
    with scheduler(tmp_path) as address:
        worker = ["worker", address, "--nthreads", "1", "--no-dashboard", "--no-nanny"]
        with dask(worker, tmp_path) as first, dask(worker, tmp_path):
            out = tmp_path / "cluster"
            with subprocess.Popen([*RUN, str(folder), "-o", str(out), "--cluster", address]) as running:
                while not list(out.glob("proved/*/*.json")) and running.poll() is None:
                    time.sleep(0.2)
                first.kill()
                assert running.wait(timeout=240) == 0
    assert same(report, out)
