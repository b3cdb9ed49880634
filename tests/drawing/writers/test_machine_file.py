"""Machine files read back with ezdxf and svgelements."""

from __future__ import annotations

import io
from dataclasses import replace

import ezdxf
import pytest
import shapely
import svgelements
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.panel.holes import holes
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.writers.machine_file import machine_file, with_tabs
from layout.findings import Finding, Severity
from layout.geometry.shapes import rectangle
from layout.project.model.shape import Shape


def polylines(text, layer):
    """Return a layer's polylines and circles as (closed, box) read from DXF."""
    document = ezdxf.read(io.StringIO(text))
    found = []
    for entity in document.modelspace().query(f'CIRCLE[layer=="{layer}"]'):
        (x, y, _), r = entity.dxf.center, entity.dxf.radius
        found.append((True, (x - r, y - r, x + r, y + r)))
    for entity in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        points = [(v.x, v.y) for v in ezdxf.path.make_path(entity).flattening(0.0005, segments=16)]
        found.append((entity.closed, shapely.LineString(points).bounds))
    return found


def near(box, other, tolerance=0.01):
    """Tell whether two boxes are the same."""
    return all(abs(a - b) <= tolerance for a, b in zip(box, other, strict=True))


def test_dxf_has_every_hole_in_place_and_passes_audit(project, arrangement):
    """Cut-outs, fixings and outline stand at their panel coordinates; guessed and finished holes are not on cut."""
    text = machine_file(project, arrangement, "console").dxf()
    document = ezdxf.read(io.StringIO(text))
    assert not document.audit().errors
    assert document.units == ezdxf.units.MM
    cut, drill, reference = (polylines(text, layer) for layer in ("cut", "drill", "reference"))
    assert all(closed for closed, _ in cut + drill)
    shapes = panel_shapes(project, arrangement, "console")
    for hole in holes(shapes):
        box = hole.path.bounds()
        wanted = (box.x0, box.y0, box.x1, box.y1)
        layer = reference if hole.done or not hole.confirmed else drill if (hole.diameter_mm or 99) <= 13 else cut
        assert any(near(b, wanted) for _, b in layer), hole.mark
    box = shapes.outline.bounds()
    assert any(near(b, (box.x0, box.y0, box.x1, box.y1)) for _, b in cut)
    made = [h for h in holes(shapes) if h.confirmed and not h.done]
    assert len(cut) + len(drill) == len(made) + 1


def test_svg_is_real_size_in_millimetres_with_named_layers(project, arrangement):
    """The SVG's size, viewBox and shapes are millimetres; its groups are the plain layers; it has no text."""
    made = machine_file(project, arrangement, "console", engrave=True)
    text = made.svg()
    assert "<text" not in text
    assert 'width="1010mm"' in text
    parsed = svgelements.SVG.parse(io.StringIO(text), ppi=25.4)
    groups = {e.id: e for e in parsed.elements() if isinstance(e, svgelements.Group) and e.id}
    assert set(groups) >= {"cut", "drill", "engrave", "reference"}
    tall = float(made.scene.height_mm)
    drawn = (svgelements.Path, svgelements.Circle)
    boxes = [path.bbox() for path in groups["cut"].select(lambda e: isinstance(e, drawn))]
    shapes = panel_shapes(project, arrangement, "console")
    dx, dy = made.datum
    for hole in holes(shapes):
        if hole.confirmed and not hole.done and (hole.diameter_mm or 99) > 13:
            box = hole.path.bounds()
            wanted = (box.x0 + dx, tall - box.y1 - dy, box.x1 + dx, tall - box.y0 - dy)
            assert any(near(found, wanted) for found in boxes), hole.mark


def test_kerf_moves_lines_by_half_into_the_waste(project, arrangement):
    """A 3 mm tool's path is 1.5 mm inside every cut-out and outside the outline; drilled holes stay nominal."""
    text = machine_file(project, arrangement, "console", kerf_mm=3.0).dxf()
    boxes = [box for _, box in polylines(text, "cut")]
    assert any(near(b, (-1.5, -1.5, 1011.5, 581.5)) for b in boxes)
    assert any(near(b, (425 - 141.5, 430 - 88.5, 425 + 141.5, 430 + 88.5)) for b in boxes)
    document = ezdxf.read(io.StringIO(text))
    circles = [(e.dxf.radius, e.dxf.center.y) for e in document.modelspace().query('CIRCLE[layer=="cut"]')]
    assert any(radius == pytest.approx(44.5) and y == pytest.approx(220) for radius, y in circles)
    assert any(near(b, (33.75, 501.75, 38.25, 506.25)) for _, b in polylines(text, "drill"))


