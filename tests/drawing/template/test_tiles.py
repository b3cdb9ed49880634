"""Tiles read back from PDF and laid together again."""

from __future__ import annotations

from itertools import islice

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.template.template_pages import full_size_template, template_content, tiled_template
from layout.drawing.template.tile_grid import PAPERS, _letters
from layout.drawing.template.true_scale import MeasuredPrinter, limit_mm
from layout.drawing.writers.pdf import DocumentInfo, pdf_bytes
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Device
from layout.project.model.panel import Panel, SizeFrom
from layout.project.model.project import Project, TitleBlock
from layout.project.model.shape import Shape
from tests.drawing.paper import POINT, overlapping, strokes, text_boxes
from tests.printed import pages

CUT_MM = 0.7
TRUE_MM = 0.05
INFO = DocumentInfo(title="Template", revision="B")


def chain(path):
    """Return a path as a line of shapely, arcs followed to 0.005 mm."""
    points = list(path.points(0.005))
    return shapely.LineString([*points, points[0]] if path.closed else points)


def cut_lines(content):
    """Return the lines that must appear in full on the joined sheets: outline and every cut."""
    return shapely.union_all([chain(m.path) for m in content.marks if m.layer in {"outline", "cut"}])


def printed(template):
    """Return each tile's heavy black lines in panel coordinates, the page's stretch taken out, with its window."""
    found = []
    tiles = [scene for scene in template.scenes if scene.title.startswith("Tile")]
    offset = len(template.scenes) - len(tiles)
    read = pages(pdf_bytes(template.scenes, INFO))[offset:]
    for page, tile, scene in zip(read, template.grid.tiles, tiles, strict=True):
        across, up = scene.stretch
        room = template.grid.page.window
        dx, dy = tile.window.x0 - room.x0, tile.window.y0 - room.y0
        lines = [
            shapely.LineString([(x / across + dx, y / up + dy) for x, y in stroke.points])
            for stroke in strokes(page)
            if abs(stroke.width_mm - CUT_MM) < 0.02
            and not any(stroke.colour)
            and min(y for _, y in stroke.points) / up > room.y0 - 0.1  # below stands the key of lines
        ]
        found.append((tile, shapely.union_all(lines) if lines else shapely.LineString()))
    return found


def farthest_mm(lines, others):
    """Return how far any point of ``lines``, taken every 0.5 mm, is from ``others``."""
    if lines.is_empty:
        return 0.0
    if others.is_empty:
        return float("inf")
    parts = shapely.get_parts(others)
    pairs = [shapely.get_coordinates(part) for part in parts]
    pieces = np.concatenate([np.stack([xy[:-1], xy[1:]], axis=1) for xy in pairs])
    tree = shapely.STRtree(shapely.linestrings(pieces))
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(lines, 0.5)))
    _, distances = tree.query_nearest(points, return_distance=True, all_matches=False)
    return float(distances.max())


def assert_same_lines(first, second):
    """Hold that two sets of lines cover each other to 0.05 mm."""
    assert farthest_mm(first, second) < TRUE_MM
    assert farthest_mm(second, first) < TRUE_MM


@pytest.mark.parametrize(("side", "paper"), [("front", "A4"), ("rear", "A4"), ("front", "Tabloid")])
def test_tiles_laid_together_are_the_panel(project, arrangement, side, paper):
    """The union of all tiles, read from PDF, is every cut line of the panel within 0.05 mm and nothing more."""
    template = tiled_template(project, arrangement, "console", side=side, paper=paper)
    joined = shapely.union_all([lines for _, lines in printed(template)])
    assert_same_lines(joined, cut_lines(template_content(project, arrangement, "console", side)))


def test_overlaps_show_the_same_lines_on_both_sheets(project, arrangement):
    """No cut line hides under an overlap: what lies in it is drawn on both tiles."""
    template = tiled_template(project, arrangement, "console")
    tiles = printed(template)
    crossed = 0
    for tile, lines in tiles:
        for other, others in tiles:
            if (tile.row, tile.column) >= (other.row, other.column):
                continue
            first, second = (shapely.box(w.x0, w.y0, w.x1, w.y1) for w in (tile.window, other.window))
            common = first.intersection(second).buffer(-0.01)
            if not common.is_empty:
                assert_same_lines(lines.intersection(common), others.intersection(common))
                crossed += lines.intersection(common).length > 1
    assert crossed > 5


