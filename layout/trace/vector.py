"""Outlines and cut-outs from a drawing: the closed chains of a DXF layer or of an SVG element."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from layout.trace.chains import closed_chains, outline_of
from layout.trace.frame import traced_frame
from layout.trace.picture import read_bytes
from layout.trace.result import Traced, TraceError, What, radius_of
from layout.trace.units import unit_factor
from layout.trace.vector_dxf import dxf_pieces
from layout.trace.vector_svg import svg_pieces

if TYPE_CHECKING:
    from pathlib import Path as FilePath

    from layout.trace.outline import Outline

_MOST_BYTES = 20_000_000
"""No drawing of a panel is larger."""
EXACT_MM = 0.02
"""A drawing whose size was checked is good for this: gaps between its pieces, and curves made of arcs."""
UNCHECKED_SHARE = 0.002
"""One whose size was not checked may have been drawn by eye; told so, with this share of its size."""


def from_drawing(
    path: FilePath,
    what: What,
    *,
    layer: str = "",
    across_mm: float | None = None,
    up_mm: float | None = None,
) -> tuple[Traced, ...]:
    """Return the closed shapes of a drawing: for an outline the largest, else all, in the order of their places.

    Parameters
    ----------
    layer
        Layer of a DXF, id or label of an SVG's element or group; empty is the whole drawing.
    across_mm, up_mm
        Known width and height of the largest shape; they check the drawing's units.

    Raises
    ------
    TraceError
        When the drawing can't be read, holds no closed shape, or is not of the size it should be.
    """
    data = read_bytes(path, _MOST_BYTES)
    reader = svg_pieces if path.suffix.lower() == ".svg" else dxf_pieces
    pieces, mm_per_unit = reader(path.name, data, layer)
    chains = closed_chains(pieces)
    if not chains:
        where = f"layer or element '{layer}' of '{path.name}'" if layer else f"'{path.name}'"
        raise TraceError(f"{where} holds no closed shape", "join its lines end to end, or name another with --layer")
    largest = max(chains, key=lambda chain: abs(chain.area()))
    box = largest.bounds()
    factor = unit_factor((box.width, box.height), (across_mm, up_mm), mm_per_unit)
    checked = across_mm is not None or up_mm is not None
    remarks = () if checked else ("its units were not checked against a known dimension: measure before cutting",)
    size = max(box.width, box.height) * factor
    error = EXACT_MM if checked else max(EXACT_MM, UNCHECKED_SHARE * size)
    chosen = [largest] if what is What.OUTLINE else chains
    return tuple(_traced(outline_of(chain, factor), what, error, remarks) for chain in chosen)


def _traced(outline: Outline, what: What, error: float, remarks: tuple[str, ...]) -> Traced:
    frame = traced_frame(outline, what, turned=False)
    made = outline.moved(frame.dx_mm, frame.dy_mm)
    radii = [made.round[2]] if made.round else [radius for radius in made.radii if radius]
    return Traced(
        what=what,
        outline=made,
        path=made.path(),
        uncertainty_mm=error,
        radii=tuple(radius_of(radius, error / 2) for radius in dict.fromkeys(radii)),
        for_cutting=not remarks,
        frame=frame,
        edge_mm=np.empty((0, 2)),
        off_mm=np.empty(0),
        remarks=remarks,
    )
