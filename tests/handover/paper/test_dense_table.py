"""A list in two columns: every row in its order, every word of it, over as many pages as it takes."""

from __future__ import annotations

import pytest
from reportlab.platypus import Spacer

from layout.drawing.paper.drawing_sheets import sheet
from layout.handover.lists.table import Column, Table
from layout.handover.paper.dense_table import DenseTable
from layout.handover.paper.page_frame import Head, body_width_mm, pdf_document
from layout.handover.paper.styles import heading
from tests.handover.pages import everything, overprinted, texts

PAGE = sheet("A4", landscape=True)
HEAD = Head(project="Dory", document="List")


def ends(count: int, **more) -> Table:
    """Return a list of ends with names that are too long for a line."""
    columns = (
        Column(key="place", title="Place"), Column(key="at", title="At", once=True), Column(key="n", title="Wire"),
        Column(key="to", title="Goes to"), Column(key="fitting", title="Fitting"), Column(key="size", title="Size"),
    )  # fmt: skip
    rows = tuple(
        {
            "place": f"Locker {n // 90}", "at": f"Terminal block number {n // 7} behind the panel", "n": f"{n:03d}a+",
            "to": f"Shunt of the battery monitor beside bank {n}, load side", "fitting": "ferrule 1.5 mm² black, 8 mm",
            "size": "1.5 mm²",
        }
        for n in range(count)
    )  # fmt: skip
    return Table(name="ends", title="Ends", columns=columns, rows=rows, group_by="place", **more)


def made(table: Table, above_mm: float = 0.0) -> bytes:
    """Return it as a document, below some room."""
    return pdf_document([Spacer(0, above_mm * 72 / 25.4), DenseTable(table, body_width_mm(PAGE))], HEAD, PAGE)


@pytest.mark.parametrize("count", [1, 2, 9, 60, 200])
def test_every_row_stands_once_and_no_word_is_cut(count):
    """All numbers stand there once; nothing is shortened."""
    words = everything(made(ends(count), above_mm=40.0))
    numbers = [word for word in words.split() if word.endswith("a+") and word[:3].isdigit()]
    assert sorted(numbers) == [f"{n:03d}a+" for n in range(count)]
    assert "…" not in words
    assert words.count("load side") + words.count("load\nside") + words.count("side") >= count


def test_a_short_list_stands_in_two_equal_columns():
    """Ten rows take the height of five: left and right begin on one line."""
    (page,) = texts(made(ends(10)))
    assert page.count("Goes to") == 2


def test_it_begins_where_a_few_rows_have_room_and_goes_on():
    """With 60 mm left the list begins there; with 10 mm it begins on the next page, with all of it."""
    begun = texts(made(ends(60), above_mm=110.0))
    assert "000a+" in begun[0]
    late = texts(made(ends(20), above_mm=160.0))
    assert "000a+" not in late[0]
    assert "000a+" in late[1]


def test_only_the_page_of_a_faulty_row_is_overprinted():
    """A fault on the last of 200 rows marks the last page alone."""
    raw = made(ends(200, faulty=frozenset({199})))
    pages = texts(raw)
    assert overprinted(raw) == [len(pages)]


@pytest.mark.parametrize("above_mm", [float(n) for n in range(100, 172, 6)])
def test_a_heading_stands_above_what_it_heads(above_mm):
    """However much room is left on a page, the page that has the heading has the first row too."""
    story = [Spacer(0, above_mm * 72 / 25.4), heading("Everything", 2), heading("Ends", 3)]
    for page in texts(pdf_document([*story, DenseTable(ends(30), body_width_mm(PAGE))], HEAD, PAGE)):
        assert ("Everything" in page) == ("000a+" in page)
