"""The job as a moving picture: the cutter turns off metal that is really gone at that instant, by either route."""

from handwheel.show.animation.options import Options

__all__ = ["Options"]
