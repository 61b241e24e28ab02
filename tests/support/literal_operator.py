"""An operator who does literally what a printed route sheet says, line by line, on a mill of his own.

He knows the mill's screws, the raw block and the cutters, and nothing of the program that wrote the sheet. Source of
the mill's behaviour: a screw turned back moves nothing until its play is used up; common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from handwheel.job import Job

SLIDES = {"table": 0, "saddle": 1, "knee": 2}
COUNTS_UP = {"to your left": 1, "to your right": -1, "towards you": 1, "away from you": -1, "Raise": 1, "Lower": -1}
AXIS = {"left": 0, "right": 0, "front": 1, "back": 1, "top": 2}
FACES_UP = {"left": -1, "right": 1, "front": -1, "back": 1, "top": 1}
WAYS = "to your left|to your right|towards you|away from you"
DIAL = r"(?P<turns>-?\d+) turns? \+ (?P<shown>[\d.]+) \((?P<sum>-?[\d.]+)\)"
SIZE = r"(-?\d*\.?\d+)"
PAST = r"half a turn|one turn|one and a half turns|\d+ turns|\d+ and a half turns"
FINDER_LENGTH = 77.0


@dataclass
class Slide:
    """One screw: where the nut stands, where the screw is, and what the dial counts from."""

    per_turn: float
    graduation: float
    play: float
    nut: float
    screw: float
    counts_from: float | None = None
    locked: bool = False

    def turn(self, screw: float) -> None:
        assert not self.locked
        if screw > self.nut:
            self.nut = screw
        elif screw < self.nut - self.play:
            self.nut = screw + self.play
        self.screw = screw

    def push(self, nut: float) -> None:
        self.turn(nut if nut >= self.nut else nut - self.play)


def fraction(text: str) -> float:
    """A cutter's size as it is marked: 1/2, 1-1/4."""
    return sum(float(Fraction(part)) for part in text.split("-"))


@dataclass
class Line:
    """A numbered line carried out: where the tip then stood (X, Y, Z in mm)."""

    number: int
    step: int
    text: str
    tip: tuple[float, float, float]


