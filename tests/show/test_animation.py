"""The film: what is shown at an instant is what the cutter has done by then."""

from __future__ import annotations

import io
import sys
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from handwheel.cut.grid import resolution_for
from handwheel.cut.heightmap import height_map
from handwheel.errors import HandwheelError
from handwheel.job import Job, read_job, read_job_text
from handwheel.motion import Kind
from handwheel.plan import Route
from handwheel.proof import Routes, SetupProof
from handwheel.proof.comparison import Comparison, compare
from handwheel.setup import Setup, set_up
from handwheel.show.animation import Options
from handwheel.show.animation.film import CELLS, Film, frames
from handwheel.show.animation.layout import Layout
from handwheel.show.animation.lettering import lettered
from handwheel.show.animation.palette import PALETTE
from handwheel.show.animation.writing import gif, mp4

EXAMPLES = ("gauge-stand-base", "fence-stop")
SHORT = Options(seconds=3.0, fps=6, size=(640, 360))
LONGER = Options(seconds=10.0, fps=8, size=(640, 360))
ROUTES = (Route.BY_HAND, Route.BY_PROGRAM)


@cache
def made(name: str) -> tuple[Setup, Comparison]:
    setup = set_up(read_job(Path(__file__).parents[2] / "examples" / name / "job.toml"))[0]
    return setup, compare([Routes(setup)])


@cache
def film_of(name: str, route: Route, options: Options) -> Film:
    """For its metal; its frames are made in order and by one user alone."""
    return Film(made(name)[1].setups[0], route, options, options.count)


def proof_of(name: str, route: Route) -> SetupProof:
    comparison = made(name)[1]
    return (comparison.by_hand if route == Route.BY_HAND else comparison.by_program).setups[0]


def of_job(job: Job) -> tuple[Setup, Comparison]:
    setup = set_up(job)[0]
    return setup, compare([Routes(setup)])


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("name", EXAMPLES)
def test_metal_only_ever_goes_and_the_last_frame_is_the_finished_part(name: str, route: Route) -> None:
    film, proof = film_of(name, route, LONGER), proof_of(name, route)
    heights = [film.metal(instant)[0] for instant in film.instants]
    assert np.all(heights[0] == proof.part.stock.high[2])
    for before, after in pairwise(heights):
        assert np.all(after <= before)
    finished = height_map(proof.part, resolution_for(proof.part, 0, CELLS)).z
    np.testing.assert_allclose(heights[-1], finished, atol=1e-6)


