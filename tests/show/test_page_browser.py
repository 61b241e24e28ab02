"""The lesson page in a browser: each control does what it says, and what is shown is what was cut."""

from __future__ import annotations

import base64
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import NO_WEBGL, launched, missing, opened
from lessons import Made, example, spoilt, titled, with_program
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from handwheel.cut.display import display_grid
from handwheel.hand.scales import Scales
from handwheel.show.page.metal import SHARES

NASTY = "<script>document.title=1</script><b>"
PLACE = "[lesson.name, lesson.route.line[lesson.span], lesson.route.step[lesson.span], lesson.time]"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("lessons")


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    started = launched(playwright)
    yield started
    started.close()


def written(files: Path, made: Made, name: str) -> Path:
    file = files / f"{name}.html"
    if not file.exists():
        file.write_text(made.page, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def sound(files: Path) -> Path:
    return written(files, example("fence-stop"), "sound")


START = """() => {
    lesson.pause();
    lesson.choose('hand');
    lesson.goTo(0);
    lesson.looking.camera.go('operator');
    lesson.show(true);
    document.activeElement.blur();
    scrollTo(0, 0);
}"""


@pytest.fixture(scope="module")
def opened_once(browser: Browser, sound: Path) -> Page:
    return opened(browser, sound)


@pytest.fixture
def page(opened_once: Page) -> Iterator[Page]:
    """The page as it stands when it has just been opened; opening it anew for each test would take most of the time."""
    opened_once.evaluate(START)
    opened_once.locator("#speed").select_option("20")
    yield opened_once
    watched = opened_once.watched  # type: ignore[attr-defined]
    assert watched.errors == []
    assert [url for url in watched.requests if not url.startswith(("file:", "data:", "blob:"))] == []


def place(page: Page) -> tuple[str, int, int, float]:
    """Route, line, step and time that the lesson is at."""
    name, line, step, time = page.evaluate(PLACE)
    return name, line, step, time


def current(page: Page, route: str) -> int | None:
    """The line marked as current in a list."""
    marked = page.locator(f"#{route}-list [aria-current]")
    return int(marked.get_attribute("data-line") or 0) if marked.count() else None


def followed(page: Page, route: str) -> set[tuple[int, int]]:
    """Step and pass of the lines that a list shows as the same place."""
    pairs = page.locator(f"#{route}-list .same").evaluate_all(
        "all => all.map(b => [+b.dataset.step, +b.dataset.stroke])"
    )
    return {(step, stroke) for step, stroke in pairs}


def until(page: Page, condition: str) -> None:
    """Wait for a condition; the page's own policy forbids the waiting that playwright does inside it."""
    for _ in range(200):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never came true: {condition}")


# what is shown ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("route", ["hand", "program"])
def test_at_ten_instants_the_metal_stands_as_python_cut_it(page: Page, route: str) -> None:
    one = example("fence-stop")
    proof = one.proof_by_hand if route == "hand" else one.proof
    drops = display_grid(proof.part)
    page.evaluate("name => lesson.choose(name)", route)
    cutting = np.unique(drops.move)
    chosen = [(int(move), 0.37) for move in cutting[:: max(1, len(cutting) // 9)][:9]] + [(len(proof.tip) - 1, 1.0)]
    # and back to the first: what was undone stands as before it was done
    for move, share in [*chosen, chosen[0]]:
        shown = page.evaluate(
            """([move, share]) => {
                lesson.goTo(lesson.route.spanOfRow[move], share);
                const bytes = new Uint8Array(lesson.metal.z.buffer);
                let text = "";
                for (let i = 0; i < bytes.length; i += 8192) {
                    text += String.fromCharCode(...bytes.subarray(i, i + 8192));
                }
                return btoa(text);
            }""",
            [move, share],
        )
        shown = np.frombuffer(base64.b64decode(shown), dtype="<f4").reshape(drops.grid.top.shape)
        # a cell whose drop falls on this very moment may stand either way; the page tells moments in whole shares
        near = 1.0 / SHARES
        before, after = drops.at(move, share - near), drops.at(move, min(1.0, share + near))
        assert (shown <= before + 1e-5).all()
        assert (shown >= after - 1e-5).all()


def test_dials_and_readout_show_what_the_sheet_says_after_each_action(page: Page) -> None:
    one = example("fence-stop")
    scales = Scales(one.setup.job)
    figures = page.evaluate(
        """() => {
            const found = [];
            const { line, count } = lesson.route;
            for (let i = 0; i < count; i += 1) {
                if (i + 1 < count && line[i + 1] === line[i]) continue;
                lesson.goTo(i, 1);
                const dials = [...document.querySelectorAll('.dial output')].map(out => out.value);
                const readout = [...document.querySelectorAll('#readout td')].slice(0, 2).map(td => td.textContent);
                found.push([...dials, ...readout]);
            }
            return found;
        }"""
    )
    assert len(figures) == len(one.actions)
    for shown, done in zip(figures, one.execution.done, strict=True):
        expected = [scales.short_dial(slide, done.after.shown(slide)) for slide in ("knee", "x", "y")]
        assert [re.sub(r"turns?", "t", text) for text in shown[:3]] == expected
        assert shown[3:] == [scales.readout(done.after.read(slide)) for slide in ("x", "y")]


def test_inches_have_no_zero_before_the_point(browser: Browser, files: Path) -> None:
    page = opened(browser, written(files, example("gauge-stand-base"), "inch"))
    page.evaluate(
        "() => { lesson.choose('program'); lesson.goToLine('program', lesson.route.line[lesson.route.spanOfRow[6]]); }"
    )
    numbers = page.locator("#readout td").all_inner_texts()
    assert len(numbers) == 3
    assert all(re.fullmatch(r"-?\d*\.\d{4}", number) for number in numbers)
    assert not any(re.match(r"-?0\.", number) for number in numbers)
    page.close()


def test_each_cut_face_has_its_steps_number_beside_its_colour(page: Page) -> None:
    page.locator("#scrub").evaluate("e => { e.value = e.max; e.dispatchEvent(new Event('input', { bubbles: true })); }")
    numbers = set(page.locator("#balloons text").all_text_contents())
    shown = page.evaluate("[...new Set(lesson.metal.step)].filter(step => step > 0).map(String)")
    assert numbers <= set(shown)
    # faces that look away from the operator are out of sight
    assert len(numbers) >= 3


def test_the_pictorial_view_is_not_blank(page: Page) -> None:
    tones = page.evaluate(
        """() => {
            lesson.looking.copyTo(document.getElementById('pictorial-print'));
            const paper = document.getElementById('pictorial-print');
            const dots = paper.getContext('2d').getImageData(0, 0, paper.width, paper.height).data;
            const found = {};
            for (let i = 0; i < dots.length; i += 4) {
                const tone = [dots[i], dots[i + 1], dots[i + 2]].join();
                found[tone] = (found[tone] ?? 0) + 1;
            }
            return found;
        }"""
    )
    assert len(tones) > 5
    assert max(tones.values()) < 0.9 * sum(tones.values())


def test_findings_stand_under_their_block_and_at_their_place(browser: Browser, files: Path) -> None:
    lesson = spoilt("N340 G42", "N340 G41")
    page = opened(browser, written(files, lesson, "spoilt"))
    page.locator("input[value=program]").check()
    line = next(one.line for one in lesson.proof.findings if one.code == "gouge")
    item = page.locator(f"#program-list li:has([data-line='{line}'])")
    assert "cut too deep" in item.inner_text()
    letter = item.locator(".letter").inner_text()
    assert letter in page.locator("#balloons .found text").all_text_contents()
    assert "NOT PROVED" in page.locator(".fields").inner_text()
    page.close()


FOREIGN = """%
(NO STEPS ARE NAMED HERE)
G21 G17 G90 G40 G94
T3 M6
G43 H3
S400 M3
G0 X40 Y24 Z20
G4 P2
G0 Z2
G1 Z-3 F80
G2 X50 Y34 I10 J0 F100
G3 X60 Y24 Z-5 I0 J-10
G18 G2 X70 Z-5 I5 K0
G17 G0 Z25
G81 X20 Y20 Z-4 R2 F80
G80
M30
%
"""


@pytest.mark.parametrize("text", [FOREIGN, "G20\nM30\n", "(only words)\nM30\n", ""])
def test_somebody_elses_program_is_shown_block_by_block(browser: Browser, files: Path, text: str) -> None:
    one = with_program(text)
    page = opened(browser, written(files, one, f"foreign-{len(text)}"))
    page.locator("input[value=program]").check()
    for button in page.locator("#program-list .line").all():
        button.click()
        assert place(page)[0] == "program"
    page.locator("#scrub").focus()
    page.keyboard.press("End")
    page.locator("#step-back").click()
    page.locator("#line-on").click()
    page.locator("input[value=hand]").check()
    assert page.watched.errors == []  # type: ignore[attr-defined]
    page.close()


def test_on_an_arc_the_cutter_stands_where_the_arc_is(browser: Browser, files: Path) -> None:
    # a quarter turn clockwise about (50, 24) from (40, 24) is at 45 degrees half way: 50 - 10/sqrt(2), 24 + 10/sqrt(2)
    page = opened(browser, written(files, with_program(FOREIGN), "arcs"))
    page.evaluate("() => { lesson.choose('program'); lesson.goTo(lesson.route.line.lastIndexOf(11), 0.5); }")
    assert page.locator("#readout td").all_inner_texts() == ["42.929", "31.071", "-3.000"]
    page.close()


def test_names_that_look_like_markup_are_shown_as_text(browser: Browser, files: Path) -> None:
    page = opened(browser, written(files, titled(NASTY), "nasty"))
    assert page.locator("h1").inner_text() == NASTY
    assert page.title() == NASTY
    step = page.locator("#hand-list h3", has_text="<script>")
    assert step.count() > 0
    page.locator("#step-on").click(click_count=4)
    assert NASTY in page.locator("#caption").inner_text()
    assert page.watched.errors == []  # type: ignore[attr-defined]
    page.close()


# controls ---------------------------------------------------------------------------------------------------


def test_play_runs_the_clock_and_pause_holds_it(page: Page) -> None:
    page.locator("#play").click()
    until(page, "lesson.time > 5")
    page.locator("#play").click()
    time = place(page)[3]
    page.wait_for_timeout(150)
    assert place(page)[3] == time
    assert "Play" in page.locator("#play").inner_text()


def test_playing_ends_at_the_finished_part(page: Page) -> None:
    page.evaluate("lesson.goToTime(lesson.route.total - 10)")
    page.locator("#speed").select_option("60")
    page.locator("#play").click()
    until(page, "!lesson.playing")
    assert place(page)[3] == pytest.approx(page.evaluate("lesson.route.total"))


def test_speed_is_how_much_faster_the_clock_runs(page: Page) -> None:
    page.locator("#speed").select_option("5")
    # in one breath, before the browser's own next frame
    time = page.evaluate("""() => {
        lesson.last = performance.now();
        lesson.playing = true;
        lesson.tick(lesson.last + 200);
        lesson.pause();
        return lesson.time;
    }""")
    assert time == pytest.approx(1.0, abs=1e-6)


def test_line_and_step_buttons_go_on_and_back(page: Page) -> None:
    page.locator("#line-on").click()
    assert place(page)[1] == 2
    page.locator("#line-back").click()
    assert place(page)[1] == 1
    page.locator("#step-on").click()
    assert place(page)[2] == 2
    page.locator("#line-on").click()
    page.locator("#step-back").click()
    assert place(page)[2] == 2
    page.locator("#step-back").click()
    assert place(page)[2] == 1


def test_the_scrub_goes_to_any_moment(page: Page) -> None:
    page.locator("#scrub").evaluate("e => { e.value = 600; e.dispatchEvent(new Event('input', { bubbles: true })); }")
    assert place(page)[3] == pytest.approx(600)
    assert page.locator("#clock-hand").inner_text().startswith("10:00 of ")
    assert "step" in (page.locator("#scrub").get_attribute("aria-valuetext") or "").lower()


def test_a_step_by_hand_brings_the_program_to_the_same_step(page: Page) -> None:
    page.locator("#hand-list .step[data-step='6'] h3 button").click()
    assert place(page)[:1] == ("hand",)
    assert place(page)[2] == 6
    assert {step for step, _ in followed(page, "program")} == {6}
    assert page.locator("#program-list .same").first.is_visible()


def test_a_block_brings_the_hand_list_to_the_same_pass(page: Page) -> None:
    block = page.locator("#program-list .cuts[data-step='11'][data-stroke='2']").first
    block.click()
    assert place(page)[0] == "program"
    assert current(page, "program") == int(block.get_attribute("data-line") or 0)
    assert followed(page, "hand") == {(11, 2)}


def test_a_pass_in_plan_brings_both_lists_to_it(page: Page) -> None:
    x, y = page.evaluate(
        """() => {
            const pass = lesson.plan.passesOf(lesson.route).find(one => one.step === 8);
            const path = pass.paths[0], paper = lesson.plan.paper;
            const k = 0.4;
            return [paper.x(path[0][0] + k * (path[1][0] - path[0][0])), paper.y(path[0][1])];
        }"""
    )
    page.locator("#plan").click(position={"x": x, "y": y})
    # roughing and finishing lie on each other there: pointing again goes from one to the other
    if place(page)[2] == 6:
        page.locator("#plan").click(position={"x": x, "y": y})
    assert place(page)[2] == 8
    assert current(page, "hand") == place(page)[1]
    assert followed(page, "program") == {(8, 1)}


def test_a_face_of_the_work_brings_both_lists_to_the_pass_that_cut_it(page: Page) -> None:
    page.evaluate("lesson.goToTime(lesson.route.total)")
    box = page.locator("#pictorial").bounding_box()
    assert box
    x, y = page.evaluate(
        """() => {
            const canvas = document.getElementById('pictorial');
            return lesson.looking.camera.onScreen([30, 24, 0], canvas.clientWidth, canvas.clientHeight);
        }"""
    )
    page.locator("#pictorial").click(position={"x": x, "y": y})
    assert place(page)[2] == 2
    assert {step for step, _ in followed(page, "program")} == {2}


def test_the_switch_keeps_the_place_in_the_job(page: Page) -> None:
    page.evaluate("lesson.goToPass(6, 1)")
    page.locator("input[value=program]").check()
    assert place(page)[0] == "program"
    assert place(page)[2] == 6
    page.locator("input[value=hand]").check()
    assert place(page)[0] == "hand"
    assert place(page)[2] == 6


def test_the_view_turns_by_mouse_keys_and_buttons(page: Page) -> None:
    view = "[lesson.looking.camera.turn, lesson.looking.camera.tilt, lesson.looking.camera.zoom]"
    start = page.evaluate(view)
    box = page.locator("#pictorial").bounding_box()
    assert box
    page.mouse.move(box["x"] + 300, box["y"] + 100)
    page.mouse.down()
    page.mouse.move(box["x"] + 360, box["y"] + 130)
    page.mouse.up()
    dragged = page.evaluate(view)
    assert dragged[0] != start[0]
    assert dragged[1] > start[1]
    page.locator("#pictorial").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("+")
    keyed = page.evaluate(view)
    assert keyed[0] < dragged[0]
    assert keyed[2] > dragged[2]
    page.keyboard.press("Home")
    assert page.evaluate(view) == start
    page.get_by_role("button", name="Above", exact=True).click()
    assert page.evaluate(view)[1] == pytest.approx(np.pi / 2)
    page.get_by_role("button", name="Nearer", exact=True).click()
    assert page.evaluate(view)[2] > 1


def test_the_view_turns_and_grows_under_fingers(browser: Browser, sound: Path) -> None:
    page = opened(browser, sound, has_touch=True)
    session = page.context.new_cdp_session(page)
    box = page.locator("#pictorial").bounding_box()
    assert box
    x, y = box["x"] + 300, box["y"] + 120

    def touch(kind: str, *points: tuple[float, float]) -> None:
        at = [{"x": px, "y": py, "id": number} for number, (px, py) in enumerate(points)]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})

    turn = page.evaluate("lesson.looking.camera.turn")
    touch("touchStart", (x, y))
    touch("touchMove", (x + 30, y))
    touch("touchMove", (x + 60, y))
    touch("touchEnd")
    assert page.evaluate("lesson.looking.camera.turn") != turn
    touch("touchStart", (x - 20, y), (x + 20, y))
    touch("touchMove", (x - 40, y), (x + 40, y))
    touch("touchMove", (x - 60, y), (x + 60, y))
    touch("touchEnd")
    assert page.evaluate("lesson.looking.camera.zoom") > 1.2
    page.close()


@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080)])
@pytest.mark.parametrize("place", ["operator", "above"])
def test_work_and_both_jaws_are_seen_whole_from_every_place(page: Page, place: str, size: tuple[int, int]) -> None:
    # an operator sees both jaws: what the cutter may strike must not be out of the picture (common practice)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.evaluate("place => { lesson.looking.camera.go(place); lesson.show(true); }", place)
    outside = page.evaluate("""() => {
        const { clientWidth: width, clientHeight: height } = lesson.looking.canvas;
        const { work, fixedJaw, movableJaw } = JSON.parse(document.getElementById('facts').textContent).boxes;
        const corners = [work, fixedJaw, movableJaw].flatMap(([low, high]) =>
            [low[0], high[0]].flatMap(x => [low[1], high[1]].map(y => [x, y, high[2]])));
        return corners.map(corner => lesson.looking.camera.onScreen(corner, width, height))
            .filter(([x, y]) => x < 0 || y < 0 || x > width || y > height);
    }""")
    page.set_viewport_size({"width": 1280, "height": 720})
    assert outside == []


