"""One sheet for each wireway, with what is in it and in which order."""

from __future__ import annotations

from dataclasses import replace

from layout.findings import Finding
from layout.handover.books.wireway_sheets import wireway_story, wireway_table
from layout.wiring.result import CableIn
from tests.handover.pages import everything, on_pages, outside, overprinted, texts


def wireway_sheets(project, wiring, findings=()) -> bytes:
    """Return the wireways on pages."""
    return on_pages(project, lambda wide: wireway_story(project, wiring, findings, wide))


def test_every_used_wireway_is_there_and_they_share_sheets(project, wiring):
    """Each wireway that carries something has its entry; two small ones fit on one sheet; an empty one has none."""
    empty = replace(wiring.wireways[1], cables=())
    (page,) = texts(wireway_sheets(project, wiring))
    assert "Main conduit" in page
    assert "Bilge run" in page
    assert "Bilge run" not in everything(wireway_sheets(project, replace(wiring, wireways=(wiring.wireways[0], empty))))


def test_the_sheet_says_how_full_it_is(project, wiring):
    """Fill and limit, bends, length, bore and what may share it are on the sheet."""
    words = everything(wireway_sheets(project, wiring))
    for expected in ("conduit, bore 20 mm", "11.6 %, limit 40 %", "90° in all", "3.00 m", "carry dc data antenna"):
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
    assert "Outer diameter not known, so neither counted nor drawn: 3." in everything(wireway_sheets(project, wiring))


def test_only_the_sheet_of_the_full_wireway_is_overprinted(project, wiring):
    """An error on a wireway overprints its sheet, with the way out on it."""
    found = (Finding(rule="paper 1", message="x is 44 % full", remedy="a wider one", subjects=("wireways.main",)),)
    raw = wireway_sheets(project, wiring, found)
    assert overprinted(raw) == [1]
    assert "x is 44 % full. a wider one" in " ".join(texts(raw)[0].split())


def test_a_wireway_of_eighty_cables_goes_on_over_pages(project, wiring):
    """Many cables flow over pages with the heading repeated, and no letter leaves the sheet."""
    cables = tuple(CableIn(run=f"r{n}", number=f"{n}a+", od_mm=2.8) for n in range(80))
    runs = tuple(replace(wiring.runs[0], key=cable.run) for cable in cables)
    full = replace(wiring, runs=runs, wireways=(replace(wiring.wireways[0], cables=cables),))
    raw = wireway_sheets(project, full)
    pages = texts(raw)
    assert len(pages) > 1
    assert all("Pull" in page for page in pages)
    assert outside(raw, margin_pt=15) == []


def test_nothing_is_said_where_no_cable_lies_in_a_wireway(project, wiring):
    """A project whose cables lie in no wireway has no such chapter."""
    assert wireway_story(project, replace(wiring, wireways=()), (), 250.0) == []
