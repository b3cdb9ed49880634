"""One number, one place: what the launch's documents print of a wire, a device and a wireway is the same everywhere.

Each document is read back by another library than the one that wrote it, and its figures are held against the
schedule's CSV.
"""

from __future__ import annotations

import csv
import math
import re
import xml.etree.ElementTree as ET
from collections import Counter
from functools import cache
from typing import TYPE_CHECKING

import openpyxl
import pytest
from pypdf import PdfReader

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built

NUMBER = r"\d{3}[a-z](?:[A-Z]{1,2}(?:\.\d)?|[+-])"
"""A wire: circuit, part, then pole or its letter, and the core of a cable."""
WHOLE = r"\d{3}[a-z]"
"""A cable or pair by one number, as the test sheet has it."""
SIZE = r"(?<![\d.])(\d[\d.]*\smm²)"
BOOKS = ("electrician", "workshop", "shopping", "reckoning")
SHEETS = {
    "tests": "test sheet", "still-to-find-out": "still to find out", "cut-list": "cut list", "as-found": "as-found",
}  # fmt: skip
Rows = list[dict[str, str]]


@cache
def table(out: Path, name: str) -> Rows:
    """Return the rows of one list, its last column (that the data are invented) left out."""
    with (out / "csv" / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        return [{key: value for key, value in row.items() if key != "invented"} for row in csv.DictReader(file)]


@cache
def pages(out: Path, book: str) -> tuple[str, ...]:
    """Return the text of each page of a book."""
    return tuple(page.extract_text() for page in PdfReader(out / f"{book}.pdf").pages)


@cache
def chapter(out: Path, book: str, title: str) -> str:
    """Return the text of the pages of one chapter."""
    reader = PdfReader(out / f"{book}.pdf")
    starts = {str(entry.title): reader.get_destination_page_number(entry) for entry in reader.outline}
    first = starts[title]
    last = min((at for at in starts.values() if at > first), default=len(reader.pages))
    return "\n".join(pages(out, book)[first : last + 1])


@cache
def wires(out: Path) -> dict[str, dict[str, str]]:
    """Return the schedule's rows by wire number."""
    return {row["number"]: row for row in table(out, "schedule")}


def parts_of(out: Path, number: str) -> list[dict[str, str]]:
    """Return the schedule's rows of a wire, or of a cable or pair."""
    exact = wires(out).get(number)
    return [exact] if exact else [row for key, row in wires(out).items() if key.startswith(number)]


def drawn(file: Path) -> list[str]:
    """Return the texts of an SVG in order, each as one line."""
    return [
        " ".join("".join(node.itertext()).split()) for node in ET.parse(file).iter("{http://www.w3.org/2000/svg}text")
    ]


def tens(value: str) -> float:
    """Return a printed number."""
    return float(value.replace(" m", ""))


def same_length(row: dict[str, str], printed: str) -> bool:
    """Tell whether a printed length is the schedule's, to the centimetre that is printed."""
    return f"{float(row['length_m']):.2f}" == f"{tens(printed):.2f}"


@pytest.fixture(scope="module")
def out(launch: Built) -> Path:
    """Return the folder of the launch's documents."""
    return launch.out


def test_each_list_is_the_same_in_the_workbook(out: Path) -> None:
    """Every cell of every CSV stands in its sheet of the workbook, numbers with the same value."""
    book = openpyxl.load_workbook(out / "csv" / "lists.xlsx", data_only=True)
    seen = set()
    for file in sorted((out / "csv").glob("*.csv")):
        short = re.sub(r"^(isolation|network-figures|network|energy)-", "", file.stem)
        title = next((t for t in (SHEETS.get(short), short, short.replace("-", " ")) if t in book.sheetnames), None)
        if title is None:
            continue
        seen.add(title)
        sheet = book[title].iter_rows(min_row=2, values_only=True)
        for row, cells in zip(table(out, file.stem), sheet, strict=False):
            for (key, value), cell in zip(row.items(), cells, strict=False):
                printed = "" if cell is None else cell
                number = isinstance(printed, int | float) and not isinstance(printed, bool)
                told = math.isclose(float(value), printed, rel_tol=1e-9) if number and value else value == str(printed)
                assert told or str(printed).split() == value.split(), (title, key, value, printed)
    assert len(seen) >= len(book.sheetnames) - 2


def test_lists_agree_with_the_schedule(out: Path) -> None:
    """Ends, cut list, test sheet and earths: number, size, colour, length, current and drop of each wire."""
    for row in [*table(out, "ends"), *(row for row in table(out, "earth") if row["number"])]:
        (wire,) = parts_of(out, row["number"])
        assert row["size"] in ("", wire["size"]), row
        assert row["colour"] == f"{wire['colour']} {wire['colour_code']}".strip(), row
    ends = Counter(row["number"] for row in table(out, "ends"))
    assert set(ends) == set(wires(out))
    assert set(ends.values()) == {2}
    for row in table(out, "cut-list"):
        for wire in parts_of(out, row["number"]):
            assert same_length(wire, row["length_m"]), (row, wire["length_m"])
            reel = row["reel"]
            assert f" {wire['size']} " in reel
            assert "as cable" in reel or f" {wire['colour']}," in reel, (row, wire["colour"])
    for row in table(out, "tests"):
        for wire in parts_of(out, row["wire"]):
            assert row["length_m"] == wire["length_m"], row
            assert row["design_a"] in ("", wire["current_a"]), row
            assert row["run_drop_v"] in ("", wire["run_drop_v"]), row
            assert row["most_ohm"] in ("", wire["ohm"]), row


def test_a_device_is_the_same_beside_each_wire_that_it_guards(out: Path) -> None:
    """Fuses and breakers: kind, rating and place are what the schedule prints at each wire that is named."""
    named: dict[str, list[str]] = {}
    for row in table(out, "fuses"):
        kind, amps = re.match(r"(\D+?) ([\d.]+) A", row["device"]).groups()
        for group in filter(None, row["guards"].split("; ")):
            for number in re.findall(rf"\b{NUMBER}|\b{WHOLE}\b", group):
                for wire in parts_of(out, number):
                    named.setdefault(wire["number"], []).append(row["device"])
                    own = (wire["protection"].partition(",")[0], wire["protection_a"])
                    assert own == (kind, f"{float(amps)}") or len(named[wire["number"]]) > 1, (row, own)
    guarded = {number for number, row in wires(out).items() if row["protection_a"] and row["pole"] in ("+", "L")}
    assert guarded <= named.keys() | {n for n in guarded if wires(out)[n]["pole"] == "-"}


def test_reckoning_agrees_with_the_schedule(out: Path) -> None:
    """How each size was found: size, design current, length and device, in the list and in the book."""
    for row in table(out, "sizing"):
        number, size, *_ = [*row["number"].split("\n"), ""]
        for wire in parts_of(out, number):
            assert size.removeprefix("size ") == wire["size"], row
            if row["current"] and "=" in row["current"]:
                assert f"{float(wire['current_a']):.2f} A" == row["current"].rpartition("= ")[2], row
            if row["length"]:
                assert same_length(wire, re.findall(r"([\d.]+) m\b", row["length"])[-1]), row
            if wire["protection_a"] and "rating ?" not in row["fuse"] and row["fuse"]:
                kind = wire["protection"].partition(",")[0]
                assert row["fuse"].startswith(f"{kind} {float(wire['protection_a']):g} A at "), row
    for row in table(out, "feeders"):
        for wire in parts_of(out, row["number"]):
            if wire["current_from"].endswith("loads at once"):
                assert row["at_once_a"] == wire["current_a"], row


@pytest.mark.parametrize("book", BOOKS)
def test_books_print_the_schedules_sizes_and_colours(out: Path, book: str) -> None:
    """A size, or a code and a size, that follows a wire's number on a page is that wire's."""
    seen = set()
    for number, code, size in re.findall(
        rf"\b({NUMBER}|{WHOLE})\s+(?:([A-Z]{{2,4}})\s+)?{SIZE}", "\n".join(pages(out, book))
    ):
        for wire in parts_of(out, number):
            assert code in ("", wire["colour_code"]), (book, number, code)
            assert size.split() == wire["size"].split(), (book, number, size)
        seen.add(number)
    assert len(seen) > {"shopping": -1, "reckoning": 60}.get(book, 50)


def test_drawings_print_the_schedules_sizes_and_colours(out: Path) -> None:
    """One-line diagram, earths and wiring views: wire numbers are the schedule's, and so are sizes and colours."""
    seen = Counter()
    for file in sorted((out / "drawings").glob("*.svg")):
        texts = drawn(file)
        for text, after, then in zip(texts, [*texts[1:], ""], [*texts[2:], "", ""], strict=True):
            for number in re.findall(rf"\b{NUMBER}", text):
                assert number in wires(out), (file.name, text)
                seen[file.stem.rpartition("-")[0]] += 1
            alone = re.fullmatch(rf"({NUMBER}|{WHOLE})(?: {SIZE}.*)?", text)
            if alone is None:
                continue
            for wire in parts_of(out, alone.group(1)):
                assert alone.group(2) in (None, wire["size"]), (file.name, text)
                if re.fullmatch(r"[A-Z]{2,4}", after) and "mm²" in then:
                    assert (after, then) == (wire["colour_code"], wire["size"]), (file.name, text, after, then)
    assert min(seen[name] for name in ("one-line", "earth", "wiring-view")) > 20


def test_schedule_on_paper_is_the_schedule(out: Path) -> None:
    """Colour, current, length, size, device and drop of each wire, on the page as in the CSV."""
    text = chapter(out, "electrician", "Wire-run schedule")
    seen = set()
    for block in re.split(rf"^(?={NUMBER}$|{WHOLE}$)", text, flags=re.MULTILINE)[1:]:
        number = block.partition("\n")[0]
        (wire, *_) = parts_of(out, number)
        row = re.search(rf"^([\d.]+|\?) A\n[\d.]+ V(?: AC)?\n([\d.]+|\?)\n{SIZE}", block, re.MULTILINE)
        if row is None:
            continue  # a further core of a cable, or a signal pair
        seen.add(wire["key"])
        amps, metres, size = row.groups()
        assert amps == "?" or amps == f"{float(wire['current_a']):.2f}", number
        assert metres == "?" or same_length(wire, metres), number
        assert size == wire["size"], number
        code = re.search(r"^(?:[a-z-]+) ([A-Z]{2,4})$", block, re.MULTILINE)
        assert code is None or code.group(1) == wire["colour_code"], number
        device = re.search(
            r"^((?:link|blade|cartridge) fuse|breaker|miniature breaker) ([\d.]+) A", block, re.MULTILINE
        )
        if device is not None:
            kind = wire["protection"].partition(",")[0]
            assert device.groups() == (kind, f"{float(wire['protection_a']):g}"), number
        drop = re.search(r"^([\d.]+) V\n", block[row.end() :], re.MULTILINE)
        if drop is not None and wire["run_drop_v"] not in ("", "?"):
            assert drop.group(1) == f"{float(wire['run_drop_v']):.3f}", number
    known = [row for row in wires(out).values() if row["system"] in ("DC", "AC") and row["current_a"] not in ("", "?")]
    assert seen == {row["key"] for row in known}


def test_labels_carry_the_schedules_code_and_size(out: Path) -> None:
    """Each wire has its two labels, each with the colour's code and the size of the schedule."""
    text = chapter(out, "workshop", "Wire labels")
    labels = Counter()
    for number, code, size in re.findall(rf"^({NUMBER})\n([A-Z]{{2,4}}) {SIZE}", text, re.MULTILINE):
        labels[number] += 1
        assert (code, size) == (wires(out)[number]["colour_code"], wires(out)[number]["size"]), number
    assert set(labels.values()) == {2}
    assert len(labels) > 90


def test_test_sheet_and_cut_list_on_paper_have_the_schedules_lengths(out: Path) -> None:
    """The planned length to be measured, and the piece to be cut, are the length of the schedule."""
    text = chapter(out, "electrician", "Test sheet")
    tested = re.findall(rf"^({NUMBER}|{WHOLE})\n(?:[^\n]*\n){{1,7}}?((?: ☐\n)+) ?([\d.]+)$", text, re.MULTILINE)
    for number, _, metres in tested:
        assert all(same_length(wire, metres) for wire in parts_of(out, number)), (number, metres)
    assert len(tested) > 50
    cut = re.findall(
        rf"^ ?\d+\n({NUMBER}|{WHOLE})\n ?([\d.]+)\n", chapter(out, "shopping", "Cut list by reel"), re.MULTILINE
    )
    for number, metres in cut:
        assert all(same_length(wire, metres) for wire in parts_of(out, number)), (number, metres)
    assert len(cut) == len(table(out, "cut-list"))


def test_fill_is_what_the_listed_cables_fill(out: Path) -> None:
    """The number of cables and the share that a wireway's heading says are those of the rows below it."""
    text = "\n".join(line for line in chapter(out, "electrician", "Wireways").splitlines() if line.strip())
    heads = list(re.finditer(r"· (?:conduit, bore ([\d.]+) mm|trunk, ([\d.]+) x ([\d.]+) mm inside) ·(.*)", text))
    checked = sizes = 0
    for head, after in zip(heads, [*heads[1:], None], strict=True):
        said = re.search(r"(\d+) cables?, filled ([\d.]+) %", head.group(4))
        if said is None:
            continue
        body = text[head.end() : after.start() if after else len(text)].partition("· tray")[0].partition("· free")[0]
        for numbers, size in re.findall(
            rf"^ ?\d+(?:–\d+)?\n((?:{NUMBER}|{WHOLE})[^\n]*)\n(?:[^\n]*\n){{1,3}}?{SIZE}\n", body, re.MULTILINE
        ):
            assert {wire["size"] for number in numbers.split() for wire in parts_of(out, number)} <= {size}, numbers
            sizes += 1
        rows = re.findall(r"^ ?(\d+)(?:–(\d+))?\n(?:[^\n]*\n){2,6}? ?([\d.]+)\n", body, re.MULTILINE)
        cables = [(float(od), int(last or first) - int(first) + 1) for first, last, od in rows]
        bore, wide, tall = head.group(1), head.group(2), head.group(3)
        inner = math.pi / 4 * float(bore) ** 2 if bore else float(wide) * float(tall)
        filled = 100 * sum(count * math.pi / 4 * od**2 for od, count in cables) / inner
        if sum(count for _, count in cables) == int(said.group(1)):
            assert filled == pytest.approx(float(said.group(2)), abs=0.06), head.group(0)
            checked += 1
    assert checked >= 8
    assert sizes > 50
