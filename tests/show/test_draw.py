"""Drawings: the lettering of every sheet can be read, and the sheets are those of a drawing office."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from drawings import Lettering, drafts_with_sizes, lettering, proved, words
from hypothesis import HealthCheck, given, settings
from jobs import Draft, sides
from matplotlib.figure import Figure
from PIL import Image

from handwheel.job import read_job, read_job_text
from handwheel.plan import Plan
from handwheel.proof import SetupProof, prove_setup
from handwheel.setup import Setup
from handwheel.show.draw.colours import STEP_COLOURS, by_step, feed_by_step
from handwheel.show.draw.drawings import part_drawing, path_drawing, pictorial, save, setup_drawing, stages_drawing
from handwheel.show.draw.lines import FEED, RAPID

Drawing = Callable[[Setup, Plan, SetupProof], Figure]

EXAMPLES = Path(__file__).parents[2] / "examples"
JOBS = ("gauge-stand-base", "fence-stop")
DRAWINGS: tuple[Drawing, ...] = (path_drawing, setup_drawing, part_drawing, stages_drawing, pictorial)
LINE_DRAWINGS: tuple[Drawing, ...] = (path_drawing, setup_drawing, part_drawing)

CAPITAL_OF_EM = 0.729
"""Height of a capital of DejaVu Sans as a share of its size: the font's own OS/2 table, sCapHeight 1493 of 2048."""


@cache
def example(name: str) -> tuple[Setup, Plan, SetupProof]:
    return proved(read_job(EXAMPLES / name / "job.toml"))


def assert_readable(figure: Figure) -> None:
    lines = lettering(figure)
    width, height = figure.get_size_inches() * 25.4
    for one in lines:
        # ISO 3098-1: lettering at least 2.5 mm high (from memory)
        assert one.em * CAPITAL_OF_EM >= 2.49, one
        # ISO 5457: frame 20 mm from the filing edge, 10 mm from the others (from memory)
        assert one.x0 >= 20, one
        assert one.y0 >= 10, one
        assert one.x1 <= width - 10, one
        assert one.y1 <= height - 10, one
    clashes = [(one.text, other.text) for i, one in enumerate(lines) for other in lines[:i] if one.overlaps(other)]
    assert not clashes


@pytest.mark.parametrize("drawing", DRAWINGS)
@pytest.mark.parametrize("name", JOBS)
def test_no_lettering_overlaps_or_leaves_the_frame_or_is_too_small(name: str, drawing: Drawing) -> None:
    assert_readable(drawing(*example(name)))


@settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
@given(drafts_with_sizes())
def test_lettering_of_any_job_stays_clear_and_on_the_sheet(draft: Draft) -> None:
    everything = proved(draft.job())
    for drawing in LINE_DRAWINGS:
        assert_readable(drawing(*everything))


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("drawing", DRAWINGS)
def test_the_same_job_gives_the_same_bytes(name: str, drawing: Drawing) -> None:
    first, again = drawing(*example(name)), drawing(*example(name))
    for kind in ("svg", "png"):
        content = save(first, kind)
        assert content == save(again, kind)
        assert not re.search(rb"/tmp|20\d\d-\d\d-\d\d|Matplotlib v", content)


def test_a_drawing_does_not_follow_the_users_own_matplotlib_settings() -> None:
    import matplotlib

    plain = save(path_drawing(*example("fence-stop")), "png")
    with matplotlib.rc_context({"font.size": 22, "lines.linewidth": 9, "savefig.dpi": 50, "path.sketch": (3, 20, 5)}):
        assert save(path_drawing(*example("fence-stop")), "png") == plain


@pytest.mark.parametrize(("name", "size"), [("gauge-stand-base", (11 * 25.4, 8.5 * 25.4)), ("fence-stop", (297, 210))])
def test_inch_jobs_are_drawn_on_letter_and_millimetre_jobs_on_a4(name: str, size: tuple[float, float]) -> None:
    figure = part_drawing(*example(name))
    assert figure.get_size_inches() * 25.4 == pytest.approx(size)


