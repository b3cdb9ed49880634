"""The lines and arcs of a DXF."""

from __future__ import annotations

import io
import math
from itertools import islice, pairwise
from typing import TYPE_CHECKING, Any

from layout.trace.chains import Curve
from layout.trace.result import TraceError

if TYPE_CHECKING:
    from layout.trace.chains import ChainPiece

MOST_ENTITIES = 20_000
"""More is no drawing of a panel; it bounds the work."""
CURVE_UNITS = 0.002
"""How far a curve may leave its chords, as a share of its size."""


def dxf_pieces(name: str, data: bytes, layer: str) -> tuple[list[ChainPiece], float | None]:
    """Return the pieces of one layer (all, if it is empty), and millimetres per unit by the file's own word.

    Raises
    ------
    TraceError
        When the file is no DXF, has no such layer, or holds too much.
    """
    from ezdxf import disassemble, filemanagement, units
    from ezdxf.enums import InsertUnits

    try:
        text = data.decode("utf-8", errors="surrogateescape")
        document = filemanagement.read(io.StringIO(text))
    except Exception as error:
        raise TraceError(f"'{name}' is not a DXF that can be read: {error}", "save it as DXF, text form") from None
    layers = sorted({entity.dxf.layer for entity in document.modelspace()})
    if layer and layer not in layers:
        raise TraceError(f"'{name}' has nothing on layer '{layer}'", f"there is {', '.join(layers[:20]) or 'nothing'}")
    entities = list(islice(disassemble.recursive_decompose(document.modelspace()), MOST_ENTITIES + 1))
    if len(entities) > MOST_ENTITIES:
        raise TraceError(f"'{name}' holds more than {MOST_ENTITIES} entities", "save the outline alone")
    found = [entity for entity in entities if not layer or entity.dxf.layer == layer]
    unit = document.header.get("$INSUNITS", 0)
    factor = float(units.conversion_factor(InsertUnits(unit), InsertUnits.Millimeters)) if unit else None
    return [piece for entity in found for piece in _pieces(entity)], factor


def _pieces(entity: Any) -> list[ChainPiece]:
    match entity.dxftype():
        case "LINE":
            start, end = entity.dxf.start, entity.dxf.end
            return [Curve((start.x, start.y), (end.x, end.y), 0.0)]
        case "ARC":
            sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
            way = entity.dxf.extrusion.z
            start, end = entity.start_point, entity.end_point
            return [Curve((start.x, start.y), (end.x, end.y), math.copysign(math.tan(sweep / 4), way))]
        case "CIRCLE":
            centre = entity.ocs().to_wcs(entity.dxf.center)
            radius = entity.dxf.radius
            right, left = (centre.x + radius, centre.y), (centre.x - radius, centre.y)
            return [Curve(right, left, 1.0), Curve(left, right, 1.0)]
        case "LWPOLYLINE" | "POLYLINE":
            return _polyline(entity)
        case "ELLIPSE" | "SPLINE":
            size = max(entity.dxf.major_axis.magnitude if entity.dxftype() == "ELLIPSE" else 1.0, 1e-6)
            points = [(point.x, point.y) for point in islice(entity.flattening(CURVE_UNITS * size), MOST_ENTITIES)]
            return [Curve(a, b, 0.0, bent=True) for a, b in pairwise(points)]
    return []


def _polyline(entity: Any) -> list[ChainPiece]:
    pieces: list[ChainPiece] = []
    for part in islice(entity.virtual_entities(), MOST_ENTITIES):
        pieces += _pieces(part)
    return pieces
