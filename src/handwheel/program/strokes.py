"""A stroke's blocks: over its start, down, along it with the control keeping the cutter off the edge, and up."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.motion import Side
from handwheel.path.arc import Arc
from handwheel.path.chain import Chain, corners, length, reversed_chain
from handwheel.path.offset import Piece
from handwheel.plan import Beside, Plan, Ramp, Step, Stroke
from handwheel.setup import Setup
from handwheel.units import Units, program_number

COMPENSATION = {Side.LEFT: "G41", Side.RIGHT: "G42"}
Point2 = tuple[float, float]


def stroke_blocks(setup: Setup, plan: Plan, step: Step, stroke: Stroke) -> Iterator[str]:
    """The words of each block, from the level for rapids and back to it."""
    units = setup.job.units
    form = step.compensation if stroke.side is not Side.OFF else "off"
    whole = stroke.followed_edge() if form == "material-edge" else stroke.whole(step.tool.diameter / 2)
    feed = feed_word(step.speeds.feed_mm_min, units)
    yield from _down(plan, step, stroke, whole, units)
    first = stroke.side is not Side.OFF and form != "off"
    for piece in whole:
        on = f"{COMPENSATION[stroke.side]} D{step.tool.number} " if first else ""
        words = piece_words(piece, units)
        if not words:
            continue
        yield f"{on}{words}{'' if isinstance(stroke.entry, Beside) or piece is not whole[0] else f' F{feed}'}"
        first = False
    if form != "off" and stroke.side is not Side.OFF:
        yield "G40"
    yield f"G0 Z{program_number(plan.clear, units)}"


def _down(plan: Plan, step: Step, stroke: Stroke, whole: Chain, units: Units) -> Iterator[str]:
    """Over the start of the stroke and down to its level, as its entry says."""
    feed, entry = feed_word(step.speeds.feed_mm_min, units), stroke.entry
    level = program_number(stroke.level, units)
    match entry:
        case Beside():
            yield _over(whole[0].start, units)
            yield f"G0 Z{program_number(stroke.level + plan.approach, units)}"
            yield f"G1 Z{level} F{feed}"
        case Ramp():
            yield _over(_first_of(entry), units)
            yield f"G0 Z{program_number(entry.top + plan.approach, units)}"
            yield f"G1 Z{program_number(entry.top, units)} F{feed_word(step.speeds.plunge_mm_min, units)}"
            yield from _ramp(entry, stroke.level, units)
        case _:
            yield _over(whole[0].start, units)
            yield f"G0 Z{program_number(stroke.level + stroke.depth + plan.approach, units)}"
            yield f"G1 Z{level} F{feed_word(step.speeds.plunge_mm_min, units)}"


def _over(point: Point2, units: Units) -> str:
    return f"G0 X{program_number(point[0], units)} Y{program_number(point[1], units)}"


def _first_of(ramp: Ramp) -> Point2:
    """Where a ramp begins: after an even number of ways it ends where it began."""
    ends = corners(ramp.chain)
    return ends[0] if ramp.times % 2 == 0 else ends[-1]


def _ramp(ramp: Ramp, level: float, units: Units) -> Iterator[str]:
    total = ramp.times * length(ramp.chain)
    done = 0.0
    for way in range(ramp.times, 0, -1):
        for piece in ramp.chain if way % 2 == 0 else reversed_chain(ramp.chain):
            done += piece.length
            z = ramp.top + (level - ramp.top) * done / total
            yield f"{piece_words(piece, units)} Z{program_number(z, units)}"


def piece_words(piece: Piece, units: Units) -> str:
    """The motion word and the axes that move; of an arc both ends' axes, and where its center is from its start."""
    if not isinstance(piece, Arc):
        words = changed(piece.start, piece.end, units)
        return f"G1 {words}" if words else ""
    turn = "G3" if piece.turn > 0 else "G2"
    x, y = (program_number(value, units) for value in piece.end)
    from_start = (
        program_number(centre - float(program_number(value, units)) * (25.4 if units == "in" else 1.0), units)
        for centre, value in zip(piece.centre, piece.start, strict=True)
    )
    i, j = from_start
    return f"{turn} X{x} Y{y} I{i} J{j}"


def feed_word(feed: float, units: Units) -> str:
    """A feed's number without needless zeros."""
    return program_number(feed, units).rstrip("0").rstrip(".")


def changed(before: Point2, after: Point2, units: Units) -> str:
    """The words of the axes that move; one axis, one word."""
    words = []
    for letter, old, new in zip("XY", before, after, strict=True):
        if program_number(old, units) != program_number(new, units):
            words.append(f"{letter}{program_number(new, units)}")
    return " ".join(words)
