"""Mistakes in the words that hold for many blocks: units, absolute or incremental, a shifted zero, the way home."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.learn.trouble import Change, Trouble
from handwheel.rs274.vocabulary import SYSTEMS

_NAMES: Final = {"G20": "inches", "G21": "millimeters"}
_OTHER: Final = {"G20": "G21", "G21": "G20", "G90": "G91", "G91": "G90"}
FORGOTTEN: Final = 10
"""A forgotten G90 is looked for in so many blocks after the G91."""


def candidates(trouble: Trouble) -> Iterator[Change]:
    """Every change of a mode that may be the cure."""
    yield from _units(trouble)
    yield from _system(trouble)
    yield from _distance(trouble)
    yield from _home(trouble)
    yield from _shifts(trouble)


def _units(trouble: Trouble) -> Iterator[Change]:
    case = trouble.case
    meant = "G20" if case.setup.job.units == "in" else "G21"
    said = False
    for index in case.coded:
        for word in case.blocks[index].words:
            if word.text not in _NAMES:
                continue
            said = True
            other = _OTHER[word.text]
            yield trouble.in_block(
                index,
                word,
                other,
                f"The numbers are in {_NAMES[other]}: {other}.",
                0.0 if word.text != meant else 2.0,
            )
    if not said and case.coded:
        other = _OTHER[meant]
        yield trouble.put_in(
            case.coded[0],
            other,
            f"The program never says G20 or G21, and its numbers are in {_NAMES[other]}: begin with {other}.",
            1.5,
        )


def _system(trouble: Trouble) -> Iterator[Change]:
    """Another coordinate system than the one in which the zero was set."""
    case = trouble.case
    meant = case.setup.entry.origin
    for index in case.coded:
        for word in case.blocks[index].words:
            if word.text in SYSTEMS and word.text != meant:
                yield trouble.in_block(
                    index,
                    word,
                    meant,
                    f"The zero of this work is set in {meant}: {meant}.",
                    0.2 + 0.3 * trouble.far(index),
                    habit=word.text,
                )


def _distance(trouble: Trouble) -> Iterator[Change]:
    case = trouble.case
    for index in case.coded:
        for word in case.blocks[index].words:
            if word.text == "G91":
                yield trouble.in_block(
                    index, word, "G90", "The coordinates are places, not distances from the last place: G90.", 0.4
                )
                yield from _back_to_places(trouble, index)
            elif word.text == "G90":
                yield trouble.in_block(
                    index, word, "G91", "The coordinates are distances from the last place: G91.", 2.5
                )


def _back_to_places(trouble: Trouble, start: int) -> Iterator[Change]:
    """G90 again, at one of the blocks after a G91."""
    case = trouble.case
    later = [index for index in case.coded if index > start][:FORGOTTEN]
    for far, index in enumerate(later):
        if "G90" in case.blocks[index].names:
            return
        yield trouble.put_in(
            index,
            "G90",
            f"G91 is still in force in {case.named(index)}, whose coordinates are places: put G90 before it.",
            0.5 + 0.05 * far,
        )


def _home(trouble: Trouble) -> Iterator[Change]:
    """G28 by way of a place that is in the work: in G90 its numbers are a place on the way."""
    case = trouble.case
    for index in case.coded:
        block = case.blocks[index]
        if not block.names & {"G28", "G30"} or case.in_force[index].incremental or "G91" in block.names:
            continue
        axes = [word for word in block.words if word.letter in "XYZ"]
        if not axes:
            continue
        way = " ".join(f"{word.letter}0" for word in axes)
        home = next(word.text for word in block.words if word.text in ("G28", "G30"))
        others = [word.text for word in block.words if word.letter not in "XYZ" and word.text != home]
        with_way = case.with_block(index, block.saying(f"G91 {home} {way}"))
        yield Change(
            line=block.number,
            was=block.bare,
            would_be=f"G91 {home} {way}, then G90",
            because=f"{case.said(index)} says {block.bare}. In G90 that is a place which the tool goes to on its way "
            f"home, and it lies at the work: write G91 {home} {way}, then G90.",
            doubt=0.1 + 0.3 * trouble.far(index),
            case=with_way.with_new(index + 1, " ".join(["G90", *others])),
        )


def _shifts(trouble: Trouble) -> Iterator[Change]:
    """G92 and G10 that move the zero away from where it was touched off."""
    case = trouble.case
    for index in case.coded:
        block = case.blocks[index]
        if not block.names & {"G92", "G10"}:
            continue
        yield Change(
            line=block.number,
            was=block.bare,
            would_be="",
            because=f"{case.said(index)} says {block.bare}, which shifts what was set at the control: take it out.",
            doubt=0.6,
            case=case.with_block(index, block.saying("")),
        )
