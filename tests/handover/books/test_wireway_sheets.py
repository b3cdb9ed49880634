"""One sheet for each wireway, with what is in it and in which order."""

from __future__ import annotations

from dataclasses import replace

from layout.findings import Finding
from layout.handover.books.wireway_sheets import wireway_sheets, wireway_table
from layout.wiring.result import CableIn
from tests.handover.pages import everything, outline, outside, overprinted, texts


def test_every_used_wireway_has_its_page(project, wiring):
    """Each wireway that carries something has a page with a bookmark, and an empty one has none."""
    raw = wireway_sheets(project, wiring)
    assert outline(raw) == [("Main conduit", 1), ("Bilge run", 2)]
    first, second = texts(raw)
    assert "Main conduit" in first
    assert "Bilge run" in second


def test_the_sheet_says_how_full_it_is(project, wiring):
    """Fill and limit, bends, length, bore and what may share it are on the sheet."""
    words = everything(wireway_sheets(project, wiring))
    for expected in ("conduit, bore 20 mm", "11.6 %, limit 40 %", "90° in all", "3.00 m", "dc, data, antenna"):
        assert expected in words, expected
    assert "not worked out" in words  # the free run


def test_cables_stand_in_pulling_order(project, wiring):
    """The table counts cables as they are pulled; two cores of one run share a row."""
    rows = wireway_table(project, wiring, wiring.wireways[0]).rows
    assert [(row["order"], row["number"]) for row in rows] == [("1–2", "002a+  002a-"), ("3", "004a+"), ("4", "004a-")]
    assert rows[1]["od_mm"] is None
    assert rows[2]["plug_mm"] == 12.0


def test_a_cable_of_unknown_diameter_is_said(project, wiring):
    """The section does not pass over a cable whose diameter is not known."""
    assert "NOT SHOWN, outer diameter not known: 3." in everything(wireway_sheets(project, wiring))


def test_only_the_sheet_of_the_full_wireway_is_overprinted(project, wiring):
    """An error on a wireway overprints its sheet, with the way out on it."""
    found = (Finding(rule="paper 1", message="x is 44 % full", remedy="a wider one", subjects=("wireways.main",)),)
    raw = wireway_sheets(project, wiring, found)
    assert overprinted(raw) == [1]
    assert "Way out: a wider one" in texts(raw)[0]


def test_a_wireway_of_eighty_cables_goes_on_over_pages(project, wiring):
    """Many cables flow over pages with the heading repeated, and no letter leaves the sheet."""
    cables = tuple(CableIn(run=f"r{n}", number=f"{n}a+", od_mm=2.8) for n in range(80))
    full = replace(wiring, wireways=(replace(wiring.wireways[0], cables=cables),))
    raw = wireway_sheets(project, full)
    pages = texts(raw)
    assert len(pages) > 2
    assert all("Pull" in page for page in pages)
    assert outside(raw, margin_pt=15) == []


def test_no_wireways_says_so(project, wiring):
    """A project whose cables lie in no wireway gets a page that says it."""
    assert "No cable lies in a wireway." in everything(wireway_sheets(project, replace(wiring, wireways=())))
