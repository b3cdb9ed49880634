"""Writing the documents: whole, the same each time, stable names; and the pack that holds them."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader

from layout.drawing.elements.scene import Scene, Text
from layout.findings import Finding
from layout.handover.books.electricians_pack import chapter_pdf, pack_pdf
from layout.handover.files.documents import write_documents
from layout.handover.files.makers import DOCUMENTS
from layout.handover.handed import Chapter, Work
from layout.handover.lists.table import Column, Table
from layout.handover.paper.diagram_sheets import block_scenes, chosen_of, legend_scenes, one_line_sheet
from layout.project.model.device import Device, Terminal
from tests.handover.pages import everything, fonts, outline, outside, overprinted, texts

NAMES = [name for name in DOCUMENTS if name not in ("drawing", "template", "machine")]
"""Documents that need no panel geometry, which this boat has too little of."""


@pytest.fixture(scope="module")
def work(project, wiring) -> Work:
    """Return what the small boat's documents are made from."""
    return Work(project=project, wiring=wiring)


@pytest.fixture(scope="module")
def packed(work) -> bytes:
    """Return its pack."""
    return pack_pdf(work)


def test_documents_are_written_whole_and_under_stable_names(work, tmp_path):
    """Every document is there, no half-written file is left, other files stay."""
    (tmp_path / "mine.txt").write_text("mine")
    written = write_documents(work, tmp_path, only=NAMES)
    names = [path.name for path in written]
    for expected in (
        "one-line.pdf", "schedule.pdf", "schedule.csv", "schedule.xlsx", "wireways.pdf", "terminal-blocks.pdf",
        "legends.pdf", "cut-list.csv", "parts.csv", "label-list.csv", "labels.pdf", "tests.pdf", "tests.csv",
        "sizing.pdf", "still-to-find-out.pdf", "electricians-pack.pdf",
    ):  # fmt: skip
        assert expected in names, expected
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*names, "mine.txt"])
    assert (tmp_path / "mine.txt").read_text() == "mine"


def test_documents_have_the_same_bytes_each_time(work, tmp_path):
    """Same input, same bytes, for every file."""
    first = {path.name: path.read_bytes() for path in write_documents(work, tmp_path / "a", only=NAMES)}
    second = {path.name: path.read_bytes() for path in write_documents(work, tmp_path / "b", only=NAMES)}
    assert first == second


def test_only_what_is_asked_for_is_written(work, tmp_path):
    """``only`` makes those documents and no other."""
    assert [path.name for path in write_documents(work, tmp_path, only=["parts"])] == ["parts.pdf", "parts.csv"]


def test_an_unknown_document_is_refused(work, tmp_path):
    """The message names the documents there are, and nothing is written."""
    with pytest.raises(ValueError, match="no document 'poster'"):
        write_documents(work, tmp_path / "out", only=["parts", "poster"])
    assert not (tmp_path / "out").exists()


def test_a_failure_leaves_the_old_files(work, tmp_path):
    """A text that can't be printed stops everything before the first file is replaced."""
    write_documents(work, tmp_path, only=["parts", "one-line"])
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    bad = replace(work.project.supplies["house"], name="bank \U0001f50b")
    broken = replace(work, project=replace(work.project, supplies={"house": bad}))
    with pytest.raises(ValueError, match="font lacks"):
        write_documents(broken, tmp_path, only=["parts", "one-line"])
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_without_wiring_what_is_known_is_still_handed_over(project, tmp_path):
    """Parts, one-line diagram and the open questions come even while nothing is wired."""
    names = [path.name for path in write_documents(Work(project=project), tmp_path, only=NAMES)]
    assert "still-to-find-out.pdf" in names
    assert "one-line.pdf" in names
    assert "schedule.pdf" not in names


def test_the_pack_lists_its_chapters_with_their_pages(packed):
    """Contents and bookmarks agree, and each chapter's title stands on its page."""
    pages = texts(packed)
    marks = outline(packed)
    contents = " ".join(pages[0].split())
    for title in ("Cautions", "Wire-run schedule", "Cut list by reel", "Test sheet", "Still to find out", "Parts list"):
        (page,) = [number for name, number in marks if name == title]
        assert f"{title} {page}" in contents
        assert title in pages[page - 1] or "Before the test" in pages[page - 1]


def test_the_pack_holds_everything_an_electrician_needs(packed, wiring):
    """Cautions, all wire numbers, wireways, blocks, legends, cut list, labels, test sheet and arithmetic."""
    words = everything(packed)
    assert all(wire.number in words for run in wiring.runs for wire in run.wires)
    for expected in (
        "Isolate every supply", "Main conduit", "Negative bar", "12 V distribution", "Cut list by reel", "Label list",
        "Unplug before the insulation test", "How each size was found", "First issue",
    ):  # fmt: skip
        assert expected in words, expected


