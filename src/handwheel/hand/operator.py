"""The operator at the mill: every setting is worked out from what the mill shows at that moment, and is kept as an
action with the number that dial or readout can show."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

from handwheel.hand.actions import Act, Action, Feed, FeedPast, Lock, Oil, SetSpeed, Start, Stop, Unlock, Wind
from handwheel.hand.expect import TURNED_OFF, lubricant
from handwheel.hand.machine import State, apply, mill_and_state
from handwheel.hand.slides import SLIDES, SlideName, on_dial, on_step, slide_of
from handwheel.motion import Tool
from handwheel.path.face import Face
from handwheel.plan import SideStroke
from handwheel.plan.strokes import gap
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

CrossSlide = Literal["x", "y"]
Point2 = tuple[float, float]


class Operator:
    """Works on the mill as it should be; ``actions`` collects what was done.

    ``level`` is the Z of the cut that the knee stands at (``None``: lowered clear of the work); ``ends`` the way in
    which each slide's settings end on its dial: as at its touch-off, raising for the knee.
    """

    def __init__(self, setup: Setup) -> None:
        self.setup, self.job = setup, setup.job
        self.stick_out = setup.stick_out
        self.gap = gap(setup)
        self.clearance = self.gap + setup.job.stock.tolerance
        self.mill, self.state = mill_and_state(setup)
        self.actions: list[Action] = []
        self.step = 0
        self.stroke = 0
        self.level: float | None = None
        self.ends: dict[SlideName, Literal[-1, 1]] = {"x": 1, "y": 1, "knee": 1}
        self.last_fed: CrossSlide | None = None
        self._cuts: list[SideStroke] = []
        self._coolant_on = False

    # what is done ------------------------------------------------------------------------------------------------

    def do(self, kind: type[Act], **values: Any) -> State:
        """One action of this kind in the step at hand; gives the state after it."""
        action: Any = kind(step=self.step, stroke=self.stroke, **values)
        self.state, _ = apply(self.mill, self.state, action)
        self.actions.append(action)
        return self.state

    def hold(self, slide: SlideName) -> None:
        """Lock a slide that is not locked."""
        if not self.state.screws[slide].locked:
            self.do(Lock, slide=slide)

    def free(self, slide: SlideName) -> None:
        """Unlock a slide that is locked."""
        if self.state.screws[slide].locked:
            self.do(Unlock, slide=slide)

    def still(self) -> None:
        """Stop a turning spindle, and the coolant."""
        if self.state.turning:
            self.do(Stop)
            if self._coolant_on:
                self.do(Oil, with_=TURNED_OFF[self.job.coolant])
                self._coolant_on = False

    def run(self, rpm: float) -> bool:
        """The spindle turning at that speed; whether it had to be started."""
        if self.state.rpm != rpm:
            self.still()
            self.do(SetSpeed, rpm=rpm)
        if self.state.turning:
            return False
        self.do(Start)
        return True

    def run_to_cut(self, rpm: float, tool: Tool) -> None:
        """The spindle turning at that speed, oil or coolant on the cut."""
        if self.run(rpm):
            self.do(Oil, with_=lubricant(self.job, tool))
            self._coolant_on = self.job.coolant in TURNED_OFF

    # settings ----------------------------------------------------------------------------------------------------

    def has_reading(self, slide: SlideName) -> bool:
        """Whether a coordinate can be set on that slide by now."""
        if self._by_readout(slide):
            return self.state.read(slide) is not None
        return self.state.shown(slide) is not None

    def wind(self, slide: SlideName, coordinate: float, *, exact: bool = False, leaving: int = 0) -> None:
        """Set a slide so that the tip (the centre, for the sides) stands at a coordinate of the job's frame.

        ``exact`` settings end in the slide's own direction; ``leaving`` 1 or −1 is the way along the axis in which a
        rounded setting leaves metal. Such a setting is split to half a step of its scale, so that it leaves no more.
        """
        ends = self.ends[slide] if exact else 0
        figure = self._figure(slide, coordinate, ends or self._counts(slide, coordinate), leaving)
        action = Wind(step=self.step, stroke=self.stroke, **figure, ends=ends if figure["on"] == "dial" else 0)
        freed = self._freed(slide)
        after, _ = apply(self.mill, freed, action)
        if after.screws[slide].turned != freed.screws[slide].turned or after.tip != freed.tip:
            self.free(slide)
            self.state = apply(self.mill, self.state, action)[0]
            self.actions.append(action)

    def has_brought(self, slide: SlideName) -> bool:
        """Whether the slide was ever wound anywhere."""
        return any(getattr(action, "slide", None) == slide for action in self.actions)

    def feed(self, slide: CrossSlide, coordinate: float, feed: float, leaves: Face) -> None:
        """Feed along a slide past a face to a coordinate, the other slide and the knee locked.

        A cut never turns back: its setting is for the way that it goes, the backlash taken up on that side.
        """
        self.hold(across(slide))
        self.free(slide)
        setting = self._figure(slide, coordinate, self._counts(slide, coordinate), 0)
        self.do(FeedPast, **setting, feed_mm_min=feed, leaves=leaves)
        self.last_fed = slide

    def feed_within(self, slide: CrossSlide, coordinate: float, feed: float, leaving: int, *, lock: bool) -> None:
        """The same within the work; nothing is done where the setting is reached already. Round an arc, setting by
        setting, neither slide is locked, and no step of a scale is split."""
        setting = self._figure(slide, coordinate, self._counts(slide, coordinate), leaving, split=lock)
        action = Feed(step=self.step, stroke=self.stroke, **setting, feed_mm_min=feed)
        freed = self._freed(slide)
        if apply(self.mill, freed, action)[0].tip == freed.tip:
            return
        (self.hold if lock else self.free)(across(slide))
        self.free(slide)
        self.do(Feed, **setting, feed_mm_min=feed)
        self.last_fed = slide

    def feed_up(self, level: float, feed: float) -> None:
        """Feed the knee up to the level of a cut, never deeper, table and saddle locked."""
        slides: tuple[CrossSlide, ...] = ("x", "y")
        for slide in slides:
            self.hold(slide)
        self.free("knee")
        setting = self._figure("knee", level, 1, 1)
        self.do(Feed, **setting, feed_mm_min=feed)
        self.level = level
        self.hold("knee")

    def lower(self, above: float | None = None) -> None:
        """Lower the knee until the tip clears the raw top by the gap, or by ``above``."""
        self.wind("knee", self.setup.raw.high[2] + (self.clearance if above is None else above))
        self.level = None

    def raise_to(self, level: float) -> None:
        """Raise the knee to the level of a cut, never deeper, and lock it."""
        if self.level is None or abs(self.level - level) > CONTACT:
            self.wind("knee", level, exact=True, leaving=1)
            self.level = level
        self.hold("knee")

    def preset_for(self, coordinate: float) -> float:
        """The number nearest to a coordinate that the readout can hold, mm."""
        return on_step(coordinate, self.mill.readout_step, 0)

    def ring_for(self, slide: SlideName, reading: float) -> float:
        """The nearest reading that a dial's ring can be turned to, mm: a half graduation is split by eye."""
        facts = slide_of(self.mill, slide)
        return on_dial(reading, facts.per_turn, facts.graduation / 2, 0)

    def _counts(self, slide: SlideName, coordinate: float) -> Literal[-1, 1]:
        """Which way the dial counts on the straight way to a coordinate."""
        facts = SLIDES[slide]
        return 1 if (coordinate - self.state.tip[facts.axis]) * facts.sign > 0 else -1

    def _by_readout(self, slide: SlideName) -> bool:
        return bool(self.mill.readout_step) and slide in ("x", "y")

    def _figure(
        self, slide: SlideName, coordinate: float, ends: int, leaving: int, *, split: bool = True
    ) -> dict[str, Any]:
        """What dial or readout shows at a coordinate that is come to with the dial counting ``ends``, 1 or −1."""
        facts, screw = SLIDES[slide], self.state.screws[slide]
        parts = 2 if leaving and split else 1
        by = coordinate - self.state.tip[facts.axis]
        if self._by_readout(slide):
            read = self.state.read(slide)
            if read is None:
                raise ValueError(f"nothing was touched off for the {facts.name}")
            to = on_step(read + by, self.mill.readout_step / parts, leaving)
            return {"slide": slide, "to": to, "on": "readout"}
        if screw.zero is None:
            raise ValueError(f"nothing was touched off for the {facts.name}")
        values = slide_of(self.mill, slide)
        turned = screw.at + facts.sign * by - (values.backlash if ends < 0 else 0.0)
        to = on_dial(turned - screw.zero, values.per_turn, values.graduation / parts, leaving * facts.sign)
        return {"slide": slide, "to": to, "on": "dial"}

    def _freed(self, slide: SlideName) -> State:
        screw = replace(self.state.screws[slide], locked=False)
        return replace(self.state, screws={**self.state.screws, slide: screw})

    # ways --------------------------------------------------------------------------------------------------------

    def travel(self, start: Point2, along: CrossSlide, level: float, leaving: int = 0) -> None:
        """To the start of a stroke along a slide: past the work at the level where there is a way, else with the knee
        lowered; the other slide set and locked, the knee raised to the level and locked."""
        cross = across(along)
        to: dict[SlideName, float] = {"x": start[0], "y": start[1]}
        if self.level is not None and not self._is_free(start, (along, cross)):
            if self._is_free(start, (cross, along)):
                self.wind(cross, to[cross])
            else:
                self.lower()
        self.wind(along, to[along])
        self.wind(cross, to[cross], exact=True, leaving=leaving)
        self.hold(cross)
        self.raise_to(level)

    def has_cut(self, stroke: SideStroke) -> None:
        """Remember that a side was cut, so that the way back is known."""
        self._cuts.append(stroke)

    def back_off(self, face: Face) -> None:
        """Off a face just cut, by the gap: beside the raw face too, where that is no further than up over the work."""
        cross: CrossSlide = "x" if face.axis == 0 else "y"
        axis, outwards, raw = SLIDES[cross].axis, face.outwards, self.setup.raw
        at = self.state.tip
        off = outwards * at[axis] + self.gap
        beside = outwards * (raw.high if outwards > 0 else raw.low)[axis] + self.state.radius + self.gap
        over = raw.high[2] + self.clearance - at[2]
        self.wind(cross, outwards * (max(off, beside) if beside - off <= over else off))

    def _is_free(self, to: Point2, order: tuple[CrossSlide, CrossSlide]) -> bool:
        """Whether the cutter passes the standing work on its way, one slide after the other, with room to spare."""
        if self.level is None:
            return True
        low, high = self._standing(self.level)
        room = self.state.radius + self.gap / 2
        at = list(self.state.tip[:2])
        for slide in order:
            axis = SLIDES[slide].axis
            before = list(at)
            at[axis] = to[axis]
            beside = any(
                max(before[k], at[k]) + room <= low[k] or min(before[k], at[k]) - room >= high[k] for k in (0, 1)
            )
            if not beside:
                return False
        return True

    def _standing(self, level: float) -> tuple[Point2, Point2]:
        """What of the work's outline still stands at a level: a floor that lies no deeper would be rubbed."""
        raw = self.setup.raw
        faces: dict[Face, float] = {
            Face.LEFT: raw.low[0],
            Face.RIGHT: raw.high[0],
            Face.FRONT: raw.low[1],
            Face.BACK: raw.high[1],
        }
        for stroke in self._cuts:
            if stroke.level <= level - self.gap:
                outwards = stroke.edge.outwards
                faces[stroke.edge] = outwards * min(outwards * faces[stroke.edge], outwards * stroke.to)
        return (faces[Face.LEFT], faces[Face.FRONT]), (faces[Face.RIGHT], faces[Face.BACK])


def across(slide: CrossSlide) -> CrossSlide:
    """The other of table and saddle."""
    return "y" if slide == "x" else "x"
