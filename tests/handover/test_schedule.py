"""The schedule: same columns in CSV, spreadsheet and on paper, grouped, with footnotes and overprint."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import BytesIO, StringIO

import pytest
from openpyxl import load_workbook

from layout.drawing.elements.scene import FillPath
from layout.findings import Finding
from layout.handover.books.schedule_sheets import general_notes, own_notes, schedule_story
from layout.handover.files.csv_file import csv_bytes
from layout.handover.files.xlsx import xlsx_bytes
from layout.handover.lists.wires.circuit_order import by_circuit
from layout.handover.lists.wires.schedule_columns import SCHEDULE, node_name, schedule_table
from layout.handover.lists.wires.sizing_sheet import sizing_table
from layout.handover.paper.marked_rows import errors_of, wiring_errors
from tests.handover.pages import column, everything, on_pages, outside, overprinted, texts


def pdf_schedule(project, wiring) -> bytes:
    """Return the schedule on pages."""
    return on_pages(project, lambda wide: schedule_story(project, wiring, (), wide))


@pytest.fixture(scope="module")
def printed(project, wiring):
    """Return the schedule as PDF."""
    return pdf_schedule(project, wiring)


def test_csv_and_spreadsheet_have_the_same_columns_and_rows(project, wiring):
    """Both hold one row a conductor, the same numbers, in the same order."""
    table = schedule_table(project, wiring)
    rows = list(csv.reader(StringIO(csv_bytes(table).decode(), newline="")))
    sheet = load_workbook(BytesIO(xlsx_bytes([table], title="x")))["schedule"]
    assert rows[0] == [one.key for one in SCHEDULE]
    assert [cell.value for cell in sheet[1]] == [one.heading for one in SCHEDULE]
    runs = [run for one in by_circuit(project, wiring) for run in one.runs]
    numbers = [wire.number for run in runs for wire in run.wires]
    assert [row[0] for row in rows[1:]] == numbers
    assert [sheet.cell(row=n + 2, column=1).value for n in range(len(numbers))] == numbers
    for at, one in enumerate(SCHEDULE):
        if one.key == "length_m":
            assert [float(row[at]) for row in rows[1:]] == [
                pytest.approx(sheet.cell(row=n + 2, column=at + 1).value) for n in range(len(numbers))
            ]


def test_paper_holds_every_wire_with_what_an_electrician_needs(wiring, printed):
    """Number, both ends with fitting, colour in words and letters, size, length, fuse and drop of each wire."""
    words = everything(printed)
    for run in wiring.runs:
        for wire in run.wires:
            assert wire.number in words
            assert f"{wire.colour} {wire.code}" in words
            assert wire.start.fitting in words
        if run.size:
            assert str(run.size) in words
            assert f"{run.drop_v:.3f} V" in words
            assert f"{run.length.total_mm / 1000:.2f}" in words
    assert "breaker 10 A" in words
    assert "12 V distribution, way 1" in words


def test_paper_goes_by_circuit_in_the_order_of_the_ways(printed):
    """Feeders first, then each way's circuit under its name and way; what has no way comes last."""
    words = everything(printed)
    heads = ["Supplies, switches and bars", "way 1 · Masthead light", "way 2 · Radio", "Spot light"]
    places = [words.index(head) for head in heads]
    assert places == sorted(places)


def test_feed_legs_and_return_of_a_circuit_stand_together(project, wiring):
    """Runs of one circuit follow each other, returns behind feeds, whatever stands between them in the file."""
    light, radio = wiring.runs[1], wiring.runs[2]
    plus, minus = light.wires
    back = replace(light, key="circuits.light:back", number="002b", wires=(replace(minus, number="002b-"),))
    feed = replace(light, key="circuits.light:feed", wires=(plus,))
    mixed = replace(wiring, runs=(back, radio, feed))
    (first, second) = by_circuit(project, mixed)
    assert [run.key for run in first.runs] == ["circuits.light:feed", "circuits.light:back"]
    assert [run.key for run in second.runs] == ["circuits.radio"]
    assert [row["number"] for row in schedule_table(project, mixed).rows[:2]] == [plus.number, "002b-"]


def test_a_starting_lead_says_that_nothing_protects_it(project, wiring):
    """A cranking conductor says so where others name their device."""
    start = replace(wiring.runs[0], cranking=True, guard=None)
    words = column(pdf_schedule(project, replace(wiring, runs=(start,))), "Protection", "Drop")
    assert "NONE: starting circuit, exempt" in words
    (row, _) = schedule_table(project, replace(wiring, runs=(start,))).rows
    assert (row["protection"], row["protection_a"]) == ("none: starting circuit, exempt", "")


def test_a_fuse_s_distance_from_its_source_is_printed(project, wiring):
    """Kind, rating, place and the most it may stand away, as the file gives it."""
    fuse = replace(wiring.runs[0].guard, kind="link fuse", rating_a=50.0, where="house/+", from_source_mm=150.0)
    raw = pdf_schedule(project, replace(wiring, runs=(replace(wiring.runs[0], guard=fuse),)))
    words = column(raw, "Protection", "Drop")
    assert f"link fuse {50} A" in words
    assert "at most 150 mm from it" in words


