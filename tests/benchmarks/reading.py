"""How fast, how lean and how linear the reader is: run by hand.

    python tests/benchmarks/reading.py            everything but the million blocks
    python tests/benchmarks/reading.py --million  with them

Prints time against pygcode's parsing of the same text in the same run (best of three each, all of reading included:
moves, checks, arcs, compensation), memory, and growth from a thousand blocks on.
"""

from __future__ import annotations

import sys
import time
import tracemalloc
from collections.abc import Callable, Iterator

import pygcode

from handwheel.motion import Control, Offset
from handwheel.rs274 import read

CONTROL = Control(offsets={1: Offset(50.0, 8.0)}, units="mm")
HEAD = "G21 G17 G40 G49 G54 G80 G90 G94 G98\nT1 M6\nG43 H1 S1200 M3\nG0 X0 Y0 Z5\nG1 Z-1 F300\n"


def lines_of_all_kinds(blocks: int) -> Iterator[str]:
    """A milling program: passes in straight lines, corners with arcs, a compensated contour, holes, comments."""
    made = 0
    while made < blocks:
        y = made % 997 * 0.05
        yield f"(PASS {made})"
        yield f"N{made % 99000} G0 X-10. Y{y:.3f}"
        for step in range(40):
            yield f"G1 X{step * 1.25 - made % 7 * 0.01:.4f} Y{y + step % 3 * 0.02:.4f}"
            yield f"X{step * 1.25 + 0.6:.4f} Z{-1 - step % 5 * 0.1:.3f} F{300 + step}"
        for _ in range(3):
            yield f"G2 X60. Y{y + 4:.3f} R20."
            yield f"G3 X60. Y{y + 4:.3f} I-3. J0."
            yield f"G3 X50. Y{y:.3f} R20."
        yield "G41 D1 G1 X80. Y0."
        yield "X120. Y1."
        yield "Y-40."
        yield "G40 X-20. Y-60."
        yield f"G81 X{made % 60}. Y5. Z-3. R2."
        yield "X70."
        yield "G80"
        made += 100


def straight_lines(blocks: int) -> Iterator[str]:
    """Nothing but coordinates."""
    for block in range(blocks):
        yield f"X{block % 300 * 0.3333:.4f} Y{block % 211 * 0.251:.4f}"


def arcs(blocks: int) -> Iterator[str]:
    """Nothing but arcs."""
    for block in range(blocks):
        yield f"G3 X{10 if block % 2 == 0 else 0} Y0 I{5 if block % 2 == 0 else -5} J0"


Maker = Callable[[int], Iterator[str]]


def text(maker: Maker, blocks: int) -> str:
    """A whole program."""
    return HEAD + "\n".join(maker(blocks)) + "\nM30\n"


def best(run: Callable[[], object], times: int = 3) -> float:
    """s; the best of a few runs."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        run()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def against_pygcode(maker: Maker, blocks: int) -> None:
    """Time of both on the same text."""
    program = text(maker, blocks)
    split = program.splitlines()
    ours, theirs = float("inf"), float("inf")
    for _ in range(3):
        ours = min(ours, best(lambda: read(program, CONTROL), 1))
        theirs = min(theirs, best(lambda: [pygcode.Line(line) and None for line in split], 1))
    reading = read(program, CONTROL)
    if reading.error is not None:
        raise reading.error
    print(
        f"{maker.__name__}: {len(split)} lines, {len(reading.moves)} moves: {ours:.2f} s, pygcode {theirs:.2f} s: "
        f"{theirs / ours:.1f} times faster"
    )


def memory(maker: Maker, blocks: int) -> None:
    """Peak of what reading allocates."""
    program = text(maker, blocks)
    tracemalloc.start()
    reading = read(program, CONTROL)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    print(f"{maker.__name__}: {blocks} blocks, {len(reading.moves)} moves: {peak / 1e6:.0f} MB")


def growth(maker: Maker, most: int) -> None:
    """Time a block, as programs grow tenfold."""
    blocks = 1000
    while blocks <= most:
        program = text(maker, blocks)
        taken = best(lambda program=program: read(program, CONTROL))
        print(f"{maker.__name__}: {blocks} blocks: {taken:.3f} s, {taken / blocks * 1e6:.2f} microseconds a block")
        blocks *= 10


def main() -> None:
    """All of it."""
    million = "--million" in sys.argv
    for maker in (lines_of_all_kinds, straight_lines, arcs):
        against_pygcode(maker, 100_000)
    for maker in (lines_of_all_kinds, straight_lines):
        memory(maker, 100_000)
        if million:
            memory(maker, 1_000_000)
    growth(lines_of_all_kinds, 1_000_000 if million else 100_000)


if __name__ == "__main__":
    main()