def test_no_letter_of_the_pack_leaves_its_page_and_all_fonts_are_shipped(packed):
    """Nothing is clipped at an edge, and only the shipped font is used."""
    assert outside(packed) == []
    assert all("DejaVu" in name or "SpileSans" in name for name in fonts(packed))


def test_the_pack_says_that_data_are_invented(packed):
    """Every flowing page of an invented project says so."""
    pages = [page for page in texts(packed) if "Isolate all supplies first." in page]
    assert pages
    assert all("Invented data" in page for page in pages)


def test_errors_are_counted_on_the_cover_and_mark_their_pages(work, faulty):
    """The cover says that it is not ready; pages with the error are overprinted, the cover is not."""
    raw = pack_pdf(replace(work, wiring=faulty))
    assert "Not ready: 2 errors." in texts(raw)[0]
    marked = overprinted(raw)
    assert marked
    assert 1 not in marked
    assert "No errors were found." in texts(pack_pdf(work))[0]


SHOWS_WIRES = (
    "schedule",
    "wireways",
    "terminal-blocks",
    "cut-list",
    "label-list",
    "labels",
    "tests",
    "sizing",
    "parts",
)


@pytest.mark.parametrize("name", SHOWS_WIRES)
def test_every_document_that_shows_a_wire_with_an_error_is_overprinted(work, faulty, tmp_path, name):
    """NOT FOR WIRING stands over each of them, and over none where there is no error."""
    (bad,) = [
        path for path in write_documents(replace(work, wiring=faulty), tmp_path, only=[name]) if path.suffix == ".pdf"
    ]
    assert overprinted(bad.read_bytes()), name
    (good,) = [path for path in write_documents(work, tmp_path, only=[name]) if path.suffix == ".pdf"]
    assert overprinted(good.read_bytes()) == [], name


def test_a_fault_of_a_panel_s_ways_marks_its_legend(project, wiring, tmp_path):
    """A legend of a distribution panel that an error names is overprinted."""
    found = (Finding(rule="paper 1", message="x", subjects=("distribution.dc",)),)
    (path,) = write_documents(Work(project=project, wiring=wiring, findings=found), tmp_path, only=["legends"])
    assert overprinted(path.read_bytes()) == [1]


def test_chapters_of_other_parts_go_into_the_pack(work, project):
    """A chapter's sheet fills a page of its own size; its table and picture flow; it has a bookmark."""
    sheet = Scene(width_mm=420, height_mm=297, items=(Text((50, 50), "network sheet", 5.0),), title="net")
    table = Table(name="volts", title="Voltages", columns=(Column(key="v", title="Volts"),), rows=({"v": 11.5},))
    chapter = Chapter(name="network", title="Instrument bus", sheets=(sheet,), tables=(table,))
    raw = pack_pdf(replace(work, chapters=(chapter,)))
    assert "network sheet" in everything(raw)
    assert "11.50" in everything(raw)
    sizes = {round(float(page.mediabox.width) / 72 * 25.4) for page in PdfReader(BytesIO(raw)).pages}
    assert 420 in sizes
    assert "Instrument bus" in [title for title, _ in outline(raw)]
    own = everything(chapter_pdf(project, chapter))
    assert "network sheet" in own
    assert "Voltages" in own


def test_the_one_line_sheet_shows_what_wiring_settled(project, wiring):
    """Cross-sections stand on feeders and wire numbers on ways."""
    chosen = chosen_of(wiring)
    assert chosen.ratings["ways.dc/1"] == 10.0
    assert chosen.notes["ways.dc/1"] == "002"
    assert chosen.notes["feeders.feed"].startswith("001a ")
    scene = one_line_sheet(project, wiring)
    assert (scene.width_mm, scene.height_mm) in [(420, 297), (594, 420)]


def test_an_overprint_can_be_asked_for(project, wiring):
    """A faulty one-line diagram carries the words over everything."""
    plain, marked = one_line_sheet(project, wiring), one_line_sheet(project, wiring, faulty=True)
    assert len(marked.items) == len(plain.items) + 1


def test_blocks_show_each_stud_with_its_wires(project, wiring):
    """The negative bar's two used studs and the free one are drawn, each wire with where it goes."""
    (scene,) = block_scenes(project, wiring)
    assert scene.title == "Negative bar"


def test_legends_take_their_pitch_from_the_panel_s_terminals(project, wiring):
    """Where the ways' terminals stand in a row their distance is the pitch; else a module, and that is said."""
    (plain,) = legend_scenes(project, wiring)
    assert "18 mm a way: measure your panel" in plain.title
    panel = replace(project.distribution["dc"], device="face")
    terminals = {way: Terminal(id=way, at=(20.0 * n, 0.0)) for n, way in enumerate(panel.ways)}
    face = Device(id="face", place="dash", terminals=terminals)
    boat = replace(project, distribution={"dc": panel}, devices={**project.devices, "face": face})
    (scene,) = legend_scenes(boat, wiring)
    assert "measure" not in scene.title
    assert scene.width_mm == pytest.approx(3 * 20.0 + 8)
