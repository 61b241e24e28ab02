"""The printed packet, read back with poppler's tools as a print shop would."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from pathlib import Path

import matplotlib
import pytest
from fontTools.ttLib import TTFont

from handwheel.hand import actions
from handwheel.hand.entries import Numbered, Subheading
from handwheel.hand.sheet import sheet_parts
from handwheel.job import Job, read_job, read_job_text
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.program.head import CAUTIONS
from handwheel.proof import Proof, Routes, prove_setup
from handwheel.proof.comparison import compare
from handwheel.setup import set_up
from handwheel.show.draw.drawings import part_drawing, save, setup_drawing
from handwheel.show.paper import packet
from handwheel.units import shop_number

EXAMPLES = ("gauge-stand-base", "fence-stop")
MM_PER_POINT = 25.4 / 72

pytestmark = pytest.mark.skipif(
    shutil.which("pdftotext") is None and os.environ.get("CI") != "true", reason="poppler-utils is not installed"
)


def made(job: Job, program: str | None = None) -> bytes:
    """The packet; of another program than the job's own where one is given."""
    setup = set_up(job)[0]
    comparison = compare([Routes(setup)])
    if program is not None:
        proof = prove_setup(setup, program, f"{job.name}.nc")
        both = replace(comparison.setups[0], by_program=proof, text=program)
        comparison = replace(comparison, by_program=Proof((proof,)), setups=(both,))
    steps = plan(set_up(job)[0], Route.BY_PROGRAM)
    drawings = {
        "set-up drawing": save(setup_drawing(setup, steps, comparison.setups[0].by_program), "svg"),
        "part drawing": save(part_drawing(setup, steps, comparison.setups[0].by_program), "svg"),
    }
    return packet(comparison, drawings)


@cache
def example(name: str) -> tuple[Job, bytes]:
    job = read_job(Path(__file__).parents[2] / "examples" / name / "job.toml")
    return job, made(job)


def poppler(tool: str, pdf: bytes, *options: str) -> str:
    """What one of poppler's tools says of a PDF; ``-`` in the options is standard input and output."""
    ran = subprocess.run([tool, *options], input=pdf, capture_output=True, check=True, timeout=60)
    return ran.stdout.decode("utf-8")


def pages(pdf: bytes) -> list[str]:
    """The text of each page, its lines run together and the minus as the sheets in text have it."""
    text = poppler("pdftotext", pdf, "-layout", "-", "-")
    return [one_line(page) for page in text.split("\f")[:-1]]


def one_line(text: str) -> str:
    return " ".join(text.replace("−", "-").replace("\u200b", "").split())


def words(pdf: bytes, tmp_path: Path) -> list[tuple[int, float, float, float, float]]:
    """Page, left, top, right and bottom of every word, in points."""
    file = tmp_path / "packet.pdf"
    file.write_bytes(pdf)
    tree = ET.fromstring(poppler("pdftotext", b"", "-bbox", str(file), "-"))
    space = "{http://www.w3.org/1999/xhtml}"
    found = []
    for number, page in enumerate(tree.iter(f"{space}page"), start=1):
        for word in page.iter(f"{space}word"):
            found.append((number, *(float(word.get(key, "nan")) for key in ("xMin", "yMin", "xMax", "yMax"))))
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_step_action_and_size_stands_in_the_packet(name: str) -> None:
    job, pdf = example(name)
    text = " ".join(pages(pdf))
    steps = plan(set_up(job)[0], Route.BY_HAND)
    parts = sheet_parts(set_up(job)[0], steps, actions(set_up(job)[0], steps))
    for step, entries in zip(steps.steps, parts.steps, strict=True):
        assert f"STEP {step.number}: {step.title}" in text
        for entry in entries:
            if isinstance(entry, Numbered):
                assert f"{entry.number} {entry.text}" in text
    for size in job.dimensions:
        limits = (shop_number(value, job.units) for value in (size.nominal, size.lower, size.upper))
        assert re.search(rf"{re.escape(size.name)} {' '.join(map(re.escape, limits))} {size.gauge[:5]}", text)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_listing_holds_every_line_of_the_program_in_order(name: str) -> None:
    job, pdf = example(name)
    program = write_program(set_up(job)[0], plan(set_up(job)[0], Route.BY_PROGRAM))
    text = " ".join(pages(pdf))
    place = 0
    for number, line in enumerate(program.splitlines(), start=1):
        place = text.index(f"{number} {one_line(line)}", place) + 1


