"""One piece of a cutter against one box, standing still.

A piece is a convex body of revolution about an upright axis, the box has its edges along X, Y and Z. Only two numbers
of a place count: how far the axis is from the box's footprint and how high the tip is.

A piece is six numbers, as ``Profile.numbers`` has them: kind, lowest and greatest height, lower and upper radius, ball.
A box is six: low and high corner.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from handwheel.cut.kernels.compiled import compiled

Floats = NDArray[np.float64]


@compiled
def footprint_gap(x: float, y: float, box: Floats) -> float:
    """From a point to the box's footprint, mm; 0 above, in or below the box."""
    across, along = max(box[0] - x, 0.0, x - box[3]), max(box[1] - y, 0.0, y - box[4])
    return math.sqrt(across * across + along * along)


@compiled
def piece_gap(away: float, tip: float, piece: Floats, box: Floats) -> float:
    """From a piece to a box, mm, with the axis ``away`` from the footprint and the tip at height ``tip``; 0 where they
    meet.

    In the plane through the axis and the box's nearest place the piece is a trapezoid (or a disc's line grown by the
    ball) and the box a strip from ``away`` outwards; two convex figures are nearest at a corner of one of them.
    """
    bottom, top = float(box[2]), float(box[5])
    if piece[0] == 1.0:
        centre = tip + (piece[1] + piece[2]) / 2.0
        over = max(bottom - centre, 0.0, centre - top)
        return max(0.0, math.hypot(max(0.0, away - piece[3]), over) - float(piece[5]))
    low, high = tip + float(piece[1]), tip + float(piece[2])
    radius_low, radius_high = float(piece[3]), float(piece[4])
    nearest = math.hypot(max(0.0, away - radius_low), max(bottom - low, 0.0, low - top))
    nearest = min(nearest, math.hypot(max(0.0, away - radius_high), max(bottom - high, 0.0, high - top)))
    slope = (radius_high - radius_low) / (high - low)
    if max(low, bottom) <= min(high, top):
        at_bottom = radius_low + slope * (max(low, bottom) - low)
        at_top = radius_low + slope * (min(high, top) - low)
        nearest = min(nearest, max(0.0, away - max(at_bottom, at_top)))
    if slope != 0.0:
        for corner in (bottom, top):
            height = ((away - radius_low) * slope + (corner - low)) / (slope * slope + 1.0)
            height = min(max(height, 0.0), high - low)
            nearest = min(nearest, math.hypot(away - radius_low - slope * height, corner - low - height))
    return nearest


@compiled
def piece_lowest(away: float, piece: Floats) -> float:
    """The lowest height of a piece over a footprint ``away`` from its axis, above the tip; +inf beyond the piece."""
    low, high, radius_low, radius_high = float(piece[1]), float(piece[2]), float(piece[3]), float(piece[4])
    if piece[0] == 1.0:
        out, ball = max(0.0, away - radius_low), float(piece[5])
        return (low + high) / 2.0 - math.sqrt((ball - out) * (ball + out)) if out <= ball else math.inf
    if away > max(radius_low, radius_high):
        return math.inf
    return low if away <= radius_low else low + (high - low) * (away - radius_low) / (radius_high - radius_low)


@compiled
def widest(piece: Floats) -> float:
    """The greatest radius of a piece, mm."""
    return float(max(piece[3], piece[4]) + piece[5])
