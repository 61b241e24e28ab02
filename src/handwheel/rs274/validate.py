"""Is a block's text well formed, in the eyes of a reader that we did not write? For the program writer."""

from __future__ import annotations

import re
from functools import lru_cache

from handwheel.rs274.vocabulary import UNKNOWN

_NUMBER = re.compile(r"([A-FH-LN-Z][ \t]*-?)(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?![0-9.])", re.IGNORECASE)


def validate_block(text: str) -> None:
    """Check one block with pygcode.

    Blocks that differ in the numbers of their coordinate words alone are checked once.

    Raises
    ------
    ValueError
        Where pygcode cannot parse the block, or does not know one of its G and M words that is no word of the standard
        either.

    Examples
    --------
    >>> validate_block("G1 X1.5 Y-2. F10.")
    >>> validate_block("G1 G2 X1.5")
    Traceback (most recent call last):
        ...
    ValueError: G1 G2 X1.5: [<GCodeLinearMove: G01>, <GCodeArcMoveCW: G02{X1}>] cannot be in the same block
    """
    reason = _objection(_NUMBER.sub(r"\g<1>1", text))
    if reason:
        raise ValueError(f"{text.strip()}: {reason}")


@lru_cache(maxsize=4096)
def _objection(shape: str) -> str:
    from pygcode import Line
    from pygcode.exceptions import GCodeBlockFormatError, GCodeParameterError, GCodeWordStrError

    try:
        block = Line(shape).block
    except (AssertionError, GCodeBlockFormatError, GCodeParameterError, GCodeWordStrError) as error:
        return str(error)
    unknown = [str(word) for word in block.modal_params if word.letter in "GM" and str(word) not in UNKNOWN]
    return f"pygcode does not know {', '.join(unknown)}" if unknown else ""