@pytest.mark.parametrize("name", EXAMPLES)
def test_sheets_come_in_the_order_they_are_handed_out(name: str) -> None:
    _, pdf = example(name)
    text = " ".join(pages(pdf))
    order = [
        "Set-up sheet Title",
        # nobody touches a machine before these
        "Cautions At either machine",
        "Route sheet, by hand Dials",
        "Program 1 %",
        "Tool and offset list Tools in their holders",
        "Inspection sheet size",
        "Comparison Step by step",
    ]
    starts = [text.index(title) for title in order]
    assert starts == sorted(starts)
    for caution in CAUTIONS:
        assert caution in text


@pytest.mark.parametrize("name", EXAMPLES)
def test_pages_are_numbered_and_each_has_its_title_block(name: str) -> None:
    job, pdf = example(name)
    found = pages(pdf)
    for number, page in enumerate(found, start=1):
        assert page.endswith(f"{number} of {len(found)}")
        if page != f"{number} of {len(found)}":  # a drawing has its own title block, in outlines
            # the data fields of ISO 7200 (from memory)
            for field in ("Number", "Title", "Document", "Owner", "Drawn by", "Approved, date", "Sheet"):
                assert field in page
            assert job.title in page
            assert job.part_number in page


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_step_goes_on_over_the_page_so_that_no_page_of_the_route_stands_nearly_empty(
    name: str, tmp_path: Path
) -> None:
    # a packet is printed for every trainee: paper is not wasted, but a step's head, which is kept whole with its first
    # lines, may take the next page (common practice)
    _, pdf = example(name)
    found = pages(pdf)
    route = [n for n, page in enumerate(found, start=1) if "Document" in page and "Route sheet, by hand" in page]
    everything = words(pdf, tmp_path)
    _, paper = paper_sizes(pdf, tmp_path)[0]
    block = paper - 35.0 / MM_PER_POINT
    for number in route[:-1]:
        assert max(bottom for page, _, _, _, bottom in everything if page == number and bottom < block) > 0.4 * paper
    # the readings before a step never stand alone, and a step says on every page which it is
    for number in route[1:]:
        assert re.match(r"STEP \d+: ", found[number - 1])


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_page_turns_between_a_lock_and_its_feed_or_a_touch_and_its_dial(name: str) -> None:
    """Hands are on the handles there, and the figure must not be lost (common practice)."""
    job, pdf = example(name)
    found = pages(pdf)
    setup, steps = set_up(job)[0], plan(set_up(job)[0], Route.BY_HAND)
    bonds = 0
    for step, entries in zip(steps.steps, sheet_parts(setup, steps, actions(setup, steps)).steps, strict=True):
        lines = [entry for entry in entries if isinstance(entry, Numbered)]
        page_of = {
            line.number: next(k for k, page in enumerate(found) if f" {line.number} {line.text}" in page)
            for line in lines
        }
        head = next(page for page in found if f"STEP {step.number}: {step.title} Tool" in page)
        for line in lines[:2]:  # the head with its readings, and the first lines
            assert f" {line.number} {line.text}" in head
        for first, last in (("Lock ", ("FEED ",)), ("Touch ", ("Set the ", "Zero the "))):
            for index, line in enumerate(lines):
                after = next((one for one in lines[index + 1 :] if one.text.startswith(last)), None)
                if line.text.startswith(first) and after is not None:
                    bonds += 1
                    assert page_of[line.number] == page_of[after.number], (line, after)
    assert bonds > 10


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_read_at_arms_length_is_as_large_as_the_hazard_and_stands_above_the_rest(
    name: str, tmp_path: Path
) -> None:
    file = tmp_path / "packet.pdf"
    file.write_bytes(example(name)[1])
    xml = poppler("pdftohtml", b"", "-xml", "-i", "-stdout", str(file))
    size_of = dict(re.findall(r'<fontspec id="(\d+)" size="(\d+)"', xml))
    labels = re.findall(r'font="(\d+)"><b>\s*(Tool|Speed|Feed|Cut|Lock|Hazard|Why|Time)\s*</b>', xml)
    sizes = {label: {size_of[font] for font, one in labels if one == label} for _, label in labels}
    assert sizes["Speed"] == sizes["Feed"] == sizes["Cut"] == sizes["Lock"] == sizes["Hazard"] == sizes["Tool"]
    # every step's head begins with its tool
    heads = " ".join(label for _, label in labels).split("Tool ")[1:]
    assert len(heads) == len(plan(set_up(example(name)[0])[0], Route.BY_HAND).steps)
    for head in heads:
        assert head.split().index("Hazard") < head.split().index("Why") < head.split().index("Time")
        assert head.split()[-2:] == ["Why", "Time"]


