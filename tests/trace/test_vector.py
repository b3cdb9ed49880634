"""Outlines and cut-outs from drawings, read back from files that other libraries wrote."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import ezdxf
import pytest
import svgwrite
import yaml

from layout.project.model.shape import ArcTo, Corner, Shape
from layout.trace.result import TraceError, What
from layout.trace.vector import from_drawing
from layout.trace.words import yaml_of
from tests.trace.truth import SHAPES, deviation_mm

if TYPE_CHECKING:
    from pathlib import Path


def dxf(path: Path, *, units: int = 4, scale: float = 1.0) -> Path:
    """Write a panel of loose lines and arcs, with a round and a rectangular cut-out on a layer of their own."""
    document = ezdxf.new(units=units)
    space = document.modelspace()
    w, h, r = 400 * scale, 250 * scale, 20 * scale
    for start, end in (((r, 0), (w - r, 0)), ((w, h - r), (w, r)), ((r, h), (w - r, h)), ((0, r), (0, h - r))):
        space.add_line(start, end, dxfattribs={"layer": "edge"})
    for centre, first in (((r, r), 180), ((w - r, r), 270), ((w - r, h - r), 0), ((r, h - r), 90)):
        space.add_arc(centre, r, first, first + 90, dxfattribs={"layer": "edge"})
    space.add_circle((100 * scale, 100 * scale), 26 * scale, dxfattribs={"layer": "holes"})
    corners = [(200, 80), (292, 80), (292, 125), (200, 125)]
    space.add_lwpolyline([(x * scale, y * scale) for x, y in corners], close=True, dxfattribs={"layer": "holes"})
    space.add_line((0, -30), (50, -30), dxfattribs={"layer": "notes"})
    document.saveas(path)
    return path


def test_outline_of_loose_pieces(tmp_path: Path) -> None:
    """Lines and arcs in any order and direction become one rectangle with true radii."""
    (traced,) = from_drawing(dxf(tmp_path / "panel.dxf"), What.OUTLINE, layer="edge", across_mm=400, up_mm=250)
    text = yaml_of(traced, "panel.dxf")
    assert "outline: {rect: [400, 250], radius: 20, at: [200, 125]}" in text
    assert "size_from: traced" in text


def test_cutouts_of_a_layer(tmp_path: Path) -> None:
    """Each closed shape of the layer, in the order of place, about its own middle."""
    found = from_drawing(dxf(tmp_path / "panel.dxf"), What.CUTOUT, layer="holes")
    assert [yaml_of(one, "x").splitlines()[-3] for one in found] == [
        "cutout: {circle: 52}",
        "cutout: {rect: [92, 45]}",
    ]
    assert not any(one.for_cutting for one in found)
    assert "not checked" in found[0].remarks[0]


def test_a_known_dimension_tells_the_unit(tmp_path: Path) -> None:
    """A drawing in inches that calls them millimetres is found out; a size that no unit gives is refused."""
    wrong = dxf(tmp_path / "panel.dxf", scale=1 / 25.4)
    (traced,) = from_drawing(wrong, What.OUTLINE, layer="edge", across_mm=400)
    assert traced.path.bounds().width == pytest.approx(400, abs=1e-6)
    with pytest.raises(TraceError, match="no other unit"):
        from_drawing(wrong, What.OUTLINE, layer="edge", across_mm=410)


def test_svg_of_curves_becomes_arcs(tmp_path: Path) -> None:
    """Bézier curves that stand for arcs become arcs again; an id chooses the shape."""
    k, r = 0.5522847498, 12.0
    drawing = svgwrite.Drawing(str(tmp_path / "hole.svg"), size=("200mm", "100mm"), viewBox="0 0 200 100")
    d = f"M {30 + r},20 H {150 - r} C {150 - r + k * r},20 150,{20 + r - k * r} 150,{20 + r} V {70 - r}"
    d += f" C 150,{70 - r + k * r} {150 - r + k * r},70 {150 - r},70 H {30 + r}"
    d += f" C {30 + r - k * r},70 30,{70 - r + k * r} 30,{70 - r} V {20 + r}"
    d += f" C 30,{20 + r - k * r} {30 + r - k * r},20 {30 + r},20 Z"
    drawing.add(drawing.path(d=d, id="hole"))
    drawing.add(drawing.circle((170, 30), 10, id="round"))
    drawing.save()
    (traced,) = from_drawing(tmp_path / "hole.svg", What.CUTOUT, layer="hole", across_mm=120, up_mm=50)
    assert yaml_of(traced, "x").splitlines()[-3] == "cutout: {rect: [120, 50], radius: 12}"
    (ring,) = from_drawing(tmp_path / "hole.svg", What.CUTOUT, layer="round", across_mm=20)
    assert ring.outline.round == pytest.approx((0, 0, 10), abs=1e-4)
    with pytest.raises(TraceError, match="no element 'other'"):
        from_drawing(tmp_path / "hole.svg", What.CUTOUT, layer="other")


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_shapes_come_back_from_yaml(tmp_path: Path, name: str) -> None:
    """Any outline goes through DXF, through the words for the project file and through its reader, and is the same."""
    true = SHAPES[name]
    document = ezdxf.new(units=4)
    for segment in true.segments:
        if hasattr(segment, "centre"):
            (xa, ya), (xb, yb) = segment.start, segment.end
            bulge = math.tan(segment.sweep / 4)
            document.modelspace().add_lwpolyline([(xa, ya, bulge), (xb, yb, 0)], format="xyb")
        else:
            document.modelspace().add_line(segment.start, segment.end)
    document.saveas(tmp_path / "shape.dxf")
    box = true.bounds()
    (traced,) = from_drawing(tmp_path / "shape.dxf", What.OUTLINE, across_mm=box.width, up_mm=box.height)
    words = yaml.safe_load(yaml_of(traced, "shape.dxf"))["outline"]
    assert deviation_mm(read_shape(words).to_path(), true) < 0.03


def read_shape(words: dict) -> Shape:
    """Return the shape that the project's reader makes of its words."""
    steps = tuple(
        tuple(step) if isinstance(step, list)
        else ArcTo(**step) if "arc_to" in step
        else Corner(at=tuple(step["at"]), radius=step["radius"])
        for step in words.pop("path", [])
    )  # fmt: skip
    return Shape(**{key: tuple(v) if isinstance(v, list) else v for key, v in words.items()}, path=steps)


BOMB = '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg">&b;</svg>'
CLONES = '<svg xmlns="http://www.w3.org/2000/svg"><g id="a"><rect width="3" height="3"/></g><use href="#a"/></svg>'


@pytest.mark.parametrize(
    ("file", "content", "words"),
    [
        ("a.svg", BOMB, "entities"),
        ("a.svg", CLONES, "clones"),
        ("a.svg", "no drawing at all", "not an SVG"),
        ("a.dxf", "no drawing at all", "not a DXF"),
        ("a.svg", '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0,0 L5,5"/></svg>', "no closed shape"),
        ("a.svg", "", "is empty"),
    ],
)
def test_wrong_drawings_are_refused(tmp_path: Path, file: str, content: str, words: str) -> None:
    """Damaged, hostile and empty files end in a sentence."""
    (tmp_path / file).write_text(content, encoding="utf-8")
    with pytest.raises(TraceError, match=words) as refused:
        from_drawing(tmp_path / file, What.OUTLINE)
    assert refused.value.remedy
