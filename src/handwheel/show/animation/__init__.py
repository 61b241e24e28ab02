"""The job as a moving picture: the cutter turns off metal that is really gone at that instant, by either route."""

from handwheel.show.animation.film import Film, frames
from handwheel.show.animation.options import Options
from handwheel.show.animation.palette import PALETTE
from handwheel.show.animation.writing import gif, mp4

__all__ = ["PALETTE", "Film", "Options", "frames", "gif", "mp4"]