def paper_sizes(pdf: bytes, tmp_path: Path) -> list[tuple[float, float]]:
    """Width and height of each page, in points."""
    file = tmp_path / "sizes.pdf"
    file.write_bytes(pdf)
    found = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", poppler("pdfinfo", b"", "-l", "99", str(file)))
    return [(float(across), float(up)) for across, up in found]


@pytest.mark.parametrize(("name", "width", "height"), [(EXAMPLES[0], 215.9, 279.4), (EXAMPLES[1], 210.0, 297.0)])
def test_inch_jobs_print_on_letter_and_metric_jobs_on_a4(
    name: str, width: float, height: float, tmp_path: Path
) -> None:
    """ANSI/ASME Y14.1: Letter is 8.5 by 11 in; ISO 216: A4 is 210 by 297 mm (from memory). Drawings lie."""
    lying = 0
    for across, up in paper_sizes(example(name)[1], tmp_path):
        mm = (across * MM_PER_POINT, up * MM_PER_POINT)
        lying += mm[0] > mm[1]
        assert sorted(mm) == pytest.approx([width, height], abs=0.1)
    assert lying == 2


@pytest.mark.parametrize("name", EXAMPLES)
def test_one_family_of_type_and_no_capital_under_two_and_a_half_millimetres(name: str, tmp_path: Path) -> None:
    """ISO 3098-1: 2.5 mm is the height of the smallest lettering on a drawing (from memory). The share of a capital in
    the type's size is the font file's own (OS/2 table)."""
    _, pdf = example(name)
    file = tmp_path / "packet.pdf"
    file.write_bytes(pdf)
    fonts = poppler("pdffonts", b"", str(file)).splitlines()[2:]
    assert fonts
    assert all(re.match(r"[A-Z]{6}\+DejaVuSans(Mono)?(-Bold)?\s", line) for line in fonts)
    capital = {}
    for cut in ("DejaVuSans", "DejaVuSans-Bold", "DejaVuSansMono", "DejaVuSansMono-Bold"):
        font = TTFont(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / f"{cut}.ttf")
        capital[cut] = font["glyf"]["H"].yMax / font["head"].unitsPerEm
    least = min(capital.values())
    zoom = 3  # the most that pdftohtml takes; its sizes are whole dots, so half a dot either way
    xml = poppler("pdftohtml", b"", "-xml", "-i", "-zoom", str(zoom), "-stdout", str(file))
    sizes = {(float(size) + 0.5) / zoom * MM_PER_POINT for size in re.findall(r'<fontspec id="\d+" size="(\d+)"', xml)}
    assert min(sizes) * least >= 2.5
    # the route sheet is read at the machine: its actions are a size larger
    assert any(size * least >= 3.5 for size in sizes)


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_is_printed_outside_the_margins(name: str, tmp_path: Path) -> None:
    _, pdf = example(name)
    assert inside_margins(pdf, tmp_path)


def inside_margins(pdf: bytes, tmp_path: Path) -> bool:
    sizes = paper_sizes(pdf, tmp_path)
    for page, left, top, right, bottom in words(pdf, tmp_path):
        width, height = sizes[page - 1]
        if left < 19.9 / MM_PER_POINT or right > width - 9.9 / MM_PER_POINT or top < 0 or bottom > height:
            return False
    return True


