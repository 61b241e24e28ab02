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

from handwheel.hand import actions, card
from handwheel.hand.card import Do, Drill
from handwheel.job import Job, read_job, read_job_text
from handwheel.plan import Route, plan
from handwheel.program import write_program
from handwheel.program.head import CAUTIONS
from handwheel.proof import Proof, Routes, prove_setup
from handwheel.proof.comparison import compare
from handwheel.setup import set_up
from handwheel.show.draw.drawings import part_drawing, path_drawing, save, setup_drawing
from handwheel.show.draw.setup_card import setup_picture
from handwheel.show.paper import cards, packet
from handwheel.units import shop_number

EXAMPLES = ("gauge-stand-base", "fence-stop")
MM_PER_POINT = 25.4 / 72

pytestmark = pytest.mark.skipif(
    shutil.which("pdftotext") is None and os.environ.get("CI") != "true", reason="poppler-utils is not installed"
)


def made(job: Job, program: str | None = None) -> bytes:
    """The packet; of another program than the job's own where one is given."""
    return printed(job, program)[0]


def printed(job: Job, program: str | None = None) -> tuple[bytes, bytes]:
    """The packet and the cards."""
    comparison = compare([Routes(setup) for setup in set_up(job)])
    if program is not None:
        proof = prove_setup(set_up(job)[0], program, f"{job.name}.nc")
        both = replace(comparison.setups[0], by_program=proof, text=program)
        comparison = replace(comparison, by_program=Proof((proof,)), setups=(both,))
    drawings = {}
    for both in comparison.setups:
        setup, of = both.setup, f"-{both.setup.number}" if len(comparison.setups) > 1 else ""
        steps = plan(setup, Route.BY_PROGRAM)
        drawings[f"set-up{of} drawing"] = save(setup_drawing(setup, steps, both.by_program), "svg")
        drawings[f"path{of} drawing"] = save(path_drawing(setup, steps, both.by_program), "svg")
        drawings[f"set-up{of} card"] = save(setup_picture(setup), "svg")
        if both is comparison.setups[-1]:
            drawings["part drawing"] = save(part_drawing(comparison.setups[0].setup, steps, both.by_program), "svg")
    return packet(comparison, drawings), cards(comparison, drawings)


@cache
def both_papers(name: str) -> tuple[Job, bytes, bytes]:
    job = read_job(Path(__file__).parents[2] / "examples" / name / "job.toml")
    return job, *printed(job)


def example(name: str) -> tuple[Job, bytes]:
    return both_papers(name)[:2]


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
def test_every_row_of_the_card_and_every_size_stands_in_the_packet(name: str) -> None:
    job, pdf = example(name)
    text = " ".join(pages(pdf))
    setup = set_up(job)[0]
    steps = plan(setup, Route.BY_HAND)
    rows = [row for block in card(setup, steps, actions(setup, steps)).blocks for row in block.rows]
    words = "".join(text.split())
    for row in rows:
        said = row.text if isinstance(row, Do) else (row.what, *(row.first if isinstance(row, Drill) else row.set))
        for phrase in said:
            # blanks are drawn as lines, columns are read across
            for piece in re.split(r"_{10}| - ", phrase):
                for word in piece.split():
                    assert word in words, (row.number, word)
    for size in job.dimensions:
        limits = (shop_number(value, job.units) for value in (size.nominal, size.lower, size.upper))
        assert re.search(rf"{re.escape(size.name)} {' '.join(map(re.escape, limits))} {size.gauge[:5]}", text)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_listing_holds_every_line_of_the_program_in_order(name: str) -> None:
    job, pdf = example(name)
    program = write_program(set_up(job)[0], plan(set_up(job)[0], Route.BY_PROGRAM))
    # read column by column, as it stands in the file; lines wrap within their column
    text = "".join(poppler("pdftotext", pdf, "-raw", "-", "-").replace("−", "-").replace("\u200b", "").split())
    place = text.index("1%")
    for number, line in enumerate(program.splitlines(), start=1):
        place = text.index(f"{number}{''.join(line.split())}", place) + 1


@pytest.mark.parametrize("name", EXAMPLES)
def test_sheets_come_in_the_order_they_are_handed_out(name: str) -> None:
    _, pdf = example(name)
    text = " ".join(pages(pdf))
    order = [
        "Machine card, by hand",
        "Machine card, by program",
        "Program 1% ",
        "Tool and offset list Tools in their holders",
    ]
    order += ["Inspection sheet size", "Comparison Step by step"]
    starts = [text.index(title) for title in order]
    assert starts == sorted(starts)
    # side by side on the card: read cell by cell
    cell_by_cell = "".join(poppler("pdftotext", pdf, "-raw", "-", "-").split())
    for caution in CAUTIONS:
        assert "".join(caution.split()) in cell_by_cell


