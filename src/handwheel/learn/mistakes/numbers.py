"""Mistakes in a number: the letter O for zero, a decimal point lost or moved, a sign lost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from handwheel.learn.case import Word
from handwheel.learn.trouble import Change, Trouble

_LETTER_O: Final = re.compile(r"(?<=[0-9.A-Za-z+\-])[oO]")
LETTERS: Final = "XYZRQ"
"""The words whose numbers are places or depths; a centre's are in :mod:`handwheel.learn.mistakes.arcs`."""


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of one number that may be the cure."""
    yield from _letter_o(trouble)
    for index in trouble.case.coded:
        block = trouble.case.blocks[index]
        if block.names & {"G53", "G10", "G92"}:
            continue
        for word in block.words:
            if word.letter in LETTERS and word.value:
                yield from _number(trouble, index, word)


def _letter_o(trouble: Trouble) -> Iterator[Change]:
    case, error = trouble.case, trouble.error
    if error is None:
        return
    block = case.blocks[error]
    written = _LETTER_O.sub("0", block.code)
    wrong = [(old, new) for old, new in zip(block.code.split(), written.split(), strict=True) if old != new]
    if wrong:
        was, would_be = (" ".join(words) for words in zip(*wrong, strict=True))
        yield Change(
            line=block.number,
            was=was,
            would_be=would_be,
            because=f"{case.said(error)} has the letter O where the digit 0 is meant: {would_be}, not {was}.",
            doubt=0.0,
            case=case.with_block(error, block.saying(written.rstrip())),
        )


def _number(trouble: Trouble, index: int, word: Word) -> Iterator[Change]:
    far, own = trouble.far(index), _supported(trouble, word, word.value, 2)
    absurd = _absurd(trouble, word)
    for value, spelled, because, doubt in _other_numbers(word):
        backed = _supported(trouble, word, value, 1)
        if not backed and far >= 1.0 and not absurd and value != -word.value:
            continue
        yield trouble.in_block(
            index,
            word,
            f"{word.letter}{spelled}",
            because,
            0.15 + doubt + 0.5 * far + 0.7 * (not backed) + 0.5 * own - 0.2 * absurd,
            habit=f"{word.text} for {spelled}",
        )


def _other_numbers(word: Word) -> Iterator[tuple[float, str, str, float]]:
    """What a number may have been: value, spelling, what is said, doubt."""
    bare = word.spelled.lstrip("+-")
    sign = "-" if word.spelled.startswith("-") else ""
    yield -word.value, bare if sign else f"-{bare}", f"Its sign is wrong: {'plus' if sign else 'minus'}.", 0.0
    digits = bare.replace(".", "")
    for spelled in dict.fromkeys(
        [*(f"{digits[:place]}.{digits[place:]}" for place in range(len(digits) + 1)), f"0.0{digits}", f"{digits}0."]
    ):
        value = float(f"{sign}{spelled}")
        if value != word.value and any(digit in "123456789" for digit in digits):
            neat = re.sub(r"^0+(?=[0-9])", "", spelled)
            neat = f"0{neat}" if neat.startswith(".") else neat
            yield value, f"{sign}{neat}", "Its decimal point is in the wrong place.", 0.05


def _supported(trouble: Trouble, word: Word, value: float, times: int) -> bool:
    """Whether the program has a number elsewhere, or the drawing has it."""
    return trouble.numbers[word.letter, value] >= times or trouble.is_known(word.letter, value)


def _absurd(trouble: Trouble, word: Word) -> bool:
    """Whether a place is beyond anything that the cut of this work asks for."""
    if word.letter not in "XYZ":
        return False
    known = trouble.known["XYZ".index(word.letter)]
    room = known[-1] - known[0]
    return not known[0] - room <= word.value <= known[-1] + room