@pytest.mark.parametrize("name", JOBS)
def test_every_colour_of_a_step_is_doubled_by_its_number(name: str) -> None:
    setup, steps, proof = example(name)
    shown = words(path_drawing(setup, steps, proof)).split("\n")
    cutting = {str(step.number) for step in steps.steps if step.strokes}
    named = {text.split(".")[0] for line in shown for text in line.split(", ") if re.fullmatch(r"\d+(\.\d+)?", text)}
    assert cutting <= named
    titles = " ".join(shown)
    for step in steps.steps:
        if step.strokes:
            assert " ".join(step.title.split()[:4]) in titles


def test_no_two_steps_are_drawn_with_the_same_colour_and_line_and_rapids_alone_are_short_dashes() -> None:
    steps = range(1, 19)  # three rounds of six colours
    colours, feeds = by_step(steps), feed_by_step(steps)
    assert len({(colours[step], feeds[step]) for step in steps}) == 18
    for feed in feeds.values():
        # ISO 128-2: a wide and a narrow line differ by two to one (from memory); dashes three times those of a rapid
        assert not feed.dashes or feed.dashes[0] > 3 * RAPID.dashes[0]
    assert len({feed.width for feed in feeds.values()}) == 2
    assert max(feed.width for feed in feeds.values()) > 2 * FEED.width


@pytest.mark.parametrize("name", JOBS)
def test_the_backplot_says_that_it_is_the_programs_path(name: str) -> None:
    shown = words(path_drawing(*example(name)))
    for said in ("The program's passes by step", "program at feed", "program at rapid"):
        assert said in shown


def test_the_step_colours_differ_also_for_colour_blind_eyes_and_from_the_ink() -> None:
    # Okabe and Ito, Color Universal Design (2008): the palette's own red, green and blue values
    published = {
        "#0072B2": (0, 114, 178),
        "#D55E00": (213, 94, 0),
        "#009E73": (0, 158, 115),
        "#CC79A7": (204, 121, 167),
        "#E69F00": (230, 159, 0),
        "#56B4E9": (86, 180, 233),
    }
    assert set(STEP_COLOURS) == set(published)
    for text, colour in published.items():
        assert tuple(int(text[i : i + 2], 16) for i in (1, 3, 5)) == colour


def test_a_failed_proof_says_so_on_the_backplot() -> None:
    setup, steps, _ = example("fence-stop")

    failed = prove_setup(setup, "G21 G90 G17 G40\nT1 M6\nG0 Z-50\nG0 X30 Y24\nM30\n", "bad.nc")
    assert failed.verdict == "fail"
    shown = words(path_drawing(setup, steps, failed))
    assert "NOT PROVED" in shown
    assert "Proved" not in shown.split("\n")


def test_a_program_that_moves_nothing_is_still_drawn() -> None:
    setup, steps, _ = example("gauge-stand-base")

    still = prove_setup(setup, "M30\n", "still.nc")
    for drawing in DRAWINGS:
        assert_readable(drawing(setup, steps, still))


def test_a_title_in_a_script_that_the_font_lacks_is_drawn_without_a_warning() -> None:
    text = (EXAMPLES / "fence-stop" / "job.toml").read_text(encoding="utf-8")
    title = "\u6c49\u5b57 $x^2$ \\\\frac{1} <script> & \u202e" + "long " * 30
    everything = proved(read_job_text(text.replace("Stop for the bandsaw fence", title), "odd"))
    figure = part_drawing(*everything)
    assert_readable(figure)
    save(figure, "svg")
    assert any(line.text.startswith("?? $x^2$ \\frac{1} <script> & ?") for line in lettering(figure))


def test_every_size_of_the_job_stands_on_the_part_drawing_with_its_limits() -> None:
    # the drawing's sizes of the two examples, as a shop writes them: ISO 129-1, ASME Y14.5 (from memory)
    metric = words(part_drawing(*example("fence-stop"))).split("\n")
    for text in (
        "48 ±0.03",
        "68 ±0.1",
        "6 ±0.05",
        "29",
        "47.97",
        "48.03",
        "67.9",
        "68.1",
        "5.95",
        "6.05",
        "28.8",
        "29.2",
    ):
        assert text in metric
    inch = words(part_drawing(*example("gauge-stand-base"))).split("\n")
    assert any(re.fullmatch(r"\d?\.\d{3} ±\.\d{3}", text) for text in inch)
    assert not any(text.startswith("0.") for text in inch)


