"""Books, lists and files: whole, the same each time, stable names, nothing about what is not there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.findings import Finding
from layout.handover.books.book import book_pdf
from layout.handover.documents import BOOKS, DOCUMENT_NAMES, DOCUMENTS
from layout.handover.files.documents import write_documents
from layout.handover.paper.diagram_sheets import block_scenes, chosen_of, legend_scenes, one_line_sheets
from layout.handover.plan import Plan
from layout.project.model.device import Device, Terminal
from tests.handover.pages import everything, fonts, outline, outside, overprinted, texts

NO_GEOMETRY = ("drawing", "template", "machine", "mock-up")
"""Documents that this boat has too little of a panel for."""


def bare(plan: Plan) -> Plan:
    """Return the same plan before anything was wired."""
    wiring = replace(
        plan.wiring, runs=(), protectors=(), feeders=(), wireways=(), ways=(), studs=(), findings=(),
        cut_list=replace(plan.wiring.cut_list, reels=()),
    )  # fmt: skip
    return replace(plan, wiring=wiring)


def book(plan: Plan, name: str, *, only: tuple[str, ...] = ()) -> bytes:
    """Return a book, or only some of its chapters."""
    (one,) = [one for one in BOOKS if one.name == name]
    chapters = [d for d in DOCUMENTS if d.book == name and (not only or d.name in only)]
    return book_pdf(plan, one, chapters)


@pytest.fixture(scope="module")
def plan(project, wiring) -> Plan:
    """Return what the small boat's documents are made from."""
    return Plan(project=project, wiring=wiring)


@pytest.fixture(scope="module")
def electrician(plan) -> bytes:
    """Return its electrician's book."""
    return book(plan, "electrician")


@pytest.fixture(scope="module")
def written(plan, tmp_path_factory):
    """Return folder and paths of all documents, written once beside a file of the user's."""
    folder = tmp_path_factory.mktemp("out")
    (folder / "mine.txt").write_text("mine")
    return folder, write_documents(plan, folder).files


def test_documents_are_written_whole_and_under_stable_names(written):
    """Four books to open, folders for the rest; no half-written file is left, other files stay."""
    folder, paths = written
    names = [path.relative_to(folder).as_posix() for path in paths]
    assert sorted(name for name in names if "/" not in name) == [
        "electrician.pdf", "reckoning.pdf", "shopping.pdf", "workshop.pdf"
    ]  # fmt: skip
    for expected in (
        "csv/schedule.csv", "csv/cut-list.csv", "csv/parts.csv", "csv/ends.csv", "csv/tests.csv", "csv/lists.xlsx",
        "csv/still-to-find-out.csv", "drawings/one-line-1.svg", "templates/labels.pdf",
    ):  # fmt: skip
        assert expected in names, expected
    assert {name.split("/")[0] for name in names if "/" in name} <= {"csv", "drawings", "templates", "machine"}
    there = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    assert there == sorted([*names, "contents.json", "mine.txt"])
    assert (folder / "mine.txt").read_text() == "mine"


def test_documents_have_the_same_bytes_each_time(project, wiring, written, tmp_path):
    """Same input, same bytes, for every file."""
    folder, paths = written
    first = {path.relative_to(folder): path.read_bytes() for path in paths}
    again = write_documents(Plan(project=project, wiring=wiring), tmp_path).files
    assert {path.relative_to(tmp_path): path.read_bytes() for path in again} == first


def test_only_what_is_asked_for_is_written(plan, tmp_path):
    """``only`` makes those documents and no other."""
    assert [path.name for path in write_documents(plan, tmp_path, only=["parts"]).files] == ["parts.csv"]


def test_an_unknown_document_is_refused(plan, tmp_path):
    """The message names the documents there are, and nothing is written."""
    with pytest.raises(ValueError, match="no document 'poster'"):
        write_documents(plan, tmp_path / "out", only=["parts", "poster"])
    assert not (tmp_path / "out").exists()


def test_names_are_different():
    """Books, documents and the workbook can each be asked for by a name of their own."""
    assert len(set(DOCUMENT_NAMES)) == len(DOCUMENT_NAMES)


def test_a_failure_leaves_the_old_files(plan, tmp_path):
    """A text that can't be printed stops everything before the first file is replaced."""
    wanted = ["parts", "one-line", "shopping"]
    write_documents(plan, tmp_path, only=wanted)
    before = {path.name: path.read_bytes() for path in tmp_path.rglob("*.*")}
    bad = replace(plan.project.supplies["house"], name="bank \U0001f50b")
    broken = replace(plan, project=replace(plan.project, supplies={"house": bad}))
    with pytest.raises(ValueError, match="font lacks"):
        write_documents(broken, tmp_path, only=wanted)
    assert {path.name: path.read_bytes() for path in tmp_path.rglob("*.*")} == before


def test_without_wiring_what_is_known_is_still_handed_over(plan, tmp_path):
    """Parts, one-line diagram and the open questions come even while nothing is wired; nothing is said of wires."""
    names = {path.name for path in write_documents(bare(plan), tmp_path).files}
    assert {"still-to-find-out.csv", "one-line-1.svg", "parts.csv", "electrician.pdf"} <= names
    assert not names & {"schedule.csv", "labels.pdf", "cut-list.csv"}
    marks = [title for title, _ in outline((tmp_path / "electrician.pdf").read_bytes())]
    assert "Wire-run schedule" not in marks
    assert "Test sheet" not in marks