def test_notes_that_hold_for_most_runs_are_said_once(project, wiring):
    """What more than half of the runs share is a general note; a row names what it has besides, or has not."""
    runs = [replace(run, notes=("a", "b") if n == 2 else ("a",)) for n, run in enumerate(wiring.runs)]
    runs[1] = replace(runs[1], notes=())
    made = replace(wiring, runs=tuple(runs), footnotes={"a": "one", "b": "two"})
    assert general_notes(made) == ("a",)
    assert [own_notes(run, ("a",)) for run in runs] == [[], ["not a"], ["b"], []]


def test_what_is_not_known_is_a_question_on_paper_and_in_files(project, wiring, printed):
    """The run without a load has no size: a question mark, never a zero."""
    rows = {row["number"]: row for row in schedule_table(project, wiring).rows}
    assert rows["004a+"]["size"] is None
    assert rows["004a+"]["current_a"] is None
    assert rows["004a+"]["run_drop_v"] is None
    assert "?" in everything(printed)


def test_a_drop_that_was_not_worked_out_is_never_a_zero(project, wiring):
    """A charging or cranking run with a current but no load flowing through it has an unknown drop, not 0.000 V."""
    run = replace(wiring.runs[1], drop_v=0.0, drop_percent=0.0)
    rows = schedule_table(project, replace(wiring, runs=(run,))).rows
    assert [row["run_drop_v"] for row in rows] == [None, None]
    assert [row["wire_drop_v"] for row in rows] == [None, None]
    assert "0.000 V" not in everything(pdf_schedule(project, replace(wiring, runs=(run,))))


def test_footnotes_say_which_table_was_used(printed):
    """The text of each note stands below the table."""
    assert "a Ampacity: ISO 13297 table A.1, from memory" in everything(printed)


def test_cautions_stand_on_every_page(printed):
    """Isolate, licensed person, local codes: on each page's foot."""
    for page in texts(printed):
        assert "Isolate all supplies first." in page
        assert "licensed person" in page
        assert "Local codes win" in page


def test_a_page_that_shows_a_run_with_an_error_is_overprinted(project, wiring, faulty):
    """An error on one circuit overprints its page and says the code; without errors no page is."""
    assert overprinted(pdf_schedule(project, wiring)) == []
    raw = pdf_schedule(project, faulty)
    assert overprinted(raw)
    assert "paper 1" in everything(raw)
    rows = {row["number"]: row for row in schedule_table(project, faulty).rows}
    assert rows["003a+"]["findings"] == "paper 1"
    assert rows["002a+"]["findings"] == "paper 1"  # its conduit
    assert rows["001a+"]["findings"] == ""


def test_long_schedules_keep_their_headings(project, wiring):
    """Over many pages the heading repeats, no conductor is lost, and pages are numbered."""
    many = []
    for n in range(60):
        source = wiring.runs[1]
        wires = tuple(replace(wire, number=f"{n + 100}a{wire.pole}") for wire in source.wires)
        many.append(replace(source, key=f"circuits.c{n}", number=f"{n + 100}a", wires=wires))
    pages = texts(pdf_schedule(project, replace(wiring, runs=tuple(many))))
    assert len(pages) > 2
    assert all("Protection" in page for page in pages[:-1])
    words = " ".join(pages)
    assert all(f"{n + 100}a{pole}" in words for n in range(60) for pole in "+-")
    assert f"page 2 of {len(pages)}" in pages[1]


def test_no_letter_of_the_schedule_leaves_its_page(printed):
    """All letters stand well inside the sheet."""
    assert outside(printed, margin_pt=15) == []


def test_the_schedule_has_stable_bytes(project, wiring, printed):
    """A second run gives the same bytes."""
    assert pdf_schedule(project, wiring) == printed


def test_an_error_without_subject_concerns_every_run(project, wiring):
    """What can't be laid to one wire holds for all; findings of the panel's holes don't count here."""
    loose = Finding(rule="paper 4", message="x")
    hole = Finding(rule="panel 1", message="x")
    assert wiring_errors((loose, hole)) == (loose,)
    assert errors_of(project, wiring.runs[0], (loose,)) == (loose,)


def test_nodes_are_said_in_names(project):
    """``dc/1`` is said as the panel's name and its way."""
    assert node_name(project, "dc/1") == "12 V distribution 1"
    assert node_name(project, "nowhere") == "nowhere"


def test_every_size_can_be_checked_by_hand(project, wiring):
    """The sheet gives loop, current, both drops, limit, ampacity and the smallest size for each criterion."""
    row = next(row for row in sizing_table(project, wiring).rows if str(row["number"]).startswith("002a"))
    run = wiring.run("circuits.light")
    found = run.sizing.verdict
    assert "loop 8.00 m × 2.30 A" in row["drop"]
    assert f"formula of the practice {found.drop.formula_v:.3f} V" in row["drop"]
    assert f"{found.drop.copper_v:.3f} V" in row["drop"]
    assert f"{found.ampacity.current_a:.1f} A" in row["bears"]
    assert f"governs: {run.sizing.governing}" in row["least"]
    assert "next size up" in row["what_if"]


def test_colour_has_a_patch_beside_its_words(wiring):
    """The patch is drawn in the ink of the colour's word."""
    from layout.drawing.elements.colours import CONDUCTORS
    from layout.drawing.elements.swatch import swatch
    from layout.geometry.path import Box

    (fill,) = [i for i in swatch(wiring.runs[0].wires[0].colour, Box(0, 0, 10, 2)) if isinstance(i, FillPath)]
    assert fill.colour == CONDUCTORS["red"]