def test_by_program_the_dials_follow_the_cut_and_rest_on_the_way_home(page: Page) -> None:
    # a knee of 2 mm a turn in graduations of 0.02 mm shows a depth of 13.5 mm as 6 turns and 75 (arithmetic); above the
    # level for rapids nobody would wind it
    page.evaluate("lesson.choose('program'); lesson.goTo(0)")
    dials = page.locator(".dial output")
    assert dials.all_inner_texts() == ["–", "–", "–"]
    page.evaluate("lesson.goTo(lesson.route.at.findIndex(([x, y, z]) => Math.abs(z + 13.5) < 1e-6), 1)")
    assert dials.first.inner_text() == "6 turns + 75"


def test_each_slip_shows_its_part_beside_the_sound_one(page: Page) -> None:
    differing = """card => {
        const [a, b] = ['.sound', '.slipped'].map(name => {
            const canvas = card.querySelector(name);
            return canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
        });
        let count = 0;
        for (let i = 0; i < a.length; i += 4) if (a[i] !== b[i]) count += 1;
        return count;
    }"""
    buttons = page.locator("button.slip")
    assert buttons.count() == 2
    for index in range(2):
        buttons.nth(index).click()
        card = page.locator(f"#slip-{index}")
        assert card.is_visible()
        assert page.locator(f"#slip-{1 - index}").is_hidden()
        assert card.evaluate(differing) > 500
        assert card.locator(".finding.reject").count() > 0
        assert buttons.nth(index).get_attribute("aria-pressed") == "true"