def test_rear_template_is_the_mirrored_front(project, arrangement):
    """Rear lines are the front's mirrored about the panel's centre line, measured from the datum alike."""
    front = cut_lines(template_content(project, arrangement, "console", "front"))
    template = tiled_template(project, arrangement, "console", side="rear")
    rear = shapely.union_all([lines for _, lines in printed(template)])
    flipped = shapely.transform(front, lambda xy: [(1010 - x, y) for x, y in xy])
    assert_same_lines(rear, flipped)
    holes = template_content(project, arrangement, "console", "rear").jobs
    again = template_content(project, arrangement, "console", "front").jobs
    assert [v for job in holes for v in job.hole.xy] == pytest.approx([v for job in again for v in job.hole.xy])


def bar_lengths(page, *, upright):
    """Return lengths of straight level or upright strokes near 100 mm and 4 in, mm."""
    lengths = []
    for stroke in strokes(page):
        x0, y0, x1, y1 = stroke.box
        wide, tall = x1 - x0, y1 - y0
        if upright:
            wide, tall = tall, wide
        if len(stroke.points) == 2 and tall < 0.01 and 90 < wide < 112:
            lengths.append(wide)
    return lengths


@pytest.mark.parametrize("measured", ["100x100", "99.4x99.7", "101.5x100.2"])
def test_every_tile_has_true_bars_both_ways(project, arrangement, measured):
    """Each sheet's 100 mm and 4 in bars come out true on the printer that was measured."""
    across, up = (float(bar) for bar in measured.split("x"))
    printer = MeasuredPrinter(across_mm=across, up_mm=up)
    template = tiled_template(project, arrangement, "board", measured=printer)
    for page in pages(pdf_bytes(template.scenes, INFO))[-len(template.grid.tiles) :]:
        for upright, real in ((False, printer.across_mm), (True, printer.up_mm)):
            on_paper = [length * real / 100 for length in bar_lengths(page, upright=upright)]
            assert any(abs(length - 100) < TRUE_MM for length in on_paper)
            assert any(abs(length - 101.6) < TRUE_MM for length in on_paper)
        assert float(page.width) * POINT in (pytest.approx(210, abs=0.01), pytest.approx(297, abs=0.01))
    said = " ".join(text for text, _ in text_boxes(page))
    assert ("Stretched for this printer" in said) == (measured != "100x100")


@pytest.mark.parametrize("paper", PAPERS)
def test_texts_stay_on_their_sheet_and_apart(project, arrangement, paper):
    """Measured from the PDF, no text leaves its sheet and no two overlap; side and name stand on every tile."""
    template = tiled_template(project, arrangement, "console", side="rear", paper=paper)
    for page, scene in zip(pages(pdf_bytes(template.scenes, INFO)), template.scenes, strict=True):
        boxes = text_boxes(page)
        wide, tall = float(page.width) * POINT, float(page.height) * POINT
        assert [t for t, b in boxes if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > tall] == []
        assert overlapping(boxes) == []
        if scene.title.startswith("Tile"):
            said = " ".join(text for text, _ in boxes)
            assert "CUT FROM REAR" in said
            assert scene.title.split()[1].rstrip(",") in said


def test_side_is_said_in_letters_of_20_mm(project, arrangement):
    """CUT FROM FRONT stands on each sheet 20 mm tall (capital height, as ISO 3098 measures it)."""
    template = tiled_template(project, arrangement, "console")
    for page in pages(pdf_bytes(template.scenes, INFO))[-len(template.grid.tiles) :]:
        letters = [path for path in page.paths if path.filled and path.colour is None and path.height * POINT > 15]
        assert letters
        rows = 1 if letters[0].height * POINT < 30 else 2
        assert letters[0].height * POINT == pytest.approx(20 + (rows - 1) * 32, abs=1.5)


