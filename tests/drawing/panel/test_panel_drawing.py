"""Panel drawing, rear view, section, overlay and print check, read back from PDF."""

from __future__ import annotations

import pytest

from layout.drawing.panel.holes import holes
from layout.drawing.panel.overlay import overlay_scene
from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.rear_view import rear_drawing
from layout.drawing.panel.section import free_depth_mm, section_drawing
from layout.drawing.paper.printcheck import printcheck_scene
from layout.drawing.template.template_pages import full_size_template, tiled_template
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.findings import Finding, Severity
from tests.drawing.paper import POINT, overlapping, pages, strokes, text_boxes

INFO = DocumentInfo(title="Drawing")


def documents(project, arrangement):
    """Return every drawing of the project by name."""
    return {
        "front": panel_drawing(project, arrangement, "console"),
        "front ansi": panel_drawing(project, arrangement, "console", series="ansi"),
        "front board": panel_drawing(project, arrangement, "board"),
        "rear": rear_drawing(project, arrangement, "console"),
        "section": [section_drawing(project, arrangement, "console", d) for d in ("dp24", "radio", "horn")],
        "overlay": [overlay_scene(project, device) for device in project.devices],
        "print check": [printcheck_scene(paper) for paper in ("A4", "A3", "Letter")],
        "full": full_size_template(project, arrangement, "console", side="rear").scenes,
    }


NAMES = ("front", "front ansi", "front board", "rear", "section", "overlay", "print check", "full")


@pytest.mark.parametrize("name", NAMES)
def test_no_text_overlaps_another_or_leaves_its_sheet(project, arrangement, name):
    """Measured from the PDF, every text lies on its sheet, apart from all others."""
    for page in pages(pdf_bytes(documents(project, arrangement)[name], INFO)):
        boxes = text_boxes(page)
        wide, tall = float(page.width) * POINT, float(page.height) * POINT
        assert boxes
        assert [t for t, b in boxes if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > tall] == []
        assert overlapping(boxes) == []


def test_front_view_is_to_scale_and_names_everything(project, arrangement):
    """Outline and cut-outs have their size at the stated scale; all devices, marks and cautions are on the sheets."""
    scenes = panel_drawing(project, arrangement, "console")
    read = pages(pdf_bytes(scenes, INFO))
    divisor = int(scenes[0].title.rpartition(":")[2])
    boxes = [s.box for s in strokes(read[0]) if s.width_mm > 0.45]
    sizes = [(b[2] - b[0], b[3] - b[1]) for b in boxes]
    for wide, tall in ((1010, 580), (286, 180), (92, 92), (172, 70)):
        assert any(abs(w - wide / divisor) < 0.02 and abs(h - tall / divisor) < 0.02 for w, h in sizes)
    said = " ".join(text for page in read for text, _ in text_boxes(page))
    for device in project.devices.values():
        if "console" in device.panel:
            assert device.name.split()[0] in said
    for hole in holes(panel_shapes(project, arrangement, "console")):
        assert f" {hole.mark} " in f" {said} "
    assert "Isolate every supply" in said
    assert "DO NOT CUT" in said
    assert "Invented data" in said


def test_rear_view_is_mirrored_and_has_the_datum_at_its_right(project, arrangement):
    """In the rear view each device stands at the panel's width less its x; X still counts from the datum."""
    front, rear = (
        panel_shapes(project, arrangement, "console"),
        panel_shapes(project, arrangement, "console").mirrored(),
    )
    for first, second in zip(front.devices, rear.devices, strict=True):
        assert second.at == pytest.approx((1010 - first.at[0], first.at[1]))
        assert rear.coordinates(second.at) == pytest.approx(front.coordinates(first.at))
        box, other = first.face.bounds(), second.face.bounds()
        assert (other.x0, other.x1) == pytest.approx((1010 - box.x1, 1010 - box.x0))
    said = " ".join(
        text for text, _ in text_boxes(pages(pdf_bytes(rear_drawing(project, arrangement, "console"), INFO))[0])
    )
    assert "Seen from the rear" in said
    assert "not known" in said


def test_free_depth_follows_the_depth_points(project):
    """On a plane through four points the depth is linear: 150 at the foot, 260 at the top, 205 half way."""
    console = project.panels["console"]
    for y, depth in ((0, 150), (290, 205), (580, 260)):
        assert free_depth_mm(console, (500, y)) == pytest.approx(depth)
    assert free_depth_mm(console, (500, 700)) == 150
    assert free_depth_mm(project.panels["board"], (10, 10)) is None


def test_overlay_shows_its_device_at_full_size(project):
    """Face, cut-out and fixings of one device measure true on the page, and the bars are 100 mm."""
    page = pages(pdf_bytes([overlay_scene(project, "depth")], INFO))[0]
    sizes = [(s.box[2] - s.box[0], s.box[3] - s.box[1]) for s in strokes(page)]
    for wanted in (112, 92, 4.5):
        assert sum(abs(w - wanted) < 0.02 and abs(h - wanted) < 0.02 for w, h in sizes) >= (4 if wanted == 4.5 else 1)
    assert any(abs(w - 100) < 0.02 and h < 0.01 for w, h in sizes)
    assert any(abs(h - 100) < 0.02 and w < 0.01 for w, h in sizes)


@pytest.mark.parametrize("paper", ["A4", "Letter", "Legal", "A3", "Tabloid"])
def test_print_check_has_true_bars(paper):
    """The test page's bars measure 100 mm and 4 in, both ways."""
    page = pages(pdf_bytes([printcheck_scene(paper)], INFO))[0]
    sizes = [(s.box[2] - s.box[0], s.box[3] - s.box[1]) for s in strokes(page) if len(s.points) == 2]
    for length in (100.0, 101.6):
        assert any(abs(w - length) < 0.05 and h < 0.01 for w, h in sizes)
        assert any(abs(h - length) < 0.05 and w < 0.01 for w, h in sizes)


def test_errors_withhold_templates_and_overprint_drawings(project, arrangement):
    """A geometry error gives no template, a drawing overprinted; a wiring error leaves both alone."""
    geometry = Finding(rule="panel 1", message="overlap", subjects=("devices.depth",), severity=Severity.STOP)
    wiring = Finding(rule="wire 1", message="drop", subjects=("devices.depth",), severity=Severity.STOP)
    held = tiled_template(project, arrangement, "console", findings=[geometry])
    assert held.scenes == ()
    assert held.withheld == (geometry,)
    assert tiled_template(project, arrangement, "console", findings=[wiring]).scenes
    assert full_size_template(project, arrangement, "board", findings=[geometry]).scenes

    def groups(scenes):
        return [getattr(item, "name", "") for scene in scenes for item in scene.items]

    assert "overprint" in groups(panel_drawing(project, arrangement, "console", findings=[geometry]))
    assert "overprint" not in groups(panel_drawing(project, arrangement, "console", findings=[wiring]))
    cut = Finding(rule="cut 10", message="web", subjects=("panels.console",), severity=Severity.STOP)
    marked = tiled_template(project, arrangement, "console", findings=[cut])
    assert all("overprint" in groups([scene]) for scene in marked.scenes)