def test_the_set_up_shows_stick_out_grip_and_parallels_as_they_are() -> None:
    # fence stop: vise-125mm with jaws 40 high; raw 30 high, so parallels + 30 − 40 stick out
    setup, steps, proof = example("fence-stop")
    shown = words(setup_drawing(setup, steps, proof)).split("\n")
    height = setup.parallel_height
    assert f"parallels {height:g}" in shown
    assert f"stick-out {height + 30 - 40:g}" in shown
    assert f"grip {40 - height:g}" in shown
    # ø 10 edge finder outside raw faces at X −2 and Y −1; gauge block 10 on the raw top at Z 1
    assert {"-7", "-6", "11"} <= set(shown)


def test_the_set_up_says_how_high_the_stop_may_be() -> None:
    # indicator stand: .625 out, .525 cut: .100 left, less 2 mm (.0787) of air: .02 to the hundredth below
    shown = " ".join(words(setup_drawing(*example("gauge-stand-base"))).split())
    assert "Stop: its top at most .020 above the jaws." in shown
    assert shown.count("stop") >= 2  # in the plan and in the end view
    low = replace(sides("left", depth=12.0), vise={"jaw_height": 40.0, "parallels": 30.0, "air": 7.0, "stop": "left"})
    shown = " ".join(words(setup_drawing(*proved(low.job()))).split())
    assert "Stop: swing it away after clamping." in shown


def test_the_part_gives_each_sides_depth_in_brackets_unless_a_size_does_and_the_raw_block() -> None:
    """ISO 129-1, ASME Y14.5: a size for reference stands in brackets (from memory)."""
    shown = words(part_drawing(*example("fence-stop"))).split("\n")
    # front, back and left are 13.5 deep; the lip's 6 is a size of the drawing
    assert [text for text in shown if text.startswith("(")] == ["(13.5)"]
    assert "Raw block 82 x 50 x 30." in shown
    base = words(part_drawing(*example("gauge-stand-base"))).split("\n")
    assert not any(text.startswith("(") for text in base)
    assert "Raw block 4.125 x 2.500 x 1.000." in base


def test_the_movable_jaws_name_stands_on_the_jaw_and_not_on_the_bed() -> None:
    placed = {one.text: (one.y0 + one.y1) / 2 for one in lettering(setup_drawing(*example("fence-stop")))}
    # jaws 40 high are 20 on paper at 1:2; their own size stands half way up them
    assert abs(placed["movable"] - placed["jaws 40"]) < 10
    assert abs(placed["movable"] - placed["bed"]) > 10


@pytest.mark.parametrize("name", JOBS)
def test_no_touch_off_figure_stands_so_near_an_axis_name_that_it_is_read_as_its_own(name: str) -> None:
    everything = lettering(setup_drawing(*example(name)))
    axes = [one for one in everything if one.text in ("X", "Y") and one.x0 > 190 and one.y0 < 120]
    figures = [one for one in everything if re.match(r"[XYZ] -?[.\d]", one.text)]
    assert len(axes) == 2
    assert len(figures) == 3
    for axis in axes:
        near = Lettering("", axis.x0 - 1, axis.y0 - 1, axis.x1 + 1, axis.y1 + 1, 0, "")
        assert not any(near.overlaps(one) for one in figures)


def test_metal_only_ever_goes_from_picture_to_picture() -> None:
    figure = stages_drawing(*example("fence-stop"))
    covered = [np.asarray(image.get_array())[..., 3].sum(dtype=float) for image in figure.axes[0].images]
    assert len(covered) == sum(bool(step.strokes) for step in example("fence-stop")[1].steps)
    assert all(later <= before for before, later in pairwise(covered))
    assert covered[-1] < covered[0]


def test_a_drawing_in_grey_keeps_every_line() -> None:
    picture = Image.open(io.BytesIO(save(path_drawing(*example("fence-stop")), "png")))
    colour = np.asarray(picture.convert("RGB")).min(axis=2)
    grey = np.asarray(picture.convert("L"))
    inked = colour < 120
    assert (grey[inked] < 200).mean() > 0.995


def test_overlapping_boxes_are_seen_to_overlap() -> None:
    one = Lettering("a", 0, 0, 10, 4, 3.4, "k")
    assert one.overlaps(Lettering("b", 9, 3, 12, 6, 3.4, "k"))
    assert not one.overlaps(Lettering("b", 10, 0, 12, 4, 3.4, "k"))