@pytest.mark.parametrize("name", EXAMPLES)
def test_pages_are_numbered_and_each_has_its_title_block(name: str) -> None:
    job, pdf = example(name)
    found = pages(pdf)
    for number, page in enumerate(found, start=1):
        assert page.endswith(f"{number} of {len(found)}")
        if "Signed off" in page:  # a card has its own foot
            assert f"Sheet {number} of {len(found)}" in page
        elif page != f"{number} of {len(found)}":  # a drawing has its own title block, in outlines
            # the data fields of ISO 7200 (from memory)
            for field in ("Number", "Title", "Document", "Owner", "Drawn by", "Approved, date", "Sheet"):
                assert field in page
            assert job.title in page
            assert job.part_number in page


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
    assert lying == 3


@pytest.mark.parametrize("name", EXAMPLES)
def test_one_family_of_type_and_no_capital_under_two_and_a_half_millimeters(name: str, tmp_path: Path) -> None:
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
        # a card lies on the mill and is not filed: its left margin is narrower
        if left < 13.9 / MM_PER_POINT or right > width - 9.9 / MM_PER_POINT or top < 0 or bottom > height:
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
    for name in (AWKWARD, "#f(x) *front*", "$width$ [ ] #w 2.375", "#7 $<a>"):
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
    assert any("Machine card, by hand" in page and "Drawbar wrench off" in page for page in found)
    assert not any("Zero table" in page for page in found)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_comparison_stands_on_one_page_with_both_times_and_both_sizes(name: str) -> None:
    job, pdf = example(name)
    page = next(page for page in pages(pdf) if page.startswith("Comparison"))
    assert sum("Comparison" in one for one in pages(pdf)) == 1
    for size in job.dimensions:
        assert size.name in page
    for step in plan(set_up(job)[0], Route.BY_HAND).steps:
        assert re.search(rf" {step.number} \d+-\d+ [\d.]+ \d+ \d+ \d+:\d\d ", page)


MOST_SHEETS = {"gauge-stand-base": 10, "fence-stop": 10, "drill-plate": 10, "rest-block": 16}
"""Ten for one set-up, sixteen for two: what is carried to the machine and filed for a part (common practice)."""


@pytest.mark.parametrize("name", MOST_SHEETS)
def test_a_packet_is_no_thicker_than_what_is_used(name: str) -> None:
    _, pdf, _ = both_papers(name)
    assert len(pages(pdf)) <= MOST_SHEETS[name]


@pytest.mark.parametrize("name", MOST_SHEETS)
def test_a_card_is_a_page_or_two_for_a_set_up(name: str) -> None:
    job, _, pdf = both_papers(name)
    found = pages(pdf)
    for route, most in (("by hand", 2), ("by program", 1)):
        for number in range(1, len(job.setups) + 1):
            of = f", set-up {number} Sheet" if len(job.setups) > 1 else " Sheet"
            assert 1 <= sum(f"card {route}{of}" in page for page in found) <= most
    for page in found:
        assert "Signed off" in page
    assert sum("OK to start" in page for page in found) == 2 * len(job.setups)


@pytest.mark.parametrize("name", MOST_SHEETS)
def test_every_row_of_a_card_is_lettered_three_and_a_half_millimeters_high(name: str, tmp_path: Path) -> None:
    """ISO 3098-1 has 2.5 and 3.5 mm (from memory); what is read at arm's length is the larger."""
    file = tmp_path / "card.pdf"
    file.write_bytes(both_papers(name)[2])
    zoom = 3
    xml = poppler("pdftohtml", b"", "-xml", "-i", "-zoom", str(zoom), "-stdout", str(file))
    high = {
        number: (float(size) + 0.5) / zoom * MM_PER_POINT * 0.729
        for number, size in re.findall(r'<fontspec id="(\d+)" size="(\d+)"', xml)
    }
    said = re.findall(r'font="(\d+)">(.*?)</text>', xml)
    assert min(high[font] for font, _ in said) >= 2.5
    settings = [font for font, text in said if re.search(r"\b(LOCK|STOP|START)\b|knee .*? t \+", text)]
    legend = [font for font, text in said if "turns from the dial" in text or "LOCK: that" in text or "LOCK:" in text]
    assert sum(high[font] >= 3.5 for font in settings) >= len(settings) - 4 * len(legend)
    assert sum(high[font] >= 3.5 for font in settings) > 10
