"""The lesson page as text: one file, complete, the same each time, and safe with any name."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import zlib
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from jobs import sides
from lessons import example, made, spoilt, titled

from handwheel.hand import clock
from handwheel.job import SideMilling
from handwheel.program.head import CAUTIONS
from handwheel.show.page import timeline
from handwheel.show.page.timeline import by_hand, strokes_by_row

EXAMPLES = ("fence-stop", "gauge-stand-base")
NASTY = '<script>alert(1)</script></title>&amp; "quoted"'


class Elements(HTMLParser):
    """Every element of a page with its attributes, and the text of some."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def of(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.found if name == tag]


def facts(page: str) -> dict:
    match = re.search(r'<script type="application/json" id="facts">(.*?)</script>', page, re.DOTALL)
    assert match
    return json.loads(match[1])


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_page_of_an_example_stays_under_three_megabytes(name: str) -> None:
    assert len(example(name).page.encode("utf-8")) < 3_000_000


def test_the_same_job_gives_the_same_page() -> None:
    one = example("fence-stop")
    again = made(one.setup.job, slips=("knee-turn-too-many", "wrong-compensation-side"))
    assert again.page == one.page


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_page_asks_for_nothing_outside_itself(name: str) -> None:
    elements = Elements(example(name).page)
    for tag, attributes in elements.found:
        for key in ("src", "href", "action", "data", "srcset", "poster"):
            target = attributes.get(key)
            assert target is None or target.startswith(("#", "data:")), (tag, key, target)


def test_only_the_pages_own_script_and_style_may_run() -> None:
    # W3C Content Security Policy Level 3: a hash source is the base64 of the SHA-256 of the element's text
    page = example("fence-stop").page
    policy = Elements(page).of("meta")[1]["content"] or ""
    script = re.search(r"<script>(.*?)</script>", page, re.DOTALL)
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)
    assert script
    assert style
    for directive, source in (("script-src", script[1]), ("style-src", style[1])):
        digest = base64.b64encode(hashlib.sha256(source.encode("utf-8")).digest()).decode("ascii")
        assert f"{directive} 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def test_names_that_look_like_markup_are_text() -> None:
    page = titled(NASTY).page
    elements = Elements(page)
    plain = Elements(example("fence-stop").page)
    assert len(elements.of("script")) == len(plain.of("script")) == 3
    assert "alert(1)" in page
    assert "<script>alert" not in page
    # in the title, the heading and the steps, as the user wrote it
    assert sum(NASTY in words for words in elements.words) >= 3
    assert any(NASTY in step["title"] for step in facts(page)["steps"])


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_line_of_the_program_and_every_action_stands_on_the_page(name: str) -> None:
    one = example(name)
    buttons = [b for b in Elements(one.page).of("button") if "line" in (b.get("class") or "").split()]
    by_program = [int(b["data-line"] or 0) for b in buttons if b["data-route"] == "program"]
    lines = [number for number, line in enumerate(one.text.splitlines(), start=1) if line.strip()]
    assert by_program == lines
    assert [int(b["data-line"] or 0) for b in buttons if b["data-route"] == "hand"] == list(
        range(1, len(one.actions) + 1)
    )


def test_the_page_carries_the_cautions() -> None:
    words = " ".join(Elements(example("fence-stop").page).words)
    for caution in CAUTIONS:
        assert caution in words


def test_a_program_that_failed_says_so_and_shows_why_at_its_block() -> None:
    # compensation on the wrong side of the front edge cuts into the part (NISTIR 6556, 3.5.10: G41 left, G42 right)
    spoilt_one = spoilt("N340 G42", "N340 G41")
    page = spoilt_one.page
    assert "NOT PROVED" in page
    line = next(one.line for one in spoilt_one.proof.findings if one.code == "gouge")
    item = re.search(rf'data-route="program" data-line="{line}".*?</li>', page, re.DOTALL)
    assert item
    assert 'class="finding reject"' in item[0]