# everyone ---------------------------------------------------------------------------------------------------


def test_the_whole_lesson_goes_by_keyboard_alone(page: Page) -> None:
    reached = []
    for _ in range(40):
        page.keyboard.press("Tab")
        name = page.evaluate(
            "document.activeElement.id || document.activeElement.dataset.line || document.activeElement.name"
        )
        reached.append(name)
        if name == "speed":
            break
    for control in ("step-back", "line-back", "play", "line-on", "step-on", "scrub", "speed", "pictorial", "route"):
        assert control in reached, control
    page.locator("#play").focus()
    page.keyboard.press("Space")
    assert page.evaluate("lesson.playing")
    page.keyboard.press("Space")
    assert not page.evaluate("lesson.playing")
    page.locator("#scrub").focus()
    before = place(page)[3]
    page.keyboard.press("ArrowRight")
    assert place(page)[3] > before
    page.locator("#hand-list [tabindex='0']").focus()
    page.keyboard.press("Home")
    page.keyboard.press("PageDown")
    assert place(page)[2] == 2
    line = place(page)[1]
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert place(page)[1] == line + 1
    page.locator("input[value=hand]").focus()
    page.keyboard.press("ArrowRight")
    assert place(page)[0] == "program"


def test_with_reduced_motion_playing_goes_line_by_line_and_nothing_turns(browser: Browser, sound: Path) -> None:
    page = opened(browser, sound, reduced_motion="reduce")
    page.evaluate("lesson.goToPass(2, 1)")
    page.locator("#play").click()
    page.evaluate("lesson.tick(lesson.last + 500)")
    held = place(page)
    page.evaluate("lesson.tick(lesson.last + 1300)")
    assert place(page)[1] == held[1] + 1
    assert page.evaluate("lesson.spin") == 0
    page.close()


