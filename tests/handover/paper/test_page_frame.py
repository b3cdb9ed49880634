"""Flowing documents: numbered pages, bookmarks, overprint, embedded font, no clock."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader
from reportlab.platypus import NextPageTemplate, PageBreak

from layout.drawing.elements.pens import RULE_PEN
from layout.drawing.elements.scene import Scene, Text, line
from layout.drawing.paper.drawing_sheets import Sheet, sheet
from layout.handover.lists.table import Column, Table
from layout.handover.paper.flow_table import flow_table
from layout.handover.paper.page_frame import Bookmark, Faulty, Head, PageOf, PageScene, pdf_document
from layout.handover.paper.styles import heading, text
from tests import printed
from tests.handover.pages import everything, fonts, outline, outside, overprinted, texts

PAGE = sheet("A4", landscape=True)
HEAD = Head(project="Dory", document="List", number="D-1", revision="C", date="2026-11-25", caution="Isolate first.")


def _rows(count: int, **more) -> Table:
    columns = (Column(key="group", title="Group"), Column(key="n", title="Number", unit="pieces"))
    rows = tuple({"group": f"g{n // 40}", "n": n} for n in range(count))
    return Table(name="t", title="T", columns=columns, rows=rows, **more)


def test_every_page_says_which_of_how_many_it_is():
    """Head, foot and "page x of y" stand on all pages, with number, revision, date and caution."""
    raw = pdf_document(flow_table(_rows(100), 200), HEAD, PAGE)
    pages = texts(raw)
    assert len(pages) > 2
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
        assert "Isolate first." in page
        assert "rev. C" in page
        assert "2026-11-25" in page


def test_headings_repeat_and_no_row_is_lost():
    """The table's heading stands on each page, and all rows stand in order."""
    pages = texts(pdf_document(flow_table(_rows(100), 200), HEAD, PAGE))
    assert all("Number" in page for page in pages)
    found = [line for page in pages for line in page.splitlines() if line.startswith("g") and line[-1].isdigit()]
    assert [int(line.split()[-1]) for line in found] == list(range(100))


def test_groups_have_their_heading_once_and_drop_their_column():
    """A grouped table says the group above its rows instead of in each."""
    raw = pdf_document(flow_table(_rows(50, group_by="group"), 200, group_names={"g1": "second"}), HEAD, PAGE)
    words = everything(raw)
    assert words.count("g0") == 1
    assert words.count("second") == 1


def test_only_pages_with_a_faulty_row_are_overprinted():
    """A fault on row 60 marks the page that row 60 is on, and no other."""
    raw = pdf_document(flow_table(_rows(100, faulty=frozenset({60})), 200), HEAD, PAGE)
    (marked,) = overprinted(raw)
    assert "g1 60" in texts(raw)[marked - 1]


def test_marks_become_bookmarks_and_contents():
    """A bookmark leads to the page its heading is on, and the contents before it name that page."""
    story = [Bookmark("Contents"), text("Wires"), PageOf("Wires", 2.0), PageBreak(), PageBreak()]
    story += [text("between"), PageBreak(), Bookmark("Wires", level=1), heading("All wires")]
    raw = pdf_document(story, HEAD, PAGE)
    marks = dict(outline(raw))
    assert marks["Contents"] == 1
    assert "All wires" in texts(raw)[marks["Wires"] - 1]
    assert str(marks["Wires"]) in texts(raw)[0].splitlines()


def test_a_scene_fills_a_page_of_its_own_size_at_full_size():
    """A sheet of 400 by 300 mm is a page of that size, and a line of 100 mm on it measures 100 mm."""
    scene = Scene(
        width_mm=400, height_mm=300, items=(line((50, 50), (150, 50), RULE_PEN), Text((50, 60), "sheet", 5.0))
    )
    story = [text("before"), NextPageTemplate("big"), PageBreak(), Bookmark("Sheet"), PageScene(scene)]
    story += [NextPageTemplate("flow"), PageBreak(), text("after")]
    raw = pdf_document(story, HEAD, PAGE, extra={"big": Sheet(name="big", width_mm=400, height_mm=300)})
    page = PdfReader(BytesIO(raw)).pages[1]
    assert float(page.mediabox.width) / 72 * 25.4 == pytest.approx(400, abs=0.01)
    ends = [path.points for path in printed.pages(raw)[1].paths if len(path.points) == 2]
    (x0, _), (x1, _) = next((a, b) for a, b in ends if abs(a[0] - b[0]) > 10)
    assert (x1 - x0) / 72 * 25.4 == pytest.approx(100, abs=0.05)
    assert x0 / 72 * 25.4 == pytest.approx(50, abs=0.05)
    assert "after" in texts(raw)[2]


def test_only_the_shipped_font_is_used_and_embedded():
    """Every letter is set in the shipped font, whose program is in the file."""
    raw = pdf_document([Bookmark("x"), text("Ω µ ² → ☐ é Ж"), text("bold", bold=True)], HEAD, PAGE)
    assert all("SpileSans" in name or "DejaVu" in name for name in fonts(raw))
    for entry in PdfReader(BytesIO(raw)).pages[0]["/Resources"]["/Font"].values():
        font = entry.get_object()
        descriptor = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert "/FontFile2" in descriptor["/FontDescriptor"].get_object()


def test_a_document_has_the_same_bytes_each_time():
    """No clock and no chance in it."""
    first, second = (pdf_document([Bookmark("x"), *flow_table(_rows(60), 200)], HEAD, PAGE) for _ in range(2))
    assert first == second
    info = PdfReader(BytesIO(first)).metadata
    assert (info.title, info.subject) == ("Dory: List", "List revision C")


def test_no_letter_leaves_the_page():
    """Long words break instead of running off the sheet."""
    columns = (Column(key="a", title="A" * 30, width_mm=10), Column(key="b", title="B", width_mm=100))
    rows = ({"a": "unbreakable" * 6, "b": "word " * 120},)
    raw = pdf_document(flow_table(Table(name="t", title="", columns=columns, rows=rows), 250), HEAD, PAGE)
    assert outside(raw, margin_pt=20) == []


def test_a_fault_without_rows_marks_its_page():
    """A loose mark overprints the page it lands on."""
    assert overprinted(pdf_document([text("a"), PageBreak(), Faulty(), text("b")], HEAD, PAGE)) == [2]


def test_markup_in_a_name_is_only_text():
    """A name with angle brackets prints as it is written."""
    assert "<b>&x</b>" in everything(pdf_document([text("<b>&x</b>")], HEAD, PAGE))


@pytest.mark.parametrize("count", range(30, 46))
def test_notes_never_stand_on_a_page_alone(count):
    """However many rows there are, the page that has the table's notes has a row too."""
    notes = ("Counts come from the design.", "What is aboard stays.")
    for page in texts(pdf_document(flow_table(_rows(count, notes=notes), 200), HEAD, PAGE)):
        if notes[1] in page:
            assert notes[0] in page
            assert any(line.startswith("g") and line[-1].isdigit() for line in page.splitlines())
