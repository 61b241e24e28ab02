"""What a class costs: a proof in a running process, one core against two, and memory; prints, and tests nothing."""

from __future__ import annotations

import contextlib
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import psutil

from handwheel.job import read_job
from handwheel.proof import Program, prove, routes_of

JOB = Path(__file__).parents[2] / "examples" / "gauge-stand-base" / "job.toml"
RUN = (sys.executable, "-c", "from handwheel.cli import main; main()", "class", str(JOB))


def main() -> None:
    """Measure with so many submissions, 200 unless the first word says otherwise."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    routes = routes_of(read_job(JOB, None))
    text = routes[0].text
    prove(routes)
    took = []
    for _ in range(40):
        begin = time.perf_counter()
        prove(routes, {1: Program("part.nc", text)})
        took.append(time.perf_counter() - begin)
    print(f"a proof in a running process: {1e3 * statistics.median(took):.0f} ms in the middle")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place, "handed-in")
        folder.mkdir()
        for number in range(count):
            (folder / f"part {number}.nc").write_text(f"(PART {number})\n{text}", encoding="utf-8")
        whole = {}
        for workers in (1, 2):
            begin = time.perf_counter()
            largest = _watched([*RUN, str(folder), "-o", str(Path(place, str(workers))), "--workers", str(workers)])
            whole[workers] = time.perf_counter() - begin
            print(
                f"{count} submissions, {workers} workers: {whole[workers]:.1f} s, at most {largest / 1e6:.0f} MB in all"
            )
    print(f"two workers against one: {whole[1] / whole[2]:.2f} times as fast")


def _watched(command: list[str]) -> int:
    """The greatest size of a command and its processes, bytes."""
    largest = 0
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as running:
        first = psutil.Process(running.pid)
        while running.poll() is None:
            with contextlib.suppress(psutil.Error):
                largest = max(largest, sum(one.memory_info().rss for one in (first, *first.children(recursive=True))))
            time.sleep(0.1)
    return largest


if __name__ == "__main__":
    main()
