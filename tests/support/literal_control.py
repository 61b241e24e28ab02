"""Somebody at the control who does what the program's own comments say at each stop, and nothing else; mm jobs."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from handwheel.motion import Offset
from handwheel.proof import SetupProof, prove_setup
from handwheel.setup import Setup

TABLE = re.compile(r"\(GAUGE READS, CHANGE D(\d+) WEAR BY:\)\n")
PAIR = re.compile(r"(\d+\.\d+) ([+-]?\d+(?:\.\d+)?)")
AFTER = re.compile(r"\(AFTER THIS PART PUT (HALF|ALL) OF IT BACK\.\)")
BACK = re.compile(r"\(PUT (HALF|ALL) OF THE D(\d+) WEAR CHANGE BACK NOW\.\)")
SHARES = {"HALF": 0.5, "ALL": 1.0}


@dataclass(frozen=True)
class Followed:
    """What came of it: the proof, the readings at each stop, the comment that stopped the job, and what D of each tool
    holds for the next part."""

    proof: SetupProof | None
    readings: tuple[float, ...]
    stopped: str
    held: Mapping[int, float]


def followed(
    setup: Setup, text: str, smaller: Mapping[int, float], shift: tuple[float, float] = (0.0, 0.0)
) -> Followed:
    """Run a program with cutters that are ``smaller`` than D says and a zero that is off by ``shift``, mm."""
    control = setup.control
    x, y, z = control.origin
    tools = tuple(replace(tool, diameter=tool.diameter - smaller.get(tool.number, 0.0)) for tool in setup.job.tools)
    offsets = dict(control.offsets)
    parts = re.split(r"(?<= M0\n)", text)
    held = {number: one.diameter for number, one in offsets.items()}
    changed: dict[int, float] = {}
    later: dict[int, float] = {}
    readings: list[float] = []

    def made(parts: list[str], name: str) -> SetupProof:
        there = replace(control, offsets=dict(offsets), origin=(x + shift[0], y + shift[1], z))
        one = replace(setup, control=there, job=replace(setup.job, tools=tools))
        return prove_setup(one, "".join(parts), name, resolution=4.0)

    for index in range(1, len(parts)):
        said = parts[index - 1].replace(")\n(... ", " ").rpartition("(STEP ")[2]
        back, table = BACK.search(said), TABLE.search(said)
        if back:
            number = int(back[2])
            held[number] -= SHARES[back[1]] * changed[number]
        elif table:
            number = int(table[1])
            size = re.search(r"\(MEASURE: (.*) SHOULD READ", said)
            assert size
            so_far = made([*parts[:index], "M30\n%\n"], "so far")
            reading = next(one.measured for one in so_far.dimensions if one.name.upper() == size[1])
            assert reading is not None
            readings.append(reading)
            stop = _stop(said, reading)
            if stop:
                return Followed(None, tuple(readings), stop, held)
            pairs = [(float(a), float(b)) for a, b in PAIR.findall(said[table.end() :].partition("(ABOVE")[0])]
            changed[number] = min(pairs, key=lambda pair: abs(pair[0] - reading))[1]
            held[number] += changed[number]
            after = AFTER.search(said)
            later[number] = later.get(number, 0.0) + (SHARES[after[1]] * changed[number] if after else 0.0)
        for number, diameter in held.items():
            slot = 100 * number + index
            offsets[slot] = Offset(control.offsets[number].length, diameter)
            parts[index] = re.sub(rf"\bD{number}\b(?= G1)", f"D{slot}", parts[index])
    next_part = {number: diameter - later.get(number, 0.0) for number, diameter in held.items()}
    return Followed(made(parts, "followed"), tuple(readings), "", next_part)


def _stop(said: str, reading: float) -> str:
    """The comment by which the job ends at that reading."""
    for line in re.findall(r"\((ABOVE .*?|.* OR BELOW: .*?)\)", said):
        limit = float(re.search(r"\d+\.\d+", line)[0])  # type: ignore[index]
        if reading > limit + 1e-6 if line.startswith("ABOVE") else reading <= limit + 1e-6:
            return line
    return ""