def test_in_the_end_view_a_cutter_past_an_end_is_dashed_and_the_sizes_stand_on_the_free_side(page: Page) -> None:
    """Seen along the jaws a cutter past the work's end covers it, and would be taken for one that is in it."""
    drawn = """(tip) => {
        const view = lesson.end, seen = [], sides = [];
        const shape = view.paper.shape, sizes = view.sizes;
        view.paper.shape = (points, fill, width, dashes = []) => seen.push(dashes.length > 0);
        view.sizes = (work, top, side) => sides.push(side);
        view.draw({ ...lesson.scene, tip, tool: { profile: [[0, 0], [10, 0], [10, 38]] } });
        view.paper.shape = shape;
        view.sizes = sizes;
        return [seen[seen.length - 1], sides[0]];
    }"""
    # raw X -2 to 80, Y -1 to 49, Z to 1; a cutter of 20 mm at its left end, before it, behind it, right of it, above it
    assert page.evaluate(drawn, [-10.0, 10.0, -13.5]) == [True, 1]
    assert page.evaluate(drawn, [30.0, -10.0, -13.5]) == [False, 1]
    assert page.evaluate(drawn, [30.0, 58.0, -13.5]) == [False, -1]
    assert page.evaluate(drawn, [91.0, 40.0, -6.0]) == [True, -1]
    assert page.evaluate(drawn, [30.0, 10.0, 25.0]) == [False, -1]