def test_the_same_job_gives_the_same_bytes() -> None:
    job, pdf = example(EXAMPLES[0])
    assert made(job) == pdf
    assert b"CreationDate" not in pdf
    assert b"ModDate" not in pdf


AWKWARD = '#panic("x") *b* _i_ $x^2$ `raw` // \\ "q" <script>alert(1)</script> @ref = ~ [ ] {y} 1. -'


def test_titles_and_names_are_shown_as_text_whatever_they_hold(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "examples" / EXAMPLES[0] / "job.toml").read_text(encoding="utf-8")
    text = text.replace('title = "Base for an indicator stand"', f"title = {quoted(AWKWARD)}")
    text = text.replace('name = "front"', f"name = {quoted('#f(x) *front*')}")
    text = text.replace('name = "width"', f"name = {quoted('$width$ [ ] #w')}")
    text = text.replace('part_number = "GS-104"', f"part_number = {quoted('#7 $<a>')}")
    pdf = made(read_job_text(text, "awkward"))
    # lines may break within a name: spaces do not count
    shown = "".join("".join(pages(pdf)).split())
    for name in (AWKWARD, "#f(x) *front*: finish", "$width$ [ ] #w 2.375", "#7 $<a>"):
        assert "".join(name.split()) in shown
    assert inside_margins(pdf, tmp_path)


def quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def test_words_without_end_stay_on_the_page(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "examples" / EXAMPLES[1] / "job.toml").read_text(encoding="utf-8")
    text = text.replace('title = "Stop for the bandsaw fence"', f'title = "{"W" * 200}"')
    text = text.replace('part_number = "BS-27"', f'part_number = "{"M" * 60}"\nnotes = "{"m" * 300}"')
    text = text.replace('name = "lip"', f'name = "{"W" * 80}"').replace('name = "lip depth"', f'name = "{"W" * 80}"')
    assert inside_margins(made(read_job_text(text, "wide")), tmp_path)


def test_a_program_that_is_not_proved_is_marked_so_in_its_listing() -> None:
    job, _ = example(EXAMPLES[0])
    program = write_program(set_up(job)[0], plan(set_up(job)[0], Route.BY_PROGRAM)).replace("M3", "M4")
    found = pages(made(job, program))
    listing = next(page for page in found if page.startswith("Program"))
    assert listing.startswith("Program NOT PROVED - do not run")
    assert any("Findings by program: fail" in page for page in found)


def test_a_job_without_operations_still_has_its_set_up_and_cautions() -> None:
    text = 'handwheel = 1\ntitle = "Bare"\nunits = "mm"\nmaterial = "brass"\n[stock]\nsize = [80, 50, 30]\n'
    found = pages(made(read_job_text(text, "bare")))
    assert found[0].startswith("Set-up sheet")
    assert not any(page.startswith("Route sheet") for page in found)
    assert any("Cautions At either machine" in page for page in found)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_comparison_stands_on_one_page_with_both_times_and_both_sizes(name: str) -> None:
    job, pdf = example(name)
    page = next(page for page in pages(pdf) if page.startswith("Comparison"))
    assert sum("Comparison" in one for one in pages(pdf)) == 1
    for size in job.dimensions:
        assert size.name in page
    for step in plan(set_up(job)[0], Route.BY_HAND).steps:
        assert re.search(rf" {step.number} \d+-\d+ [\d.]+ \d+ \d+ \d+:\d\d ", page)


def test_every_heading_of_the_set_up_is_printed() -> None:
    job, pdf = example(EXAMPLES[0])
    steps = plan(set_up(job)[0], Route.BY_HAND)
    parts = sheet_parts(set_up(job)[0], steps, actions(set_up(job)[0], steps))
    text = " ".join(pages(pdf))
    headings = [entry.text for entry in parts.set_up if isinstance(entry, Subheading)]
    assert len(headings) >= 4
    assert all(heading in text for heading in headings)
