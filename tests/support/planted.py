"""Known mistakes planted in the program, or in the set-up, of a job that is proved to be good."""

from __future__ import annotations

import itertools
import math
import random
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from handwheel.motion import Offset
from handwheel.setup import Setup
from handwheel.units import program_number


@dataclass(frozen=True)
class Planted:
    """A mistake: the program and set-up with it, the line where it is (``None``: in the set-up), and what the right
    word, or the right setting, has in it."""

    text: str
    setup: Setup
    line: int | None
    right: str


Planter = Callable[[Setup, str], Iterator[Planted]]
_WORD = re.compile(r"(?<= )([XYZ])(-?[0-9.]+)")


def _blocks(text: str) -> Iterator[tuple[int, str]]:
    """Blocks of the program, by index from 0."""
    for index, line in enumerate(text.splitlines()):
        if line.startswith("N"):
            yield index, line


def _with(text: str, index: int, line: str | None) -> str:
    lines = text.splitlines()
    if line is None:
        del lines[index]
    else:
        lines[index] = line
    return "\n".join(lines) + "\n"


def _tools(text: str) -> dict[int, int]:
    """The tool in the spindle at each line."""
    tool, found = 0, {}
    for index, line in enumerate(text.splitlines()):
        if match := re.search(r" T(\d+) M6", line):
            tool = int(match[1])
        found[index] = tool
    return found


def _bare(line: str) -> str:
    return line.split(" ", 1)[1]