def test_without_webgl_plan_and_end_view_show_everything(playwright: Playwright, sound: Path) -> None:
    flat = launched(playwright, *NO_WEBGL)
    page = opened(flat, sound)
    assert page.locator("#no-pictorial").is_visible()
    page.locator("#step-on").click(click_count=3)
    plan, end = (page.locator(name).bounding_box() for name in ("#plan", "#end"))
    assert plan
    assert end
    assert min(plan["height"], end["height"]) > 200
    page.locator("button.slip").first.click()
    assert page.watched.errors == []  # type: ignore[attr-defined]
    flat.close()


@pytest.mark.parametrize("size", [(360, 740), (820, 1180), (1280, 720), (1920, 1080)])
def test_nothing_runs_off_the_side_at_any_width(browser: Browser, sound: Path, size: tuple[int, int]) -> None:
    page = opened(browser, sound, size=size)
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    for name in ("#pictorial", "#plan", "#end", "#dials", "#readout", "#play", "#hand-list", "#program-list"):
        box = page.locator(name).bounding_box()
        assert box, name
        assert box["width"] > 40, name
        assert box["height"] > 20, name
        assert box["x"] >= -0.5, name
        assert box["x"] + box["width"] <= size[0] + 0.5, name
    page.close()


def test_on_a_wide_screen_the_lesson_fits_without_scrolling(page: Page) -> None:
    box = page.locator("#controls").bounding_box()
    assert box
    assert box["y"] + box["height"] <= 720


