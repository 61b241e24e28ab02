"""Any text whatever, until stopped: run by hand, with atheris where it is installed, else with random mutations.

    python tests/benchmarks/fuzz_reading.py [SECONDS]

Only the reader's own error may come out, and every text is answered within ten seconds.
"""

from __future__ import annotations

import random
import sys
import time

from handwheel.motion import Control, Offset
from handwheel.rs274 import read

CONTROL = Control(offsets={1: Offset(50.0, 10.0), 2: Offset(20.0, -3.0)}, units="mm")

SEED = """%
N10 G21 G17 G40 G49 G54 G61 G80 G90 G94 (head)
T1 M6
G43 H1 S800 M3 M8
G0 X-20 Y-20
#1=[2+3*SQRT[4]] #2=-5
G1 Z#2 F120
G42 D1 X0 Y0
X40
G3 X50 Y10 I0 J10
G1 Y[20+#1]
G2 X40 Y38 R10
G40 G1 X-20
G98 G81 X5 Y5 Z-2 R2 L2
G83 X9 Z-4 R2 Q1.5
G80
G18 G91 G93 G2 X1 Z1 I1 F3
G17 G90 G94
G87 X1 Z-3 R1 I1 J1 K-2
G80
G92 X0
G10 L2 P2 X1
G55 G28 Z60
G53 G0 Z0
G54.1 P3 G52 X1
G73 X9 Z-4 R1 Q1.5
G80 G0 Z50
M98 P8 L2
G4 X.5
G9 G1 X5 F9
G0 G28 G91 Z0
M30
O8
G91 G1 X1. M19
G90
M99
%
"""
PIECES = (
    *SEED.split(),
    "#",
    "[",
    "]",
    "(",
    ")",
    ";",
    "/",
    "**",
    "-",
    ".",
    "%",
    "\0",
    "é",
    "G41",
    "G42",
    "D2",
    "L9",
    "1e9",
)


def answer(text: str) -> bool:
    """Whether the program was sound; anything but the reader's own error comes through."""
    begun = time.perf_counter()
    error = read(text, CONTROL).error
    if time.perf_counter() - begun > 10:
        raise TimeoutError(f"{len(text)} characters took {time.perf_counter() - begun:.1f} s: {text[:200]!r}")
    return error is None


def mutated(chance: random.Random) -> str:
    """The seed with a few slips."""
    text = SEED
    for _ in range(chance.randint(1, 3)):
        begin = chance.randint(0, len(text))
        end = min(len(text), begin + chance.choice((0, 0, 1, 2, 5, 40)))
        text = text[:begin] + chance.choice(("", " ", "\n")) + chance.choice(PIECES) + text[end:]
    return text


def by_mutation(seconds: float) -> None:
    """Random slips, for a time."""
    chance = random.Random(6556)
    until, texts, sound = time.monotonic() + seconds, 0, 0
    while time.monotonic() < until:
        sound += answer(mutated(chance))
        texts += 1
    print(f"{texts} texts, {sound} of them sound, no surprise")


def main() -> None:
    """Run until the time is over."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    try:
        import atheris  # type: ignore[import-not-found]
    except ImportError:
        by_mutation(seconds)
        return

    def one_input(content: bytes) -> None:
        answer(content.decode("utf-8", errors="replace"))

    atheris.instrument_all()
    atheris.Setup([sys.argv[0], f"-max_total_time={seconds:.0f}", "-max_len=4096"], one_input)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
