"""One step of the route sheet: what runs, which way it goes, what to watch, every action, every scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from handwheel.hand.actions import Feed, Start, Wind
from handwheel.hand.entries import Cells, Columns, Entry, Numbered, PassMark, Row, Subheading
from handwheel.hand.execute import Done, Execution
from handwheel.hand.expect import cutting, lubricant
from handwheel.hand.hole_words import SPINDLE_BY_HAND, TAPPED, hole_cut, hole_feed, is_tapped
from handwheel.hand.machine import State
from handwheel.hand.repair import depth_of_face, end_of_route, lines_of_side
from handwheel.hand.scales import Scales
from handwheel.hand.slides import SLIDES, slide_of
from handwheel.hand.words import SIDES, figure_of, sentence, ways
from handwheel.plan import Measuring, Plan, SideStroke, Skim, Step
from handwheel.plan.words import tool_name
from handwheel.setup import Setup
from handwheel.units import to_units

FOOT = 0.3048
"""Metres."""

HALF_AN_ANVIL = 3.25
"""A micrometer's anvils, 6.35 or 6.5 mm across, need half of that on the finished side, mm (common practice)."""


def minutes(seconds: float) -> str:
    """
    >>> minutes(45), minutes(754)
    ('1 min', '13 min')
    """
    return f"{max(1, round(seconds / 60))} min"


