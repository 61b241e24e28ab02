"""What can be touched at set-up is the raw face; what must be set is where the spindle's centre then stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handwheel.setup.workpiece import Workpiece

Face = Literal["left", "right", "front", "back", "top"]


@dataclass(frozen=True, slots=True)
class Touch:
    """One touch-off; lengths in mm, coordinates in the job's frame.

    ``face`` is the raw face at ``face_at``; ``with_`` what touches it; ``spindle_at`` is the value to set on the
    readout or dial (for Z: where the tip then is).
    """

    axis: Literal["x", "y", "z"]
    face: Face
    with_: str
    face_at: float
    spindle_at: float


def touches(piece: Workpiece, cutter_diameter: float) -> tuple[Touch, Touch, Touch]:
    """The values to set when the raw faces are touched, for X, Y and Z.

    The face touched is the one that the zero is on, else left and front. Source: readout at touch-off is a radius
    outside the face (geometry); on a raw face its allowance is added outwards.
    """
    raw = piece.raw
    sides: dict[str, tuple[Face, float, float]] = {
        "x": ("right", raw.high[0], 1.0) if piece.zero.x == "right" else ("left", raw.low[0], -1.0),
        "y": ("back", raw.high[1], 1.0) if piece.zero.y == "back" else ("front", raw.low[1], -1.0),
        "z": ("top", raw.high[2], 1.0),
    }

    def touch(axis: Literal["x", "y", "z"]) -> Touch:
        face, face_at, outwards = sides[axis]
        probe = getattr(piece.touch_off, axis)
        if probe.with_ == "edge finder":
            standoff = probe.diameter / 2
        else:
            standoff = cutter_diameter / 2 if axis != "z" else 0.0
            standoff += {"paper": probe.thickness or 0.0, "gauge block": probe.height or 0.0}.get(probe.with_, 0.0)
        return Touch(axis, face, probe.with_, face_at, face_at + outwards * standoff)

    return (touch("x"), touch("y"), touch("z"))
