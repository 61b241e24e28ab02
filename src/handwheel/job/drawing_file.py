"""The outline on one layer of a drawing file (DXF): lines, arcs, circles and polylines that make one closed loop."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from handwheel.path.arc import FULL, Arc
from handwheel.path.chain import reversed_chain
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece
from handwheel.path.outline import Outline, OutlineError, circle, fitted_arc
from handwheel.shop.reading import nearest
from handwheel.tolerances import CONTACT, DRAWING_GAP

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST_FILE: Final = 100_000_000
"""Bytes."""

MOST_PIECES: Final = 20_000
"""Lines and arcs of one outline."""

MILLIMETERS: Final = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100.0}
"""Of one unit of the drawing by its header's $INSUNITS: inch, foot, mm, cm, m, thousandth of an inch, yard, micrometre,
dm (DXF reference, from memory)."""

SPLINED: Final = 2 | 4 | 8 | 16 | 64
"""Flags of a polyline that is a curve or a mesh in truth, or lies in space (DXF reference, from memory)."""


_SILENT: Final = logging.NullHandler()


class DrawingError(ValueError):
    """What is wrong with a drawing file; ``key`` is the one of the shape at which it is told."""

    def __init__(self, key: str, reason: str, wanted: str = "") -> None:
        self.key, self.wanted = key, wanted
        super().__init__(reason)


def read_outline(file: Path, layer: str) -> Outline:
    """The one closed loop on a layer, mm.

    Parameters
    ----------
    file : a DXF file that says its units; its coordinates are those of the set-up
    layer : upper and lower case are the same

    Raises
    ------
    DrawingError
        Where there is none; the message names file and layer, coordinates as the drawing has them.
    """
    return _Layer(file, layer).outline()


class _Layer:
    """A layer of a file, and how it is called in messages."""

    def __init__(self, file: Path, layer: str) -> None:
        self.file, self.layer = file, layer
        self.drawing = _opened(file)
        self.scale = _scale(self.drawing, file)

    def fault(self, reason: str, wanted: str = "") -> DrawingError:
        return DrawingError("layer", f"{self.file.name}, layer {self.layer}: {reason}", wanted)

    def point(self, at: XY) -> str:
        """As the drawing has it."""
        return f"({at[0] / self.scale:.6g}, {at[1] / self.scale:.6g})"

    def outline(self) -> Outline:
        entities = self._entities()
        for entity in entities:
            if entity.dxftype() == "CIRCLE":
                return self._circle(entity, len(entities))
        pieces: list[Piece] = []
        for entity in entities:
            pieces += (piece for piece in self._pieces(entity) if piece.length > CONTACT)
            if len(pieces) > MOST_PIECES:
                raise self.fault(f"has more than {MOST_PIECES:,} lines and arcs", "an outline needs far fewer")
        if not pieces:
            raise self.fault("has nothing that has a length")
        try:
            return Outline(self._joined(self._loop(pieces)))
        except OutlineError as error:
            raise self.fault(error.said(lambda length: f"{length / self.scale:.6g}")) from None

    def _entities(self) -> list[Any]:
        wanted = self.layer.casefold()
        names: dict[str, None] = {}
        there = []
        for entity in self.drawing.modelspace():
            name = str(entity.dxf.get("layer", "0")) if entity.dxf.is_supported("layer") else ""
            if name.casefold() == wanted:
                there.append(entity)
            names.setdefault(name)
        if there:
            return there
        if any(layer.dxf.name.casefold() == wanted for layer in self.drawing.layers):
            raise self.fault("is empty", nearest(self.layer, names))
        raise self.fault("there is no such layer", nearest(self.layer, names))

    def _circle(self, entity: Any, count: int) -> Outline:
        if count > 1:
            raise self.fault("has a circle and more beside it", "one closed loop on a layer")
        (x, y), radius = self._flat(entity, entity.dxf.center), float(entity.dxf.radius) * self.scale
        if not radius > CONTACT or not math.isfinite(radius):
            raise self.fault("has a circle of no size")
        return circle((x * self._mirror(entity), y), 2.0 * radius)

    def _pieces(self, entity: Any) -> Iterator[Piece]:
        kind = entity.dxftype()
        if kind == "LINE":
            start, end = (self._flat(entity, point) for point in (entity.dxf.start, entity.dxf.end))
            if abs(entity.dxf.start.z - entity.dxf.end.z) * self.scale > DRAWING_GAP:
                raise self.fault(f"has a line at {self.point(start)} that does not lie level")
            yield Line(start, end)
        elif kind == "ARC":
            yield self._arc(entity)
        elif kind == "LWPOLYLINE":
            corners = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
            yield from self._polyline(entity, corners, bool(entity.closed))
        elif kind == "POLYLINE" and not int(entity.dxf.get("flags", 0)) & SPLINED:
            ends = [(v.dxf.location.x, v.dxf.location.y, float(v.dxf.get("bulge", 0.0))) for v in entity.vertices]
            yield from self._polyline(entity, ends, bool(entity.is_closed))
        else:
            name = "a POLYLINE that is a curve or a mesh" if kind == "POLYLINE" else kind
            wanted = "draw it with lines, arcs, circles and polylines, or put it on another layer"
            raise self.fault(f"holds {name} (handle {entity.dxf.get('handle', '?')}), which is not read", wanted)

    def _arc(self, entity: Any) -> Arc:
        mirror = self._mirror(entity)
        (x, y), radius = self._flat(entity, entity.dxf.center), float(entity.dxf.radius) * self.scale
        first, last = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
        turn = (last - first) % FULL or FULL
        if not radius > CONTACT or not math.isfinite(radius + turn):
            raise self.fault(f"has an arc of no size at {self.point((x * mirror, y))}")
        ends = [((x + radius * math.cos(a)) * mirror, y + radius * math.sin(a)) for a in (first, first + turn)]
        return Arc((x * mirror, y), ends[0], ends[1], turn * mirror)

    def _polyline(self, entity: Any, corners: list[tuple[float, float, float]], closed: bool) -> Iterator[Piece]:
        mirror = self._mirror(entity)
        places = [(x * self.scale * mirror, y * self.scale, bulge * mirror) for x, y, bulge in corners]
        if not all(math.isfinite(x + y + bulge) for x, y, bulge in places):
            raise self.fault("has a polyline with a corner that is no number")
        for (x, y, bulge), (u, v, _) in zip(places, places[1:] + (places[:1] if closed else []), strict=False):
            if math.hypot(u - x, v - y) > CONTACT:
                yield _bulged((x, y), (u, v), bulge)

    def _flat(self, entity: Any, point: Any) -> XY:
        x, y = float(point.x) * self.scale, float(point.y) * self.scale
        if not (math.isfinite(x) and math.isfinite(y)):
            raise self.fault(f"has a {entity.dxftype()} with a point that is no number")
        return (x, y)

    def _mirror(self, entity: Any) -> float:
        """1, or −1 for what was mirrored: its X then runs the other way."""
        x, y, z = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
        if abs(x) + abs(y) > 1e-9 or z == 0.0:
            raise self.fault(f"has a {entity.dxftype()} that does not lie level")
        return math.copysign(1.0, z)

    def _loop(self, pieces: list[Piece]) -> list[Piece]:
        """All pieces in order and in one direction."""
        partner = self._partners(pieces)
        loop, at = [pieces[0]], partner[1]
        while at != 0:
            piece, end = divmod(at, 2)
            loop.append(pieces[piece] if end == 0 else reversed_chain((pieces[piece],))[0])
            at = partner[at ^ 1]
        if len(loop) < len(pieces):
            raise self.fault("holds more than one loop", "one closed loop on a layer")
        return loop

    def _partners(self, pieces: list[Piece]) -> list[int]:
        """For each end (2 · piece, and one more for its far end) the one that meets it."""
        ends = [end for piece in pieces for end in (piece.start, piece.end)]
        cells: dict[tuple[int, int], list[int]] = {}
        for index, end in enumerate(ends):
            cells.setdefault(_cell(end), []).append(index)
        partner, lonely = [-1] * len(ends), []
        for index, end in enumerate(ends):
            x, y = _cell(end)
            near = [
                one
                for column in (x - 1, x, x + 1)
                for row in (y - 1, y, y + 1)
                for one in cells.get((column, row), ())[:9]
                if one != index and math.dist(ends[one], end) <= DRAWING_GAP
            ]
            if len(near) > 1:
                raise self.fault(f"more than two ends meet at {self.point(end)}", "is something drawn twice?")
            if near:
                partner[index] = near[0]
            else:
                lonely.append(end)
        if lonely:
            raise self._gap(lonely)
        return partner

    def _gap(self, ends: Sequence[XY]) -> DrawingError:
        """The narrowest of the first open end."""
        first = ends[0]
        other = min(ends[1:], key=lambda end: math.dist(first, end))
        wide = math.dist(first, other) / self.scale
        closed = f"gaps up to {DRAWING_GAP / self.scale:.3g} are closed"
        return self.fault(f"has a gap of {wide:.4g} from {self.point(first)} to {self.point(other)}", closed)

    def _joined(self, loop: list[Piece]) -> tuple[Piece, ...]:
        """Every gap closed at its middle."""
        corners = []
        for index, piece in enumerate(loop):
            (a, b), (c, d) = loop[index - 1].end, piece.start
            corners.append(piece.start if math.dist((a, b), (c, d)) <= CONTACT else ((a + c) / 2, (b + d) / 2))
        joined: list[Piece] = []
        for piece, start, end in zip(loop, corners, corners[1:] + corners[:1], strict=True):
            if math.dist(start, end) <= CONTACT:
                raise self.fault(f"has a piece at {self.point(start)} that is no longer than a gap")
            joined.append(fitted_arc(piece, start, end) if isinstance(piece, Arc) else Line(start, end))
        return tuple(joined)


def _opened(file: Path) -> Drawing:
    import ezdxf

    # Its remarks on the file's tables are for people who write drawings; without a handler they would go to the screen.
    logging.getLogger("ezdxf").addHandler(_SILENT)
    try:
        if file.is_file() and file.stat().st_size > LARGEST_FILE:
            raise DrawingError("dxf", f"{file.name} is far too large", "a drawing of one part is enough")
        drawing = ezdxf.readfile(file)  # type: ignore[attr-defined,unused-ignore]
        drawing.modelspace()
    except DrawingError:
        raise
    except FileNotFoundError:
        raise DrawingError("dxf", f"there is no file {file.name} beside the job", "its path starts there") from None
    except Exception as error:  # a broken file may fail anywhere in the library that reads it
        raise DrawingError("dxf", f"{file.name} cannot be read as DXF: {error}", "save it again as DXF") from None
    return drawing


def _scale(drawing: Drawing, file: Path) -> float:
    """mm in one unit of the drawing."""
    wanted = "save it in inches or millimeters, as DXF 2000 or later, with $INSUNITS in its header"
    units = int(drawing.header.get("$INSUNITS", 0)) if "$INSUNITS" in drawing.header else 0
    if units == 0:
        raise DrawingError("dxf", f"{file.name} does not say its units", wanted)
    if units not in MILLIMETERS:
        raise DrawingError("dxf", f"{file.name} is in units that no shop uses ($INSUNITS {units})", wanted)
    return MILLIMETERS[units]


def _bulged(start: XY, end: XY, bulge: float) -> Piece:
    """The side of a polyline: its bulge is the tangent of a quarter of the angle through which it turns, positive
    anticlockwise (DXF reference, from memory).

    >>> _bulged((2.0, 0.0), (-2.0, 0.0), 1.0).turn == math.pi
    True
    """
    if abs(bulge) * math.dist(start, end) / 2 <= CONTACT:
        return Line(start, end)
    turn = 4.0 * math.atan(bulge)
    (x, y), (u, v) = start, end
    off = (1.0 / bulge - bulge) / 4.0
    return Arc(((x + u) / 2 - (v - y) * off, (y + v) / 2 + (u - x) * off), start, end, turn)


def _cell(point: XY) -> tuple[int, int]:
    return math.floor(point[0] / DRAWING_GAP), math.floor(point[1] / DRAWING_GAP)
