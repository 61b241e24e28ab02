"""What each cause does to a size, taken from the cut, and simulated parts through the same."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.check.gauged import gauged
from handwheel.cut.part import Part
from handwheel.cut.rays import Rays
from handwheel.cut.taken import Taken, taken
from handwheel.job import Dimension
from handwheel.motion import Kind, Moves, Tool
from handwheel.path.face import Face
from handwheel.plan import Plan, Route
from handwheel.proof.budget.causes import causes_by_hand, causes_by_program
from handwheel.proof.budget.errors import Cause, Ledger
from handwheel.proof.budget.inputs import Inputs
from handwheel.proof.budget.model import Budget, Share
from handwheel.proof.by_program import steps_of_moves, true_tip
from handwheel.proof.routes import Routes
from handwheel.proof.size_line import Line
from handwheel.proof.size_line import read as read_size
from handwheel.rs274 import read
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]

PARTS: Final = 20_000
"""So many parts are simulated: shares out of limits to about a third of a per cent."""

NEAR: Final = 1.0
"""What a move takes this near to the raw block may matter once it is off, mm."""

AT_FACE: Final = 0.02
"""A face is made by what comes as near as this to it, mm: settings are rounded."""

DEEPEST: Final = "several settings at one place"
SIMULATED: Final = "the simulated parts: the deepest counts"
SEED: Final = 20_000_131
PROBE: Final = 1e-3
"""A cause is moved by so much, mm, to see what a size does, where it has no width of its own."""


def budget(setup: Setup) -> tuple[Budget, ...]:
    """The errors of every size, by hand and by program, in the order of the job's dimensions.

    Every input is taken to lie anywhere within its limits alike, so that its standard uncertainty is its half-width by
    the root of 3 (JCGM 100:2008, 4.3.7, from memory). The blank is taken to be as the job says. How a size follows each
    is taken from the cut: from what every move takes of the line that the size is measured along.
    """
    routes, inputs = Routes(setup), Inputs(setup.job)
    made = [_by_hand(routes, inputs), _by_program(routes, inputs)]
    plans = {Route.BY_HAND: routes.by_hand, Route.BY_PROGRAM: routes.by_program}
    readings = {
        parts.route: {
            one.name: one.measured for one in gauged(setup, Part(setup.stock).with_cut(parts.moves, parts.tools))
        }
        for parts in made
    }
    return tuple(
        _budget(parts, index, size, plans[parts.route])
        for index, size in enumerate(setup.dimensions)
        if all(parts.reads(index, size, readings[parts.route][size.name]) for parts in made)
        for parts in made
    )


def _by_hand(routes: Routes, inputs: Inputs) -> _Parts:
    moves, tools = routes.execution.moves, routes.execution.tools
    lines = tuple(_taken(routes.setup, size, moves, tools) for size in routes.setup.dimensions)
    ledger = causes_by_hand(routes, inputs, moves)
    return _Parts(routes.setup, Route.BY_HAND, moves, tools, ledger, lines)


def _by_program(routes: Routes, inputs: Inputs) -> _Parts:
    setup = routes.setup
    reading = read(routes.text, setup.control)
    moves = true_tip(reading.moves.with_steps(steps_of_moves(reading)), setup)
    lines = tuple(_taken(setup, size, moves, setup.tools) for size in setup.dimensions)
    faces = {row for size in setup.dimensions for row in _makers(setup, size, moves, setup.tools)}
    counted = {int(row) for line in lines for row in line.move} | faces
    ledger = causes_by_program(routes, inputs, moves, counted)
    return _Parts(setup, Route.BY_PROGRAM, moves, setup.tools, ledger, lines)


def _taken(setup: Setup, size: Dimension, moves: Moves, tools: Mapping[int, Tool]) -> Taken:
    """What each move takes from the line that a size is measured along."""
    axis = "xyz".index(size.axis)
    at = np.array([[size.through[name] for name in "xyz" if name != size.axis]])
    found = taken(moves, tools, Rays(axis, at))
    raw = setup.raw
    matters = (found.high > raw.low[axis] - NEAR) & (found.low < raw.high[axis] + NEAR)
    return Taken(
        ray=found.ray[matters],
        move=found.move[matters],
        low=found.low[matters],
        high=found.high[matters],
        low_follows=found.low_follows[matters],
        high_follows=found.high_follows[matters],
    )


def _face_of(setup: Setup, size: Dimension) -> Face | None:
    """The face that a step is measured from."""
    if size.of != "step":
        return None
    if size.start is not None:
        return size.start
    word = getattr(setup.zero, size.axis)
    return Face(word) if word not in ("centre", "bottom") else None


def _stands(setup: Setup, size: Dimension) -> float:
    """Where that face is meant to be, mm."""
    if size.start is None:
        return 0.0
    block = setup.finished
    return float((block.high if size.start.outwards > 0 else block.low)[size.start.axis])


def _makers(setup: Setup, size: Dimension, moves: Moves, tools: Mapping[int, Tool]) -> list[int]:
    """The feeds that make the face that a step is measured from, by their rows."""
    face = _face_of(setup, size)
    if face is None:
        return []
    number = moves.of_modal("tool")
    radius = np.array([tools[one].diameter / 2 if one in tools and face.axis != 2 else 0.0 for one in number.tolist()])
    at = np.stack((moves.start, moves.end))[:, :, face.axis] - face.outwards * radius
    level = np.abs(moves.end - moves.start)[:, [k for k in range(3) if k != face.axis]].max(axis=1)
    off = np.abs(at - _stands(setup, size)).max(axis=0)
    chosen = (moves.kind == Kind.FEED) & (off < AT_FACE) & (level > CONTACT)
    return [int(row) for row in np.flatnonzero(chosen)]


def _budget(parts: _Parts, index: int, size: Dimension, plan: Plan) -> Budget:
    found = parts.sizes(index, size, parts.errors)
    planned = float(parts.sizes(index, size, np.zeros((1, len(parts.causes))))[0])
    shares = _shares(parts, index, size, found, planned)
    taken = (step.number for step in plan.steps if any(one.dimension == size.name for one in step.measuring))
    measured_in = next(taken, None)
    corrected = found - float(np.nanmean(found)) + planned
    return Budget(
        dimension=size.name,
        route=parts.route,
        planned=planned,
        lower=size.lower,
        upper=size.upper,
        shares=shares,
        shift=sum(share.shift for share in shares),
        spread=math.hypot(*(share.spread for share in shares)),
        simulated_spread=float(np.nanstd(found)),
        out_of_limits=_out(size, found),
        out_if_corrected=None if measured_in is None else _out(size, corrected),
        measured_in=measured_in,
    )


def _out(size: Dimension, found: Floats) -> float:
    """The share of parts out of limits."""
    return 1.0 - float(((found >= size.lower - CONTACT) & (found <= size.upper + CONTACT)).mean())


def _shares(parts: _Parts, index: int, size: Dimension, found: Floats, planned: float) -> tuple[Share, ...]:
    """The causes of a size, those with one name together, and last what no cause does by itself: of several settings at
    one place the deepest counts."""
    enters = _enters(parts, index, size, found)
    groups: dict[str, list[int]] = {}
    for number, cause in enumerate(parts.causes):
        groups.setdefault(cause.given.name, []).append(number)
    shares = []
    for name, group in groups.items():
        counted = [number for number in group if abs(enters[number]) > 1e-6]
        widest = max(counted or group, key=lambda number: abs(parts.causes[number].given.value))
        shares.append(
            Share(
                name=name,
                value=parts.causes[widest].given.value,
                enters=tuple(float(enters[number]) for number in counted),
                shift=sum(float(enters[number]) * parts.causes[number].mean for number in counted),
                spread=math.hypot(
                    *(float(enters[number]) * parts.causes[number].width / math.sqrt(3) for number in counted)
                ),
                source=parts.causes[widest].given.source,
            )
        )
    beyond = found - planned - parts.errors @ enters
    mean, spread = float(np.nanmean(beyond)), float(np.nanstd(beyond))
    matters = max(abs(mean), spread) > CONTACT
    return (
        *shares,
        Share(DEEPEST, 0.0, (1.0,) if matters else (), mean if matters else 0.0, spread if matters else 0.0, SIMULATED),
    )


def _enters(parts: _Parts, index: int, size: Dimension, found: Floats) -> Floats:
    """(c,) how a size follows each cause over all that the parts are off by: the straight line nearest to them."""
    count = len(parts.causes)
    means, widths = (np.array([getattr(cause, of) for cause in parts.causes]) for of in ("mean", "width"))
    steps = np.where(widths > 0.0, 2.0 * widths, PROBE)
    off = np.diag(steps)
    alone = (parts.sizes(index, size, means + off) - parts.sizes(index, size, means - off)) / (2.0 * steps)
    enters = np.where(np.abs(alone) > 1e-9, np.nan_to_num(alone), 0.0)
    chosen = np.flatnonzero((np.abs(enters) > 0.0) & (widths > 0.0))
    good = np.isfinite(found)
    if len(chosen) and good.sum() > len(chosen):
        off_by = np.column_stack((parts.errors[good][:, chosen], np.ones(int(good.sum()))))
        enters[chosen] = np.linalg.lstsq(off_by, found[good], rcond=None)[0][:-1]
    assert len(enters) == count
    return np.asarray(enters)


@dataclass(frozen=True)
class _Parts:
    """Parts made by one route, each with its own errors."""

    setup: Setup
    route: Route
    moves: Moves
    tools: Mapping[int, Tool]
    ledger: Ledger
    lines: tuple[Taken, ...]

    @property
    def causes(self) -> list[Cause]:
        """What may be off."""
        return self.ledger.causes

    def reads(self, index: int, size: Dimension, measured: float | None) -> bool:
        """Whether one line gives what the gauge reads over its whole face."""
        planned = float(self.sizes(index, size, np.zeros((1, len(self.causes))))[0])
        return measured is not None and abs(planned - measured) <= self.setup.job.tolerance / 2

    @cached_property
    def errors(self) -> Floats:
        """(PARTS, c) mm; what is off in every simulated part."""
        random = np.random.default_rng(SEED)
        means = np.array([cause.mean for cause in self.causes])
        widths = np.array([cause.width for cause in self.causes])
        return np.asarray(means + widths * random.uniform(-1.0, 1.0, (PARTS, len(self.causes))))

    @cached_property
    def tool(self) -> list[int]:
        """The tool of each move."""
        return [int(one) for one in self.moves.of_modal("tool")]

    def sizes(self, index: int, size: Dimension, errors: Floats) -> Floats:
        """(n,) mm; one dimension of n parts with the (n, c) errors of their causes."""
        low, high, low_by, high_by = self._ends(index)
        axis = "xyz".index(size.axis)
        used = np.flatnonzero(np.abs(np.concatenate((low_by, high_by))).max(axis=0, initial=0.0) > 0.0)
        off = errors[:, used]
        line = Line(low + off @ low_by[:, used].T, high + off @ high_by[:, used].T, *self._raw(axis))
        return read_size(size, line, self.setup.raw, self._zero(size, errors))

    def _raw(self, axis: int) -> tuple[float, float]:
        return float(self.setup.raw.low[axis]), float(self.setup.raw.high[axis])

    @cached_property
    def _known(self) -> dict[int, tuple[Floats, Floats, Floats, Floats]]:
        return {}

    def _ends(self, index: int) -> tuple[Floats, Floats, Floats, Floats]:
        """(m,) ends of the stretches taken, each kind once, and (m, c) how they answer to the causes."""
        if index not in self._known:
            line = self.lines[index]
            count = len(self.causes)
            rows = [
                np.concatenate(
                    (
                        [line.low[k], line.high[k]],
                        self.ledger.answers(row, self.tool[row], line.low_follows[k]),
                        self.ledger.answers(row, self.tool[row], line.high_follows[k]),
                    )
                )
                for k, row in enumerate(line.move.tolist())
            ]
            each = np.unique(np.round(np.array(rows).reshape(len(rows), 2 + 2 * count), 9), axis=0)
            self._known[index] = each[:, 0], each[:, 1], each[:, 2 : 2 + count], each[:, 2 + count :]
        return self._known[index]

    def _zero(self, size: Dimension, errors: Floats) -> Floats:
        """(n,) where the face is that a step is measured from: of several cuts at one setting the deepest counts."""
        face, meant = _face_of(self.setup, size), _stands(self.setup, size)
        makers = _makers(self.setup, size, self.moves, self.tools)
        if face is None or not makers:
            return np.full(len(errors), meant)
        follows = np.zeros(7)
        follows[3 + face.axis] = 1.0
        follows[6] = 0.0 if face.axis == 2 else -face.outwards / 2
        offs = np.unique([self.ledger.answers(row, self.tool[row], follows) for row in makers], axis=0)
        stands = errors @ offs.T
        return np.asarray(meant + (stands.min(axis=1) if face.outwards > 0 else stands.max(axis=1)))
