"""Panel drawing, rear view, section, overlay and print check, read back from PDF."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.drawing.elements.label_placing import overlaps
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Group, StrokePath, Text, scene_leaves
from layout.drawing.panel.holes import depth_text, holes, size_text
from layout.drawing.panel.outline_corners import setout
from layout.drawing.panel.overlay import overlay_scene
from layout.drawing.panel.panel_drawing import panel_drawing
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.rear_view import rear_drawing
from layout.drawing.panel.section import free_depth_mm, least_free_mm, section_drawing
from layout.drawing.paper.printcheck import printcheck_scene
from layout.drawing.template.template_pages import full_size_template, tiled_template
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.findings import Finding, Severity
from layout.frozen import FrozenMap
from layout.project.model.shape import ArcTo, Shape
from tests.drawing.paper import POINT, overlapping, strokes, text_boxes
from tests.printed import pages

INFO = DocumentInfo(title="Drawing")


def documents(project, arrangement, name):
    """Return the pages of one kind of drawing."""
    return {
        "front": lambda: panel_drawing(project, arrangement, "console"),
        "front ansi": lambda: panel_drawing(project, arrangement, "console", series="ansi"),
        "front board": lambda: panel_drawing(project, arrangement, "board"),
        "rear": lambda: rear_drawing(project, arrangement, "console"),
        "section": lambda: [section_drawing(project, arrangement, "console", d) for d in ("dp24", "radio", "horn")],
        "overlay": lambda: [overlay_scene(project, device) for device in project.devices],
        "print check": lambda: [printcheck_scene(paper) for paper in ("A4", "A3", "Letter")],
        "full": lambda: full_size_template(project, arrangement, "console", side="rear").scenes,
    }[name]()


NAMES = ("front", "front ansi", "front board", "rear", "section", "overlay", "print check", "full")


def in_inches(project):
    """Return the project with lengths in inches on its drawings."""
    return replace(project, workshop=replace(project.workshop, dimensions="inch"))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", NAMES)
def test_no_text_overlaps_another_or_leaves_its_sheet(project, arrangement, name, units):
    """Measured from the PDF, every text lies on its sheet, apart from all others."""
    project = in_inches(project) if units == "inch" else project
    for page in pages(pdf_bytes(documents(project, arrangement, name), INFO)):
        boxes = text_boxes(page)
        wide, tall = float(page.width) * POINT, float(page.height) * POINT
        assert boxes
        assert [t for t, b in boxes if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > tall] == []
        assert overlapping(boxes) == []


def test_no_hole_for_a_screw_hides_a_letter(project, arrangement):
    """Holes are drawn over everything; names and terminals of a thing that is screwed on stand clear of its screws."""
    bar = project.devices["bar"]
    bar = replace(bar, fixings=tuple(replace(fixing, at=(fixing.at[0] / 8, 0)) for fixing in bar.fixings))
    project = replace(project, devices=FrozenMap({**project.devices, "bar": bar}))
    for panel in ("console", "board"):
        (scene, *_) = panel_drawing(project, arrangement, panel)
        (cut,) = [item for item in scene.items if isinstance(item, Group) and item.name == "holes"]
        boxes = [item.path.bounds() for item in cut.items if isinstance(item, StrokePath)]
        screws = [box for box in boxes if 0.5 < box.width < 6 and 0.5 < box.height < 6]
        texts = [(item.content, text_box(item)) for item in scene_leaves(scene.items) if isinstance(item, Text)]
        assert screws
        assert [content for content, box in texts if any(overlaps(box, screw) for screw in screws)] == []


def test_inches_are_said_and_every_hole_keeps_its_millimetres(project, arrangement):
    """The title block says the units; sizes and places of all holes carry the same millimetres as the metric sheet."""
    metric, imperial = (
        [item.content for scene in panel_drawing(made, arrangement, "console") for item in scene_leaves(scene.items)
         if isinstance(item, Text)]
        for made in (project, in_inches(project))
    )  # fmt: skip
    assert "dimensions in mm" in metric
    assert "inches, ≈ to 1/64" in imperial
    for hole in holes(panel_shapes(project, arrangement, "console")):
        assert hole.size in metric
        assert any(text.endswith(f" in ({hole.size})") for text in imperial)


def test_front_view_is_to_scale_and_names_everything(project, arrangement):
    """Outline and cut-outs have their size at the stated scale; all devices, marks and cautions are on the sheets."""
    scenes = panel_drawing(project, arrangement, "console")
    read = pages(pdf_bytes(scenes, INFO))
    divisor = float(scenes[0].title.rpartition(":")[2])
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


def test_a_section_measures_depth_where_it_is_least(project, arrangement):
    """Under a body with its tail the least depth counts: on a plane that rises upwards, that at the lower edge."""
    shapes = panel_shapes(project, arrangement, "console")
    radio = next(d for d in shapes.devices if d.device.id == "radio")
    lower = min(path.bounds().y0 for path in radio.tails)
    assert least_free_mm(project.panels["console"], radio) == pytest.approx(150 + 110 * lower / 580)
    scene = section_drawing(project, arrangement, "console", "radio")
    said = [text for text, _ in text_boxes(pages(pdf_bytes([scene], INFO))[0])]
    assert "Least free depth under it" in said


def test_an_outline_can_be_made_from_its_drawing(project, arrangement):
    """Every corner stands on the front view by its distance from the datum, and every radius beside its arc."""
    items = scene_leaves(panel_drawing(project, arrangement, "console")[0].items)
    said = [item.content for item in items if isinstance(item, Text)]
    for corner in ("70", "860", "1010", "400", "510", "580"):
        assert corner in said
    assert said.count("R18") == 3
    assert said.count("R30") == 2


def test_corners_are_where_the_sides_meet():
    """A rounded corner is where its sides would meet; an arc with a kink has its ends as corners; a disc has none."""
    rounded = setout(Shape(rect=(100, 60), radius=10).to_path())
    assert {(round(x, 6), round(y, 6)) for x, y in rounded.corners} == {(-50, -30), (50, -30), (50, 30), (-50, 30)}
    assert [bow.radius_mm for bow in rounded.bows] == pytest.approx([10] * 4)
    arched = setout(Shape(path=((0, 0), (100, 0), (100, 50), ArcTo(arc_to=(0, 50), through=(50, 80)))).to_path())
    assert {(round(x, 6), round(y, 6)) for x, y in arched.corners} == {(0, 0), (100, 0), (100, 50), (0, 50)}
    assert [bow.radius_mm for bow in arched.bows] == pytest.approx([(50**2 + 30**2) / 60])
    assert setout(Shape(circle=80).to_path()).diameter_mm == pytest.approx(80)


def test_the_scale_fills_the_sheet(project, arrangement):
    """The view takes the largest scale its sheet allows; the small board, whose table fits beside it, stands at 1:1.5.

    By hand: an A3 frame leaves 264 mm beside the tables and 229 mm above the title block, 300 x 200 mm at 1:1.5
    take 200 x 133 mm and dimensions 40 mm more; at 1:1 they take 340 mm.
    """
    assert panel_drawing(project, arrangement, "board")[0].title.endswith("1:1.5")
    assert panel_drawing(project, arrangement, "console")[0].title.endswith("1:4")


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


def test_a_path_of_one_chord_and_one_arc_is_a_shape():
    """A chord of 40 mm with a bow 30 mm high: radius (20² + 30²) / 60; two plain corners are no shape."""
    path = Shape(path=((0, 0), ArcTo(arc_to=(0, 40), through=(30, 20)))).to_path()
    assert [bow.radius_mm for bow in setout(path).bows] == pytest.approx([1300 / 60])
    assert {(round(x, 6), round(y, 6)) for x, y in setout(path).corners} == {(0, 0), (0, 40)}
    assert size_text(path) == "D ⌀43.33, 30 over the flat"
    with pytest.raises(ValueError, match="at least 3 corners, or 2 with an arc"):
        Shape(path=((0, 0), (40, 0)))


def test_depth_of_a_hole(project, arrangement):
    """A pilot of stated depth says it, one without asks; at the sheet's thickness it goes through, as clearances do."""
    found = holes(panel_shapes(project, arrangement, "board"))
    pilot = next(hole for hole in found if hole.fixing is not None)

    def told(thickness_mm, **changes):
        return depth_text(replace(pilot, fixing=replace(pilot.fixing, **changes)), thickness_mm)

    assert told(15.0, depth=12.0) == "12 deep"
    assert told(12.0, depth=12.0) == "through 12"
    assert told(15.0) == "depth ?"
    assert told(15.0, kind="clearance") == "through 15"
