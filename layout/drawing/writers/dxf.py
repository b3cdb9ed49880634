"""Write a scene as DXF: millimetres, one layer a group's layer, circles, closed polylines with true arcs."""

from __future__ import annotations

from io import StringIO
from typing import TYPE_CHECKING, Any

from ezdxf import options, units  # type: ignore[attr-defined]  # not re-exported for mypy
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from layout.drawing.elements.arcs import bulge
from layout.drawing.elements.hatch import hatch_lines
from layout.drawing.elements.scene import FillPath, Group, HatchPath, StrokePath, Text, resolved, scene_leaves
from layout.geometry.path import Arc, Box
from layout.geometry.shapes import as_circle

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Item, Scene
    from layout.geometry.path import Path

LAYER_COLOURS = {"cut": 1, "drill": 5, "engrave": 3, "reference": 8, "rebate": 6, "text": 8}
"""Our layers' colour numbers (1 red, 5 blue, 3 green, 6 magenta, 8 grey)."""

_Corner = tuple[float, float, float]


def dxf_text(scene: Scene) -> str:
    """Return the scene as an ASCII DXF (R2010) document in millimetres, same bytes for the same scene.

    Items outside any layered group go to the layer ``reference``.
    """
    keep = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True  # no dates, no random identifiers
    try:
        document = new("R2010", setup=False)
        document.units = units.MM
        document.header["$MEASUREMENT"] = 1
        for layer, colour in LAYER_COLOURS.items():
            document.layers.add(layer, color=colour)
        document.styles.add("spile", font="DejaVuSansCondensed.ttf")
        items = resolved(scene)
        _draw(document, items, "reference")
        low, high = _extents(items)
        document.modelspace().reset_extents(low, high)  # the header takes them from there
        document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
        for name in sorted(document.entitydb.dxf_types_in_use()):  # the library goes through a set
            document.classes.add_class(name)
        out = StringIO()
        document.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = keep
    return out.getvalue()


def _extents(items: tuple[Item, ...]) -> tuple[_Corner, _Corner]:
    """Return the lower left and upper right corner of all paths."""
    boxes = [item.path.bounds() for item in scene_leaves(items) if not isinstance(item, Text)]
    box = Box.around(boxes) if boxes else Box(0.0, 0.0, 0.0, 0.0)
    return (box.x0, box.y0, 0.0), (box.x1, box.y1, 0.0)


def _draw(document: Any, items: tuple[Item, ...], layer: str) -> None:
    space = document.modelspace()
    for item in items:
        match item:
            case Group():
                inner = item.layer or layer
                if not document.layers.has_entry(inner):
                    document.layers.add(inner)
                _draw(document, item.items, inner)
            case StrokePath():
                _polyline(space, item.path, layer)
            case FillPath():
                for path in (item.path, *item.holes):
                    _polyline(space, path, layer)
            case HatchPath():
                for path in hatch_lines(item):
                    _polyline(space, path, layer)
            case Text():
                _text(space, item, layer)


def _polyline(space: Any, path: Path, layer: str) -> None:
    round_one = as_circle(path) if path.closed else None
    if round_one is not None:
        centre, diameter = round_one
        space.add_circle(centre, diameter / 2, dxfattribs={"layer": layer})
        return
    points = [(*segment.start, bulge(segment) if isinstance(segment, Arc) else 0.0) for segment in path.segments]
    if not path.closed:
        points.append((*path.segments[-1].end, 0.0))
    space.add_lwpolyline(points, format="xyb", close=path.closed, dxfattribs={"layer": layer})


def _text(space: Any, text: Text, layer: str) -> None:
    align = {
        ("left", "base"): TextEntityAlignment.LEFT,
        ("centre", "base"): TextEntityAlignment.CENTER,
        ("right", "base"): TextEntityAlignment.RIGHT,
        ("left", "middle"): TextEntityAlignment.MIDDLE_LEFT,
        ("centre", "middle"): TextEntityAlignment.MIDDLE_CENTER,
        ("right", "middle"): TextEntityAlignment.MIDDLE_RIGHT,
        ("left", "top"): TextEntityAlignment.TOP_LEFT,
        ("centre", "top"): TextEntityAlignment.TOP_CENTER,
        ("right", "top"): TextEntityAlignment.TOP_RIGHT,
    }[text.align, text.level]
    entity = space.add_text(
        text.content,
        height=text.height_mm,
        rotation=text.turn_deg,
        dxfattribs={"layer": layer, "style": "spile"},
    )
    entity.set_placement(text.at, align=align)
