"""A mark in the text that tells whether somebody edited it by hand since it was written."""

from __future__ import annotations

import re
import zlib

_END = "%\n"
_SEAL = re.compile(r"\(AS WRITTEN ([0-9A-F]{8})\)\n")


def sealed(text: str) -> str:
    """The program with its mark on the line before the closing ``%``, where no control looks any more.

    >>> untouched(sealed("%\\nN10 M30\\n%\\n"))
    True
    """
    return f"{text.removesuffix(_END)}(AS WRITTEN {_sum(text)})\n{_END}"


def bears_mark(text: str) -> bool:
    """Whether the text bears such a mark, true or not: whether it was written here, as far as it says.

    >>> bears_mark(sealed("%\\nN10 M30\\n%\\n")), bears_mark("%\\nN10 M30\\n%\\n")
    (True, False)
    """
    return _SEAL.search(text.replace("\r\n", "\n")) is not None


def untouched(text: str) -> bool:
    """Whether the text is as it was written, whatever its line ends became.

    >>> untouched(sealed("%\\nN10 M30\\n%\\n").replace("M30", "M2"))
    False
    """
    text = text.replace("\r\n", "\n")
    match = _SEAL.search(text)
    return match is not None and match[1] == _sum(text[: match.start()] + text[match.end() :])


def _sum(text: str) -> str:
    return f"{zlib.crc32(text.encode()):08X}"
