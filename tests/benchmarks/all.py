"""Every benchmark, one after the other, each in a process of its own; prints ratios. Last: how long commands take.

python tests/benchmarks/all.py
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
SCRIPTS = ("reading", "cutting", "checking")
HANDWHEEL = (sys.executable, "-c", "from handwheel.cli import main; main(prog_name='handwheel')")
JOB = str(ROOT / "examples" / "gauge-stand-base" / "job.toml")


def wall_s(words: tuple[str, ...], times: int = 3) -> float:
    """The middle of so many runs, s, after one that does not count."""
    taken = []
    for _ in range(times + 1):
        begin = time.perf_counter()
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken[1:])


def start_up() -> None:
    """Each command against the bare interpreter."""
    bare = wall_s((sys.executable, "-c", "pass"))
    print("\n== start-up: times the bare interpreter")
    for words in (("--help",), ("shop",), ("write", JOB), ("sheet", JOB), ("prove", JOB), ("compare", JOB)):
        taken = wall_s((*HANDWHEEL, *words))
        print(f"  {words[0]:8} {taken / bare:7.1f} ({taken:.2f} s)")


if __name__ == "__main__":
    for script in SCRIPTS:
        print(f"== {script}", flush=True)
        subprocess.run((sys.executable, str(HERE / f"{script}.py")), check=True)
    start_up()
