"""A film of one route, frame by frame: what stands still is drawn once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from handwheel.cut.display import display_grid
from handwheel.hand import execute
from handwheel.hand.scales import Scales
from handwheel.hand.words import sentence
from handwheel.motion import Kind, Side
from handwheel.path.profile import Floats
from handwheel.plan import Route, plan
from handwheel.plan.words import tool_name
from handwheel.proof.comparison import BothWays
from handwheel.show.animation import panel
from handwheel.show.animation.flat import End, Plan
from handwheel.show.animation.layout import Layout
from handwheel.show.animation.lettering import length, write
from handwheel.show.animation.options import Options
from handwheel.show.animation.palette import FAINT, INK, PAPER, RAW, full, hue_of
from handwheel.show.animation.pictorial import Body, Pictorial
from handwheel.show.animation.routes import blocks, by_clock
from handwheel.show.animation.schedule import Instant, instants
from handwheel.show.animation.trail import Trail
from handwheel.show.draw.passes import steps_that_cut
from handwheel.show.page.timeline import Span, finders
from handwheel.units import program_number, shop_number, to_units

Frame = NDArray[np.uint8]
Tell = Callable[[int, int], object]

REACH: Final = 0.45
"""Of the widest cutter's diameter: so much is seen round the work from above."""
CELLS: Final = 150_000
"""Of the metal: small enough that a finishing cut takes a row of them."""
TURNS_A_FRAME: Final = 0.085
"""So far a turning cutter is seen to go on from frame to frame; its real speed could not be seen."""


def frames(ways: Sequence[BothWays], route: Route, options: Options, tell: Tell | None = None) -> Iterator[Frame]:
    """The frames in order, (height, width) indices of the palette.

    Parameters
    ----------
    ways : every set-up, made both ways
    route : which of the two is shown
    tell : called with the number of frames done and of all, for a progress bar
    """
    done = 0
    for both, count in zip(ways, shared_out(options.count, ways, route), strict=True):
        film = Film(both, route, options, count)
        for index in range(count):
            yield film.frame(index)
            done += 1
            if tell is not None:
                tell(done, options.count)