@dataclass(frozen=True)
class StepSheet:
    """Writes the steps of one route. ``seconds`` is the clock, by step."""

    setup: Setup
    plan: Plan
    scales: Scales
    execution: Execution
    seconds: dict[int, float]

    def entries(self, step: Step) -> Iterator[Entry]:
        """All of a step."""
        done = [one for one in self.execution.done if one.action.step == step.number]
        yield Subheading(f"STEP {step.number}: {step.title}")
        yield Row("Tool", f"{step.tool.number}, {tool_name(step.tool, self.setup.job.units)}")
        if step.cuts:
            yield Row("Speed", self._speed(step))
            yield Row("Feed", self._feed(step))
            yield Row("Cut", self._cut(step, done))
            yield Row("Lock", self._lock(step))
            yield Row("Oil", self._oil(step))
        else:
            yield Row("Speed", self._speed_uncut(done))
            yield Row("Cut", "none; each line says which way table and saddle go")
            yield Row("Lock", self._lock_uncut(done))
        yield Row("Why", step.why)
        yield Row("Hazard", self._hazard(step))
        if step.cuts:
            yield Row("Expect", self._expect(step))
        yield Row("Time", f"about {minutes(self.seconds.get(step.number, 0.0))}")
        head, before, after = self._readings(done)
        yield Columns((head, before), like=(after,))
        stroke = 0
        for one in done:
            count, what = (len(step.holes), "hole") if step.holes else (len(step.strokes), "pass")
            if one.action.stroke not in (stroke, 0) and count > 1:
                yield PassMark(f"{what} {one.action.stroke} of {count}")
            stroke = one.action.stroke
            yield Numbered(one.number, sentence(one, self.scales))
        yield Columns((after,), like=(head, before), headless=True)
        for size in step.measuring:
            yield from self._correction(step, size)
        if step is self.plan.steps[-1]:
            yield from end_of_route(self.setup, self.plan, self.scales, self.execution)

    def _speed(self, step: Step) -> str:
        speeds = step.speeds
        if is_tapped(step):
            return SPINDLE_BY_HAND
        rim = (
            f"{speeds.cutting_speed / FOOT:.0f} ft/min"
            if self.setup.job.units == "in"
            else f"{speeds.cutting_speed:.0f} m/min"
        )
        return f"{speeds.rpm:g} rev/min (calculated {speeds.calculated:.0f}); {rim} at the rim"

    def _speed_uncut(self, done: Sequence[Done]) -> str:
        """Of a step that loads or measures: what runs at a touch, and that it stands for a hand."""
        speeds = [one.after.rpm for one in done if isinstance(one.action, Start)]
        running = " and ".join(dict.fromkeys(f"{rpm:g} rev/min" for rpm in speeds))
        return f"{running} to touch off; spindle off for all else" if running else "spindle off"

    def _lock_uncut(self, done: Sequence[Done]) -> str:
        locked = [facts.name for slide, facts in SLIDES.items() if done[-1].after.screws[slide].locked]
        return f"{', '.join(locked)} at the end" if locked else "nothing at the end"

    def _feed(self, step: Step) -> str:
        speeds, slides = step.speeds, self.setup.job.by_hand.slides
        feed = to_units(speeds.feed_mm_min, self.setup.job.units)
        number = f"{feed:.1f}" if self.setup.job.units == "in" else f"{feed:.0f}"
        if step.holes:
            return hole_feed(step, number, self.scales)
        table, saddle = (60.0 * slide.per_turn / speeds.feed_mm_min for slide in (slides.x, slides.y))
        turn = f"one turn in {table:.1f} s"
        if f"{table:.1f}" != f"{saddle:.1f}":
            turn = f"one turn of the table in {table:.1f} s, of the saddle in {saddle:.1f} s"
        return f"{number} {self.setup.job.units}/min by hand: {turn}{', ' + speeds.held if speeds.held else ''}"

    def _cut(self, step: Step, done: Sequence[Done]) -> str:
        """Each pass's direction, said once where several have the same."""
        if step.holes:
            return hole_cut(step)
        said = []
        for number, stroke in enumerate(step.strokes, start=1):
            first = next((one for one in done if _is_fed(one, number)), None)
            if first is None:
                said.append("straight down")
                continue
            cutter, table = ways(first)
            if isinstance(stroke, SideStroke):
                where = f"{stroke.cutting}; cutter {SIDES[stroke.edge]} the work, passes {cutter}"
            elif stroke.purpose == "round":
                where = f"round the edge, {stroke.cutting}; the first pass goes {cutter}"
            elif isinstance(stroke, Skim):
                where = f"row, {stroke.cutting}; cutter passes {cutter}"
            else:
                where = f"within the work, {stroke.cutting}; the cutter first passes {cutter}"
            said.append(f"{where[0].upper()}{where[1:]}; table travels {table}")
        return ". ".join(dict.fromkeys(said))

    def _lock(self, step: Step) -> str:
        if step.holes:
            return "knee, and at each place table and saddle; the quill is free and goes down to its stop"
        if not step.sides:
            return "quill up; knee at depth; saddle while the table feeds, table while the saddle feeds"
        locked = "saddle" if step.sides[0].edge.axis == 1 else "table"
        return f"quill up; knee at depth; {locked} on the line of the cut"

    def _oil(self, step: Step) -> str:
        caution = cutting(self.setup.job, step.tool).caution
        return lubricant(self.setup.job, step.tool) + (f". {caution[0].upper()}{caution[1:]}" if caution else "")

    def _hazard(self, step: Step) -> str:
        if step.cutting == "climb":
            return (
                f"{step.hazard} Climb cut: the cutter pulls the work along by the backlash; "
                "drag the lock of the feeding slide, light cut, steady hand."
            )
        return step.hazard

    def _expect(self, step: Step) -> str:
        ways = cutting(self.setup.job, step.tool)
        if is_tapped(step):
            return TAPPED
        tooth = self.scales.length(step.speeds.feed_per_tooth)
        sound = "a steady hum" if step.tool.flutes > 2 else "a steady beat"
        return f"{tooth} a tooth: {ways.chips}; {sound}. Trouble: {ways.trouble}."

    def _readings(self, done: Sequence[Done]) -> tuple[Cells, Cells, Cells]:
        """The scales by name, what they show before the step, and after it."""
        readout = ("X", "Y") if self.setup.job.by_hand.readout_step else ()
        return (
            ("Scales", "knee", "table", "saddle", *readout),
            ("Before", *self._shown(done[0].before)),
            ("After", *self._shown(done[-1].after)),
        )

    def _shown(self, state: State) -> list[str]:
        dials = [self.scales.short_dial(slide, state.shown(slide)) for slide in ("knee", "x", "y")]
        if self.setup.job.by_hand.readout_step:
            dials += [self.scales.readout(state.read("x")), self.scales.readout(state.read("y"))]
        return dials

    def _correction(self, step: Step, size: Measuring) -> Iterator[Entry]:
        length = self.scales.length
        following = self.plan.steps[step.number].kind if step.number < len(self.plan.steps) else ""
        if size.gauge == "micrometer" and following != "face":
            yield Row("Anvils", self._anvils(step))
        yield Row("Limits", f"{size.dimension} ends between {length(size.lower)} and {length(size.upper)}")
        yield Row(
            "Correct",
            f"measured __________ - wanted {length(size.wanted)} = move __________ {self.setup.job.units} "
            "(plus: more to cut)",
        )
        last = next((one for one in self.plan.steps if one.number > step.number and one.strokes), None)
        if last is not None and last.kind == "face":
            knee = depth_of_face(self.execution, last)
            assert isinstance(knee.action, Wind)
            setting = figure_of(knee.action, self.scales)
            yield Row(
                "",
                f"step {last.number}, line {knee.number}: {setting} + move = __________{self._on_the_dial(knee.action)}"
                "; zero the dial after that cut as the sheet says",
            )
        if last is not None and last.sides:
            lines = lines_of_side(self.execution, last)
            first = lines[0].action
            assert isinstance(first, Wind)
            where = ", ".join(str(one.number) for one in lines)
            sign = "+" if last.sides[0].edge in ("left", "front") else "-"
            figure = figure_of(first, self.scales)
            yield Row(
                "",
                f"step {last.number}, line{'s' if len(lines) > 1 else ''} {where}: {figure} {sign} move = __________ "
                f"{self.setup.job.units}{self._on_the_dial(first)}",
            )

    def _on_the_dial(self, action: Wind) -> str:
        """Blanks for a figure as its dial counts it; a readout shows it as it is."""
        if action.on == "readout":
            return ""
        line = self.scales.whole(slide_of(self.setup.job.by_hand, action.slide).graduation)
        return f" = ______ turns + ______ lines of {line}"

    def _anvils(self, step: Step) -> str:
        """Whether a micrometer finds enough of the side that was cut last."""
        cut = next(one for one in reversed(self.plan.steps[: step.number - 1]) if one.strokes)
        height = self.setup.finished_top - min(stroke.level for stroke in cut.strokes)
        if height < HALF_AN_ANVIL:
            return f"only {self.scales.length(height)} of side for them: take the work out, deburr, measure, re-seat"
        return f"on the {self.scales.length(height)} of cut side, square to it"


def _is_fed(one: Done, stroke: int) -> bool:
    """Whether table or saddle is fed in that stroke."""
    return isinstance(one.action, Feed) and one.action.stroke == stroke and one.action.slide != "knee"
