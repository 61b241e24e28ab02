"""A reading as JSON and as a summary, in the units asked for."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from handwheel.errors import ProgramError
from handwheel.motion import Control, Kind, Modal, Moves
from handwheel.motion.clock import seconds
from handwheel.motion.extent import extents
from handwheel.motion.moves import Floats
from handwheel.rs274.reading import Reading
from handwheel.rs274.state import side_name, spindle_name
from handwheel.units import MM_PER_INCH, Units

Triple = tuple[float, float, float]
KINDS: Final = {Kind.RAPID: "rapid", Kind.FEED: "feed", Kind.ARC: "arc", Kind.DWELL: "dwell"}
PLANES: Final = ("XY", "ZX", "YZ")
_MANY: Final = 20_000
_LENGTHS: Final = ("length", "feed")


@dataclass(frozen=True, slots=True)
class Summary:
    """What a program comes to: distances and extents in ``units``, times in s; ``low`` and ``high`` are ``None`` where
    nothing moves."""

    units: Units
    rapid: float
    feed: float
    seconds: float
    low: Triple | None
    high: Triple | None
    tools: tuple[int, ...]


def summary(reading: Reading, control: Control, units: Units) -> Summary:
    """Distance at rapid and at feed, time, extents of the controlled point, tools in the order of their first use."""
    moves, scale = reading.moves, _scale(units)
    low, high = extents(moves)
    rapid = moves.at_rapid
    tools = dict.fromkeys(modal.tool for modal in moves.modals if modal.tool)
    return Summary(
        units=units,
        rapid=float(moves.length[rapid].sum()) / scale,
        feed=float(moves.length[~rapid].sum()) / scale,
        seconds=float(seconds(moves, control).sum()),
        low=_triple(low.min(axis=0) / scale) if len(moves) else None,
        high=_triple(high.max(axis=0) / scale) if len(moves) else None,
        tools=tuple(tools),
    )


def as_json(reading: Reading, control: Control, units: Units) -> dict[str, Any]:
    """The whole reading, ready for :mod:`json`; lengths in ``units``, parameters as stored."""
    return {**_head(units), "moves": list(move_objects(reading.moves, control, units)), **_tail(reading, units)}


def json_pieces(reading: Reading, control: Control, units: Units) -> Iterator[str]:
    """The text of :func:`as_json` piece by piece, so that a million moves need no more memory than a thousand."""
    yield json.dumps(_head(units), allow_nan=False)[:-1] + ', "moves": ['
    before = ""
    for move in move_objects(reading.moves, control, units):
        yield before + json.dumps(move, allow_nan=False)
        before = ", "
    yield "], " + json.dumps(_tail(reading, units), allow_nan=False, ensure_ascii=False)[1:]


def move_objects(moves: Moves, control: Control, units: Units) -> Iterator[dict[str, Any]]:
    """Each move as a JSON object; lengths in ``units``.

    The roll round a corner before a rapid is part of the rapid, and has its centre as an arc has.
    """
    scale = _scale(units)
    times = seconds(moves, control)
    modals = [_modal_object(modal) for modal in moves.modals]
    for begin in range(0, len(moves), _MANY):
        part = slice(begin, begin + _MANY)
        columns = zip(
            moves.line[part].tolist(),
            moves.kind[part].tolist(),
            moves.at_rapid[part].tolist(),
            (moves.start[part] / scale).tolist(),
            (moves.end[part] / scale).tolist(),
            (moves.centre[part] / scale).tolist(),
            moves.turn[part].tolist(),
            moves.plane[part].tolist(),
            (moves.feed[part] / scale).tolist(),
            times[part].tolist(),
            moves.modal[part].tolist(),
            strict=True,
        )
        for line, kind, rapid, start, end, centre, turn, plane, feed, time, modal in columns:
            one = {"line": line, "kind": "rapid" if rapid else KINDS[kind], "from": start, "to": end}
            if kind == Kind.ARC:
                one |= {"centre": centre, "clockwise": turn < 0.0, "plane": PLANES[plane]}
            # NaN, at a dwell, is the one number that is not itself
            yield one | {"feed": None if rapid or feed != feed else feed, **modals[modal], "seconds": time}  # noqa: PLR0124


def error_object(error: ProgramError) -> dict[str, Any]:
    """An error of the program as JSON."""
    return {
        "line": error.line,
        "column": error.column,
        "words": error.words,
        "reason": error.reason,
        "instead": error.instead,
    }


def _head(units: Units) -> dict[str, Any]:
    return {"handwheel": 1, "units": units}


def _tail(reading: Reading, units: Units) -> dict[str, Any]:
    notes = [{"code": n.code, "line": n.line, "message": n.message, "count": n.count} for n in reading.notes]
    tail: dict[str, Any] = {
        "parameters": {str(number): value for number, value in reading.parameters.items()},
        "end": _end_object(reading, units),
        "notes": notes,
    }
    if reading.error is not None:
        tail["error"] = error_object(reading.error)
    return tail


def _end_object(reading: Reading, units: Units) -> dict[str, Any]:
    ratio = _scale(reading.units) / _scale(units)
    end: dict[str, Any] = dict(reading.end)
    for name in _LENGTHS:
        end[name] *= ratio
    end["position"] = [length * ratio for length in end["position"]]
    return end


def _modal_object(modal: Modal) -> dict[str, Any]:
    return {
        "rpm": modal.rpm,
        "spindle": spindle_name(modal.spindle),
        "tool": modal.tool,
        "side": side_name(modal.side),
    }


def _scale(units: Units) -> float:
    return MM_PER_INCH if units == "in" else 1.0


def _triple(values: Floats) -> Triple:
    return float(values[0]), float(values[1]), float(values[2])