def test_the_finished_base_has_its_top_at_zero_and_its_foot_as_the_drawing_says() -> None:
    """The example's drawing: faced to Z zero; milled all round down to the foot, which keeps the bar's faces."""
    setup, _ = made("gauge-stand-base")
    foot = next(size.nominal for size in setup.job.dimensions if size.name == "step")
    film = film_of("gauge-stand-base", Route.BY_PROGRAM, LONGER)
    z, _ = film.metal(film.instants[-1])
    ny, nx = z.shape
    assert z[ny // 2, nx // 2] == pytest.approx(0.0, abs=1e-6)
    for edge in (z[0, nx // 2], z[-1, nx // 2], z[ny // 2, 0], z[ny // 2, -1]):
        assert edge == pytest.approx(-foot, abs=1e-6)


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_metal_stands_where_the_cutter_is(name: str, route: Route) -> None:
    """Two bodies are never in one place (geometry): under a cutter's flat nothing is higher than its tip."""
    film, proof, (setup, _) = film_of(name, route, LONGER), proof_of(name, route), made(name)
    grid = height_map(proof.part, resolution_for(proof.part, 0, CELLS)).grid
    x, y = np.meshgrid(grid.x, grid.y)
    tools = proof.tip.of_modal("tool")
    looked_at = 0
    for instant in film.instants:
        if instant.move < 0 or proof.tip.kind[instant.move] != Kind.FEED:
            continue
        tip = proof.tip.at(instant.move, instant.done)
        radius = setup.tools[int(tools[instant.move])].flat_diameter / 2
        under = np.hypot(x - tip[0], y - tip[1]) < radius - 1e-6
        z, _ = film.metal(instant)
        assert not under.any() or z[under].max() <= tip[2] + 1e-6
        looked_at += int(under.any())
    assert looked_at > 20


@pytest.mark.parametrize("route", ROUTES)
def test_metal_goes_only_where_the_cutter_has_just_been(route: Route) -> None:
    name = "gauge-stand-base"
    film, proof, (setup, _) = film_of(name, route, LONGER), proof_of(name, route), made(name)
    grid = height_map(proof.part, resolution_for(proof.part, 0, CELLS)).grid
    x, y = (values.ravel() for values in np.meshgrid(grid.x, grid.y))
    tools = proof.tip.of_modal("tool")
    cuts = 0
    for before, after in pairwise(film.instants):
        gone = (film.metal(after)[0] < film.metal(before)[0]).ravel()
        if not gone.any():
            continue
        cuts += 1
        reached = np.zeros(gone.sum(), dtype=bool)
        for row in range(max(before.move, 0), after.move + 1):
            radius = setup.tools[int(tools[row])].diameter / 2 if tools[row] in setup.tools else 0.0
            first = before.done if row == before.move else 0.0
            last = after.done if row == after.move else 1.0
            start, end = proof.tip.at(row, first)[:2], proof.tip.at(row, last)[:2]
            reached |= distance(x[gone], y[gone], start, end) <= radius + 1e-6
        assert reached.all()
    assert cuts > 10


def distance(x: np.ndarray, y: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """From points to a straight stretch."""
    along = end - start
    square = float(along @ along)
    share = np.clip(((x - start[0]) * along[0] + (y - start[1]) * along[1]) / square, 0, 1) if square else 0.0
    return np.hypot(x - start[0] - share * along[0], y - start[1] - share * along[1])


@pytest.mark.parametrize("name", EXAMPLES)
def test_both_clocks_run_on_and_end_at_the_time_of_each_route(name: str) -> None:
    comparison = made(name)[1]
    hand, program = comparison.by_hand.seconds.total, comparison.by_program.seconds.total
    for route, own, other in ((Route.BY_HAND, hand, program), (Route.BY_PROGRAM, program, hand)):
        instants = film_of(name, route, LONGER).instants
        assert instants[-1].clock == pytest.approx(own, rel=1e-6)
        assert instants[-1].other_clock == pytest.approx(other, rel=1e-6)
        for clock in ([one.clock for one in instants], [one.other_clock for one in instants]):
            assert clock == sorted(clock)


def test_every_step_is_on_screen_long_enough_to_be_seen() -> None:
    name = "gauge-stand-base"
    for route in ROUTES:
        shown = film_of(name, route, LONGER).steps_shown
        assert {step.number for step in made(name)[1].steps} <= set(shown)


@pytest.mark.parametrize("route", ROUTES)
def test_the_gif_shows_every_frame_as_it_was_made_for_as_long_as_was_asked(route: Route) -> None:
    _, comparison = made("fence-stop")
    wanted = list(frames(comparison.setups, route, SHORT))
    assert len(wanted) == 18
    file = Image.open(io.BytesIO(gif(comparison.setups, route, SHORT)))
    assert file.size == SHORT.size
    assert file.info["loop"] == 0
    time, at = 0, 0
    for index in range(file.n_frames):
        file.seek(index)
        picture = np.asarray(file.convert("RGB"))
        np.testing.assert_array_equal(picture, PALETTE[wanted[at]])
        time += file.info["duration"]
        # a frame that looks like the one before only lasts longer
        at = round(time / 1000 * SHORT.fps)
    assert time == 3000
    assert at == len(wanted)


def test_the_usual_film_of_an_example_is_small_enough_to_send() -> None:
    _setup, comparison = made("gauge-stand-base")
    assert len(gif(comparison.setups, Route.BY_HAND, Options())) < 1_500_000


def test_the_same_job_gives_the_same_film() -> None:
    setup, comparison = made("gauge-stand-base")
    assert gif(comparison.setups, Route.BY_PROGRAM, SHORT) == gif(of_job(setup.job)[1].setups, Route.BY_PROGRAM, SHORT)


@pytest.mark.parametrize("height", [360, 540, 1080])
def test_the_smallest_capitals_are_a_fortieth_of_the_picture(height: int) -> None:
    unit = Layout(height * 16 // 9, height).unit
    for face in ("plain", "bold", "mono"):
        ink = lettered("H", unit, face) > 7
        assert ink.any(axis=1).sum() >= height // 40


def test_steps_are_told_by_colours_for_the_colour_blind() -> None:
    """M. Okabe and K. Ito, Color Universal Design (2008): blue, vermilion, bluish green, reddish purple, orange, sky
    blue. All else is grey."""
    published = {(0, 114, 178), (213, 94, 0), (0, 158, 115), (204, 121, 167), (230, 159, 0), (86, 180, 233)}
    palette = {tuple(row) for row in PALETTE.tolist()}
    assert published <= palette
    film = next(iter(frames(made("gauge-stand-base")[1].setups, Route.BY_HAND, SHORT)))
    first = PALETTE[film].reshape(-1, 3)
    assert np.all(first.max(axis=1) == first.min(axis=1)), "nothing is cut yet, so nothing has a colour"


def test_titles_of_any_kind_and_jobs_without_steps_can_be_filmed() -> None:
    text = 'handwheel = 1\ntitle = "<b>漢 \\\\ %s {} ' + "W" * 150 + '"\nunits = "mm"\nmaterial = "brass"\n'
    _, comparison = of_job(read_job_text(text + "[stock]\nsize = [80, 50, 30]\n", "bare"))
    for route in ROUTES:
        pictures = list(frames(comparison.setups, route, Options(1.0, 3, (640, 360))))
        assert [picture.shape for picture in pictures] == [(360, 640)] * 3


def test_progress_is_told_frame_by_frame() -> None:
    told: list[tuple[int, int]] = []
    options = Options(1.0, 4, (640, 360))
    gif(made("fence-stop")[1].setups, Route.BY_PROGRAM, options, lambda done, of: told.append((done, of)))
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]


@pytest.mark.parametrize(
    ("seconds", "fps", "size"),
    [
        (0.0, 10, (960, 540)),
        (10.0, 0, (960, 540)),
        (10.0, 10, (320, 180)),
        (10.0, 10, (540, 960)),
        (1e9, 10, (960, 540)),
    ],
)
def test_films_that_nobody_could_read_are_refused_in_a_sentence(
    seconds: float, fps: int, size: tuple[int, int]
) -> None:
    with pytest.raises(HandwheelError, match=r"animation|picture"):
        Options(seconds, fps, size)


def test_an_mp4_has_as_many_frames_as_the_film(tmp_path: Path) -> None:
    imageio_ffmpeg = pytest.importorskip("imageio_ffmpeg")
    options = Options(2.0, 6, (641, 361))
    film = mp4(made("fence-stop")[1].setups, Route.BY_PROGRAM, options)
    assert film == mp4(made("fence-stop")[1].setups, Route.BY_PROGRAM, options)
    # ISO/IEC 14496-12: a file begins with its type (from memory)
    assert film[4:8] == b"ftyp"
    file = tmp_path / "film.mp4"
    file.write_bytes(film)
    count, seconds = imageio_ffmpeg.count_frames_and_secs(str(file))
    assert count == 12
    assert seconds == pytest.approx(2.0, abs=0.05)


def test_without_the_video_extra_an_mp4_is_refused_with_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "imageio_ffmpeg", None)
    with pytest.raises(HandwheelError, match=r"handwheel\[video\]"):
        mp4(made("fence-stop")[1].setups, Route.BY_HAND, SHORT)
