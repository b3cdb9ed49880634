"""The launch's electrician's book read back alone: every connection can be rebuilt from it, and nothing disagrees."""

from __future__ import annotations

import csv
import re
from typing import TYPE_CHECKING

import pytest

from layout.drawing.elements.metrics import CAP_HEIGHT_PER_EM
from tests.printed import pages

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built

COLUMNS = ("Wire", "Colour", "From", "To", "Current", "Length", "Size", "Protection", "Drop", "Through")
MOST_SHEETS = 36
LEAST_CAP_MM = 1.75
"""Lettering of 1.8 mm, as read back."""


def rows_of(folder: Path, name: str) -> list[dict[str, str]]:
    """Return the rows of one list."""
    with (folder / "csv" / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def read_schedule(book: Path, numbers: set[str]) -> dict[str, dict[str, str]]:
    """Return what stands in each column beside each wire number, read from the book alone."""
    found: dict[str, dict[str, str]] = {}
    for page in pages(book):
        head = [word for word in page.words if word.text == "Wire" and word.x0 < 60]
        for top in head:
            line = {word.text: word.x0 for word in page.words if abs(word.y1 - top.y1) < 2}
            if not set(COLUMNS) <= set(line):
                continue
            edges = [*(line[name] for name in COLUMNS), page.width]
            below = next((word.y1 for word in head if word.y1 < top.y1 - 2), 50)
            body = [word for word in page.words if below + 1 < word.y1 < top.y1 - 12]
            starts = sorted((-word.y1, word.text) for word in body if word.text in numbers and word.x0 < edges[1] - 3)
            stops = [*(at for at, _ in starts[1:]), -below]
            for (at, number), stop in zip(starts, stops, strict=True):
                band = [word for word in body if at - 2 <= -word.y1 < stop - 2]
                found[number] = {
                    name: " ".join(word.text for word in band if low - 3 <= word.x0 < high - 3)
                    for name, low, high in zip(COLUMNS, edges, edges[1:], strict=False)
                }
    return found


@pytest.fixture(scope="module")
def read_back(launch: Built) -> tuple[list[dict[str, str]], dict[str, dict[str, str]]]:
    """Return the schedule's list, and what was read from the book."""
    rows = rows_of(launch.out, "schedule")
    return rows, read_schedule(launch.out / "electrician.pdf", {row["number"] for row in rows})


def test_every_connection_can_be_rebuilt_from_the_book(read_back) -> None:
    """Number, colour letters and both ends with terminal of every conductor stand in its row; none is missing."""
    rows, book = read_back
    assert sorted(book) == sorted(row["number"] for row in rows)
    for row in rows:
        cells = book[row["number"]]
        for side, column in (("from", "From"), ("to", "To")):
            wanted = f"{row[side]} {row[f'{side}_terminal']}".split()
            assert cells[column].split()[: len(wanted)] == wanted, row["number"]
            assert row[f"{side}_fitting"] in cells[column] or row[f"{side}_fitting"] == "?", row["number"]
        assert row["colour_code"] in cells["Colour"], row["number"]


def test_numbers_of_a_run_are_those_of_the_lists(read_back) -> None:
    """Length, size, current, fuse and drop of each run are the same in the book and in the list."""
    rows, book = read_back
    seen: set[str] = set()
    for row in rows:
        if row["key"] in seen:
            continue
        seen.add(row["key"])
        cells = book[row["number"]]
        if row["length_m"] != "?":
            assert f"{float(row['length_m']):.2f}" in cells["Length"], row["number"]
        assert row["size"] in cells["Size"], row["number"]
        if row["current_a"] not in ("", "?"):
            assert f"{float(row['current_a']):.2f} A" in cells["Current"], row["number"]
        if row["run_drop_v"] not in ("", "?"):
            assert f"{float(row['run_drop_v']):.3f} V" in cells["Drop"], row["number"]
        if row["protection_a"] not in ("", "?") and "the same" not in cells["Protection"]:
            assert f"{float(row['protection_a']):g} A" in cells["Protection"], row["number"]


def test_lists_agree_with_each_other(launch: Built) -> None:
    """Colour, size and length of each wire are one value in schedule, ends, cut list and test sheet."""
    wires = {row["number"]: row for row in rows_of(launch.out, "schedule")}
    for row in rows_of(launch.out, "ends"):
        assert row["size"] == wires[row["number"]]["size"]
        assert row["colour"].startswith(wires[row["number"]]["colour"])
    runs: dict[str, str] = {}
    for number, row in wires.items():
        runs.setdefault(re.split(r"[^0-9a-z]", number.lower())[0], row["length_m"])
    for row in rows_of(launch.out, "tests"):
        own = next((wires[n] for n in wires if n == row["wire"] or n.startswith(row["wire"])), None)
        if own is not None:
            assert row["length_m"] == own["length_m"], row["wire"]
    for row in rows_of(launch.out, "cut-list"):
        own = wires.get(row["number"])
        if own is not None and own["length_m"] != "?":
            assert 0 <= float(row["length_m"]) - float(own["length_m"]) < 0.01 + 1e-9, row["number"]


def test_the_book_is_short_and_readable(launch: Built) -> None:
    """It has few sheets, and no lettering is under 1.8 mm but the marks inside drawn cables.

    Letters that stand upright are measured; turned ones are set at the same heights.
    """
    book = pages(launch.out / "electrician.pdf")
    assert len(book) <= MOST_SHEETS
    small = [
        (number, letter.text, round(letter.size, 2))
        for number, page in enumerate(book, start=1)
        for letter in page.letters
        if letter.upright
        and letter.size * CAP_HEIGHT_PER_EM * 25.4 / 72 < LEAST_CAP_MM
        and letter.text.strip()
        and not (letter.text.isdigit() and letter.x0 > 0.8 * page.width)
    ]
    assert small == []


def test_every_end_on_a_panel_stands_on_its_wiring_view(launch: Built) -> None:
    """Of every end that the list puts on the console or the board, the number stands on a wiring view's page."""
    panels = {"Hinged console", "Equipment board in the locker"}
    asked = {row["number"] for row in rows_of(launch.out, "ends") if row["place"] in panels}
    book = [page.text for page in pages(launch.out / "electrician.pdf")]
    views = [page for page in book if "Wires by number on each terminal" in page]
    shown = " ".join(page for page in book if "Wiring view" in page).split()  # what found no room goes on behind them
    assert len(views) == 2
    assert asked
    assert sorted(asked - set(shown)) == []
    assert any("Hatched: AC." in page for page in views)


def test_every_return_earth_and_bond_stands_on_its_drawing(launch: Built) -> None:
    """Of each conductor that returns or earths the number stands on the drawing; those of two bars on both bars."""
    schedule = rows_of(launch.out, "schedule")
    asked = {row["number"] for row in schedule if row["pole"] in ("-", "N", "PE", "bond")}
    listed = rows_of(launch.out, "earth")
    assert {row["number"] for row in listed} == asked
    both = next(row["number"] for row in schedule if row["circuit"] == "24 V distribution to negative bar")
    assert {row["bar"] for row in listed if row["number"] == both} == {"Negative bar", "24 V distribution"}
    book = [page.text for page in pages(launch.out / "electrician.pdf")]
    shown = " ".join(page for page in book if "returns, earths and bonds by bar" in page)
    assert sorted(asked - set(shown.split())) == []
    assert "neutral and earth joined at it" in shown


def test_every_question_mark_is_a_question(launch: Built) -> None:
    """Whatever stands as "?" in a list or on a sheet is a line of "still to find out", by name or number."""
    asked = [row["about"] for row in rows_of(launch.out, "still-to-find-out")]
    words = [word for about in asked for word in (about, about.split()[0], *about.split(", "))]
    lines = [
        f"{path.stem}: {','.join(row.values())}"
        for path in sorted((launch.out / "csv").glob("*.csv"))
        if path.stem != "still-to-find-out"
        for row in rows_of(launch.out, path.stem)
        if any(cell == "?" or cell.startswith("? ") for cell in row.values())
    ]
    for book in ("electrician", "workshop", "shopping", "reckoning"):
        text = "\n".join(page.text for page in pages(launch.out / f"{book}.pdf"))
        lines += [
            line for line in text.split("\n") if re.search(r"(?<!\w)\?(?!\w)", line) and "means not known" not in line
        ]
    assert [line for line in lines if not any(word in line for word in words)] == []
