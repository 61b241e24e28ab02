"""What can be touched at set-up is the raw face; what must be set is where the spindle's center then stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handwheel.path.face import Face
from handwheel.setup.workpiece import Workpiece


@dataclass(frozen=True, slots=True)
class Touch:
    """One touch-off; lengths in mm, coordinates in the set-up's frame.

    ``face`` is touched at ``face_at`` (``is_raw``: it still has its allowance); ``with_`` what touches it;
    ``spindle_at`` is the value to set on the readout or dial (for Z: where the tip then is).
    """

    axis: Literal["x", "y", "z"]
    face: Face
    with_: str
    face_at: float
    spindle_at: float
    is_raw: bool


def touches(piece: Workpiece, cutter_diameter: float) -> tuple[Touch, Touch, Touch]:
    """The values to set when the raw faces are touched, for X, Y and Z.

    The face touched is the one that the zero is on, else left and front. Source: readout at touch-off is a radius
    outside the face (geometry); on a raw face its allowance is added outwards.
    """
    raw = piece.raw
    sides = {
        "x": Face.RIGHT if piece.zero.x == "right" else Face.LEFT,
        "y": Face.BACK if piece.zero.y == "back" else Face.FRONT,
        "z": Face.TOP,
    }

    def touch(axis: Literal["x", "y", "z"]) -> Touch:
        face = sides[axis]
        face_at = (raw.high if face.outwards > 0 else raw.low)[face.axis]
        probe = getattr(piece.touch_off, axis)
        if probe.with_ == "edge finder":
            standoff = probe.diameter / 2
        else:
            standoff = cutter_diameter / 2 if axis != "z" else 0.0
            standoff += {"paper": probe.thickness or 0.0, "gauge block": probe.height or 0.0}.get(probe.with_, 0.0)
        return Touch(axis, face, probe.with_, face_at, face_at + face.outwards * standoff, piece.is_raw(face))

    return (touch("x"), touch("y"), touch("z"))