@given(st.floats(40, 400), st.floats(40, 300), st.integers(1, 6), st.floats(1, 6))
def test_tabs_leave_exactly_their_width_uncut(width, height, count, tab_mm):
    """Tabs take away their number times their width of the line, and nothing else."""
    path = rectangle(width, height, radius_mm=5)
    pieces = with_tabs(path, count, tab_mm)
    assert len(pieces) == count
    assert not any(piece.closed for piece in pieces)
    assert sum(piece.length() for piece in pieces) == pytest.approx(path.length() - count * tab_mm)


def test_a_cut_out_smaller_than_the_tool_is_not_cut(project, arrangement):
    """What the tool does not fit into is kept off the cut layer and named."""
    made = machine_file(project, arrangement, "console", kerf_mm=60.0)
    assert {"1", "5", "10"} <= set(made.too_small)
    assert made.scene is not None


def test_errors_withhold_or_mark_the_file(project, arrangement):
    """A geometry error gives no file at all; another error about holes is written across the reference layer."""
    geometry = Finding(rule="panel 1", message="faces overlap", subjects=("devices.depth",))
    tool = Finding(rule="file 60", message="wrong", subjects=("panels.console",), severity=Severity.STOP)
    held = machine_file(project, arrangement, "console", findings=[replace(geometry, severity=Severity.STOP)])
    assert held.scene is None
    with pytest.raises(ValueError, match="panel 1"):
        held.dxf()
    marked = machine_file(project, arrangement, "console", findings=[tool])
    plain = machine_file(project, arrangement, "console")
    assert len(polylines(marked.dxf(), "reference")) > len(polylines(plain.dxf(), "reference"))
    assert machine_file(project, arrangement, "board", findings=[geometry]).scene is not None


def test_overlapping_cut_outs_are_one_outline_in_dxf_and_svg(project, arrangement):
    """A round hole with a key is one closed line with true arcs, not two that cross; its hole is one in all tables."""
    keyed = replace(project.devices["tank"], cutout=(Shape(circle=50), Shape(rect=(8, 60))), behind=())
    made = machine_file(replace(project, devices={**project.devices, "tank": keyed}), arrangement, "console")
    x, y = arrangement.placed["tank"].x, arrangement.placed["tank"].y
    mine = [box for _, box in polylines(made.dxf(), "cut") if near(box, (x - 25, y - 30, x + 25, y + 30))]
    assert len(mine) == 1
    inside = [box for _, box in polylines(made.dxf(), "cut") if box[0] >= x - 25.01 and box[2] <= x + 25.01
              and box[1] >= y - 30.01 and box[3] <= y + 30.01]  # fmt: skip
    assert inside == mine
    parsed = svgelements.SVG.parse(io.StringIO(made.svg()), ppi=25.4)
    tall, (dx, dy) = float(made.scene.height_mm), made.datum
    wanted = (x - 25 + dx, tall - (y + 30) - dy, x + 25 + dx, tall - (y - 30) - dy)
    drawn = [e.bbox() for e in parsed.elements() if isinstance(e, (svgelements.Path, svgelements.Circle))]
    assert sum(near(box, wanted) for box in drawn if box) == 1


def test_dxf_says_how_far_it_reaches_and_names_things_as_text(project, arrangement):
    """The header's extents are those of the lines; names are text on a layer of their own; words on tool and data."""
    made = machine_file(project, arrangement, "console", engrave=True)
    document = ezdxf.read(io.StringIO(made.dxf()))
    boxes = [box for layer in ("cut", "drill", "engrave", "reference") for _, box in polylines(made.dxf(), layer)]
    low, high = document.header["$EXTMIN"], document.header["$EXTMAX"]
    assert (low[0], low[1]) == pytest.approx((min(b[0] for b in boxes), min(b[1] for b in boxes)), abs=0.01)
    assert (high[0], high[1]) == pytest.approx((max(b[2] for b in boxes), max(b[3] for b in boxes)), abs=0.01)
    words = " ".join(e.dxf.text for e in document.modelspace().query('TEXT[layer=="text"]'))
    for expected in ("Radio with handset", "left to the CAM", "Invented data"):
        assert expected in words
    assert "Invented data" in made.svg()
