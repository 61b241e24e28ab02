"""Words, modal groups and block order against pygcode; the standard decides, and each difference has its reason."""

from __future__ import annotations

from itertools import pairwise

import pygcode
import pytest
from pygcode.gcodes import MODAL_GROUP_MAP, word_gcode_class
from pygcode.words import Word

from handwheel.rs274 import validate_block
from handwheel.rs274.vocabulary import DIFFERENCES, G_CODES, M_CODES, ORDER, groups

WORDS = (*G_CODES, *M_CODES)

NIST_TABLE_4 = {
    "motion": "G0 G1 G2 G3 G38.2 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89",
    "plane": "G17 G18 G19",
    "distance": "G90 G91",
    "feed mode": "G93 G94",
    "units": "G20 G21",
    "compensation": "G40 G41 G42",
    "length offset": "G43 G49",
    "return": "G98 G99",
    "system": "G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3",
    "path": "G61 G61.1 G64",
    "once": "G4 G10 G28 G30 G53 G92 G92.1 G92.2 G92.3",
    "stop": "M0 M1 M2 M30 M60",
    "tool change": "M6",
    "spindle": "M3 M4 M5",
    "coolant": "M7 M8 M9",
    "overrides": "M48 M49",
}
"""NISTIR 6556, August 2000, section 3.4, table 4."""


def kind(word: str) -> type | None:
    return word_gcode_class(Word(word[0], float(word[1:])))


def test_modal_groups_are_those_of_the_standard() -> None:
    found: dict[str, set[str]] = {}
    for word, group in groups().items():
        found.setdefault(group, set()).add(word)
    assert found == {group: set(words.split()) for group, words in NIST_TABLE_4.items()}


def test_modal_groups_agree_with_pygcode_but_for_the_differences() -> None:
    corrected = {difference.word for difference in DIFFERENCES}
    names = {number: name for name, number in MODAL_GROUP_MAP.items()}
    ours: dict[str, str] = {}
    for word in WORDS:
        if word not in corrected:
            theirs = names[kind(word).modal_group]
            assert ours.setdefault(theirs, groups()[word]) == groups()[word]
    assert len(set(ours.values())) == len(ours)


def test_every_difference_is_one_and_has_a_reason() -> None:
    for difference in DIFFERENCES:
        known = kind(difference.word)
        assert known is None or known.modal_group is None
        assert difference.reason
        assert difference.word in NIST_TABLE_4[difference.group].split()


def test_the_order_in_a_block_agrees_with_pygcode() -> None:
    """N 3.8, table 8: each group comes before the next; a dwell stands apart, before the plane."""
    order = {group: set() for group in ORDER}
    for word in WORDS:
        if kind(word) is not None and word != "G4":
            order[groups()[word]].add(kind(word).exec_order)
    for group, following in pairwise(ORDER):
        assert max(order[group]) <= min(order[following]), (group, following)
    assert max(order["overrides"]) < kind("G4").exec_order < min(order["plane"])


@pytest.mark.parametrize("block", ["G1 X1.5 Y-2. F10.", "N10 G41 D2", "M6 T1", "X.5", "G43 H1", "G53 G0 Z0", "M30"])
def test_sound_blocks_are_passed(block: str) -> None:
    pygcode.Line(block)
    validate_block(block)


@pytest.mark.parametrize("block", ["G1 X1 X2", "G1 G2 X1", "G1 X", "G1 X1.2.3", "M99", "G999", "G1 X+1"])
def test_faulty_blocks_are_refused_by_name(block: str) -> None:
    with pytest.raises(ValueError, match=block.replace("+", r"\+")):
        validate_block(block)
