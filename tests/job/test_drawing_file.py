"""Drawing files as ezdxf writes them, and as people leave them."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

import ezdxf
import pytest

from handwheel.job.drawing_file import DrawingError, read_outline
from handwheel.job.shape import Shape, ShapeError
from handwheel.path.box import Box

Draw = Callable[[Any], object]


def _saved(folder: Path, draw: Draw, units: int | None = 4, version: str = "R2010") -> Path:
    drawing = ezdxf.new(version)
    if units is None:
        del drawing.header["$INSUNITS"]
    else:
        drawing.header["$INSUNITS"] = units
    drawing.layers.add("PLATE")
    draw(drawing.modelspace())
    file = folder / "plate.dxf"
    drawing.saveas(file)
    return file


ON = {"layer": "PLATE"}


def _stadium(space: Any) -> None:
    space.add_line((0, 0), (20, 0), dxfattribs=ON)
    space.add_line((0, 10), (20, 10), dxfattribs=ON)
    space.add_arc((20, 5), 5, -90, 90, dxfattribs=ON)
    space.add_arc((0, 5), 5, 90, 270, dxfattribs=ON)
    space.add_line((0, 0), (99, 99), dxfattribs={"layer": "CENTER"})


def test_lines_and_arcs_in_any_order_and_direction_make_a_loop(tmp_path: Path) -> None:
    for version in ("R2000", "R2007", "R2018"):
        outline = read_outline(_saved(tmp_path, _stadium, version=version), "plate")
        assert outline.area == pytest.approx(200 + 25 * math.pi)
        assert len(outline.pieces) == 4


def test_inches_are_inches(tmp_path: Path) -> None:
    assert read_outline(_saved(tmp_path, _stadium, units=1), "PLATE").box2[1][0] == pytest.approx(25 * 25.4)


def test_a_polyline_with_bulges_is_lines_and_arcs(tmp_path: Path) -> None:
    corners = [(0, 0, 0), (20, 0, 1), (20, 10, 0), (0, 10, -0.4)]

    def new(space: Any) -> None:
        space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs=ON)

    def old(space: Any) -> None:
        space.add_polyline2d(corners, format="xyb", close=True, dxfattribs=ON)

    half = 4 * math.atan(0.4)
    radius = 5 / math.sin(half / 2)
    area = 200 + math.pi * 12.5 - radius**2 / 2 * (half - math.sin(half))
    for draw in (new, old):
        assert read_outline(_saved(tmp_path, draw), "PLATE").area == pytest.approx(area)


def test_a_circle_is_a_whole_outline_also_where_it_was_mirrored(tmp_path: Path) -> None:
    file = _saved(tmp_path, lambda space: space.add_circle((3, 4), 5, dxfattribs=ON))
    assert read_outline(file, "PLATE").box2[0] == pytest.approx((-2, -1))
    mirrored = {**ON, "extrusion": (0, 0, -1)}
    file = _saved(tmp_path, lambda space: space.add_circle((3, 4), 5, dxfattribs=mirrored))
    assert read_outline(file, "PLATE").box2[0] == pytest.approx((-8, -1))

    def bent(space: Any) -> None:
        space.add_lwpolyline([(0, 0, 1), (10, 0, 0)], format="xyb", close=True, dxfattribs=mirrored)

    # From (0, 0) to (-10, 0), turning clockwise as seen from above: the half circle lies on the side of -Y.
    half = read_outline(_saved(tmp_path, bent), "PLATE")
    assert half.box2 == (pytest.approx((-10, -5)), pytest.approx((0, 0)))
    beside = ezdxf.readfile(tmp_path / "plate.dxf").modelspace()[0]
    assert min(y for _, y, _ in _flattened(beside)) == pytest.approx(-5, abs=1e-3)
    assert min(x for x, _, _ in _flattened(beside)) == pytest.approx(-10)


def _flattened(entity: Any) -> list[Any]:
    from ezdxf.path import make_path

    return list(make_path(entity).flattening(1e-4))


def test_a_gap_within_a_hundredth_is_closed_and_a_wider_one_told_with_its_ends(tmp_path: Path) -> None:
    def wide(gap: float) -> Draw:
        def draw(space: Any) -> None:
            space.add_line((0, 0), (20, 0), dxfattribs=ON)
            space.add_line((20, gap), (0, 10), dxfattribs=ON)
            space.add_line((0, 10), (0, 0), dxfattribs=ON)

        return draw

    assert read_outline(_saved(tmp_path, wide(0.008)), "PLATE").area == pytest.approx(100, abs=0.1)
    with pytest.raises(DrawingError, match=r"plate.dxf, layer PLATE: has a gap of 0.3 from \(20, 0\) to \(20, 0.3\)"):
        read_outline(_saved(tmp_path, wide(0.3)), "PLATE")


@pytest.mark.parametrize(
    ("draw", "said"),
    [
        (lambda s: s.add_spline([(0, 0), (5, 9), (9, 0)], dxfattribs=ON), "holds SPLINE"),
        (lambda s: s.add_ellipse((0, 0), (5, 0), 0.5, dxfattribs=ON), "holds ELLIPSE"),
        (lambda s: s.add_text("PLATE", dxfattribs=ON), "holds TEXT"),
        (lambda s: s.add_line((0, 0), (9, 0)), "is empty"),
        (lambda s: (_stadium(s), s.add_line((0, 0), (20, 0), dxfattribs=ON)), "more than two ends meet at"),
        (lambda s: (_stadium(s), s.add_circle((9, 5), 1, dxfattribs=ON)), "has a circle and more beside it"),
        (
            lambda s: [s.add_lwpolyline([(x, 0), (x + 5, 0), (x, 5)], close=True, dxfattribs=ON) for x in (0, 9)],
            "one loop",
        ),
        (lambda s: s.add_lwpolyline([(0, 0), (5, 5), (5, 0), (0, 5)], close=True, dxfattribs=ON), r"at \(2.5, 2.5\)"),
        (lambda s: s.add_lwpolyline([(0, 0), (0, 0)], close=True, dxfattribs=ON), "nothing that has a length"),
        (lambda s: s.add_line((0, 0, 0), (9, 0, 5), dxfattribs=ON), "not lie level"),
        (lambda s: s.add_circle((0, 0), 5, dxfattribs={**ON, "extrusion": (1, 0, 0)}), "not lie level"),
        (lambda s: s.add_polyline3d([(0, 0, 0), (5, 0, 2), (0, 5, 0)], close=True, dxfattribs=ON), "holds a POLYLINE"),
        (lambda s: s.add_line((0, 0), (9, 0), dxfattribs=ON), r"gap of 9 from \(0, 0\) to \(9, 0\)"),
    ],
)
def test_what_is_no_outline_is_told_with_file_and_layer(tmp_path: Path, draw: Draw, said: str) -> None:
    with pytest.raises(DrawingError, match=f"plate.dxf, layer PLATE: .*{said}"):
        read_outline(_saved(tmp_path, draw), "PLATE")


def test_units_layer_and_file_that_are_missing_are_told(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match="does not say its units"):
        read_outline(_saved(tmp_path, _stadium, units=0), "PLATE")
    with pytest.raises(DrawingError, match="does not say its units"):
        read_outline(_saved(tmp_path, _stadium, units=None, version="R12"), "PLATE")
    with pytest.raises(DrawingError, match="units that no shop uses"):
        read_outline(_saved(tmp_path, _stadium, units=18), "PLATE")
    with pytest.raises(DrawingError, match="there is no such layer") as told:
        read_outline(_saved(tmp_path, _stadium), "PLAT")
    assert told.value.wanted == "did you mean PLATE?"
    with pytest.raises(DrawingError, match=r"there is no file none.dxf"):
        read_outline(tmp_path / "none.dxf", "PLATE")
    for content in (b"", b"hello\nworld\n", b"\x00\xff" * 99, b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nx\n0\nEOF\n"):
        (tmp_path / "bad.dxf").write_bytes(content)
        with pytest.raises(DrawingError):
            read_outline(tmp_path / "bad.dxf", "PLATE")
    with pytest.raises(DrawingError):
        read_outline(tmp_path, "PLATE")


def test_a_shape_reads_its_file_beside_the_job(tmp_path: Path) -> None:
    _saved(tmp_path, _stadium)
    block = Box((0, 0, -9), (9, 9, 0))
    assert Shape(dxf="plate.dxf", layer="PLATE").outline(block, tmp_path).area == pytest.approx(200 + 25 * math.pi)
    with pytest.raises(ShapeError, match="no such layer; did you mean PLATE") as told:
        Shape(dxf="plate.dxf", layer="PLATES").outline(block, tmp_path)
    assert told.value.key == ("layer",)


def test_a_hundred_thousand_entities_are_refused_in_bounded_time(tmp_path: Path) -> None:
    text = _saved(tmp_path, lambda space: space.add_line((0, 0), (1, 0), dxfattribs=ON)).read_text(encoding="utf-8")
    start = text.index("  0\nLINE\n")
    end = text.index("  0\nENDSEC", start)
    line = text[start:end]
    handle = line.split("  5\n")[1].split("\n")[0]
    lines = (line.replace(f"  5\n{handle}\n", f"  5\n{0xA0000 + index:X}\n") for index in range(100_000))
    (tmp_path / "plate.dxf").write_text(text[:start] + "".join(lines) + text[end:], encoding="utf-8")
    begun = perf_counter()
    with pytest.raises(DrawingError, match="more than 20,000 lines and arcs"):
        read_outline(tmp_path / "plate.dxf", "PLATE")
    assert perf_counter() - begun < 60.0


def test_a_broken_file_is_told_and_never_a_traceback(tmp_path: Path) -> None:
    lines = _saved(tmp_path, _stadium).read_text(encoding="utf-8").splitlines()
    entities = lines.index("ENTITIES")
    dice = random.Random(1)
    words = ["", "x", "nan", "inf", "1e400", "-1", "0", "SPLINE", "9" * 20]
    told = 0
    for _ in range(300):
        broken = list(lines)
        for _ in range(dice.randint(1, 3)):
            at = dice.choice([dice.randrange(len(lines)), min(len(lines) - 1, entities + dice.randrange(90))])
            broken[at] = dice.choice([*words, dice.choice(lines)])
        (tmp_path / "plate.dxf").write_text("\n".join(broken), encoding="utf-8")
        try:
            read_outline(tmp_path / "plate.dxf", "PLATE")
        except DrawingError:
            told += 1
    assert told > 100
