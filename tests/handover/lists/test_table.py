"""A table value, and the same table as CSV and as a spreadsheet."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from layout.handover.files.csv_file import csv_bytes
from layout.handover.files.xlsx import xlsx_bytes
from layout.handover.lists.table import Column, Table, filed, shown

COLUMNS = (
    Column(key="wire", title="Wire"),
    Column(key="length_m", title="Length", unit="m", digits=2, align="right"),
    Column(key="hot", title="Hot space"),
)


def table(*rows, **more) -> Table:
    """Return a table of three columns."""
    return Table(name="t", title="Wires", columns=COLUMNS, rows=rows, **more)


ROW = {"wire": "001a+", "length_m": 2.5, "hot": True}


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "?"), ("", ""), (2.5, "2.50"), (-0.001, "0.00"), (3, "3"), (True, "yes"), (False, "no"), ("a", "a")],
    ids=["unknown", "not applicable", "number", "no minus before zero", "whole", "yes", "no", "text"],
)
def test_a_cell_on_paper(value, text):
    """Unknown is a question mark, numbers have the column's decimals, nothing becomes zero on its way."""
    assert shown(value, COLUMNS[1]) == text


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_a_number_in_a_file_reads_back(value):
    """What a file carries is the number to nine decimals."""
    assert float(filed(value)) == pytest.approx(value, abs=1e-9)


def test_a_row_without_a_cell_is_refused():
    """A forgotten cell is a fault of the program, not an empty field on paper."""
    with pytest.raises(ValueError, match="row 1 of 't' lacks hot"):
        table({"wire": "1", "length_m": 1.0})


def test_a_column_twice_is_refused():
    """Two columns of one key would hide one another."""
    with pytest.raises(ValueError, match="stands twice"):
        Table(name="t", title="", columns=(COLUMNS[0], COLUMNS[0]), rows=())


def test_csv_reads_back():
    """RFC 4180: keys as headings, quotes and commas kept, lines ended with CR LF, unknown said."""
    name = 'Mast "top", light\nport'
    raw = csv_bytes(table({**ROW, "wire": name}, {**ROW, "length_m": None})).decode("utf-8")
    assert raw.startswith("wire,length_m,hot\r\n")
    assert list(csv.DictReader(StringIO(raw, newline=""))) == [
        {"wire": name, "length_m": "2.5", "hot": "yes"},
        {"wire": "001a+", "length_m": "?", "hot": "yes"},
    ]


@pytest.mark.parametrize("text", ["=1+1", "@now", "\tx"])
def test_csv_carries_no_formula(text):
    """A name that a spreadsheet would run is defused; poles stay as they are."""
    rows = list(csv.reader(StringIO(csv_bytes(table({**ROW, "wire": text})).decode())))
    assert rows[1][0] == f"'{text}"
    assert list(csv.reader(StringIO(csv_bytes(table({**ROW, "wire": "-"})).decode())))[1][0] == "-"


def test_a_spreadsheet_reads_back():
    """Headings with units, numbers as numbers with their decimals, unknown as a question mark, no formula."""
    rows = (ROW, {**ROW, "length_m": None, "wire": "=1+1"})
    book = load_workbook(BytesIO(xlsx_bytes([table(*rows, notes=("a  a note",))], title="Wires", revision="B")))
    sheet = book["t"]
    assert [cell.value for cell in sheet[1]] == ["Wire", "Length (m)", "Hot space"]
    assert [cell.value for cell in sheet[2]] == ["001a+", 2.5, "yes"]
    assert sheet["B2"].number_format == "0.00"
    assert sheet["B3"].value == "?"
    assert (sheet["A3"].value, sheet["A3"].data_type) == ("=1+1", "s")
    assert sheet["A5"].value == "a  a note"
    assert (book.properties.title, book.properties.subject) == ("Wires", "revision B")


def test_a_spreadsheet_is_set_up_for_printing():
    """Headings are frozen and repeated, the filter covers the rows, the sheet prints across one page, landscape."""
    sheet = load_workbook(BytesIO(xlsx_bytes([table(ROW, ROW)], title="x", paper="A3")))["t"]
    assert sheet.freeze_panes == "A2"
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.auto_filter.ref == "A1:C3"
    assert sheet.page_setup.orientation == "landscape"
    assert sheet.page_setup.paperSize == 8
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage


def test_faulty_rows_are_tinted_in_a_spreadsheet():
    """A row that shows something with an error is told apart."""
    sheet = load_workbook(BytesIO(xlsx_bytes([table(ROW, ROW, faulty=frozenset({1}))], title="x")))["t"]
    assert sheet["A2"].fill.fgColor.rgb != sheet["A3"].fill.fgColor.rgb


def test_a_spreadsheet_has_the_same_bytes_each_time():
    """No clock in it: entries and properties carry fixed times."""
    first, second = (xlsx_bytes([table(ROW)], title="x") for _ in range(2))
    assert first == second
    with ZipFile(BytesIO(first)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b"1980-01-01T00:00:00Z" in archive.read("docProps/core.xml")


def test_tabs_get_names_that_are_allowed():
    """Long names, signs and doubles are changed as ECMA-376 asks: at most 31 characters, none twice."""
    tables = [Table(name=name, title="", columns=COLUMNS, rows=()) for name in ("a/b", "a b", "x" * 40, "x" * 40)]
    names = load_workbook(BytesIO(xlsx_bytes(tables, title="x"))).sheetnames
    assert names == ["a b", "a b 2", "x" * 31, "x" * 27 + " 2"]


def test_an_empty_workbook_is_refused():
    """There must be a table."""
    with pytest.raises(ValueError, match="at least one table"):
        xlsx_bytes([], title="x")


def test_workbook_looks_like_no_office_program() -> None:
    """Theme, faces and program name are spile's; the first sheet carries what must be read first."""
    raw = xlsx_bytes([table(ROW)], title="Wires", revision="B", lines=("Isolate first.",))
    with ZipFile(BytesIO(raw)) as archive:
        told = {name: archive.read(name).decode("utf-8") for name in archive.namelist()}
    everything = " ".join(told.values())
    assert "<Application>spile</Application>" in told["docProps/app.xml"]
    assert 'name="spile"' in told["xl/theme/theme1.xml"]
    assert not [word for word in ("Microsoft", "Excel", "Calibri", "Cambria", "Office") if word in everything]
    book = load_workbook(BytesIO(raw))
    assert book.sheetnames[0] == "read first"
    assert "Isolate first." in [cell.value for cell in book["read first"]["A"]]