def test_a_book_lists_its_chapters_with_their_pages(electrician):
    """Contents and bookmarks agree, and each chapter's title stands on its page."""
    pages = texts(electrician)
    marks = outline(electrician)
    contents = " ".join(pages[0].split())
    for title in ("Cautions", "Wire-run schedule", "Terminals, ends and labels", "Test sheet", "Still to find out"):
        (page,) = [number for name, number in marks if name == title]
        assert f"{title} {page}" in contents
        assert title in pages[page - 1]


def test_the_electrician_s_book_holds_what_an_electrician_needs(electrician, wiring):
    """Cautions, all wire numbers, wireways, blocks, and the test sheet."""
    words = everything(electrician)
    assert all(wire.number in words for run in wiring.runs for wire in run.wires)
    for expected in (
        "Isolate every supply", "Main conduit", "Negative bar", "12 V distribution",
        "Unplug before the insulation test",
    ):  # fmt: skip
        assert expected in words, expected


@pytest.mark.parametrize("name", ["electrician", "workshop", "shopping", "reckoning"])
def test_no_letter_leaves_its_page_and_all_fonts_are_shipped(written, name):
    """Nothing is clipped at an edge, and only the shipped font is used."""
    raw = (written[0] / f"{name}.pdf").read_bytes()
    assert outside(raw) == []
    assert all("DejaVu" in font or "SpileSans" in font for font in fonts(raw))


@pytest.mark.parametrize("name", ["electrician", "workshop", "shopping", "reckoning"])
def test_every_page_says_that_data_are_invented(written, name):
    """Every page of a book of an invented project says so, full sheets too."""
    pages = texts((written[0] / f"{name}.pdf").read_bytes())
    assert pages
    assert [number for number, page in enumerate(pages, start=1) if "Invented data" not in page] == []


def test_errors_are_counted_on_the_cover_and_mark_their_pages(plan, faulty):
    """The cover says that it is not ready; pages with the error are overprinted, the cover is not."""
    raw = book(replace(plan, wiring=faulty), "electrician")
    assert "Not ready: 2 stop." in texts(raw)[0]
    marked = overprinted(raw)
    assert marked
    assert 1 not in marked
    assert "Nothing was found that stops the work." in texts(book(plan, "electrician"))[0]


SHOWS_WIRES = {
    "schedule": "electrician", "wireways": "electrician", "ends": "electrician", "tests": "electrician",
    "labels": "workshop", "parts": "shopping", "cut-list": "shopping", "sizing": "reckoning",
}  # fmt: skip


@pytest.mark.parametrize("name", SHOWS_WIRES)
def test_every_chapter_that_shows_a_wire_with_an_error_is_overprinted(plan, faulty, name):
    """NOT FOR WIRING stands over each of them, and over none where there is no error."""
    assert overprinted(book(replace(plan, wiring=faulty), SHOWS_WIRES[name], only=(name,))), name
    assert overprinted(book(plan, SHOWS_WIRES[name], only=(name,))) == [], name


def test_a_fault_of_a_panel_s_ways_marks_its_legend(plan):
    """A legend of a distribution panel that an error names is overprinted."""
    found = (Finding(rule="paper 1", message="x", subjects=("breaker_panels.dc",)),)
    assert overprinted(book(replace(plan, findings=found), "workshop", only=("legends",))) == [2]


def test_the_one_line_sheet_shows_what_wiring_settled(project, wiring):
    """Cross-sections stand on feeders and wire numbers on ways."""
    chosen = chosen_of(wiring)
    assert chosen.ratings["ways.dc/1"] == 10.0
    assert chosen.notes["ways.dc/1"] == "002"
    assert chosen.notes["feeders.feed"].startswith("001a ")
    (scene,) = one_line_sheets(project, wiring)
    assert (scene.width_mm, scene.height_mm) in [(420, 297), (594, 420)]


def test_an_overprint_can_be_asked_for(project, wiring):
    """A faulty one-line diagram carries the words over everything."""
    (plain,), (marked,) = one_line_sheets(project, wiring), one_line_sheets(project, wiring, faulty=True)
    assert len(marked.items) == len(plain.items) + 1


def test_blocks_show_each_stud_with_its_wires(project, wiring):
    """The negative bar's two used studs and the free one are drawn, each wire with where it goes."""
    (scene,) = block_scenes(project, wiring)
    assert scene.title == "Negative bar"


def test_legends_take_their_pitch_from_the_panel_s_terminals(project, wiring):
    """Where the ways' terminals stand in a row their distance is the pitch; else a module, and that is said."""
    (plain,) = legend_scenes(project, wiring)
    assert "18 mm a way: measure your panel" in plain.title
    panel = replace(project.breaker_panels["dc"], device="face")
    terminals = {way: Terminal(id=way, at=(20.0 * n, 0.0)) for n, way in enumerate(panel.ways)}
    face = Device(id="face", location="dash", terminals=terminals)
    boat = replace(project, breaker_panels={"dc": panel}, devices={**project.devices, "face": face})
    (scene,) = legend_scenes(boat, wiring)
    assert "measure" not in scene.title
    assert scene.width_mm == pytest.approx(3 * 20.0 + 8)
