"""Scenes written as PDF, SVG and DXF, read back with other libraries."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET

import ezdxf
import pypdf
import pytest
import shapely
import svgelements

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import FillPath, Group, HatchPath, Scene, StrokePath, Text, line
from layout.drawing.writers.dxf import dxf_text
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.drawing.writers.svg import svg_element, svg_text
from layout.geometry.shapes import circle, rectangle
from tests.drawing.paper import text_boxes
from tests.printed import Page, pages

POINT = 25.4 / 72


def scene() -> Scene:
    """Return a circle and a rounded rectangle, moved and scaled groups, texts of all kinds."""
    return Scene(
        width_mm=210,
        height_mm=120,
        title="Front",
        section="Console",
        items=(
            Group(
                (
                    StrokePath(circle(52.4, at=(40, 60)), pens.CUT),
                    StrokePath(rectangle(92, 45, radius_mm=6, at=(120, 60)), pens.CUT),
                ),
                name="cut outs",
                layer="cut",
            ),
            Group((line((0, 0), (10, 0), pens.OUTLINE),), name="cut outs", layer="drill", dx_mm=5, dy_mm=7, scale=2),
            HatchPath(circle(20, at=(190, 20))),
            FillPath(rectangle(8, 8, at=(190, 60)), colours.LEAD),
            Text((105, 110), "Ω ⌀ ² Ж 12 µF", 5, "centre", "middle", bold=True),
            Text((20, 100), "turned", 3.5, "left", "base", 90),
        ),
    )


def page() -> Page:
    """Return the scene as a page of a PDF, read back."""
    return pages(pdf_bytes([scene()], DocumentInfo(title="Console", revision="B")))[0]


def test_pdf_has_exact_boxes_and_sizes():
    """Every page box is the sheet, and shapes keep their size to 0.01 mm."""
    reader = pypdf.PdfReader(io.BytesIO(pdf_bytes([scene()], DocumentInfo(title="Console"))))
    for box in (reader.pages[0].mediabox, reader.pages[0].cropbox, reader.pages[0].trimbox):
        assert [float(v) * POINT for v in box] == pytest.approx([0, 0, 210, 120], abs=0.01)
    boxes = [
        shapely.LineString(path.points).bounds for path in page().paths if len(path.points) > 5 and not path.filled
    ]
    sizes = sorted(((x1 - x0) * POINT, (y1 - y0) * POINT) for x0, y0, x1, y1 in boxes)
    assert sizes[0] == pytest.approx((52.4, 52.4), abs=0.01)
    assert sizes[1] == pytest.approx((92, 45), abs=0.01)


def test_pdf_says_title_and_revision_and_refuses_scaling():
    """Title and revision stand in the info dictionary and in XMP; print scaling is off; pages are bookmarked."""
    reader = pypdf.PdfReader(io.BytesIO(pdf_bytes([scene(), scene()], DocumentInfo(title="Console", revision="B"))))
    assert reader.metadata is not None
    assert reader.metadata.title == "Console"
    assert "B" in (reader.metadata.subject or "")
    assert reader.xmp_metadata is not None
    assert reader.xmp_metadata.dc_title == {"x-default": "Console"}
    assert b"<xmpMM:VersionID>B<" in reader.root_object["/Metadata"].get_object().get_data()
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"
    section, pages = reader.outline
    assert section.title == "Console"
    assert [p.title for p in pages] == ["Front", "Front"]


def test_pdf_text_is_embedded_selectable_and_where_it_was_measured():
    """Each text is found again in the page, in an embedded font, inside the box that metrics gave it."""
    found = page()
    words = dict(text_boxes(found))
    assert "Ω ⌀ ² Ж 12 µF" in words
    word, box = words["Ω ⌀ ² Ж 12 µF"], text_box(scene().items[4])
    assert (word[0], word[2]) == pytest.approx(
        (box.x0, box.x1), abs=0.1
    )  # PDFium takes widths of letters as whole thousandths
    assert all("SpileSans" in name or "DejaVu" in name for name in found.fonts)


@pytest.mark.parametrize("write", [lambda s: pdf_bytes([s], DocumentInfo(title="T")), svg_text, dxf_text])
def test_same_scene_gives_the_same_bytes(write):
    """Nothing in a file depends on the clock or on chance."""
    assert write(scene()) == write(scene())


def test_svg_is_in_real_millimetres_with_unique_group_ids():
    """Width and height are in mm, the viewBox agrees, shapes keep their size, ids are unique."""
    text = svg_text(scene())
    assert 'width="210mm"' in text
    assert 'viewBox="0 0 210 120"' in text
    parsed = svgelements.SVG.parse(io.StringIO(text), ppi=25.4)
    ids = [e.id for e in parsed.elements() if isinstance(e, svgelements.Group) and e.id]
    assert ids == ["cut-outs", "cut-outs-2"]
    boxes = [p.bbox() for p in parsed.elements() if isinstance(p, svgelements.Circle) and p.bbox()[0] < 20]
    assert boxes[0] == pytest.approx((13.8, 33.8, 66.2, 86.2), abs=1e-4)


def test_svg_for_a_page_has_ids_of_its_own_and_says_what_its_words_stand_for():
    """Another drawing's ids differ by their prefix; a known word carries its subject, the words beside it do not."""
    known = Text((0, 0), "(012a+, 013a-) of 012")
    page = Scene(width_mm=10, height_mm=10, items=(Group((known,), name="ends", subject="devices.radio"),))
    root = ET.fromstring(svg_element(page, prefix="d1-", subjects={"012a+": "wires.012a+"}))
    groups = [one.attrib for one in root.iter("{http://www.w3.org/2000/svg}g")]
    assert groups == [{"id": "d1-ends", "data-subject": "devices.radio"}]
    spans = [(one.text, one.get("data-subject")) for one in root.iter("{http://www.w3.org/2000/svg}tspan")]
    assert ("012a+", "wires.012a+") in spans
    assert ("".join(text or "" for text, _ in spans), sum(subject is not None for _, subject in spans)) == (
        "(012a+, 013a-) of 012",
        1,
    )


def test_dxf_has_closed_polylines_with_true_arcs_and_passes_audit():
    """Circles are circles, corners bulged arcs on our own layers, units are millimetres, the audit is clean."""
    document = ezdxf.read(io.StringIO(dxf_text(scene())))
    audit = document.audit()
    assert not audit.errors
    assert document.units == ezdxf.units.MM
    (round_one,) = document.modelspace().query('CIRCLE[layer=="cut"]')
    assert round_one.dxf.radius == pytest.approx(26.2)
    (rounded,) = document.modelspace().query('LWPOLYLINE[layer=="cut"]')
    assert rounded.closed
    corner = [p[4] for p in rounded.get_points() if p[4]]
    assert corner == pytest.approx([math.tan(math.pi / 8)] * 4)
    moved = document.modelspace().query('LWPOLYLINE[layer=="drill"]')[0]
    assert [p[:2] for p in moved.get_points()] == [(5, 7), (25, 7)]
