"""How long the machine takes over each move: trapezoids of speed, with look-ahead from move to move.

Distance to full speed is v²/(2a), a move too short for it never gets there (mechanics). How corners are taken follows
the path mode in force:

- exact stop (G61.1): every move begins and ends at rest;
- exact path (G61): full speed through smooth joints; at a corner no faster than lets the velocity turn, at the
  machine's acceleration, within :data:`CORNER_TIME`;
- continuous (G64): the same, but the cutter may round a corner, and keeps that part of its speed which already points
  along the next move.

Rapids begin and end at rest, and so does a move that meets other modes than the one before it (another tool, speed,
offset …). Each axis of a rapid runs at its own rate, so that the longest stretch along one axis decides.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.motion.moves import Floats, Kind, Moves, PathMode, Plane
from handwheel.motion.tables import Control
from handwheel.tolerances import SMOOTH_CORNER

CORNER_TIME: Final = 0.01
"""s; in this time the velocity may turn at a corner (common practice: a few steps of a control's interpolator)."""


def seconds(moves: Moves, control: Control) -> Floats:
    """The time of each move.

    Parameters
    ----------
    moves : n moves
    control : its ``rapid`` and ``feed_max`` in mm/min, its ``acceleration`` in mm/s²

    Returns
    -------
    (n,) float64
        s. A dwell takes its own time, a move of no length none.

    Examples
    --------
    One move of 10 mm at 600 mm/min and 100 mm/s² gains speed over 0.5 mm and 0.1 s, and loses it likewise:

    >>> from handwheel.motion import Modal, MovesBuilder
    >>> builder = MovesBuilder()
    >>> builder.add(Kind.FEED, (0.0, 0.0, 0.0), (10.0, 0.0, 0.0), Modal(), feed=600.0)
    >>> [round(float(time), 9) for time in seconds(builder.build(), Control(acceleration=100.0))]
    [1.1]
    """
    longest_stretch = np.abs(moves.end - moves.start).max(axis=1, initial=0.0)
    distance = np.where(moves.kind == Kind.RAPID, longest_stretch, moves.length)
    speed = _speeds(moves, control)
    joint = _joint_squares(moves, speed, control.acceleration)
    entry, leave = _reachable(joint, distance, control.acceleration)
    moving = _times(distance, speed, entry, leave, control.acceleration)
    return np.where(moves.kind == Kind.DWELL, moves.seconds, moving)


def _speeds(moves: Moves, control: Control) -> Floats:
    """(n,) mm/s; the speed each move would like."""
    per_minute = np.where(moves.kind == Kind.RAPID, control.rapid, np.fmin(moves.feed, control.feed_max))
    return np.asarray(np.where(moves.kind == Kind.DWELL, 0.0, per_minute / 60.0))


def _joint_squares(moves: Moves, speed: Floats, acceleration: float) -> Floats:
    """(n + 1,) mm²/s²; the greatest square of the speed before, between and after the moves."""
    squares = np.zeros(len(moves) + 1)
    if len(moves) < 2:
        return squares
    starts, ends = _directions(moves)
    cosine = np.clip((ends[:-1] * starts[1:]).sum(axis=1), -1.0, 1.0)
    slower = np.minimum(speed[:-1], speed[1:])
    turning = np.sqrt(2.0 - 2.0 * cosine)
    corner = acceleration * CORNER_TIME / np.maximum(turning, 1e-300)
    mode = moves.of_modal("path_mode")[1:]
    corner = np.where(mode == PathMode.CONTINUOUS, np.maximum(corner, slower * np.maximum(cosine, 0.0)), corner)
    allowed = np.where(cosine >= math.cos(SMOOTH_CORNER), slower, np.minimum(slower, corner))
    running = (moves.kind == Kind.FEED) | (moves.kind == Kind.ARC)
    joined = running[:-1] & running[1:] & (moves.modal[:-1] == moves.modal[1:]) & (mode != PathMode.EXACT_STOP)
    joined &= (moves.length[:-1] > 0.0) & (moves.length[1:] > 0.0)
    squares[1:-1] = np.where(joined, allowed**2, 0.0)
    return squares


def _directions(moves: Moves) -> tuple[Floats, Floats]:
    """(n, 3) unit vectors of the motion at the start and the end of each move; zero where it has no length."""
    straight = moves.end - moves.start
    starts, ends = straight.copy(), straight.copy()
    for plane in Plane:
        chosen = (moves.kind == Kind.ARC) & (moves.plane == plane)
        if chosen.any():
            starts[chosen] = _tangents(moves, chosen, plane, moves.start)
            ends[chosen] = _tangents(moves, chosen, plane, moves.end)
    return _unit(starts), _unit(ends)


def _tangents(moves: Moves, chosen: NDArray[np.bool_], plane: Plane, points: Floats) -> Floats:
    """(m, 3); the path for each radian of turn, the way it is travelled."""
    first, second, normal = plane.axes
    arm = points[chosen] - moves.centre[chosen]
    turn = moves.turn[chosen]
    tangents = np.empty_like(arm)
    tangents[:, first] = -arm[:, second] * turn
    tangents[:, second] = arm[:, first] * turn
    tangents[:, normal] = moves.end[chosen, normal] - moves.start[chosen, normal]
    return tangents


def _unit(vectors: Floats) -> Floats:
    length = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    return np.asarray(np.divide(vectors, length, out=np.zeros_like(vectors), where=length > 0.0))


def _reachable(joint: Floats, distance: Floats, acceleration: float) -> tuple[Floats, Floats]:
    """(n,) squares of the speeds at which each move begins and ends: none gains or loses more than it has room for.

    With u = v², u may grow by 2·a·s over a distance s; forwards and backwards that is a running minimum.
    """
    room = np.concatenate([[0.0], np.cumsum(2.0 * acceleration * distance)])
    forward = room + np.minimum.accumulate(joint - room)
    backward = np.minimum.accumulate((forward + room)[::-1])[::-1] - room
    squares = np.where(joint == 0.0, 0.0, np.clip(backward, 0.0, joint))
    return squares[:-1], squares[1:]


def _times(distance: Floats, speed: Floats, entry: Floats, leave: Floats, acceleration: float) -> Floats:
    peak = np.minimum(speed**2, (entry + leave) / 2.0 + acceleration * distance)
    top = np.sqrt(np.maximum(peak, 0.0))
    changing = (2.0 * top - np.sqrt(entry) - np.sqrt(leave)) / acceleration
    steady = np.maximum(distance - (2.0 * peak - entry - leave) / (2.0 * acceleration), 0.0)
    moving = (distance > 0.0) & (top > 0.0)
    return np.where(moving, changing + np.divide(steady, top, out=np.zeros_like(top), where=moving), 0.0)