@dataclass
class LiteralOperator:
    """Follows a sheet; ``lines`` holds what came of it."""

    job: Job
    lines: list[Line] = field(default_factory=list)

    def __post_init__(self) -> None:
        mill, raw = self.job.by_hand, self.job.raw_block
        start = (raw.centre[0], raw.centre[1], -1000.0)
        self.slides = [
            Slide(one.per_turn, one.graduation, one.backlash, at, at)
            for one, at in zip((mill.slides.x, mill.slides.y, mill.slides.knee), start, strict=True)
        ]
        self.readout: list[float | None] = [None, None]
        self.length, self.radius = 0.0, 0.0
        self.faces = {
            "left": raw.low[0],
            "right": raw.high[0],
            "front": raw.low[1],
            "back": raw.high[1],
            "top": raw.high[2],
        }
        self.turning = False
        self.step, self.facing = 0, False
        self.quill_free, self.depth_stop = False, None
        self.neutral = False
        self.holes: list[tuple[float, float, float]] = []

    def number(self, text: str) -> float:
        return float(text) * (25.4 if self.job.units == "in" else 1.0)

    @property
    def tip(self) -> tuple[float, float, float]:
        return (self.slides[0].nut, self.slides[1].nut, -self.slides[2].nut - self.length)

    def follow(self, sheet: str) -> list[Line]:
        route = sheet.split("ROUTE BY HAND")[1].split("INSPECTION SHEET", maxsplit=1)[0].splitlines()
        numbered: list[str] = []
        for line in route:
            if re.match(r"\s{0,4}\d+  \S", line) or line.startswith("STEP "):
                numbered.append(line)
            elif numbered and re.match(r"\s{7}\S", line) and not numbered[-1].startswith("STEP"):
                numbered[-1] += " " + line.strip()
            elif numbered and line.startswith("  ") and numbered[-1].startswith("STEP") and not line.startswith("    "):
                numbered[-1] += " " + line.strip() if not re.match(r"  [A-Z]", line) else ""
        for line in numbered:
            if line.startswith("STEP "):
                self.step = int(re.match(r"STEP (\d+):", line)[1])  # type: ignore[index]
                self.facing = ": face to Z" in line
                continue
            number, text = line.strip().split("  ", 1)
            self.do(text)
            self.lines.append(Line(int(number), self.step, text, self.tip))
        return self.lines

    def do(self, text: str) -> None:
        for pattern, method in HANDLERS:
            match = re.match(pattern, text)
            if match:
                getattr(self, method)(match)
                return
        raise AssertionError(f"an operator would not know what to do: {text}")

    def reading(self, match: re.Match[str], slide: Slide) -> float:
        reading = int(match["turns"]) * slide.per_turn + float(match["shown"]) * slide.graduation
        assert 0 <= float(match["shown"]) * slide.graduation < slide.per_turn
        decimals = len(match["sum"].split(".")[1])
        half_digit = 0.5 * 10**-decimals * (25.4 if self.job.units == "in" else 1.0)
        assert abs(reading - self.number(match["sum"])) <= half_digit + 1e-9
        return reading

    def put_in_finder(self, match: re.Match[str]) -> None:
        assert not self.turning
        self.length, self.radius = (
            FINDER_LENGTH,
            fraction(match[1]) * (12.7 if match[2] == "in" else 0.5),
        )

    def put_in_tool(self, match: re.Match[str]) -> None:
        assert not self.turning
        tool = self.job.tool(int(match[1]))
        self.length, self.radius = tool.length, tool.diameter / 2

    def start(self, match: re.Match[str]) -> None:
        assert not self.neutral
        self.turning = True

    def stop(self, match: re.Match[str]) -> None:
        self.turning = False

    def lock(self, match: re.Match[str]) -> None:
        if match[1] == "quill":
            self.quill_free = False
        else:
            self.slides[SLIDES[match[1]]].locked = True

    def unlock(self, match: re.Match[str]) -> None:
        self.slides[SLIDES[match[1]]].locked = False

    def to_coordinate(self, axis: int, coordinate: float) -> None:
        slide = self.slides[axis]
        slide.push(coordinate if axis < 2 else slide.nut - (coordinate - self.tip[2]))

    def beside(self, face: str, off: float) -> float:
        return self.faces[face] + FACES_UP[face] * (off + (self.radius if face != "top" else 0.0))

    def middle(self, match: re.Match[str]) -> None:
        axis = SLIDES[match[1]]
        self.to_coordinate(axis, self.job.raw_block.centre[axis])

    def off_side(self, match: re.Match[str]) -> None:
        face = {"in front of": "front", "behind": "back", "left of": "left", "right of": "right"}[match[2]]
        self.to_coordinate(SLIDES[match[1]], self.beside(face, self.number(match[3])))

    def off_top(self, match: re.Match[str]) -> None:
        off = self.number(match[1]) * (1 if match[2] == "above" else -1)
        self.to_coordinate(2, self.beside("top", off))

    def touch(self, match: re.Match[str]) -> None:
        between = re.search(rf"(?:paper|block) {SIZE} between", match.string)
        face, axis = match[1], AXIS[match[1]]
        if axis < 2:
            assert match[2] == ("table", "saddle")[axis]
            assert COUNTS_UP[match[3]] == -FACES_UP[face], "the sheet says to wind away from the face"
        self.to_coordinate(axis, self.beside(face, self.number(between[1]) if between else 0.0))

    def zero_dial(self, match: re.Match[str]) -> None:
        slide = self.slides[SLIDES[match[1]]]
        slide.counts_from = slide.screw

    def set_dial(self, match: re.Match[str]) -> None:
        slide = self.slides[SLIDES[match[1]]]
        slide.counts_from = slide.screw - self.reading(match, slide)

    def key(self, match: re.Match[str]) -> None:
        axis = "XY".index(match[1])
        self.readout[axis] = self.slides[axis].nut - self.number(match[2])

    def wind(self, match: re.Match[str]) -> None:
        axis = SLIDES[match["slide"]]
        slide = self.slides[axis]
        way = COUNTS_UP[match["way"]]
        before = slide.screw
        if match["axis"]:
            assert axis == "XY".index(match["axis"])
            origin = self.readout[axis]
            assert origin is not None
            value = self.number(match["value"])
            self.can_be_shown(value, match.string)
            slide.push(origin + value)
        else:
            assert slide.counts_from is not None
            target = slide.counts_from + self.reading(match, slide)
            if match["back"]:
                back = COUNTS_UP[match["back"]]
                assert back == -way
                slide.turn(target - back * self.past(match["past"]) * slide.per_turn)
                way = back if way == back else way
            slide.turn(target)
        assert (slide.screw - before) * way >= -1e-9 or match["back"], "the sheet says the wrong way"
        if match["verb"] == "FEED":
            assert self.turning
            passes = {(0, 1): "right", (0, -1): "left", (1, 1): "away from", (1, -1): "towards"}
            assert passes[axis, COUNTS_UP[match["way"]]] in match.string.split("cutter passes")[1]
            if self.facing:
                self.faces["top"] = min(self.faces["top"], self.tip[2])

    def can_be_shown(self, value: float, text: str) -> None:
        """A figure of the readout, or the place where the readout turns from one figure to the next."""
        step = self.job.by_hand.readout_step
        turns = re.search(rf"as the readout turns from {SIZE} to {SIZE}", text)
        figures = [self.number(figure) for figure in turns.groups()] if turns else [value]
        assert all(abs(figure - round(figure / step) * step) < 1e-6 for figure in figures)
        assert abs(sum(figures) / len(figures) - value) < 1e-6
        assert not turns or abs(abs(figures[1] - figures[0]) - step) < 1e-6

    def knee(self, match: re.Match[str]) -> None:
        slide = self.slides[2]
        assert slide.counts_from is not None
        target = slide.counts_from + self.reading(match, slide)
        if match["past"]:
            slide.turn(target - self.past(match["past"]) * slide.per_turn)
        else:
            assert (target - slide.screw) * COUNTS_UP[match["verb"]] >= -1e-9
        slide.turn(target)

    def past(self, words: str) -> float:
        """Turns in words."""
        first = words.split(maxsplit=1)[0]
        whole = {"half": 0.0, "one": 1.0}[first] if first.isalpha() else float(first)
        return whole + (0.5 if "half" in words else 0.0)

    def free_quill(self, match: re.Match[str]) -> None:
        self.quill_free = True

    def set_stop(self, match: re.Match[str]) -> None:
        assert self.quill_free
        self.depth_stop = self.number(match[1])

    def lever(self, match: re.Match[str]) -> None:
        """Down and up again; what holds the work's place must be locked."""
        assert self.turning
        assert self.quill_free
        assert all(slide.locked for slide in self.slides)
        x, y, z = self.tip
        down = self.number(match["to"]) if match["to"] else self.depth_stop
        assert down is not None
        self.holes.append((x, y, z - down))

    def shift(self, match: re.Match[str]) -> None:
        """Gears are shifted with the spindle stopped."""
        assert not self.turning
        self.neutral = match[1] == "in neutral"

    def tap(self, match: re.Match[str]) -> None:
        """Turned in as many turns as make the way from the hole to the stop."""
        assert self.neutral
        assert not self.turning
        assert self.quill_free
        assert all(slide.locked for slide in self.slides)
        assert self.depth_stop is not None
        x, y, z = self.tip
        travel = self.depth_stop - self.number(match[1])
        step = 10.0 ** -len(match[3].split(".")[1]) * (25.4 if self.job.units == "in" else 1.0)
        assert (
            abs(float(match[2]) - travel / self.number(match[3])) <= 0.05 + travel / self.number(match[3]) ** 2 * step
        )
        self.holes.append((x, y, z - self.depth_stop))

    def nothing(self, match: re.Match[str]) -> None:
        """Speed, oil, cleaning, measuring: no slide moves."""


