"""How fast the checks are, in ratios to things anybody can build: ``python tests/benchmarks/checking.py``.

Clearance of short moves to a vise is measured by the room's own kernel, by manifold3d's least gap between solids, and
by the least that any check can cost: one pass over the table of moves that only compares their bounds. Then growth with
the moves, of clearance and of what stands, and the whole of a job's checks with its memory.
"""

from __future__ import annotations

import math
import sys
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import numpy as np
from manifold3d import Manifold

from handwheel.check import Inspection, findings
from handwheel.check.machinery.nearest import nearest
from handwheel.check.machinery.standing_work import standing
from handwheel.cut.part import Cut, Part
from handwheel.job import read_job
from handwheel.motion import Kind, Modal, Moves, Spindle, Tool
from handwheel.motion.extent import extents
from handwheel.path.box import Box
from handwheel.plan import Route
from handwheel.setup import set_up

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "fence-stop" / "job.toml"
WORK = Box((0.0, 0.0, -40.0), (150.0, 100.0, 0.0))
JAWS = (Box((0.0, 100.0, -60.0), (150.0, 140.0, -20.0)), Box((0.0, -40.0, -60.0), (150.0, 0.0, -20.0)))
CUTTER = Tool(1, "end mill", 6.0, 4, 20.0, 6.0, 40.0, 30.0, 40.0)
STEP = 0.5


def short_moves(count: int, seed: int = 4) -> Moves:
    """A wandering path over the work and the jaws, at heights from −10 to −1, of moves of one length."""
    random = np.random.default_rng(seed)
    heading = np.cumsum(random.uniform(-0.4, 0.4, count))
    way = np.column_stack((STEP * np.cos(heading), STEP * np.sin(heading), random.uniform(-0.05, 0.05, count)))
    points = np.concatenate((np.zeros((1, 3)), np.cumsum(way, axis=0))) + np.array([75.0, 50.0, -5.0])
    low, span = np.array([-10.0, -20.0, -10.0]), np.array([170.0, 140.0, 9.0])
    folded = np.abs((points - low) % (2.0 * span) - span) + low  # turned back at the edges, so that no step is longer
    return Moves(
        kind=np.full(count, Kind.FEED, dtype=np.int8),
        start=folded[:-1].copy(),
        end=folded[1:].copy(),
        centre=np.full((count, 3), math.nan),
        turn=np.zeros(count),
        plane=np.zeros(count, dtype=np.int8),
        feed=np.full(count, 300.0),
        seconds=np.zeros(count),
        line=np.arange(1, count + 1, dtype=np.int32),
        step=np.zeros(count, dtype=np.int32),
        modal=np.zeros(count, dtype=np.int32),
        modals=(Modal(tool=1, spindle=Spindle.CW, rpm=5000.0, length_slot=1, length=CUTTER.length),),
    )


def by_bounds(moves: Moves) -> float:
    """The least there is to do: how far the moves' bounds are from the jaws."""
    low, high = extents(moves)
    nearest_of_all = math.inf
    for jaw in JAWS:
        apart = np.maximum(np.maximum(np.array(jaw.low) - high - CUTTER.diameter / 2, low - np.array(jaw.high)), 0.0)
        nearest_of_all = min(nearest_of_all, float(np.sqrt((apart**2).sum(axis=1)).min()))
    return nearest_of_all


def by_solids(moves: Moves) -> float:
    """The same by manifold3d: the hull of the cutter at both ends of a move, and its least gap to a jaw."""
    jaws = [Manifold.cube(jaw.size).translate(jaw.low) for jaw in JAWS]
    body = Manifold.cylinder(CUTTER.flute_length, 3.0, 3.0, 32)
    least = 25.0
    for start, end in zip(moves.start.tolist(), moves.end.tolist(), strict=True):
        swept = (body.translate(start) + body.translate(end)).hull()
        least = min(least, *(swept.min_gap(jaw, 25.0) for jaw in jaws))
    return least


def timed(what: Callable[[], object]) -> float:
    """Seconds of one run, the best of three."""
    best = math.inf
    for _ in range(3):
        before = time.perf_counter()
        what()
        best = min(best, time.perf_counter() - before)
    return best


def growth(counts: list[int], seconds: list[float]) -> float:
    """The exponent by which the time grows with the count (least squares on logarithms)."""
    return float(np.polyfit(np.log(counts), np.log(seconds), 1)[0])


def main(counts: tuple[int, ...] = (10_000, 100_000, 1_000_000)) -> None:
    tools = {1: CUTTER}
    few = short_moves(1_000)
    nearest(few, tools, JAWS), standing(few, tools, Part(WORK), WORK)

    def clearance(moves: Moves) -> object:
        return nearest(moves, tools, JAWS)

    ours, theirs = timed(lambda: clearance(few)), timed(lambda: by_solids(few))
    print(f"clearance of 1,000 moves: {ours * 1e3:.2f} ms, by solids {theirs * 1e3:.0f} ms: {theirs / ours:.0f} times")
    print("moves      clearance   bounds alone   ratio   standing work")
    times: dict[str, list[float]] = {"clearance": [], "standing": []}
    for count in counts:
        moves = short_moves(count)
        times["clearance"].append(timed(lambda moves=moves: clearance(moves)))
        least = timed(lambda moves=moves: by_bounds(moves))
        times["standing"].append(timed(lambda moves=moves: standing(moves, tools, Part(WORK), WORK)))
        near, stands = times["clearance"][-1], times["standing"][-1]
        print(f"{count:<10,} {near:8.4f} s {least:12.4f} s {near / least:8.1f} {stands:12.3f} s")
    if len(counts) > 1:
        for name, seconds in times.items():
            print(f"{name} grows with the power {growth(list(counts), seconds):.2f} of the moves")

    job = read_job(EXAMPLE)
    setup = set_up(job)[0]
    moves = short_moves(counts[-1])
    tracemalloc.start()
    before = time.perf_counter()
    found = findings(
        Inspection(
            job=job,
            setup=setup,
            route=Route.BY_PROGRAM,
            moves=moves,
            tip=moves,
            tools=tools,
            offsets=job.offsets,
            part=Part(setup.raw, (Cut(moves, tools),)),
            intended=setup.intended,
            travel=setup.travel,
        )
    )
    seconds = time.perf_counter() - before
    _, peak = tracemalloc.get_traced_memory()
    print(
        f"all checks of {counts[-1]:,} moves: {seconds:.1f} s, {peak / 1e6:.0f} MB at the most, {len(found)} findings"
    )


if __name__ == "__main__":
    main(tuple(int(count) for count in sys.argv[1:]) or (10_000, 100_000, 1_000_000))
