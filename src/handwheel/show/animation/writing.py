"""Frames as a file's bytes."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from handwheel.errors import HandwheelError
from handwheel.plan import Route
from handwheel.proof.comparison import BothWays
from handwheel.show.animation.container import gif_bytes
from handwheel.show.animation.film import Frame, Tell, frames
from handwheel.show.animation.options import Options
from handwheel.show.animation.palette import PALETTE


def gif(
    ways: Sequence[BothWays],
    route: Route,
    options: Options,
    tell: Tell | None = None,
) -> bytes:
    """A GIF that runs round and round; parameters as for :func:`handwheel.show.animation.frames`."""
    return gif_bytes(frames(ways, route, options, tell), PALETTE, options.fps)


def mp4(
    ways: Sequence[BothWays],
    route: Route,
    options: Options,
    tell: Tell | None = None,
) -> bytes:
    """The same as H.264 in MP4.

    Raises
    ------
    HandwheelError
        Where the ``video`` extra is not installed.
    """
    try:
        import imageio_ffmpeg
    except ImportError as error:
        raise HandwheelError("an MP4 needs the extra: pip install 'handwheel[video]'") from error
    # the usual form of H.264 wants even sides
    width, height = (side + side % 2 for side in options.size)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "film.mp4"
        writer = imageio_ffmpeg.write_frames(
            str(file),
            (width, height),
            fps=options.fps,
            codec="libx264",
            quality=None,
            macro_block_size=2,
            # one thread and no marks of the encoder: the same frames give the same bytes
            output_params=["-crf", "23", "-threads", "1", "-fflags", "+bitexact", "-flags:v", "+bitexact"],
        )
        writer.send(None)
        for frame in _evened(frames(ways, route, options, tell), width, height):
            writer.send(np.ascontiguousarray(PALETTE[frame]))
        writer.close()
        return file.read_bytes()


def _evened(pictures: Iterator[Frame], width: int, height: int) -> Iterator[Frame]:
    for frame in pictures:
        rows, columns = frame.shape
        yield np.pad(frame, ((0, height - rows), (0, width - columns)))