def shared_out(count: int, ways: Sequence[BothWays], route: Route) -> list[int]:
    """How many frames each set-up has: by how many moves there are to see, one at least."""
    moves = [max(1, len((one.by_hand if route is Route.BY_HAND else one.by_program).tip)) for one in ways]
    shares = [max(1, count * one // sum(moves)) for one in moves]
    shares[-1] = max(1, count - sum(shares[:-1]))
    return shares


class Film:
    """All that the frames of a film share."""

    def __init__(self, both: BothWays, route: Route, options: Options, count: int) -> None:
        setup = both.setup
        self._setup, self._job = setup, setup.job
        self._by_hand = route == Route.BY_HAND
        self._layout = Layout(*options.size)
        self._proof = both.by_hand if self._by_hand else both.by_program
        self._execution = execute(setup, both.actions)
        of_lines = blocks(both.text)
        self._blocks = list(of_lines.values())
        self._block_of = {line: index for index, line in enumerate(of_lines)}
        hand, program = by_clock(both)
        self._spans, other = (hand, program) if self._by_hand else (program, hand)
        self.instants = instants(self._spans, other, self._proof.tip, count)
        self._drops = display_grid(self._proof.part, CELLS, setup=len(self._proof.part.cuts) - 1)
        self._titles = {step.number: step.title for step in plan(setup, route).steps}
        cutting = steps_that_cut(both.by_hand.tip) | steps_that_cut(both.by_program.tip)
        self._hues = {step: hue_of(order) for order, step in enumerate(sorted(cutting))}
        self._move_hue = np.array([self._hues.get(step, RAW) for step in self._proof.tip.step.tolist()], dtype=np.uint8)
        self._finders = finders(setup)
        reach = max((tool.diameter for tool in self._job.tools), default=10.0) * REACH
        grid = self._drops.grid
        self._plan = Plan(self._layout.plan, setup, grid, reach)
        self._end = End(self._layout.end, setup, grid, setup.raw.high[2] + setup.clear)
        where = self._layout.pictorial
        self._pictorial = Pictorial(grid, where.rows, where.columns)
        self._standing = self._drawn_once()
        self._trail = Trail(self._plan)

    @property
    def steps_shown(self) -> tuple[int, ...]:
        """The step that each frame shows; 0 where there is none."""
        return tuple(self._spans[one.span].step if one.span >= 0 else 0 for one in self.instants)

    def frame(self, index: int) -> Frame:
        """One frame; they are made in order, for the cutter's trail."""
        instant = self.instants[index]
        canvas = self._standing.copy()
        span = self._spans[instant.span] if instant.span >= 0 else _NOTHING
        z, hue = self.metal(instant)
        tip = self._tip(span, instant.share)
        self._show_views(canvas, instant, span, z, hue, tip, index * TURNS_A_FRAME)
        self._write_panel(canvas, instant, span, tip)
        return canvas

    def metal(self, instant: Instant) -> tuple[Floats, Frame]:
        """Heights and hues of the display cells at an instant, (ny, nx)."""
        drops = self._drops
        hue = np.zeros(drops.grid.top.shape, dtype=np.uint8)
        if instant.move < 0:
            return drops.grid.top, hue
        begun = (drops.move < instant.move) | ((drops.move == instant.move) & (drops.begins <= instant.done))
        # of several drops of a cell the last one counts
        hue.ravel()[drops.cell[begun]] = self._move_hue[drops.move[begun]]
        return drops.at(instant.move, instant.done), hue

    def _tip(self, span: Span, share: float) -> Floats:
        return self._proof.tip.at(span.row, share) if span.row >= 0 else np.array(span.at)

    def _drawn_once(self) -> Frame:
        layout = self._layout
        image = Image.new("L", (layout.width, layout.height), PAPER)
        for view in (self._plan, self._end):
            part = Image.new("L", (view.window.columns, view.window.rows), PAPER)
            view.draw_standing(ImageDraw.Draw(part), self._setup)
            image.paste(part, (view.window.left, view.window.top))
        draw = ImageDraw.Draw(image)
        for y in (4.6, 28.95, 31.7):
            draw.line(((0, y * layout.unit), (layout.width, y * layout.unit)), fill=INK)
        draw.line(((0.53 * layout.width, 4.6 * layout.unit), (0.53 * layout.width, 28.95 * layout.unit)), fill=FAINT)
        draw.line(((0.53 * layout.width, 16.75 * layout.unit), (layout.width, 16.75 * layout.unit)), fill=FAINT)
        canvas = np.array(image)
        shaded, plan, end = layout.pictorial, layout.plan, layout.end
        for window, down, name in (
            # the cutter comes into the shaded picture from above: its name stands below
            (shaded, shaded.rows - 0.6 * layout.unit, "from the front and the right"),
            (plan, 1.4 * layout.unit, "from above"),
            (end, 1.4 * layout.unit, "along the jaws"),
        ):
            left, base = window.left + 0.4 * layout.unit, window.top + down
            # lines give way to lettering
            end_of_name = round(left + length(name, layout.unit) + 0.4 * layout.unit)
            canvas[round(base - 1.2 * layout.unit) : round(base + 0.4 * layout.unit), round(left) : end_of_name] = PAPER
            write(canvas, (left, base), name, layout.unit)
        return canvas

    def _show_views(
        self, canvas: Frame, instant: Instant, span: Span, z: Floats, hue: Frame, tip: Floats, phase: float
    ) -> None:
        body = self._body(span.tool)
        phase = phase if span.rpm else 0.0
        picture, away = self._pictorial.picture(z, hue)
        if body is not None:
            self._pictorial.add_cutter(picture, away, tip, body, phase)
        place = canvas[self._layout.pictorial.slices]
        np.copyto(place, picture, where=picture != PAPER)
        for view in (self._plan, self._end):
            place = canvas[view.window.slices]
            view.show(place, z, hue)
            if view is self._plan:
                self._trail.follow(self._proof.tip, span, instant, full(self._hues.get(span.step, RAW)))
                self._trail.show(place)
            if body is None:
                continue
            image = Image.fromarray(np.ascontiguousarray(place))
            draw = ImageDraw.Draw(image)
            if isinstance(view, End):
                view.draw_cutter(draw, tip, self._setup.tools.get(span.tool), body, phase)
            else:
                view.draw_cutter(draw, tip, body, phase)
            place[:] = np.asarray(image)

    def _body(self, tool: int) -> Body | None:
        if tool in self._finders:
            return Body(self._finders[tool], 25.0, 0)
        if tool not in self._setup.tools:
            return None
        shown = self._setup.tools[tool]
        return Body(shown.diameter, shown.flute_length, shown.flutes)

    def _write_panel(self, canvas: Frame, instant: Instant, span: Span, tip: Floats) -> None:
        layout, job = self._layout, self._job
        image = Image.fromarray(canvas)
        draw = ImageDraw.Draw(image)
        lettering = np.zeros_like(canvas)
        panel.write_caption(lettering, layout, span.step, self._titles.get(span.step, job.title))
        clocks = (instant.clock, instant.other_clock) if self._by_hand else (instant.other_clock, instant.clock)
        panel.write_clocks(lettering, layout, *clocks)
        panel.draw_steps(draw, lettering, layout, sorted(self._titles), self._hues, span.step)
        below = self._held(span)
        self._write_rates(lettering, span)
        if self._by_hand:
            if span.line:
                done = self._execution.done[span.line - 1]
                panel.write_action(lettering, layout, span.line, sentence(done, Scales(job)), below)
            panel.draw_dials(draw, lettering, layout, job, self._scales(span, instant.share)[:3])
            if job.by_hand.readout_step:
                x, y = self._scales(span, instant.share)[3:]
                scales = Scales(job)
                panel.write_readout(lettering, layout, (("X", scales.readout(x)), ("Y", scales.readout(y))))
        else:
            panel.write_blocks(draw, lettering, layout, self._blocks, self._block_of.get(span.line, -2), below)
            figures = [
                (name, program_number(value, job.units)) for name, value in zip("XYZ", tip.tolist(), strict=True)
            ]
            panel.write_readout(lettering, layout, figures)
        np.maximum(np.asarray(image), lettering, out=canvas, where=lettering > 0)
        np.copyto(canvas, np.asarray(image), where=lettering == 0)

    def _held(self, span: Span) -> str:
        if span.tool in self._finders:
            return f"edge finder, {shop_number(self._finders[span.tool], self._job.units)}"
        if span.tool in self._setup.tools:
            return f"tool {span.tool}, {tool_name(self._setup.tools[span.tool], self._job.units)}"
        return "spindle empty"

    def _write_rates(self, lettering: Frame, span: Span) -> None:
        """What turns, what feeds, and on which side the control keeps the cutter."""
        layout = self._layout
        speed = f"{span.rpm:g} rev/min" if span.rpm else "spindle off"
        if self._by_hand:
            lines = [(layout.readout_left, 7.2, speed)]
        else:
            x = layout.dials_left + 2.0 * layout.unit
            lines = [(x, 1.8, self._rate(span)), (x, 4.1, speed), (x, 6.4, self._kept(span))]
        for left, down, text in lines:
            write(lettering, (left, layout.panel_top + down * layout.unit), text, layout.unit)

    def _rate(self, span: Span) -> str:
        tip = self._proof.tip
        if span.row < 0 or tip.kind[span.row] == Kind.DWELL:
            return "axes stand"
        if tip.kind[span.row] == Kind.RAPID:
            return "rapid"
        feed = to_units(float(tip.feed[span.row]), self._job.units)
        return f"feed {feed:.4g} {self._job.units}/min"

    def _kept(self, span: Span) -> str:
        if span.row < 0:
            return ""
        modal = self._proof.tip.modals[self._proof.tip.modal[span.row]]
        if modal.side is Side.OFF:
            return "path of the cutter's center"
        slot = "" if modal.diameter_slot is None else f", D{modal.diameter_slot}"
        return f"cutter {modal.side.name.lower()} of the path{slot}"

    def _scales(self, span: Span, share: float) -> tuple[float | None, ...]:
        """What dials and readout show within a span."""
        if span.before is None or span.after is None:
            return (None,) * 5
        return tuple(
            new if old is None or new is None else old + share * (new - old)
            for old, new in zip(span.before, span.after, strict=True)
        )


_NOTHING: Final = Span(0.0, 0, 0, 0, -1, (0.0, 0.0, 0.0), 0, 0.0)
