"""The files of a class report, in pieces: a page of ten thousand submissions is never in memory whole."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from importlib.resources import files
from typing import Any

from handwheel.check import level_of
from handwheel.learn.whole_class.judgement import Judgement
from handwheel.learn.whole_class.report import ClassReport
from handwheel.path.box import Box
from handwheel.proof import Routes
from handwheel.units import Units, from_units, shop_number

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def class_files(report: ClassReport, routes: Sequence[Routes], told: Mapping[str, Any]) -> dict[str, Iterable[bytes]]:
    """``class.html``, ``class.csv`` and ``class.json``, each in pieces.

    Parameters
    ----------
    report : every submission judged
    routes : the job's own, for the work in its vise behind each backplot
    told : the report's JSON
    """
    return {
        "class.html": (piece.encode() for piece in _page(report, routes, told)),
        "class.csv": _table(told["submissions"]),
        "class.json": [(json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()],
    }


def _table(entries: Sequence[Mapping[str, Any]]) -> Iterator[bytes]:
    """A row a submission; with a byte order mark, by which spreadsheets know UTF-8."""
    yield b"\xef\xbb\xbf"
    yield _row(["submission", "verdict", "seconds", "findings", "sizes out", "why", "error"])
    for one in entries:
        yield _row(
            [
                one["name"],
                _verdict(one["verdict"]),
                "" if one["seconds"] is None else f"{one['seconds']:.0f}",
                ", ".join(_codes(one)),
                ", ".join(one["out"]),
                " ".join(cause["change"] for cause in one.get("why", ())),
                one.get("error", ""),
            ]
        )


def _row(cells: Sequence[str]) -> bytes:
    """A line of the table; what a spreadsheet would take for a formula gets an apostrophe (common practice)."""
    held = io.StringIO()
    csv.writer(held).writerow([f"'{one}" if one.startswith(_FORMULA) else one for one in cells])
    return held.getvalue().encode()


def _verdict(verdict: str | None) -> str:
    return verdict or "not proved"


def _codes(entry: Mapping[str, Any]) -> list[str]:
    """What was found, other than notes."""
    return [code for code in entry["findings"] if level_of(code) != "note"]


def _page(report: ClassReport, routes: Sequence[Routes], told: Mapping[str, Any]) -> Iterator[str]:
    web = files(__package__) / "web"
    head, rows, behind, end = (web / "class.html").read_text(encoding="utf-8").split("<!-- | -->\n")
    entries = told["submissions"]
    yield _filled(
        head,
        title=escape(f"{report.job}: class report"),
        css=(web / "class.css").read_text(encoding="utf-8"),
        summary=_summary(entries),
        common=_common(told),
        causes=_causes(entries),
    )
    for number, entry in enumerate(entries):
        yield _entry(number, entry)
    yield rows
    for number, (_, judgement) in enumerate(report.each()):
        yield f'<script type="application/json" id="d{number}">{_in_page(_behind(judgement))}</script>\n'
    yield behind
    scene = [_scene(one) for one in routes]
    script = (web / "class.js").read_text(encoding="utf-8")
    yield _filled(end, units=report.units, scene=_in_page(scene), js=script)


def _filled(text: str, **places: str) -> str:
    for name, value in places.items():
        text = text.replace(f"<!-- {name} -->", value)
    return text


def _in_page(told: Any) -> str:
    """JSON that cannot end the script it stands in."""
    packed = json.dumps(told, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return packed.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _summary(entries: Sequence[Mapping[str, Any]]) -> str:
    counts = Counter(_verdict(one["verdict"]) for one in entries)
    handed = "1 submission" if len(entries) == 1 else f"{len(entries)} submissions"
    told = f"{handed}: {counts['pass']} pass, {counts['fail']} fail"
    return f"{told}, {counts['not proved']} not proved." if counts["not proved"] else f"{told}."


def _common(told: Mapping[str, Any]) -> str:
    return _list((f"<b>{escape(one['code'])}</b>", one["submissions"]) for one in told["common"][:10])


def _causes(entries: Sequence[Mapping[str, Any]]) -> str:
    """Which mistakes explain most of what failed, by what is said and what should be."""
    found = Counter(
        _changed(was, would_be)
        for one in entries
        for was, would_be in {(cause["was"], cause["would_be"]) for cause in one.get("why", ())}
    )
    return _list(sorted(found.items(), key=lambda item: (-item[1], item[0]))[:10])


def _changed(was: str, would_be: str) -> str:
    if not was:
        return f"<b>{escape(would_be)}</b> is missing"
    return (
        f"<b>{escape(was)}</b> should be <b>{escape(would_be)}</b>"
        if would_be
        else f"<b>{escape(was)}</b> should not be there"
    )


def _list(counted: Iterable[tuple[str, int]]) -> str:
    lines = [
        f"<li>{words}: {'1 submission' if count == 1 else f'{count} submissions'}</li>" for words, count in counted
    ]
    return f"<ol>{''.join(lines)}</ol>" if lines else "<p>None.</p>"


def _entry(number: int, entry: Mapping[str, Any]) -> str:
    seconds = entry["seconds"]
    time = "" if seconds is None else f"{round(seconds) // 60}:{round(seconds) % 60:02d}"
    cause = " ".join(one["change"] for one in entry.get("why", ())) or entry.get("error", "")
    verdict = _verdict(entry["verdict"])
    cells = (
        f'<th scope="row"><button aria-expanded="false" data-row="{number}">{escape(entry["name"])}</button></th>',
        f'<td data-sort="{("fail", "not proved", "pass").index(verdict)}"><b>{verdict}</b></td>',
        f"<td>{escape(', '.join(_codes(entry)))}</td>",
        f"<td>{escape(', '.join(entry['out']))}</td>",
        f'<td class="number" data-sort="{-1 if seconds is None else seconds!r}">{time}</td>',
        f"<td>{escape(cause)}</td>",
    )
    return f'<tr data-place="{number}">{"".join(cells)}</tr>\n'


def _behind(judgement: Judgement) -> dict[str, Any]:
    """What the page shows behind a row."""
    proof = judgement.proof or {}
    findings = [
        [one["level"], one["code"], one["setup"], one["line"], one["at"], one["count"], one["message"]]
        for one in proof.get("findings", ())
    ]
    sizes = [
        [one["name"], *(_size(one[name], proof["units"]) for name in ("lower", "upper", "measured")), one["ok"]]
        for one in proof.get("dimensions", ())
    ]
    return {"findings": findings, "sizes": sizes, "paths": judgement.paths}


def _size(value: float | None, units: Units) -> str:
    """A size of a proof's JSON, as a drawing has it."""
    return "nothing met" if value is None else shop_number(from_units(value, units), units)


def _scene(one: Routes) -> dict[str, Any]:
    """The work in its vise, as boxes in whole hundredths of a mm: raw block, finished block, jaws, parallels."""
    setup = one.setup
    boxes = (("raw", setup.raw), ("finished", setup.finished), ("jaw", setup.fixed_jaw), ("jaw", setup.movable_jaw))
    others = [("parallel", box) for box in setup.parallels] + ([] if setup.stop is None else [("stop", setup.stop)])
    return {"name": setup.name, "boxes": [[name, *_whole(box)] for name, box in (*boxes, *others)]}


def _whole(box: Box) -> list[int]:
    return [round(value * 100.0) for value in (*box.low, *box.high)]
