"""The program's listing: each step's comment and its blocks, with the numbers of the lines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from handwheel.show.draw.lettering import legible

KEPT: Final = 4
"""So many lines of a step stay together: its comment is never alone at the foot of a page."""


def listing(programs: Mapping[str, str]) -> dict[str, Any]:
    """The programs by their headings (one alone has none), one after the other in columns."""
    named = [{"name": legible(name), "parts": _parts(text)} for name, text in programs.items()]
    return {"kind": "listing", "programs": named, "keep": KEPT}


def _parts(program: str) -> list[list[dict[str, Any]]]:
    """The text in parts: the head, then a part for each step; a line that follows a block and opens a comment begins
    one."""
    parts: list[list[dict[str, Any]]] = [[]]
    in_blocks = False
    for number, text in enumerate(program.splitlines(), start=1):
        is_comment = text.startswith("(")
        if is_comment and in_blocks:
            parts.append([])
        in_blocks = text.startswith("N")
        parts[-1].append({"number": number, "text": legible(text)})
    return parts
