"""What a shell, a terminal or a machine can do to a command: it says so, and never ends in a traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from jobs import sides

from handwheel.cli import main

DRAFT = sides("front")
ON_POSIX = pytest.mark.skipif(os.name == "nt", reason="pipes with a name and signals as POSIX has them")


def command(*words: str | Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "handwheel", *map(str, words)],
        capture_output=True,
        env={**os.environ, **environment},
        timeout=120,
        check=False,
    )


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(DRAFT.text().replace("Test block", "Prüfstück №1"), encoding="utf-8")
    return path


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_terminal_without_a_character_gets_a_replacement(job: Path, encoding: str) -> None:
    result = command("prove", job, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert result.returncode == 0, result.stderr
    assert b"Traceback" not in result.stderr
    told = command("prove", job, "--json", PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert json.loads(told.stdout.decode("ascii"))["verdict"] == "pass"


@ON_POSIX
def test_a_pipe_with_a_name_and_a_device_are_refused_at_once(tmp_path: Path, job: Path) -> None:
    pipe = tmp_path / "pipe.nc"
    os.mkfifo(pipe)
    for place in (pipe, Path("/dev/zero")):
        result = CliRunner().invoke(main, ["prove", str(job), str(place)])
        assert result.exit_code == 2
        assert f"{place}: is a pipe or a device" in result.stderr
        refused = CliRunner().invoke(main, ["prove", str(place)])
        assert refused.exit_code == 2
        assert "is a pipe or a device" in refused.stderr


@ON_POSIX
def test_ctrl_c_ends_quietly_with_the_shells_status(tmp_path: Path, job: Path) -> None:
    # where the tests themselves run in the background Ctrl-C is ignored, and that is inherited
    command = "import runpy, signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    command += "runpy.run_module('handwheel', run_name='__main__', alter_sys=True)"
    running = subprocess.Popen(
        [sys.executable, "-c", command, "prove", str(job), "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    time.sleep(3.0)  # it waits for a program on standard input by then
    running.send_signal(signal.SIGINT)
    _, errors = running.communicate(timeout=60)
    assert running.returncode == 130, errors
    assert b"Traceback" not in errors


@ON_POSIX
def test_the_second_process_ends_when_the_first_is_killed(tmp_path: Path) -> None:
    code = (
        "import os, time\n"
        "from handwheel.show.second_process import SecondProcess\n"
        "if __name__ == '__main__':\n"
        "    second = SecondProcess()\n"
        "    print(second.call(os.getpid).result(), flush=True)\n"
        "    second.call(time.sleep, 600)\n"
        "    time.sleep(600)\n"
    )
    script = tmp_path / "first.py"
    script.write_text(code, encoding="utf-8")
    first = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE)
    assert first.stdout is not None
    other = int(first.stdout.readline())
    first.kill()
    first.wait()
    first.stdout.close()
    for _ in range(100):
        try:
            os.kill(other, 0)
            if Path(f"/proc/{other}/stat").exists() and " Z " in Path(f"/proc/{other}/stat").read_text("utf-8"):
                return  # ended; nobody has asked for its status yet
        except ProcessLookupError:
            return
        time.sleep(0.1)
    os.kill(other, signal.SIGKILL)
    pytest.fail("it goes on alone")


@pytest.mark.parametrize("damage", ["cut short", "other bytes", "empty"])
@pytest.mark.parametrize("ending", [".nbi", ".nbc"])
def test_damaged_compiled_code_is_compiled_again(tmp_path: Path, damage: str, ending: str) -> None:
    code = (
        "import numpy as np\n"
        "from handwheel.check.kernels.lift import *\n"
        "from handwheel.check.kernels.piece import footprint_gap\n"
        "print(footprint_gap(-3.0, -4.0, np.array([0.0, 0.0, 0.0, 1.0, 1.0, 1.0])))\n"
    )

    def run() -> str:
        kept = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)}
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=kept, timeout=120, check=False)
        assert done.returncode == 0, done.stderr.decode()
        return done.stdout.decode()

    assert float(run()) == 5.0
    (file,) = tmp_path.rglob(f"*footprint_gap*{ending}")
    whole = file.read_bytes()
    middle = len(whole) // 2
    file.write_bytes({"cut short": whole[:middle], "other bytes": os.urandom(len(whole)), "empty": b""}[damage])
    assert float(run()) == 5.0
    assert file.stat().st_size > middle  # it is kept anew
    if os.name != "nt":
        assert file.parents[1].stat().st_mode & 0o077 == 0 or file.parent.stat().st_mode & 0o077 == 0


def test_damaged_unit_definitions_are_made_again(tmp_path: Path) -> None:
    code = "from handwheel.units import quantity\nprint(quantity('1 in', 'length', 'mm'))\n"
    cache = {name: str(tmp_path) for name in ("XDG_CACHE_HOME", "LOCALAPPDATA", "HOME")}

    def run() -> str:
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, env={**os.environ, **cache}, timeout=120, check=False
        )
        assert done.returncode == 0, done.stderr.decode()
        return done.stdout.decode()

    assert float(run()) == 25.4
    for file in tmp_path.rglob("*"):
        if file.is_file():
            file.write_bytes(b"\x80\x05 damaged")
    assert float(run()) == 25.4
