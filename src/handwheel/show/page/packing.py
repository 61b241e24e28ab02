"""Numbers on their way into a page: plain ones as JSON, many as one deflated block of typed arrays."""

from __future__ import annotations

import base64
import json
import math
import zlib
from typing import Any

import numpy as np
from numpy.typing import NDArray

TYPES = {"f4": "Float32Array", "i4": "Int32Array", "u2": "Uint16Array", "i2": "Int16Array"}
"""What the page calls each sort of number that may be packed."""


class Packing:
    """Collects arrays and gives them as one text; each is known by where it stands in it."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._size = 0

    def add(self, values: NDArray[Any], kind: str) -> dict[str, Any]:
        """Add an array as ``kind`` (a key of ``TYPES``); what is given back is for the page's JSON."""
        raw = np.ascontiguousarray(values, dtype=np.dtype(f"<{kind}")).tobytes()
        place = {"type": TYPES[kind], "at": self._size, "count": int(values.size)}
        raw += b"\0" * (-len(raw) % 4)
        self._parts.append(raw)
        self._size += len(raw)
        return place

    def text(self) -> str:
        """Base64 of all of it, deflated (RFC 1950)."""
        return base64.b64encode(zlib.compress(b"".join(self._parts), 9)).decode("ascii")


def json_in_page(value: Any) -> str:
    """JSON that can stand inside a script element: nothing in it ends the element.

    >>> json_in_page({"title": "</script>"})
    '{"title":"\\\\u003c/script>"}'
    """
    text = json.dumps(value, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c")


def number(value: float | None) -> float | None:
    """A length in mm or a time in s, to a millionth; ``None`` for what is no number."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), 6) + 0.0
