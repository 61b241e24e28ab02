"""TOML to tables: every fault becomes a problem that names key, value and what would be right."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final, TypeVar

from pydantic import ValidationError

from handwheel.errors import MOST_PROBLEMS, JobError, Problem
from handwheel.shop.quantities import Table
from handwheel.shop.toml_hints import hint
from handwheel.units import Units

T = TypeVar("T", bound=Table)

LARGEST_FILE: Final = 4_000_000
"""Bytes; a job file is a page or two."""

IS_MISSING: Final = "is missing"
OR_LIKE: Final = 'or like = "NAME" of a shop entry'

LONGEST_WORD: Final = 80
"""A longer text is no misspelt word."""
MOST_DOTS: Final = 20
"""In one key: tables are nested a few deep, and the parser's work grows with the square of the dots."""
_DOTTED: Final = re.compile(rf"""\s*\[{{0,2}}(?:\s*(?:[\w-]+|"[^"]*"|'[^']*')\s*\.){{{MOST_DOTS + 1}}}""")
MOST_LISTED: Final = 26
"""Names in a hint: more than these are for a command to list."""


def read_text(path: Path) -> str:
    """The text of a file, UTF-8; a fault is a :class:`JobError` with one problem."""
    if path.is_dir():
        raise _whole(str(path), "is a folder", "name the job file in it")
    if path.exists() and not path.is_file():
        raise _whole(str(path), "is a pipe or a device", "name the job's file")
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= LARGEST_FILE else b""
    except (FileNotFoundError, NotADirectoryError):
        raise _whole(str(path), "there is no such file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _whole(str(path), f"cannot be read: {reason.lower()}") from None
    if size > LARGEST_FILE:
        raise _whole(str(path), "is far too large", "a job file is a page or two of TOML")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _whole(str(path), f"is not UTF-8 text (line {line})", "save it as UTF-8") from None


def parse_toml(text: str, file: str) -> dict[str, Any]:
    """The tables of a TOML text; ``file`` is named in the error."""
    for number, line in enumerate(text.split("\n"), 1):
        if _DOTTED.match(line):
            raise _whole(file, f"line {number} has a key of more than {MOST_DOTS} dots", "nest no tables so deeply")
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _whole(file, f"is not TOML: {_sentence(str(error))}", hint(text, str(error))) from None
    except RecursionError:
        raise _whole(file, "is nested too deeply") from None
    except ValueError as error:
        raise _whole(file, f"is not TOML: {_sentence(str(error))}") from None
    if not content:
        raise _whole(file, "is empty", '"handwheel new DIR" writes one to start from')
    return content


class Reader:
    """Reads tables one after the other and keeps every problem it meets."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.problems: list[Problem] = []

    def table(self, model: type[T], content: object, key: str) -> T | None:
        """A table as its model, or ``None`` and one or more problems."""
        try:
            return model.model_validate(content, context={"units": self.units})
        except ValidationError as error:
            self.problems += problems(error, content, key, model)
            return None

    def like(
        self, model: type[T], content: object, key: str, entries: Mapping[str, Table], default: str | None = None
    ) -> T | None:
        """A table that may start from a shop entry: ``like`` names it, the other keys override it."""
        if not isinstance(content, Mapping):
            return self.table(model, content, key)
        name = content.get("like", default)
        own = {word: value for word, value in content.items() if word != "like"}
        start: Mapping[str, Any] = {}
        found = isinstance(name, str) and name in entries
        if found:
            start = entries[name].model_dump(exclude_unset=True, exclude={"source"})
        elif name is not None:
            self.add(f"{key}.like", name, "the shop has no such entry", nearest(name, entries))
        try:
            table = model.model_validate(overridden(start, own), context={"units": self.units})
        except ValidationError as error:
            for fault in problems(error, content, key, model):
                if fault.reason != IS_MISSING or found:
                    self.problems.append(fault)
                elif name is None:
                    self.problems.append(replace(fault, wanted=f"{fault.wanted}, {OR_LIKE}"))
            return None
        return table if found or name is None else None

    def add(self, key: str, value: object, reason: str, wanted: str = "") -> None:
        """Keep one more problem; ``value`` is :data:`MISSING` where nothing stands."""
        self.problems.append(Problem(key, None if value is MISSING else shown(value), reason, wanted))


class _Missing:
    """Stands where a file has no value."""


MISSING: Final = _Missing()


def overridden(start: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """``start`` with the keys of ``own`` over it, table by table."""
    result = dict(start)
    for key, value in own.items():
        under = result.get(key)
        both = isinstance(under, Mapping) and isinstance(value, Mapping)
        result[key] = overridden(under, value) if both else value  # type: ignore[arg-type]
    return result


def problems(error: ValidationError, content: object, key: str, model: type[Table]) -> Iterator[Problem]:
    """What pydantic found, in the words of the shop."""
    for number, fault in enumerate(error.errors(include_url=False)):
        context = fault.get("ctx", {})
        at = context["key"] if fault["type"] == "key" else ()
        where = (*fault["loc"], *(at if isinstance(at, tuple) else (at,)))
        path = key_path(key, where)
        value = _found(content, where)
        reason, wanted = _said(fault["type"], fault["msg"], context)
        if fault["type"] == "extra_forbidden" and number < MOST_PROBLEMS:
            wanted = nearest(where[-1], _keys(_model_at(model, where[:-1])))
        elif fault["type"] == "literal_error":
            close = _closest(value, _QUOTED.findall(context["expected"]))
            wanted = f'did you mean "{close}"? {wanted}' if close else wanted
        yield Problem(path, None if value is MISSING or fault["type"] == "missing" else shown(value), reason, wanted)


def key_path(key: str, where: Iterable[str | int]) -> str:
    """``operation[2].to``: array tables and values are counted from 1.

    >>> key_path("stock", ("size", 0))
    'stock.size[1]'
    """
    path = key
    for part in where:
        if isinstance(part, int):
            path += f"[{part + 1}]"
        else:
            path += f".{part}" if path else part
    return path


def shown(value: object) -> str:
    """A value as it stands in the file, shortened.

    >>> shown("12 mmm"), shown(True), shown([1, 2.5])
    ('"12 mmm"', 'true', '[1, 2.5]')
    """
    if isinstance(value, bool):
        text = str(value).lower()
    elif isinstance(value, str):
        text = '"' + value.encode("unicode_escape").decode("ascii") + '"' if not value.isprintable() else f'"{value}"'
    elif isinstance(value, Mapping):
        text = "{ " + ", ".join(f"{key} = {shown(part)}" for key, part in value.items()) + " }"
    elif isinstance(value, (list, tuple)):
        text = "[" + ", ".join(shown(part) for part in value) + "]"
    else:
        text = str(value) if not isinstance(value, int) or abs(value) < 10**80 else "a number of more than 80 digits"
    return text if len(text) <= 80 else text[:77] + "…"


def nearest(name: object, known: Iterable[str], lists: str = "handwheel shop") -> str:
    """What was most likely meant, or all that there is; ``lists`` is the command that lists them where they are many.

    >>> nearest("flute", ["flutes", "reach"])
    'did you mean flutes?'
    """
    names = list(known)
    close = _closest(name, names)
    if close:
        return f"did you mean {close}?"
    if len(names) <= MOST_LISTED:
        return "there are: " + ", ".join(sorted(names)) if names else ""
    return f'"{lists}" lists them'


def _closest(name: object, names: list[str]) -> str | None:
    if not isinstance(name, str) or len(name) > LONGEST_WORD:
        return None
    return next(iter(difflib.get_close_matches(name, names, n=1)), None)


def _keys(model: type[Table] | None) -> list[str]:
    if model is None:
        return []
    return [field.alias or name for name, field in model.model_fields.items() if name != "source"]


def _model_at(model: type[Table], where: Iterable[str | int]) -> type[Table] | None:
    """The table that a path of keys leads to."""
    current: type[Table] | None = model
    for part in where:
        if current is None or isinstance(part, int):
            continue
        field = next((f for n, f in current.model_fields.items() if part in (n, f.alias)), None)
        current = _table_in(field.annotation) if field else None
    return current


def _table_in(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    inside = (_table_in(part) for part in getattr(annotation, "__args__", ()))
    return next((found for found in inside if found is not None), None)


def _found(content: object, where: Iterable[str | int]) -> object:
    current = content
    for part in where:
        if isinstance(part, int):
            if not isinstance(current, (list, tuple)) or part >= len(current):
                return MISSING
            current = current[part]
        elif isinstance(current, Mapping) and part in current:
            current = current[part]
        else:
            return MISSING
    return current


def _said(kind: str, message: str, context: Mapping[str, Any]) -> tuple[str, str]:
    """Reason and remedy for one kind of pydantic's errors."""
    if kind == "key":
        return context["reason"], context["wanted"]
    if kind == "value_error":
        return str(context["error"]), ""
    if kind in _COUNTED:
        reason, wanted, number = _COUNTED[kind]
        names = _MEMBER.sub(r"\1", str(context[number]))
        return reason, wanted.format(names.replace("'", '"'))
    return _KINDS.get(kind, (message[0].lower() + message[1:], ""))


_COUNTED: Final = {
    "literal_error": ("is not recognized", "write one of {}", "expected"),
    "too_short": ("has too few values", "write {}", "min_length"),
    "too_long": ("has too many values", "write {}", "max_length"),
    "string_too_long": ("is too long", "at most {} characters", "max_length"),
    "string_too_short": ("is empty", "write something", "min_length"),
}

_MEMBER: Final = re.compile(r"<\w+\.\w+: ('[^']*')>")
"""A word of an enumeration, as pydantic tells it."""

_QUOTED: Final = re.compile(r"'([^']*)'")

_KINDS: Final = {
    "missing": (IS_MISSING, "this key is required"),
    "extra_forbidden": ("no such key", ""),
    "bool_type": ("is no yes or no", "write true or false, without quotes"),
    "string_type": ("is no text", "write it in quotes"),
    "tuple_type": ("is no list", "write the values in square brackets, [1, 2, 3]"),
    "list_type": ("is no list", "write the values in square brackets, [1, 2, 3]"),
    "dict_type": ("is no table", "write its keys below a heading in square brackets"),
    "model_type": ("is no table", "write its keys below a heading in square brackets, or in { }"),
    "model_attributes_type": ("is no table", "write its keys below a heading in square brackets, or in { }"),
}


def _sentence(text: str) -> str:
    return text[:1].lower() + text[1:]


def _whole(file: str, reason: str, wanted: str = "") -> JobError:
    return JobError(file, [Problem("", None, reason, wanted)])
