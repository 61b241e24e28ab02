"""An operator who does literally what a machine card says, row by row, on the mill of the literal operator.

He knows what the card's head says: a slide is freed before it is wound, a star is a setting that is passed and come
back to, a hole is come to on the dials as its note says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from literal_operator import (
    AXIS,
    COUNTS_UP,
    FACES_UP,
    FINDER_LENGTH,
    PAST,
    SIZE,
    SLIDES,
    WAYS,
    LiteralOperator,
    fraction,
)

from handwheel.job import Job
from handwheel.setup import Setup

Point3 = tuple[float, float, float]
SETTING = (
    rf"(?:(?P<axis>X|Y) (?P<value>{SIZE[1:-1]})|(?P<slide>table|saddle|knee) (?P<turns>-?\d+) t \+ (?P<shown>[\d.]+)"
    r"(?P<past>\*?))(?P<lock> LOCK)?"
)


TABLE = r"^  TABLE (\w+): FEED one after the other\n(.*?)(?:\n\n|\Z)"


@dataclass(frozen=True)
class Cut:
    """A feed: where the tip was, and where it came to; the row it stands in."""

    row: int
    start: Point3
    end: Point3


class LiteralCardOperator(LiteralOperator):
    """Follows a card; ``cuts`` and ``holes`` hold what came of it."""

    def __init__(self, job: Job, setup: Setup) -> None:
        super().__init__(job)
        raw = setup.raw
        for slide, at in zip(self.slides, (raw.centre[0], raw.centre[1]), strict=False):
            slide.nut = slide.screw = at
        self.faces = {
            "left": raw.low[0],
            "right": raw.high[0],
            "front": raw.low[1],
            "back": raw.high[1],
            "top": raw.high[2],
        }
        self.middle_of_work = raw.centre
        self.cuts: list[Cut] = []
        self.row = 0
        self.pecks: list[str] = []
        self.taps = False

    def follow_card(self, text: str) -> None:
        """Every row of the card, in order of their numbers."""
        self.places = {}
        holes = re.search(r"^  Holes(.*?)^(?=\n)", text, re.MULTILINE | re.DOTALL)
        if holes:
            for letter, x, y in re.findall(
                r"(?<!\S)([A-Z]+): ([^,]+), (.*?)(?=\s+[A-Z]+: |\s+At each hole|\s*$)", one_line(holes[1])
            ):
                self.places[letter] = (x.strip(), y.strip())
        note = re.search(rf"come back: the table ({WAYS}), the saddle ({WAYS})", one_line(text))
        self.ends = [COUNTS_UP[way] for way in note.groups()] if note else None
        star = re.search(rf"\(table ({PAST}), saddle ({PAST})\)", one_line(text))
        knee = re.search(rf"knee down ({PAST}) and up again", one_line(text))
        self.turns_past = [self.past(words) for words in star.groups()] if star else [0.0, 0.0]
        self.turns_past.append(self.past(knee[1]) if knee else 0.0)
        self.ways = {
            name: re.findall(rf"\d+\. ({SETTING}) \[ \]", one_line(table))
            for name, table in re.findall(TABLE, text, re.MULTILINE | re.DOTALL)
        }
        rows: list[str] = []
        for line in text.splitlines():
            if re.match(r"\s{0,3}\d+  \S", line):
                rows.append(line.strip())
            elif rows and re.match(r"\s{6}\S", line) and not re.match(r"\s{7}", line):
                rows[-1] += " " + line.strip()
        for expected, row in enumerate(rows, start=1):
            number, body = row.split("  ", 1)
            assert int(number) == expected
            assert body.endswith("[ ]"), "a row without a box to tick"
            self.row = expected
            what, _, doing = body.removesuffix("[ ]").rpartition(" | ")
            self.facing = "the top" in what
            for phrase in doing.split("; "):
                self.do_phrase(phrase.strip())

    def do_phrase(self, phrase: str) -> None:
        for pattern, method in PHRASES:
            match = re.fullmatch(pattern, phrase)
            if match:
                getattr(self, method)(match)
                return
        raise AssertionError(f"row {self.row}: an operator would not know what to do: {phrase}")

    def set_slide(self, match: re.Match[str]) -> None:
        axis = self.go(match)
        self.slides[axis].locked = bool(match["lock"])

    def go(self, match: re.Match[str]) -> int:
        if match["axis"]:
            axis = "XY".index(match["axis"])
            self.slides[axis].locked = False
            origin = self.readout[axis]
            assert origin is not None
            self.slides[axis].push(origin + self.number(match["value"]))
            return axis
        axis = SLIDES[match["slide"]]
        slide = self.slides[axis]
        slide.locked = False
        assert slide.counts_from is not None
        assert 0 <= float(match["shown"]) * slide.graduation < slide.per_turn
        target = slide.counts_from + int(match["turns"]) * slide.per_turn + float(match["shown"]) * slide.graduation
        if match["past"]:
            back = self.ends[axis] if axis < 2 and self.ends else 1
            slide.turn(target - back * self.turns_past[axis] * slide.per_turn)
        slide.turn(target)
        return axis

    def feed(self, match: re.Match[str]) -> None:
        assert self.turning
        before = self.tip
        axis = SLIDES[match["slide"]] if match["slide"] else "XY".index(match["axis"])
        assert axis == 2 or self.slides[2].locked, f"row {self.row}: the knee is loose in a cut"
        self.set_slide(match)
        self.cuts.append(Cut(self.row, before, self.tip))
        if self.facing:
            self.faces["top"] = min(self.faces["top"], self.tip[2])

    def feed_by_table(self, match: re.Match[str]) -> None:
        for setting in self.ways[match[1]]:
            self.do_phrase(f"FEED {setting[0]}")

    def touch_face(self, match: re.Match[str]) -> None:
        face = match["face"]
        axis = AXIS[face]
        if axis < 2:
            assert match["slide"] == ("table", "saddle")[axis]
            assert COUNTS_UP[match["way"]] == -FACES_UP[face]
        self.slides[axis].locked = False
        self.to_coordinate(axis, self.beside(face, self.number(match["size"]) if match["size"] else 0.0))

    def finder(self, match: re.Match[str]) -> None:
        assert not self.turning
        self.length, self.radius = FINDER_LENGTH, fraction(match[1]) * (12.7 if match[2] == "in" else 0.5)

    def tool(self, match: re.Match[str]) -> None:
        self.put_in_tool(match)

    def dial(self, match: re.Match[str]) -> None:
        slide = self.slides[SLIDES[match[1]]]
        slide.counts_from = slide.screw - int(match[3] or 0) * slide.per_turn - float(match[2]) * slide.graduation

    def key_in(self, match: re.Match[str]) -> None:
        self.key(match)

    def to_middle(self, match: re.Match[str]) -> None:
        axis = SLIDES[match[1]]
        self.slides[axis].locked = False
        self.to_coordinate(axis, self.middle_of_work[axis])

    def off(self, match: re.Match[str]) -> None:
        self.slides[SLIDES[match[1]]].locked = False
        self.off_side(match)

    def above(self, match: re.Match[str]) -> None:
        self.slides[2].locked = False
        self.off_top(match)

    def lock_slide(self, match: re.Match[str]) -> None:
        self.lock(match)

    def depth_stop_at(self, match: re.Match[str]) -> None:
        assert not self.turning or self.row
        self.set_stop(match)

    def make_holes(self, match: re.Match[str]) -> None:
        """Each place as the table of holes has it; pecks where they are said once or behind the letter."""
        for letter, pecks in re.findall(r"([A-Z]+)(?: \((.*?)\))? \[ \]", match.string):
            for axis, place in enumerate(self.places[letter]):
                setting = re.fullmatch(SETTING, place)
                assert setting
                if self.ends and not setting["axis"]:
                    setting = re.fullmatch(SETTING, f"{place}*")
                    assert setting
                self.go(setting)
                self.slides[axis].locked = True
            assert self.neutral if self.taps else self.turning
            assert self.quill_free
            assert self.slides[2].locked
            x, y, z = self.tip
            for depth in re.findall(SIZE, pecks.split(",")[0]) if pecks else self.pecks:
                self.holes.append((x, y, z - self.number(depth)))
            self.holes.append((x, y, z - self.depth_stop))
        self.pecks, self.taps = [], False

    def tap_by_hand(self, match: re.Match[str]) -> None:
        assert self.neutral
        assert not self.turning
        self.taps = True

    def shift_gear(self, match: re.Match[str]) -> None:
        assert not self.turning
        self.neutral = bool(match[1])

    def peck(self, match: re.Match[str]) -> None:
        self.pecks = match[1].split()


def one_line(text: str) -> str:
    return " ".join(text.split())


PHRASES = [
    (rf"FEED {SETTING}", "feed"),
    (r"FEED by table (\w+)", "feed_by_table"),
    (SETTING, "set_slide"),
    (r"put in the edge finder, (\S+) (in|mm)", "finder"),
    (r"put in T(\d+), drawbar tight", "tool"),
    (r"START [\d.]+", "start"),
    (r"STOP|spindle off", "stop"),
    (
        rf"touch the (?P<face>\w+): (?:(?P<slide>table|saddle) (?P<way>{WAYS})|knee up) until "
        rf"(?:the cutter marks it|it kicks out|"
        rf"(?:paper|block) (?P<size>{SIZE[1:-1]}) .*)",
        "touch_face",
    ),
    (r"(table|saddle|knee) dial to ([\d.]+)(?: \(turn (-?\d+)\))?", "dial"),
    (rf"key (X|Y) {SIZE}", "key_in"),
    (r"(table|saddle) to mid-work", "to_middle"),
    (rf"(table|saddle) to (in front of|behind|left of|right of) the work, {SIZE} off", "off"),
    (rf"tip about {SIZE} (above|below) top", "above"),
    (r"(quill) fully up LOCK", "lock_slide"),
    (r"LOCK (table|saddle|knee)", "lock_slide"),
    (r"quill free", "free_quill"),
    (rf"quill stop {SIZE}", "depth_stop_at"),
    (r"pecks at ([\d. ]+), brush after each", "peck"),
    (r"holes .*", "make_holes"),
    (r"spindle (in) NEUTRAL|back in gear", "shift_gear"),
    (rf"TAP BY HAND: quill down {SIZE} to the hole, about {SIZE} turns in to the stop, .*", "tap_by_hand"),
    (
        r"mist o.*|coolant o.*|tapping oil|brush|deburr.*|measure .*|(?:paper|block) away|spindle off: does .*|"
        r"out at the same feed, spindle turning|"
        r".* clean|.* face on the fixed jaw, .*|stop (?:left|right).*|rod .*|clamp, seat, .*|vise handle off|"
        r"depth rod .*|off by more than .*: stop|.* _+ \(.* to .*\)|undersize: .*|unclamp|clean the vise|"
        r"take the part out|turn it: .*",
        "nothing",
    ),
]
