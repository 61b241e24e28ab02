"""How fast the cut is, in ratios to things anybody can build: ``python tests/benchmarks/cutting.py``.

A long program of short moves is cut on a fine height map by the room's own kernel, by a vectorised numpy window for
each move, and by a bare compiled loop that only asks of each point whether it lies in a capsule: the practical limit.
The same moves are swept as solids by manifold3d, and growth with moves, cells and rays is shown. Times are the
processor's, of one thread.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from functools import partial

import numba
import numpy as np

from handwheel.cut import Cut, Part, Rays, display_grid, height_map, left, measure
from handwheel.motion import Kind, Modal, Moves, MovesBuilder, Tool
from handwheel.path.box import Box

DIAMETER = 6.0
STEP = 0.5
CELL = 0.1
STOCK = Box((0.0, 0.0, -10.0), (150.0, 100.0, 0.0))
CUTTER = Tool(1, "end mill", DIAMETER, 4, 20.0, DIAMETER, 40.0, 30.0, 40.0)
BALL = Tool(1, "ball end mill", DIAMETER, 2, 20.0, DIAMETER, 40.0, 30.0, 40.0)


def short_moves(count: int, *, ramps: bool = False) -> Moves:
    """A wandering path of level moves (or shallow ramps) of one length, kept over the stock."""
    random = np.random.default_rng(4)
    builder, modal = MovesBuilder(), Modal(tool=1)
    x, y, z, heading = 75.0, 50.0, -2.0, 0.0
    for _ in range(count):
        heading += random.uniform(-0.4, 0.4)
        if not (5.0 < x + 5.0 * math.cos(heading) < 145.0 and 5.0 < y + 5.0 * math.sin(heading) < 95.0):
            heading = math.atan2(50.0 - y, 75.0 - x)
        rise = random.uniform(-0.05, 0.05) if ramps else 0.0
        end = (x + STEP * math.cos(heading), y + STEP * math.sin(heading), min(max(z + rise, -5.0), -1.0))
        builder.add(Kind.FEED, (x, y, z), end, modal, feed=300.0)
        x, y, z = end
    return builder.build()


def short_arcs(count: int) -> Moves:
    """Level arcs of 1 mm radius, here and there."""
    random = np.random.default_rng(5)
    builder, modal = MovesBuilder(), Modal(tool=1)
    for _ in range(count):
        x, y = random.uniform((5.0, 5.0), (145.0, 95.0))
        toward, turn = random.uniform(-math.pi, math.pi), random.uniform(0.3, 1.5)
        start = (x + math.cos(toward), y + math.sin(toward), -2.0)
        end = (x + math.cos(toward + turn), y + math.sin(toward + turn), -2.0)
        builder.add(Kind.ARC, start, end, modal, feed=300.0, centre=(x, y, -2.0), turn=turn)
    return builder.build()


def by_windows(moves: Moves, nx: int, ny: int) -> np.ndarray:
    """The vectorised window: every cell round a move against a capsule, with whole-array numpy."""
    z = np.zeros((ny, nx))
    radius = DIAMETER / 2.0
    x, y = (np.arange(nx) + 0.5) * CELL, (np.arange(ny) + 0.5) * CELL
    for start, end in zip(moves.start, moves.end, strict=True):
        low, high = np.minimum(start, end) - radius, np.maximum(start, end) + radius
        i = slice(max(int(low[0] / CELL), 0), int(high[0] / CELL) + 1)
        j = slice(max(int(low[1] / CELL), 0), int(high[1] / CELL) + 1)
        u, v = x[i][None, :] - start[0], y[j][:, None] - start[1]
        dx, dy = end[0] - start[0], end[1] - start[1]
        share = np.clip((u * dx + v * dy) / (dx * dx + dy * dy), 0.0, 1.0)
        inside = (u - share * dx) ** 2 + (v - share * dy) ** 2 <= radius * radius
        window = z[j, i]
        window[inside] = np.minimum(window[inside], start[2])
    return z


@numba.njit
def capsules(start: np.ndarray, end: np.ndarray, z: np.ndarray, cell: float, radius: float) -> None:
    """The bare loop: nothing but the test of points against capsules."""
    for move in range(len(start)):
        ax, ay, bx, by = start[move, 0], start[move, 1], end[move, 0], end[move, 1]
        dx, dy = bx - ax, by - ay
        over = 1.0 / (dx * dx + dy * dy)
        i0, i1 = max(int((min(ax, bx) - radius) / cell), 0), min(int((max(ax, bx) + radius) / cell) + 1, z.shape[1])
        j0, j1 = max(int((min(ay, by) - radius) / cell), 0), min(int((max(ay, by) + radius) / cell) + 1, z.shape[0])
        for j in range(j0, j1):
            v = (j + 0.5) * cell - ay
            for i in range(i0, i1):
                u = (i + 0.5) * cell - ax
                share = min(max((u * dx + v * dy) * over, 0.0), 1.0)
                p, q = u - share * dx, v - share * dy
                if p * p + q * q <= radius * radius and z[j, i] > start[move, 2]:
                    z[j, i] = start[move, 2]


def seconds(work: Callable[[], object], repeats: int = 3) -> float:
    """The least of some runs."""
    taken = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def map_of(moves: Moves, tool: Tool = CUTTER, cell: float = CELL) -> object:
    """Cut a height map of the moves."""
    return height_map(Part(STOCK, (Cut(moves, {1: tool}),)), cell)


def compare_kernels(count: int) -> None:
    """Own kernel, window and bare loop on one map."""
    moves = short_moves(count)
    nx, ny = round(STOCK.size[0] / CELL), round(STOCK.size[1] / CELL)
    own = seconds(partial(map_of, moves))
    few = max(count // 20, 1)
    window = seconds(lambda: by_windows(moves.rows(slice(0, few)), nx, ny), 1) * count / few
    capsules(moves.start[:1], moves.end[:1], np.zeros((ny, nx)), CELL, DIAMETER / 2.0)
    bare = seconds(lambda: capsules(moves.start, moves.end, np.zeros((ny, nx)), CELL, DIAMETER / 2.0))
    print(f"{count:,} moves of {STEP} mm, cutter {DIAMETER:g} mm, {ny:,} x {nx:,} cells")
    print(f"  height map {own:7.3f} s; numpy window {window:7.2f} s = {window / own:.1f} x ours")
    print(f"  bare capsule loop {bare:7.3f} s; ours is {own / bare:.2f} x the bare loop")
    arcs = short_arcs(count // 10)
    print(f"  a tenth as many level arcs {seconds(partial(map_of, arcs), 1):.3f} s")
    for name, ramps, tool in (("flat, ramps", True, CUTTER), ("ball, level", False, BALL), ("ball, ramps", True, BALL)):
        other = short_moves(count, ramps=ramps)
        taken = seconds(partial(map_of, other, tool), 1)
        print(f"  {name} {taken:7.3f} s = {taken / bare:.2f} x the bare loop")


def growth() -> None:
    """How the time grows with moves, with cells and with rays: exponents of the last three doublings."""
    moves = short_moves(100_000)
    many = [25_000, 50_000, 100_000]
    taken = [seconds(partial(map_of, moves.rows(slice(0, n))), 2) for n in many]
    print(f"growth with moves, {many}: exponent {exponent(many, taken):.2f}")
    few = moves.rows(slice(0, 20_000))
    cells = [0.2, 0.1, 0.05]
    taken = [seconds(partial(map_of, few, cell=cell), 2) for cell in cells]
    print(f"growth with cells, at {cells} mm: exponent {exponent([1.0 / cell**2 for cell in cells], taken):.2f}")
    part = Part(STOCK, (Cut(few, {1: CUTTER}),))
    random = np.random.default_rng(1)
    counts = [10_000, 40_000, 160_000]
    for axis, name in enumerate("XYZ"):
        u, v = (k for k in range(3) if k != axis)
        at = random.uniform((STOCK.low[u], STOCK.low[v]), (STOCK.high[u], STOCK.high[v]), (counts[-1], 2))
        taken = [seconds(partial(left, part, Rays(axis, at[:n])), 1) for n in counts]
        print(
            f"rays along {name}, {len(few):,} moves: {counts[0] / taken[0]:,.0f} rays/s of {counts[0]:,}, "
            f"{counts[-1] / taken[-1]:,.0f} rays/s of {counts[-1]:,}; exponent {exponent(counts, taken):.2f}"
        )
    one = seconds(partial(measure, part, "z", {"x": 75.0, "y": 50.0}), 3)
    print(f"one gauge reading, {len(few):,} moves: {1000.0 * one:.1f} ms")
    shown = seconds(partial(display_grid, part), 1)
    print(f"display grid with every drop, {len(few):,} moves: {shown:.2f} s")


def as_solids() -> None:
    """manifold3d on the same moves: one hull a move, all in one difference."""
    import manifold3d

    moves = short_moves(2_000)
    cylinder = manifold3d.Manifold.cylinder(20.0, DIAMETER / 2.0, circular_segments=64)
    block = manifold3d.Manifold.cube(STOCK.size).translate(STOCK.low)

    def cut_solid(count: int) -> float:
        hulls = [
            manifold3d.Manifold.batch_hull([cylinder.translate(start.tolist()), cylinder.translate(end.tolist())])
            for start, end in zip(moves.start[:count], moves.end[:count], strict=True)
        ]
        return float((block - manifold3d.Manifold.batch_boolean(hulls, manifold3d.OpType.Add)).volume())

    counts = [500, 1_000, 2_000]
    theirs = [seconds(partial(cut_solid, n), 1) for n in counts]
    ours = [seconds(partial(map_of, moves.rows(slice(0, n))), 1) for n in counts]
    for count, solid, own in zip(counts, theirs, ours, strict=True):
        print(f"manifold3d, {count:,} moves: {solid:.2f} s = {solid / own:.0f} x ours ({own:.3f} s)")
    print(f"  exponent of growth {exponent(counts, theirs):.2f}; ours {exponent(counts, ours):.2f}")


def memory(count: int) -> None:
    """A long program on the largest default map: how much the cut adds to the table of its moves."""
    import tracemalloc

    moves = short_moves(count)
    part = Part(STOCK, (Cut(moves, {1: CUTTER}),))
    tracemalloc.start()
    taken = seconds(partial(height_map, part), 1)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"{count:,} moves on the map as it comes: {taken:.1f} s, {peak / 1e6:.0f} MB above the moves themselves")


def exponent(sizes: list[int] | list[float], taken: list[float]) -> float:
    """The slope of time over size on double-logarithmic paper."""
    return float(np.polyfit(np.log(sizes), np.log(taken), 1)[0])


if __name__ == "__main__":
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    map_of(short_moves(10))
    compare_kernels(wanted)
    growth()
    as_solids()
    memory(10 * wanted)
