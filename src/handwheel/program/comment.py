"""Comments that stay comments: plain ASCII, no bracket, no line end, no code word for compensation, wrapped."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Iterator

WIDTH = 76
"""Characters of a comment's text; far under the 256 that a block may have (NISTIR 6556, 3.3)."""

_LEGIBLE = str.maketrans(
    {
        **dict.fromkeys("([{<⟨", "/"),
        **dict.fromkeys(")]}>⟩", "/"),
        **dict.fromkeys("−–—‐‑‒", "-"),
        **dict.fromkeys("‘’‚′`", "'"),
        **dict.fromkeys("“”„″«»", '"'),
        ";": ",",
        "%": " PCT",
        "×": "X",
        "±": "+-",
        "°": " DEG",
        "µ": "U",
        "μ": "U",
        "Ø": "DIA ",
        "ø": "DIA ",
        "⌀": "DIA ",
        "ß": "SS",
        "æ": "AE",
        "Æ": "AE",
        "œ": "OE",
        "Œ": "OE",
        "²": "2",
        "³": "3",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "…": "...",
        "·": ".",
    }
)
_COMPENSATION_WORD = re.compile(r"G[\s.]*0*[\s.]*4[\s.]*([012])(?!\d)", re.IGNORECASE)


def plain(text: str) -> str:
    """Text that is safe inside a comment and still legible.

    >>> plain("Bøx (left)\\nno. 2; ±0.1 mm")
    'BDIA X /LEFT/ NO. 2, +-0.1 MM'
    >>> plain("mind G41")
    'MIND G-41'
    """
    text = unicodedata.normalize("NFKD", text.translate(_LEGIBLE)).translate(_LEGIBLE)
    text = "".join(letter for letter in text if not unicodedata.combining(letter))
    text = "".join(letter if " " <= letter <= "~" else ("?" if letter.isprintable() else " ") for letter in text)
    text = _COMPENSATION_WORD.sub(r"G-4\1", text.upper())
    return " ".join(text.split())


def comment(text: str) -> Iterator[str]:
    """The comment lines that say ``text``; lines after the first start with dots, so none is taken for a step's head.

    >>> list(comment("STEP 1: Load (tool)"))
    ['(STEP 1: LOAD /TOOL/)']
    """
    for line in textwrap.wrap(plain(text), WIDTH, subsequent_indent="... ", break_on_hyphens=False):
        yield f"({line})"