def length_missing(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if " G43 " in line:
            yield Planted(_with(text, index, None), setup, index, "G43")


def _slot_of_another(setup: Setup, text: str, letter: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if match := re.search(rf" {letter}(\d+)", line):
            for other in setup.tools:
                if other != int(match[1]):
                    wrong = line.replace(match[0], f" {letter}{other}")
                    yield Planted(_with(text, index, wrong), setup, index + 1, match[0].strip())


def length_of_another(setup: Setup, text: str) -> Iterator[Planted]:
    return _slot_of_another(setup, text, "H")


def diameter_of_another(setup: Setup, text: str) -> Iterator[Planted]:
    return _slot_of_another(setup, text, "D")


def side_exchanged(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        for word, wrong in (("G41", "G42"), ("G42", "G41")):
            if f" {word} " in line:
                yield Planted(_with(text, index, line.replace(word, wrong)), setup, index + 1, word)


def off_forgotten(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if line.endswith(" G40"):
            yield Planted(_with(text, index, None), setup, index, "G40")


def units_exchanged(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        for word, wrong in (("G20", "G21"), ("G21", "G20")):
            if f" {word} " in line:
                yield Planted(_with(text, index, line.replace(word, wrong)), setup, index + 1, word)


def incremental(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if " G90" in line:
            yield Planted(_with(text, index, line.replace("G90", "G91")), setup, index + 1, "G90")


def spindle_not_started(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if line.endswith(" M3"):
            yield Planted(_with(text, index, line.removesuffix(" M3")), setup, index + 1, "M3")


def spindle_reversed(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if line.endswith(" M3"):
            yield Planted(_with(text, index, line.replace(" M3", " M4")), setup, index + 1, "M3")


def no_feed(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if match := re.search(r" F[0-9.]+", line):
            yield Planted(_with(text, index, line.replace(match[0], "")), setup, index + 1, "F")
            return


def feed_tenfold(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if match := re.search(r" F([0-9.]+)", line):
            wrong = line.replace(match[0], f" F{float(match[1]) * 10:.1f}")
            yield Planted(_with(text, index, wrong), setup, index + 1, match[0].strip())


def chip_load_as_feed(setup: Setup, text: str) -> Iterator[Planted]:
    """In every block, as one does who takes F for the feed a tooth."""
    tools, lines, first, speed = _tools(text), text.splitlines(), None, 1.0
    right = ""
    for index, line in _blocks(text):
        if match := re.search(r" S([0-9.]+)", line):
            speed = float(match[1])
        if match := re.search(r" F([0-9.]+)", line):
            if first is None:
                first, right = index, "F"
            elif lines[first].rsplit("F")[-1] == "":
                return
            chip = float(match[1]) / speed / setup.tools[tools[index]].flutes
            lines[index] = line.replace(match[0], f" F{chip:.4f}")
            yield Planted("\n".join(lines) + "\n", setup, index + 1, right)
            return


def rapid_for_feed(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if re.match(r"N\d+ G1 [XY]", line):
            yield Planted(_with(text, index, line.replace(" G1 ", " G0 ")), setup, index + 1, "G1")


def _numbers(text: str) -> Iterator[tuple[int, str, re.Match[str]]]:
    for index, line in _blocks(text):
        if "G53" not in line:
            for match in _WORD.finditer(line):
                yield index, line, match


def sign_lost(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line, match in _numbers(text):
        if match[2].startswith("-"):
            wrong = line[: match.start(2)] + match[2][1:] + line[match.end(2) :]
            yield Planted(_with(text, index, wrong), setup, index + 1, match[0])


def point_moved(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line, match in _numbers(text):
        whole, _, part = match[2].partition(".")
        for number in (f"{whole}{part[:1]}.{part[1:]}", f"{whole}{part}"):
            if float(number):
                wrong = line[: match.start(2)] + number + line[match.end(2) :]
                yield Planted(_with(text, index, wrong), setup, index + 1, match[1])


def letter_o(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line, match in _numbers(text):
        for place, digit in enumerate(match[2]):
            if digit == "0":
                at = match.start(2) + place
                yield Planted(_with(text, index, f"{line[:at]}O{line[at + 1 :]}"), setup, index + 1, match[0])


def _shifted(setup: Setup, text: str, axis: int, length: float) -> Iterator[Planted]:
    for shift in (length, -length):
        origin = tuple(value + shift * (axis == one) for one, value in enumerate(setup.control.origin))
        wrong = replace(setup, control=replace(setup.control, origin=origin))
        yield Planted(text, wrong, None, f"{'XYZ'[axis]} zero")


def zero_on_another_face(setup: Setup, text: str) -> Iterator[Planted]:
    for axis in range(3):
        yield from _shifted(setup, text, axis, setup.finished.size[axis])


def zero_off_by_a_cutter(setup: Setup, text: str) -> Iterator[Planted]:
    for axis in range(2):
        for tool in setup.tools.values():
            yield from _shifted(setup, text, axis, tool.diameter / 2)
            yield from _shifted(setup, text, axis, tool.diameter)


def gauge_left_in_the_zero(setup: Setup, text: str) -> Iterator[Planted]:
    touch = setup.touch_off
    for axis, length in (
        (0, touch.x.diameter and touch.x.diameter / 2),
        (1, touch.y.diameter and touch.y.diameter / 2),
        (2, touch.z.height),
    ):
        if length:
            yield from _shifted(setup, text, axis, length)


def block_left_out(setup: Setup, text: str) -> Iterator[Planted]:
    """Of two blocks that say the same between blocks of the same kind, one."""
    blocks = list(_blocks(text))
    kinds = [
        re.sub(r"-?[0-9.]+", "", re.sub(r"[GM][0-9]+", lambda m: m[0].replace("0", "o"), _bare(line)))
        for _, line in blocks
    ]
    seen: dict[tuple[str, str, str], list[int]] = {}
    for place in range(1, len(blocks) - 1):
        key = (kinds[place - 1], _bare(blocks[place][1]), kinds[place + 1])
        seen.setdefault(key, []).append(place)
    for places in seen.values():
        if len(places) > 1:
            for place in places:
                index, line = blocks[place]
                yield Planted(_with(text, index, None), setup, index, _bare(line).split(" ")[0])


def blocks_exchanged(setup: Setup, text: str) -> Iterator[Planted]:
    blocks = list(_blocks(text))
    for (first, one), (second, other) in itertools.pairwise(blocks):
        if second == first + 1 and _bare(one) != _bare(other):
            swapped = _with(_with(text, first, other), second, one)
            yield Planted(swapped, setup, first + 1, f"{_bare(one)}, then {_bare(other)}")


def centre_path_and_full_diameter(setup: Setup, text: str) -> Iterator[Planted]:
    for number, tool in setup.tools.items():
        held = setup.control.offsets[number]
        if re.search(rf" D{number} ", text) and held.diameter == 0.0:
            yield _held(setup, text, number, Offset(held.length, tool.diameter), f"D{number} = 0")


def wear_of_yesterday(setup: Setup, text: str) -> Iterator[Planted]:
    for number in setup.tools:
        held = setup.control.offsets[number]
        if re.search(rf" D{number} ", text):
            for wear in (-0.4, -0.2):
                wrong = Offset(held.length, held.diameter + wear)
                yield _held(setup, text, number, wrong, f"D{number} = {program_number(held.diameter, setup.job.units)}")


def _held(setup: Setup, text: str, number: int, held: Offset, right: str) -> Planted:
    offsets = MappingProxyType({**setup.control.offsets, number: held})
    return Planted(text, replace(setup, control=replace(setup.control, offsets=offsets)), None, right)


def lead_in_too_short(setup: Setup, text: str) -> Iterator[Planted]:
    """The block that positions the cutter puts it within a radius of where the lead-in ends."""
    lines, tools = text.splitlines(), _tools(text)
    inch = 25.4 if setup.job.units == "in" else 1.0
    for index, line in _blocks(text):
        match = re.search(r" (G4[12]) D\d+ G1 ([XY])(-?[0-9.]+)$", line)
        start = re.search(r" G0 X(-?[0-9.]+) Y(-?[0-9.]+)$", lines[index - 3]) if match else None
        if not match or not start:
            continue
        group = 1 if match[2] == "X" else 2
        old, end = float(start[group]), float(match[3])
        near = end + math.copysign(0.8 * setup.tools[tools[index]].diameter / 2 / inch, old - end)
        wrong = lines[index - 3].replace(f"{match[2]}{start[group]}", f"{match[2]}{near:.4f}")
        yield Planted(_with(text, index - 3, wrong), setup, index - 2, match[2])


def home_by_way_of_the_work(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if line.endswith(" G53 G0 Z0") and index + 1 < len(text.splitlines()) - 5:
            yield Planted(_with(text, index, line.replace("G53 G0 Z0", "G28 Z0")), setup, index + 1, "G91 G28 Z0")


def another_tool(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if match := re.search(r" T(\d+) M6", line):
            for other in (*setup.tools, 7):
                if other != int(match[1]):
                    yield Planted(_with(text, index, line.replace(f"T{match[1]}", f"T{other}")), setup, index + 1, "T")


def led_in_by_arcs(setup: Setup, text: str, *, by_radius: bool = False) -> str:
    """The program with every compensated pass rolled onto its edge on an arc of 60 degrees, tangent to it."""
    lines, tools = text.splitlines(), _tools(text)
    inch = 25.4 if setup.job.units == "in" else 1.0

    def number(value: float) -> str:
        return program_number(value * inch, setup.job.units)

    at = {"X": 0.0, "Y": 0.0}
    passes = []
    for index, line in enumerate(lines):
        if line.startswith("N") and "G53" not in line:
            at |= {match[1]: float(match[2]) for match in _WORD.finditer(line)}
        if re.search(r" G4[12] ", line):
            lead = (at["X"], at["Y"])
            end = at | {match[1]: float(match[2]) for match in _WORD.finditer(lines[index + 1])}
            passes.append((index, line, lead, (end["X"], end["Y"])))
    for index, line, lead, end in passes:
        way, radius = (1 if "G41" in line else -1), setup.tools[tools[index]].diameter / 2 / inch
        along = complex(end[0] - lead[0], end[1] - lead[1])
        along /= abs(along)
        rho = radius + (30.0 if by_radius else 5.0) / inch
        centre = complex(*lead) + way * 1j * along * rho
        begin = -way * 1j * along * complex(math.cos(math.pi / 3), -way * math.sin(math.pi / 3)) * rho
        first, start = centre + begin, centre + begin - way * 1j * begin / rho * (1.5 * radius + 3.0 / inch)
        ways = f"R{number(rho)}" if by_radius else f"I{number(-begin.real)} J{number(-begin.imag)}"
        lines[index - 3] = f"{lines[index - 3].split()[0]} G0 X{number(start.real)} Y{number(start.imag)}"
        on = line.split(" G1 ", maxsplit=1)[0]
        arc = f"N5 {'G3' if way > 0 else 'G2'} X{number(lead[0])} Y{number(lead[1])} {ways}"
        lines[index] = f"{on} G1 X{number(first.real)} Y{number(first.imag)}\n{arc}"
    return "\n".join(lines) + "\n"


def _arcs(text: str) -> Iterator[tuple[int, str, re.Match[str]]]:
    for index, line in _blocks(text):
        if match := re.search(r" (G[23]) X(\S+) Y(\S+) I(\S+) J(\S+)$", line):
            yield index, line, match


def _centred(setup: Setup, text: str, change: Callable[[complex, complex, complex], complex]) -> Iterator[Planted]:
    """Another centre, from those of the arc's start, end and centre."""
    for index, line, match in _arcs(text):
        before = text.splitlines()[index - 1]
        start = complex(*(float(word[2]) for word in _WORD.finditer(before)))
        centre = change(start, complex(float(match[2]), float(match[3])), complex(float(match[4]), float(match[5])))
        wrong = f"{line.split(' I', maxsplit=1)[0]} I{centre.real:.4f} J{centre.imag:.4f}"
        yield Planted(_with(text, index, wrong), setup, index + 1, f"I{match[4]} J{match[5]}")


def centre_words_exchanged(setup: Setup, text: str) -> Iterator[Planted]:
    return _centred(setup, text, lambda start, end, centre: complex(centre.imag, centre.real))


def centre_from_the_zero(setup: Setup, text: str) -> Iterator[Planted]:
    return _centred(setup, text, lambda start, end, centre: start + centre)


def centre_from_the_end(setup: Setup, text: str) -> Iterator[Planted]:
    return _centred(setup, text, lambda start, end, centre: start + centre - end)


def centre_with_the_wrong_sign(setup: Setup, text: str) -> Iterator[Planted]:
    return _centred(setup, text, lambda start, end, centre: -centre)


def other_way_round(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line, match in _arcs(text):
        wrong = line.replace(match[1], {"G2": "G3", "G3": "G2"}[match[1]])
        yield Planted(_with(text, index, wrong), setup, index + 1, match[1])


def feed_word_missing_after_an_arc(setup: Setup, text: str) -> Iterator[Planted]:
    lines = text.splitlines()
    for index, _, _ in _arcs(text):
        yield Planted(_with(text, index + 1, lines[index + 1].replace(" G1 ", " ")), setup, index + 2, "G1")


def radius_with_the_wrong_sign(setup: Setup, text: str) -> Iterator[Planted]:
    for index, line in _blocks(text):
        if match := re.search(r" G[23] .* (R\S+)$", line):
            yield Planted(_with(text, index, line.replace(" R", " R-")), setup, index + 1, match[1])


ON_ARCS: dict[str, Planter] = {
    planter.__name__.replace("_", " "): planter
    for planter in (
        centre_words_exchanged,
        centre_from_the_zero,
        centre_from_the_end,
        centre_with_the_wrong_sign,
        other_way_round,
        feed_word_missing_after_an_arc,
        radius_with_the_wrong_sign,
    )
}

KINDS: dict[str, Planter] = {
    planter.__name__.replace("_", " "): planter
    for planter in (
        length_missing,
        length_of_another,
        diameter_of_another,
        side_exchanged,
        off_forgotten,
        units_exchanged,
        incremental,
        spindle_not_started,
        spindle_reversed,
        no_feed,
        feed_tenfold,
        chip_load_as_feed,
        rapid_for_feed,
        sign_lost,
        point_moved,
        letter_o,
        zero_on_another_face,
        zero_off_by_a_cutter,
        gauge_left_in_the_zero,
        block_left_out,
        blocks_exchanged,
        centre_path_and_full_diameter,
        wear_of_yesterday,
        lead_in_too_short,
        home_by_way_of_the_work,
        another_tool,
    )
}


def plant(kind: str, setup: Setup, text: str, seed: int) -> list[Planted]:
    """The mistakes of a kind that a program has room for, in an order of chance."""
    if kind in ON_ARCS:
        text = led_in_by_arcs(setup, text, by_radius="radius" in kind)
    found = list((KINDS | ON_ARCS)[kind](setup, text))
    random.Random(seed).shuffle(found)
    return found
