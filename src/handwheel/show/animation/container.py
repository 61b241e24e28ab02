"""The file format of moving indexed pictures. Source: Graphics Interchange Format, version 89a (CompuServe, 1990)."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray
from PIL import GifImagePlugin, Image

Frame = NDArray[np.uint8]

UNCHANGED = 127
"""The index that lets the picture before it shine through: the last of the palette, which nothing is drawn in."""
HUNDREDTHS = 100
"""A second, in the format's unit of time."""


def gif_bytes(pictures: Iterable[Frame], palette: NDArray[np.uint8], fps: int) -> bytes:
    """The file: it runs round and round; of each frame only what changed is stored.

    Parameters
    ----------
    pictures : (height, width) indices each
    palette : (128, 3) red, green, blue
    fps : frames a second
    """
    held = io.BytesIO()
    for part in _parts(pictures, palette, fps):
        held.write(part)
    return held.getvalue()


def _parts(pictures: Iterable[Frame], palette: NDArray[np.uint8], fps: int) -> Iterator[bytes]:
    waiting: tuple[Frame, tuple[int, int], int] | None = None
    shown: Frame | None = None
    for index, frame in enumerate(pictures):
        # delays are whole hundredths: what one is too short the next makes up for
        delay = round((index + 1) * HUNDREDTHS / fps) - round(index * HUNDREDTHS / fps)
        if shown is None:
            yield _head(frame.shape, palette)
            waiting = (frame, (0, 0), delay)
        elif (change := _changed(shown, frame)) is not None:
            if waiting is not None:
                yield _picture(*waiting)
            waiting = (*change, delay)
        elif waiting is not None:
            waiting = (waiting[0], waiting[1], waiting[2] + delay)
        shown = frame
    if waiting is not None:
        yield _picture(*waiting)
    yield b";"


def _head(shape: tuple[int, ...], palette: NDArray[np.uint8]) -> bytes:
    """Signature, screen, the one palette of the file, and the wish to be run for ever."""
    rows, columns = shape
    colours = 0x80 | 0x70 | (len(palette).bit_length() - 2)
    screen = b"GIF89a" + struct.pack("<HHBBB", columns, rows, colours, 0, 0) + palette.tobytes()
    return screen + b"!\xff\x0bNETSCAPE2.0\x03\x01\x00\x00\x00"


def _changed(before: Frame, after: Frame) -> tuple[Frame, tuple[int, int]] | None:
    """The least rectangle that holds all change, and its first column and row; ``None`` where nothing changed."""
    change = before != after
    rows, columns = np.flatnonzero(change.any(axis=1)), np.flatnonzero(change.any(axis=0))
    if not len(rows):
        return None
    place = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return np.where(change[place], after[place], UNCHANGED).astype(np.uint8), (int(columns[0]), int(rows[0]))


def _picture(frame: Frame, at: tuple[int, int], delay: int) -> bytes:
    """One frame, left standing when its time is over."""
    picture = Image.frombytes("P", (frame.shape[1], frame.shape[0]), np.ascontiguousarray(frame).tobytes())
    milliseconds = delay * 1000 // HUNDREDTHS
    return b"".join(GifImagePlugin.getdata(picture, at, transparency=UNCHANGED, duration=milliseconds, disposal=1))