def test_every_control_is_large_enough_for_a_finger(browser: Browser, sound: Path) -> None:
    # WCAG 2.2, success criterion 2.5.8 (AA): targets of at least 24 by 24 CSS pixels
    page = opened(browser, sound, size=(360, 740))
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, select, input')].map(e => [e, e.getBoundingClientRect()])
            .filter(([, box]) => box.width && (box.width < 24 || box.height < 24))
            .map(([e]) => e.outerHTML.slice(0, 80))"""
    )
    assert small == []
    page.close()


def test_the_page_prints_as_a_sheet_with_every_step_twice(page: Page, tmp_path: Path) -> None:
    if shutil.which("pdftotext") is None:
        missing("pdftotext (poppler-utils) is not installed")
    page.pdf(path=str(tmp_path / "sheet.pdf"), format="A4")
    text = subprocess.run(
        ["pdftotext", "-layout", str(tmp_path / "sheet.pdf"), "-"], capture_output=True, text=True, check=True
    ).stdout
    squeezed = re.sub(r"\s+", " ", text)
    for step in example("fence-stop").plan.steps:
        assert squeezed.count(step.title.split(",")[0][:24]) >= 2, step.title
    assert "hand on feed hold" in squeezed
    assert "Play" not in squeezed


AXE = "4.10.3"


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The accessibility checker's source; it is test equipment and never part of the project."""
    npm = shutil.which("npm")
    if npm is None:
        missing("npm is not installed")
    folder = tmp_path_factory.mktemp("axe")
    fetched = subprocess.run(
        [str(npm), "install", "--no-save", "--ignore-scripts", "--silent", "--prefix", str(folder), f"axe-core@{AXE}"],
        capture_output=True,
        text=True,
        check=False,
    )
    if fetched.returncode:
        missing(f"axe-core could not be fetched: {fetched.stderr.strip()[-200:]}")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


@pytest.mark.parametrize("size", [(1280, 720), (360, 740)])
def test_an_accessibility_checker_finds_nothing(browser: Browser, sound: Path, axe: str, size: tuple[int, int]) -> None:
    # WCAG 2.2 AA, as far as axe-core can tell
    page = opened(browser, sound, size=size, bypass_csp=True)
    page.evaluate(axe)
    result: dict[str, Any] = page.evaluate(
        "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })"
    )
    wrong = [
        (one["id"], one["impact"], [node["html"][:120] for node in one["nodes"][:3]]) for one in result["violations"]
    ]
    assert wrong == [], json.dumps(wrong, indent=1)
    page.close()
