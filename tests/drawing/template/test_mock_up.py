"""Mock-up sheets: every face once, at full size, apart from each other and inside the sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.scene import StrokePath, Text, scene_leaves
from layout.drawing.template.mock_up import mock_up_scenes
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.project.model.device import Device
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape
from tests.drawing.paper import strokes
from tests.printed import pages


def project_of(sizes: list[tuple[float, float]]) -> Project:
    """Return a project whose devices have faces of these sizes."""
    devices = {
        f"d{n}": Device(id=f"d{n}", name=f"N{n}", panel=("board",), face=Shape(rect=size), cutout=(Shape(rect=(5, 5)),))
        for n, size in enumerate(sizes)
    }
    return Project(spile=2, project=TitleBlock(name="x", example=True), devices=devices)


@given(st.lists(st.tuples(st.floats(20, 180), st.floats(20, 180)), min_size=1, max_size=9))
def test_every_face_is_there_once_and_none_overlaps(sizes):
    """Boxes of faces on a page keep apart and inside the sheet; all sizes appear, turned or not."""
    found = []
    for scene in mock_up_scenes(project_of(sizes)):
        drawn = [item for item in scene_leaves(scene.items) if isinstance(item, StrokePath)]
        boxes = [item.path.bounds() for item in drawn if item.pen.name == "cut"]
        found += [tuple(sorted((round(b.width, 6), round(b.height, 6)))) for b in boxes]
        for n, box in enumerate(boxes):
            assert box.x0 >= 9.9
            assert box.x1 <= scene.width_mm - 9.9
            assert box.y0 >= 29.9
            assert all(box.gap_mm(other) > 3.9 for other in boxes[:n])
    assert sorted(found) == sorted(tuple(sorted((round(w, 6), round(h, 6)))) for w, h in sizes)


def test_faces_come_out_of_the_printer_at_full_size():
    """Read back from PDF a face of 120 x 60 mm measures that, and the sheet says that data are invented."""
    scenes = mock_up_scenes(project_of([(120, 60)]))
    (page,) = pages(pdf_bytes(scenes, DocumentInfo(title="Mock-up")))
    heavy = [stroke for stroke in strokes(page) if abs(stroke.width_mm - 0.7) < 0.02]
    xs, ys = zip(*(point for stroke in heavy for point in stroke.points), strict=True)
    assert max(xs) - min(xs) == pytest.approx(120, abs=0.05)
    assert max(ys) - min(ys) == pytest.approx(60, abs=0.05)
    assert "Invented data" in page.text


def test_what_no_sheet_takes_is_named_and_nothing_gives_nothing():
    """A face larger than the sheet is named for the template; without faces there is no sheet."""
    (scene,) = mock_up_scenes(project_of([(400, 300), (30, 30)]))
    words = " ".join(item.content for item in scene_leaves(scene.items) if isinstance(item, Text))
    assert "take the template: N0" in words
    assert mock_up_scenes(replace(project_of([(30, 30)]), devices={})) == ()