def test_packed_numbers_are_little_endian_and_deflated() -> None:
    page = example("fence-stop").page
    match = re.search(r'id="packed">([^<]*)</script>', page)
    assert match
    raw = zlib.decompress(base64.b64decode(match[1]))
    place = facts(page)["routes"]["program"]["metal"]["height"]
    heights = np.frombuffer(raw, dtype="<f4", count=place["count"], offset=place["at"])
    # what the job file asks for: the top at zero, each side as deep as its operation says
    depths = {one.depth for one in example("fence-stop").setup.operations if isinstance(one, SideMilling)}
    assert heights.min() == pytest.approx(-max(depths), abs=1e-6)
    for floor in (0.0, *(-depth for depth in depths)):
        assert np.abs(heights - floor).min() < 1e-6


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_page_takes_as_long_by_hand_as_the_clock_says(name: str) -> None:
    one = example(name)
    job = one.setup.job
    spans = by_hand(one.setup, one.actions, one.execution)
    by_step: dict[int, float] = {}
    for span in spans:
        by_step[span.step] = by_step.get(span.step, 0.0) + span.seconds
    assert by_step == pytest.approx(clock(job, one.actions, one.execution))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_scale_goes_on_from_where_it_stood(name: str) -> None:
    one = example(name)
    spans = by_hand(one.setup, one.actions, one.execution)
    for before, after in pairwise(spans):
        assert before.after == after.before
    assert {span.row for span in spans} - {-1} == set(range(len(one.execution.moves)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_by_program_the_page_takes_as_long_as_the_proof(name: str) -> None:
    one = example(name)
    seconds = facts(one.page)["routes"]["program"]["spans"]["seconds"]
    assert sum(seconds) == pytest.approx(one.proof.seconds.total, abs=1e-3)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_passes_of_the_program_are_those_of_the_plan(name: str) -> None:
    one = example(name)
    strokes = np.array(strokes_by_row(one.proof.tip))
    for step in one.plan.steps:
        of_step = strokes[one.proof.tip.step == step.number]
        # 0: the way there of a step that cuts nothing, and the way home after the last
        assert set(of_step.tolist()) - {0} == set(range(1, len(step.strokes) + 1))


def test_an_edge_finder_is_shown_while_it_is_in_the_spindle() -> None:
    one = example("fence-stop")
    spans = by_hand(one.setup, one.actions, one.execution)
    first = next(span for span in spans if span.tool > 0)
    assert any(span.tool in timeline.finders(one.setup) for span in spans if span.line < first.line)


def test_two_edge_finders_of_different_size_are_shown_each_at_its_own() -> None:
    # what stands in the spindle is what the sheet's own lines put there (common practice)
    touch_off = """[touch_off]
x = { with = "edge finder", diameter = 6 }
y = { with = "edge finder", diameter = 10 }
z = { with = "paper", thickness = 0.05 }
"""
    one = made(replace(sides("front"), extra=touch_off).job())
    shown = facts(one.page)
    spans = shown["routes"]["hand"]["spans"]
    lines = re.findall(r"<b>(\d+)</b><span>Put in the edge finder, (\d+) mm across", one.page)
    assert {size for _, size in lines} == {"6", "10"}
    for line, size in lines:
        tool = spans["tool"][spans["line"].index(int(line))]
        assert shown["cutters"][str(tool)]["diameter"] == float(size)


def test_each_time_by_program_says_whether_stops_are_counted_in_it() -> None:
    # an operator's time at a stop is no time of the machine's (common practice): two figures, two names
    words = " ".join(Elements(example("fence-stop").page).words)
    assert "By program, without stops" in words
    assert "min by program, with stops" in words


def test_a_slip_at_the_vise_is_shown_in_the_vise_as_it_was_set() -> None:
    # on lower parallels the work sinks: seen from the work, the jaws stand higher by as much (geometry)
    one = made(example("fence-stop").setup.job, slips=("parallels-one-size-low",))
    shown = facts(one.page)
    (slip,) = shown["slips"]
    height, own = (
        boxes["parallels"][0][1][2] - boxes["parallels"][0][0][2] for boxes in (shown["boxes"], slip["boxes"])
    )
    assert own < height
    assert slip["boxes"]["jawTop"] - shown["boxes"]["jawTop"] == pytest.approx(height - own)


def test_after_something_was_struck_the_part_is_not_measured_and_what_was_struck_first_is_said() -> None:
    # after a crash the job ends at the machine: nobody takes sizes of such a part (common practice)
    one = made(example("fence-stop").setup.job, slips=("parallels-one-size-low", "last-pass-skipped"))
    struck, plain = one.page.split('<article class="slip-card"')[1:]
    assert "First collision (step 4, line " in struck
    assert struck.count("<td>not measured</td>") == len(one.proof.dimensions)
    assert "not measured" not in plain.split("</article>")[0]


def test_a_slip_whose_sizes_hold_is_no_pass_where_an_instructor_would_step_in() -> None:
    """Climb milling against a screw with play grabs the table, whatever the gauge reads later (common practice)."""
    page = made(example("fence-stop").setup.job, slips=("climb-with-backlash",)).page
    assert "after the slip: sizes hold, but it is unsafe" in page
    assert "after the slip: the part passes" not in page


@pytest.mark.parametrize(
    "page",
    sorted(Path(__file__).parents[2].glob("out/*/lesson*.html")),
    ids=lambda page: f"{page.parent.name}-{page.stem}",
)
def test_a_page_that_is_handed_out_stays_under_three_megabytes(page: Path) -> None:
    assert page.stat().st_size < 3_000_000
