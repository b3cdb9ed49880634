"""Labels, dimensions, tables and sheets laid out before any writer runs."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.dimension import Stop, dimension_band, merge
from layout.drawing.elements.label_placing import LabelWish, box_holds, overlaps, place_labels, spread
from layout.drawing.elements.metrics import text_box
from layout.drawing.elements.scene import Text, scene_leaves
from layout.drawing.elements.scene_table import SceneColumn, SceneTable, table_columns, table_items
from layout.drawing.paper import drawing_sheets
from layout.geometry.path import Box
from tests.conftest import ROOT

REFERENCE = yaml.safe_load((ROOT / "tests" / "reference" / "cutouts.yaml").read_text("utf-8"))


def text_boxes(items):
    """Return the boxes of all texts of a layout."""
    return [text_box(i) for i in scene_leaves(items) if isinstance(i, Text)]


def assert_apart(boxes):
    """Hold that no two boxes share more than a hair of area."""
    assert [(a, b) for a, b in combinations(boxes, 2) if overlaps(a, b, clear_mm=-1e-6)] == []


coordinates = st.lists(st.integers(0, 2000), min_size=1, max_size=40, unique=True)


@given(coordinates, st.sampled_from(["below", "above", "left", "right"]))
def test_dimension_texts_never_overlap(values, side):
    """However dense the features, no two dimension texts touch; where they can't fit a table has to serve."""
    stops = [Stop(at_mm=50 + v / 10, value_mm=v / 2) for v in values]
    band = dimension_band(stops, origin_mm=50, side=side, edge_mm=60, low_mm=45, high_mm=255)
    assert_apart(band.text_boxes)
    if band.style != "coordinate":
        texts = {i.content for i in band.items if isinstance(i, Text)}
        assert {s.text for s in merge(stops)} <= texts


@given(st.lists(st.floats(0, 100), min_size=1, max_size=20))
def test_spread_keeps_order_pitch_and_ends(wanted):
    """Spread positions keep their order and pitch, stay between the ends, and move only if they must."""
    wanted = sorted(wanted)
    places = spread(wanted, pitch_mm=5, low_mm=0, high_mm=100)
    assert all(b - a >= 5 - 1e-9 for a, b in pairwise(places))
    assert min(places) >= -1e-9
    assert max(places) <= 100 + 1e-9
    if all(b - a >= 5 for a, b in pairwise(wanted)):
        assert places == pytest.approx(wanted)


@given(st.lists(st.tuples(st.floats(0, 200), st.floats(0, 150)), min_size=1, max_size=25))
def test_labels_keep_apart_and_inside_and_none_is_dropped(points):
    """Placed labels touch neither each other nor what is taken, and every other wish is handed back."""
    wishes = [LabelWish(lines=(f"Device {n}", "⌀ 52.4"), at=p) for n, p in enumerate(points)]
    room, taken = Box(0, 0, 200, 150), [Box(80, 50, 120, 100)]
    placed, homeless = place_labels(wishes, room=room, taken=taken)
    assert_apart([*(label.box for label in placed), *taken])
    assert all(box_holds(room, label.box) for label in placed)
    assert len(placed) + len(homeless) == len(wishes)


def test_table_fills_columns_and_says_which_row_is_next():
    """A long table runs side by side in its room, texts apart, and reports the first row left over."""
    table = SceneTable(
        columns=(SceneColumn(title="No"), SceneColumn(title="Device")), rows=tuple((str(n), "Gauge") for n in range(60))
    )
    room = Box(0, 0, 70, 100)
    items, following = table_columns(table, room)
    assert 0 < following < 60
    assert_apart(text_boxes(items))
    assert all(box_holds(room, box) for box in text_boxes(items))
    _, rest = table_columns(table, Box(0, 0, 500, 100), first=following)
    assert rest == 60
    assert table_items(table, (0, 0))


@pytest.mark.parametrize("name", ["A0", "A1", "A2", "A3", "A4"])
def test_sheets_are_iso_216_and_frames_iso_5457(name):
    """Sizes are ISO 216's and the room inside the frame is ISO 5457's."""
    paper = REFERENCE["paper"]["iso_216"]["sizes"][name]
    found = drawing_sheets.sheet(name)
    assert [found.width_mm, found.height_mm] == paper
    space = REFERENCE["drawing"]["iso_5457_1999"]["drawing_space"][name]
    box = drawing_sheets.drawing_space(found if name == "A4" else found.turned())
    assert sorted([box.width, box.height]) == sorted(space)


def test_title_block_shows_every_iso_7200_field_inside_it():
    """All mandatory fields of ISO 7200 appear, texts keep apart and stay on the sheet, long ones shortened."""
    block = drawing_sheets.SheetTitle(
        title="A long title that goes on over the whole width of the field and then some more of it",
        document_type="Panel drawing", number="SPL-0001", owner="An invented yard with a very long name indeed Ltd",
        created_by="N. N.", approved_by="", date="2026-01-05", revision="B",
    )  # fmt: skip
    of = drawing_sheets.sheet("A4")
    items = drawing_sheets.framed(of, block)
    assert_apart(text_boxes(items))
    assert all(box_holds(of.box, box) for box in text_boxes(items))
    texts = {i.content for i in scene_leaves(items) if isinstance(i, Text)}
    assert {"Legal owner", "Identification number", "Date of issue", "Sheet", "Title", "Approved by", "Created by",
            "Document type", "SPL-0001", "2026-01-05", "B"} <= texts  # fmt: skip


def test_ansi_sheets_are_in_whole_inches():
    """Letter and Tabloid are sizes A and B of ANSI Y14.1."""
    inches = REFERENCE["paper"]["ansi_y14_1"]["inches"]
    for name, size in (("Letter", "A"), ("Tabloid", "B"), ("ANSI C", "C"), ("ANSI D", "D"), ("ANSI E", "E")):
        found = drawing_sheets.sheet(name)
        assert [found.width_mm / 25.4, found.height_mm / 25.4] == pytest.approx(inches[size])


def test_a_sheet_as_tall_as_a_real_panel_has_a_letter_for_every_row() -> None:
    """Rows of the grid are lettered without I and O; behind Z the letters are doubled, and none stands twice."""
    tall = drawing_sheets.Sheet(name="roll", width_mm=900.0, height_mm=3100.0)
    texts = [item.content for item in drawing_sheets.frame_items(tall) if isinstance(item, Text)]
    letters = [text for text in texts if text.isalpha()]
    rows = list(dict.fromkeys(letters))
    assert rows[:9] == list("ABCDEFGHJ")
    assert rows[23:26] == ["Z", "AA", "BB"]
    assert len(rows) * 2 == len(letters) > 2 * 30
