"""The lines and arcs of an SVG."""

from __future__ import annotations

import io
import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from layout.trace.chains import Curve
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.trace.chains import ChainPiece

MM_PER_PX = 25.4 / 96
"""A pixel of CSS."""
_MOST_SEGMENTS = 20_000
"""More is no drawing of a panel; it bounds the work."""
CURVE_CHORDS = 48
"""Chords that a Bézier curve is made of before arcs are fitted to it."""
FORBIDDEN = {b"<!ENTITY": "entities", b"<use": "clones (use)"}
"""What a small file can grow without end by."""


def svg_pieces(name: str, data: bytes, ident: str) -> tuple[list[ChainPiece], float | None]:
    """Return the pieces of one element or group (all, if ``ident`` is empty), y up, and millimetres per unit.

    Raises
    ------
    TraceError
        When the file is no SVG, has no such element, or holds too much.
    """
    import svgelements as svg

    for sign, words in FORBIDDEN.items():
        if sign in data:
            raise TraceError(f"'{name}' holds {words}", "save it as plain SVG with everything made into paths")
    try:
        document = svg.SVG.parse(io.BytesIO(data), reify=True, ppi=96.0)
    except Exception as error:
        raise TraceError(f"'{name}' is not an SVG that can be read: {error}", "save it as plain SVG") from None
    shapes = list(_shapes(document, ident, found=not ident))
    if ident and not shapes:
        raise TraceError(f"'{name}' has no element '{ident}'", "name an id or a layer's label that stands in the file")
    pieces: list[ChainPiece] = []
    for shape in shapes:
        for segment in svg.Path(shape):
            pieces += _pieces(segment, svg)
            if len(pieces) > _MOST_SEGMENTS:
                raise TraceError(f"'{name}' holds more than {_MOST_SEGMENTS} pieces", "save the outline alone")
    return pieces, MM_PER_PX


def _shapes(element: Any, ident: str, *, found: bool) -> list[Any]:
    import svgelements as svg

    attributes = (element.values or {}).get("attributes", {})
    names = {element.id} | {value for key, value in attributes.items() if "label" in key}
    found = found or ident in names
    if isinstance(element, svg.Group | svg.SVG):
        return [shape for child in element for shape in _shapes(child, ident, found=found)]
    return [element] if found and isinstance(element, svg.Shape) else []


def _pieces(segment: Any, svg: Any) -> list[ChainPiece]:
    if isinstance(segment, svg.Move) or segment.start is None or segment.end is None:
        return []
    start, end = _point(segment.start), _point(segment.end)
    if isinstance(segment, svg.Line | svg.Close):
        return [Curve(start, end, 0.0)] if math.dist(start, end) > 0 else []
    if isinstance(segment, svg.Arc) and abs(segment.rx - segment.ry) <= 1e-4 * abs(segment.rx):
        halves = [_point(segment.point(share)) for share in (0.0, 0.5, 1.0)]
        bulge = math.copysign(math.tan(abs(segment.sweep) / 8), -segment.sweep)
        return [Curve(a, b, bulge) for a, b in pairwise(halves)]
    points = [_point(segment.point(k / CURVE_CHORDS)) for k in range(CURVE_CHORDS + 1)]
    return [Curve(a, b, 0.0, bent=True) for a, b in pairwise(points)]


def _point(point: Any) -> tuple[float, float]:
    return (float(point.x), -float(point.y))
