"""What a beginner most likely meant where a text is not TOML: a hint beside the parser's place."""

from __future__ import annotations

import re
from typing import Final

LONGEST: Final = 500
"""Characters of a line; a longer one is no slip of the pen."""

_PLACE: Final = re.compile(r"at line (\d+), column \d+")
_VALUE: Final = re.compile(r"\s*(?P<key>[\w.-]+)\s*=\s*(?P<value>[^#]*?)\s*(?:#.*)?")
_COLON: Final = re.compile(r"\s*[\w.-]+\s*:\s*\S.*")
_HEADING: Final = re.compile(r"\s*\[\[?\s*(?P<name>[\w.-]+)\s*\]?\]?\s*(?:#.*)?")

_NUMBER = r"[+-]?\d+(?:\.\d+)?"
_VALUES: Final = (
    (re.compile(r"[+-]?\d+,\d+"), "the decimal sign is a point: {point}"),
    (re.compile(rf"{_NUMBER}(?:\s*,\s*{_NUMBER})+"), "several values stand in square brackets: [{value}]"),
    (re.compile(r"[+-]?(?:\d+[- ])?\d+/\d+(?:\s*(?:in|mm|\"))?"), 'a fraction needs quotes: "{bare}"'),
    (re.compile(rf"{_NUMBER}\s*[A-Za-z\"][^\"]*\"?"), 'a number with its unit needs quotes: "{bare}"'),
    (re.compile(r"[+-]?\.\d+"), "a number begins before its point: {zero}"),
    (re.compile(r"[+-]?\d+\."), "a number goes on after its point: {value}0"),
    (re.compile(r".*[“”„«»].*"), 'the quotes are straight ones: "…"'),
    (re.compile(r'".*".*"|\'.*\'.*\''), "quotes inside a text are written \\\", or the whole stands in '…'"),
    (re.compile(r"[\"'][^\"']*"), "the quotes at the end are missing"),
    (re.compile(r"[A-Za-z][^\"'=]*"), 'a text needs quotes: "{value}"'),
    (re.compile(r""), "a value is missing after ="),
)
"""How a value is spelled wrong, and what to write; the first that fits counts."""


def hint(text: str, message: str) -> str:
    """The hint for a text that the parser refused with ``message``; empty where nothing is plain.

    >>> hint("depth = 0,6", "Expected newline (at line 1, column 10)")
    'the decimal sign is a point: 0.6'
    """
    place = _PLACE.search(message)
    lines = text.splitlines()
    if place is None or int(place[1]) > len(lines):
        return ""
    line = lines[int(place[1]) - 1]
    return "" if len(line) > LONGEST else _meant(line, message)


def _meant(line: str, message: str) -> str:
    if line.lstrip().startswith("["):
        return _heading(line)
    if "overwrite" in message:
        return "this key stands above already; each tool, operation and dimension begins with its own heading, [[…]]"
    match = _VALUE.fullmatch(line)
    if match is not None:
        return _value(match["value"])
    return "write = between key and value" if _COLON.fullmatch(line) else ""


def _value(value: str) -> str:
    inches = re.sub(r'\s*"$', " in", value)
    shown = {"value": value, "bare": inches, "point": value.replace(",", "."), "zero": value.replace(".", "0.")}
    return next((wanted.format(**shown) for spelling, wanted in _VALUES if spelling.fullmatch(value)), "")


def _heading(line: str) -> str:
    match = _HEADING.fullmatch(line)
    if match is None:
        return ""
    name = match["name"]
    if line.count("[") != line.count("]"):
        return f"as many brackets close as open: [{name}], or [[{name}]] where there can be several"
    return f"write [[{name}]], with two brackets, where there can be several; any other heading stands once"
