"""Widths of columns from what stands in them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.elements.metrics import width_mm, wrapped
from layout.handover.books.test_sheets import run_tests_table
from layout.handover.paper.column_widths import EASE_MM, fitting_widths
from layout.handover.paper.flow_table import flow_table
from layout.languages import Language, in_language, spoken
from layout.languages.catalogue import shipped_languages
from tests.handover.pages import everything, on_pages

WORDS = st.lists(st.text("abcdefghij", min_size=1, max_size=8), min_size=1, max_size=6).map(" ".join)


def cells(*texts: str) -> list[tuple[tuple[str, float, bool], ...]]:
    """Return a row of plain cells."""
    return [((text, 1.8, False),) for text in texts]


def lines(rows: list[tuple[str, ...]], widths: list[float]) -> int:
    """Return the lines that all rows take, broken by the measuring that drawings use."""
    return sum(max(len(wrapped(text, 1.8, wide)) for text, wide in zip(row, widths, strict=True)) for row in rows)


@given(rows=st.lists(st.tuples(WORDS, WORDS, WORDS), min_size=1, max_size=8), room=st.floats(60, 300))
def test_columns_fill_the_room_and_no_word_is_broken(rows, room):
    """Together they take the room, and each takes its longest word where the room takes all longest words."""
    widths = fitting_widths([cells(*row) for row in rows], room, pad_mm=0.0)
    assert sum(widths) == pytest.approx(room)
    longest = [max(width_mm(word, 1.8) for row in rows for word in row[at].split()) for at in range(3)]
    if sum(longest) + 3 * EASE_MM + 0.1 <= room:
        assert all(wide >= least - 1e-6 for wide, least in zip(widths, longest, strict=True))


@given(rows=st.lists(st.tuples(WORDS, WORDS), min_size=2, max_size=8))
def test_where_each_text_has_room_on_one_line_it_has_one(rows):
    """In a room as wide as the longest texts together no row takes two lines."""
    room = sum(max(width_mm(row[at], 1.8) for row in rows) + EASE_MM + 0.01 for at in range(2))
    assert lines(rows, fitting_widths([cells(*row) for row in rows], room, pad_mm=0.0)) == len(rows)


def test_a_long_text_gets_the_room_that_short_ones_do_not_need():
    """One line each in 60 mm: the number takes 7 mm, so the name has 53; in equal halves it takes two lines."""
    rows = [("012", "Shunt of the battery monitor, load")] * 3
    assert lines(rows, fitting_widths([cells(*row) for row in rows], 60.0, pad_mm=0.0)) == 3
    assert lines(rows, [30.0, 30.0]) == 6


def test_a_given_width_is_kept():
    """A column to write into is as wide as it is said to be."""
    widths = fitting_widths([cells("a", "By, date"), cells("b", "")], 100.0, pad_mm=2.0, fixed={1: 40.0})
    assert widths == [pytest.approx(60.0), 40.0]


@pytest.mark.parametrize("code", shipped_languages())
def test_no_word_of_a_heading_is_broken(project, wiring, code):
    """On the test sheet, most of whose columns are to be written into, each word of a heading stands whole."""
    table = run_tests_table(wiring)
    with spoken(Language(code)):
        on_paper = everything(on_pages(project, lambda wide: flow_table(table, wide))).split()
        words = [word for column in table.columns for word in f"{in_language(column.title)}".split()]
    assert [word for word in words if word not in on_paper] == []