def test_blank_tiles_are_left_out_and_listed():
    """Sheets on which nothing would stand are not printed, and the first page names them."""
    project, arrangement = simple(900, 900, [])
    template = tiled_template(project, arrangement, "p", paper="A4")
    assert template.grid.blank
    assert len(template.grid.tiles) + len(template.grid.blank) == template.grid.rows * template.grid.columns
    first = " ".join(text for text, _ in text_boxes(pages(pdf_bytes(template.scenes, INFO))[0]))
    assert all(name in first for name in template.grid.blank)


def simple(width, height, holes):
    """Return a project with one panel and round or square devices at given places."""
    devices = {}
    placed = {}
    for number, (x, y, size, round_one) in enumerate(holes):
        shape = Shape(circle=size) if round_one else Shape(rect=(size, size * 0.7), radius=size / 10)
        name = f"d{number}"
        devices[name] = Device(id=name, name=f"Device {number}", panel=("p",), face=shape, cutout=(shape,),
                               size_from=SizeFrom.MEASURED)  # fmt: skip
        placed[name] = Placed(device=name, panel="p", x=x * width, y=y * height)
    panel = Panel(id="p", name="Panel", outline=Shape(rect=(width, height), at=(width / 2, height / 2)), thickness=9,
                  material="plywood")  # fmt: skip
    project = Project(spile=1, project=TitleBlock(name="Random"), panels={"p": panel}, devices=devices)
    return project, Arrangement(placed=placed)


hole = st.tuples(st.floats(0.1, 0.9), st.floats(0.1, 0.9), st.floats(12, 120), st.booleans())


@given(
    st.tuples(st.floats(60, 700), st.floats(60, 500)), st.lists(hole, max_size=5),
    st.tuples(st.sampled_from(PAPERS), st.floats(0, 15), st.floats(0, 25)),
    st.sampled_from(["front", "rear"]), st.floats(98, 102),
)  # fmt: skip
def test_any_sheet_margin_and_overlap_reassembles(size, holes, printing, side, bar):
    """Whatever the paper, margin, overlap and printer, the tiles laid together are the panel's lines."""
    project, arrangement = simple(*size, holes)
    paper, margin, overlap = printing
    template = tiled_template(
        project, arrangement, "p", side=side, paper=paper, margin_mm=margin, overlap_mm=overlap,
        measured=MeasuredPrinter(across_mm=bar, up_mm=100.0),
    )  # fmt: skip
    joined = shapely.union_all([lines for _, lines in printed(template)])
    assert_same_lines(joined, cut_lines(template_content(project, arrangement, "p", side)))


def test_one_large_sheet_has_every_line_once(project, arrangement):
    """The full-size sheet shows the same lines as the tiles, at their true distances."""
    template = full_size_template(project, arrangement, "console")
    page = pages(pdf_bytes(template.scenes, INFO))[-1]
    content = template_content(project, arrangement, "console", "front")
    lines = shapely.union_all(
        [shapely.LineString(s.points) for s in strokes(page) if abs(s.width_mm - CUT_MM) < 0.02 and not any(s.colour)]
    )
    wanted = cut_lines(content)
    dx, dy = (lines.bounds[k] - wanted.bounds[k] for k in (0, 1))
    assert_same_lines(lines, shapely.transform(wanted, lambda xy: [(x + dx, y + dy) for x, y in xy]))


def test_limit_across_joined_sheets_is_half_a_mm_and_a_two_thousandth():
    """A metre may be off by 1 mm (0.5 mm plus 0.05 %)."""
    assert limit_mm(1000) == pytest.approx(1.0)


@pytest.mark.parametrize(("across", "up"), [(80, 100), (99.4, 130)])
def test_bars_that_cannot_have_been_measured_are_refused(across, up):
    """Only lengths between 90 and 110 are taken."""
    with pytest.raises(ValueError, match="90 to 110"):
        MeasuredPrinter(across_mm=across, up_mm=up)


def test_seams_of_the_largest_panel_have_letters():
    """Twice 18 x 16 tiles of A4 have seams; each has a mark of its own, short ones first, none with I, O or Q to T."""
    marks = list(islice(_letters(), 1000))
    assert len(set(marks)) == len(marks)
    assert [marks[0], marks[19], marks[20], marks[420]] == ["A", "Z", "AA", "AAA"]
    assert not set("".join(marks)) & set("IOQRST")