HANDLERS = [
    (r"Put in the edge finder, (\S+) (in|mm) across", "put_in_finder"),
    (r"Put in tool (\d+),", "put_in_tool"),
    (r"Start the spindle", "start"),
    (r"Stop the spindle", "stop"),
    (r"Lock the (table|saddle|knee|quill)", "lock"),
    (r"Unlock the (table|saddle|knee)", "unlock"),
    (r"Unlock the quill", "free_quill"),
    (rf"Set the quill's depth stop to {SIZE} from the quill's upper end", "set_stop"),
    (rf"FEED the quill down (?:(?P<to>{SIZE[1:-1]}) |to its stop )by its lever", "lever"),
    (r"Put the spindle (in neutral|back in gear)", "shift"),
    (
        rf"TAP by hand: let the quill down {SIZE} until the tap is at the hole; turn it in clockwise about {SIZE} "
        rf"turns, a pitch of {SIZE} each, to the stop",
        "tap",
    ),
    (r"By eye, wind the (table|saddle) until the middle of the work is under the spindle", "middle"),
    (
        r"By eye, wind the (table|saddle) until .* is (in front of|behind|left of|right of) the work, "
        rf"its rim about {SIZE} off",
        "off_side",
    ),
    (rf"By eye, wind the knee until the tip is about {SIZE} (above|below) the top", "off_top"),
    (rf"Touch the (top|left|right|front|back).*?(?:wind the (table|saddle) ({WAYS})|raise the knee)", "touch"),
    (r"Zero the (table|saddle|knee) dial", "zero_dial"),
    (rf"Set the (table|saddle|knee) dial to {DIAL}", "set_dial"),
    (rf"Key (X|Y) {SIZE} into the readout", "key"),
    (
        rf"(?P<verb>Wind|FEED) the (?P<slide>table|saddle) (?P<way>{WAYS})"
        rf"(?: (?P<past>{PAST}) past, then back (?P<back>{WAYS}))? to (?:(?P<axis>X|Y) (?P<value>-?\d*\.?\d+)|{DIAL})",
        "wind",
    ),
    (rf"(?P<verb>Raise|Lower) the knee (?:(?P<past>{PAST}) past the setting, then raise it )?to {DIAL}", "knee"),
    (
        r"Set the spindle|Coolant o|Mist o|Drip|Cut dry|Tapping oil|Brush|Break|Measure|Take the (?:block|paper) away",
        "nothing",
    ),
]
