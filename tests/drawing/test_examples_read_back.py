"""The shipped examples' templates and machine files, read back from what was written, with other libraries."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

import ezdxf
import pytest
import shapely
import svgelements

from layout.drawing.panel.holes import holes
from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.template.template_pages import template_content, tiled_template
from layout.drawing.writers.machine_file import machine_file
from layout.project.reading.read import read
from layout.project.register import load
from tests.drawing.paper import POINT, overlapping, strokes, text_boxes
from tests.drawing.template.test_tiles import CUT_MM, assert_same_lines, bar_lengths, cut_lines
from tests.drawing.writers.test_machine_file import near, polylines
from tests.printed import pages

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project

pytestmark = pytest.mark.long
EXAMPLES = ("wall", "launch")


@dataclass(frozen=True)
class Example:
    """A built example: what was read, where everything stands, and the folder of its documents."""

    project: Project
    arrangement: Arrangement
    out: Path

    def panels(self) -> list[Panel]:
        """Return the panels still to be cut."""
        return [panel for panel in self.project.panels.values() if panel.work_state != "cut"]

    def goes_through(self, panel: Panel) -> bool:
        """Tell whether any device on a panel goes through its sheet; else there is no template from the rear."""
        placed = self.arrangement.placed.values()
        return any(self.project.devices[one.device].cutout for one in placed if one.panel == panel.id)

    def file(self, name):
        """Return a document's bytes."""
        return (self.out / name).read_bytes()


@pytest.fixture(params=EXAMPLES)
def example(request):
    """Return each example, built once for the whole run."""
    built = request.getfixturevalue(request.param)
    register, _ = load(built.register)
    return Example(project=read(built.file).project, arrangement=register.arrangement, out=built.out)


@pytest.mark.parametrize("side", ["front", "rear"])
def test_tiles_of_examples_laid_together_are_their_panels(example, side):
    """Every cut line of each panel is on its tiles, within 0.05 mm, and nothing more; bars are true on every sheet."""
    for panel in example.panels():
        template = tiled_template(example.project, example.arrangement, panel.id, side=side)
        name = f"templates/{panel.id}-{example.project.workshop.paper}-{side}.pdf"
        if side == "rear" and not example.goes_through(panel):
            assert not (example.out / name).exists()
            continue
        read_pages = pages(example.file(name))
        tiles = read_pages[len(read_pages) - len(template.grid.tiles) :]
        room = template.grid.page.window
        lines = []
        for page, tile in zip(tiles, template.grid.tiles, strict=True):
            dx, dy = tile.window.x0 - room.x0, tile.window.y0 - room.y0
            lines += [
                shapely.LineString([(x + dx, y + dy) for x, y in stroke.points])
                for stroke in strokes(page)
                if abs(stroke.width_mm - CUT_MM) < 0.02
                and not any(stroke.colour)
                and min(y for _, y in stroke.points) > room.y0 - 0.1  # below stands the key of lines
            ]
            for upright in (False, True):
                lengths = bar_lengths(page, upright=upright)
                assert any(abs(length - 100) < 0.05 for length in lengths)
                assert any(abs(length - 101.6) < 0.05 for length in lengths)
        assert_same_lines(
            shapely.union_all(lines),
            cut_lines(template_content(example.project, example.arrangement, panel.id, side)),
        )


def test_machine_files_of_examples_hold_every_hole(example):
    """In DXF and SVG every hole to be made stands where the arrangement has it, and DXF passes its audit."""
    for panel in example.panels():
        shapes = panel_shapes(example.project, example.arrangement, panel.id)
        text = example.file(f"machine/{panel.id}.dxf").decode()
        assert not ezdxf.read(io.StringIO(text)).audit().errors
        made = [box for layer in ("cut", "drill") for _, box in polylines(text, layer)]
        parsed = svgelements.SVG.parse(io.BytesIO(example.file(f"machine/{panel.id}.svg")), ppi=25.4)
        drawn = [path.bbox() for path in parsed.elements() if isinstance(path, (svgelements.Path, svgelements.Circle))]
        file = machine_file(example.project, example.arrangement, panel.id)
        (dx, dy), tall = file.datum, float(file.scene.height_mm)
        for hole in holes(shapes):
            if hole.done or not hole.confirmed:
                continue
            box = hole.path.bounds()
            assert any(near(other, (box.x0, box.y0, box.x1, box.y1)) for other in made), hole.mark
            wanted = (box.x0 + dx, tall - box.y1 - dy, box.x1 + dx, tall - box.y0 - dy)
            assert any(near(other, wanted, 0.05) for other in drawn), hole.mark


def test_no_text_of_examples_leaves_its_sheet_or_overlaps(example):
    """On drawings and templates of the examples, measured from PDF, texts are inside their sheet and apart."""
    names = [f"templates/{panel.id}-{example.project.workshop.paper}-{side}" for panel in example.panels()
             for side in ("front", "rear") if side == "front" or example.goes_through(panel)]  # fmt: skip
    names += [f"templates/{panel.id}-one-sheet" for panel in example.panels()] + ["workshop"]
    for name in names:
        for number, page in enumerate(pages(example.file(f"{name}.pdf")), start=1):
            boxes = text_boxes(page)
            wide, tall = float(page.width) * POINT, float(page.height) * POINT
            assert [t for t, b in boxes if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > tall] == [], (name, number)
            assert overlapping(boxes) == [], (name, number)
