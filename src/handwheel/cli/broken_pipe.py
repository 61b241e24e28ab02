"""What is to be done when nobody reads standard output any more, as ``head`` does when it has enough."""

from __future__ import annotations

import errno
import os
import sys
from typing import Final

CUT_OFF: Final = 141
"""Exit status where the reader went away: 128 and the signal's 13, as a shell reports it of any command."""


def reader_gone(error: OSError) -> bool:
    """Whether the error says so; then the rest of the output goes nowhere, and the end of the program is quiet."""
    # Windows says of a closed pipe that an argument is invalid
    gone = isinstance(error, BrokenPipeError) or (os.name == "nt" and error.errno == errno.EINVAL)
    if gone:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return gone
