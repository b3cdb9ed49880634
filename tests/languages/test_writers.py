"""Where a text becomes paper or a file it is said in the language, and measured as it is said."""

from __future__ import annotations

import pytest

from layout.drawing.elements.metrics import fitted_text, width_mm, wrapped
from layout.drawing.elements.scene import Text
from layout.drawing.paper.stamp import overprint
from layout.drawing.template.tile_window import side_letters
from layout.findings import Finding, as_json, as_lines
from layout.geometry.path import Box
from layout.handover.files.csv_file import csv_bytes
from layout.handover.lists.table import Column, Table
from layout.handover.paper.column_widths import _paragraphs
from layout.handover.report.markup import element
from layout.languages import Language, spoken

GERMAN = Language("de", frozenset({"Wire"}))
CAUTION = "Measure the 100 mm bars with a steel rule, both ways. Paper lies."
PAGE = Box(0.0, 0.0, 190.0, 277.0)


def test_drawn_text_is_said_before_it_is_measured() -> None:
    """A text of a drawing holds what is printed, so that its box is that of the longer words."""
    with spoken(GERMAN):
        text = Text((0.0, 0.0), "Protection")
        assert text.content == "Schutz"
        assert width_mm("Protection", 2.5) == pytest.approx(width_mm(text.content, 2.5))
        assert Text((0.0, 0.0), "Wire").content == "Wire"
    assert Text((0.0, 0.0), "Protection").content == "Protection"


def test_lines_are_broken_and_cut_as_they_are_said() -> None:
    """Lines hold the translation whole and stay in their room; a cut text is the translation's beginning."""
    with spoken(GERMAN):
        lines = wrapped(CAUTION, 2.5, 60.0)
        assert " ".join(lines).startswith("Die 100-mm-Balken")
        assert [Text((0.0, 0.0), line).content for line in lines] == lines
        assert all(width_mm(line, 2.5) <= 60.0 for line in lines)
        assert fitted_text(CAUTION, 2.5, 40.0).startswith("Die 100-mm")


@pytest.mark.parametrize("make", [lambda: side_letters("front", PAGE), lambda: overprint(PAGE, "NOT FOR WIRING")])
def test_letters_that_warn_are_said(make) -> None:
    """The 20 mm letters and the overprint are drawn as outlines: they are the language's, and English again after."""
    before = make()
    with spoken(GERMAN):
        said = make()
    assert said != before
    assert make() == before


def test_columns_are_measured_as_they_are_said() -> None:
    """What one language needs is not kept for the next."""
    cell = (((CAUTION, 1.8, False),),)
    english = [_paragraphs(one) for one in cell]
    with spoken(GERMAN):
        german = [_paragraphs(one) for one in cell]
    assert english != german
    assert [_paragraphs(one) for one in cell] == english


def test_lists_and_pages_are_said() -> None:
    """Headings and cells of CSV, texts and labels of the page; in English the headings are the keys."""
    columns = (Column(key="way", title="Way"), Column(key="done", title="Done"))
    table = Table(name="x", title="x", columns=columns, rows=({"way": "spare", "done": True},))
    assert csv_bytes(table) == b"way,done\r\nspare,yes\r\n"
    with spoken(GERMAN):
        assert csv_bytes(table).decode() == "Abgang,Erledigt\r\nfrei,ja\r\n"
        assert element("p", "spare", title="spare", id="spare") == '<p title="frei" id="spare">frei</p>'


def test_findings_are_said_and_their_codes_stay() -> None:
    """Message and remedy are said; code, severity and place are the same in every language."""
    finding = Finding(
        rule="wire 4", message="Fan: its load is not known, so its conductors have no size", remedy="take x"
    )
    with spoken(GERMAN):
        (line, remedy) = as_lines([finding])
        (data,) = as_json([finding])
    assert line.startswith("stop")
    assert "Fan: seine Last ist nicht bekannt" in line
    assert remedy.strip() == "x nehmen"
    assert data["rule"] == "wire 4"
    assert data["message"].endswith("haben seine Leiter keinen Querschnitt")
