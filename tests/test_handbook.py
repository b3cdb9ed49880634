"""The handbook: its projects are read, its sums are right, its commands exist, and it becomes a site."""

from __future__ import annotations

import contextlib
import io
import re
import shutil
from typing import TYPE_CHECKING

import pytest

from layout.cli.main import app
from layout.handover.documents import DOCUMENTS
from layout.project.reading.read import read
from layout.standards.tables import Practice
from layout.standards.voltage_drop import area_mm2, drop_v
from tests.conftest import FULL, ROOT, needs_program
from tests.handbook_pdf import as_html
from tests.handbook_pictures import DOTS_PER_MM, PICTURES, made
from tests.handbook_walk import Said, walk
from tests.newcomer import faults
from tests.reference_pages import write
from tests.running import Ran, python, spile

if TYPE_CHECKING:
    from pathlib import Path

PAGES = {name: (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")
         for name in ("index", "tutorial", "measuring", "rules_and_wishes", "sizing", "documents", "electrician",
                      "limits", "questions")}  # fmt: skip


@pytest.fixture(scope="session")
def tutorial(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Said]]:
    """Do the tutorial from an empty folder, once: the folder, and what each command said."""
    folder = tmp_path_factory.mktemp("evening")
    with contextlib.chdir(folder):
        return folder, walk(PAGES["tutorial"], folder, spile)


def test_the_evening_ends_with_the_pack(tutorial: tuple[Path, list[Said]]) -> None:
    """Each command of the tutorial does what the page says; the one with the missing load alone ends with a stop."""
    folder, told = tutorial
    assert faults(told) == []
    for name in re.findall(r"`(out/[\w./-]+\w)`", PAGES["tutorial"]):
        assert (folder / name).is_file(), name
    for name in re.findall(r"`(\w+\.pdf)`", PAGES["tutorial"]):
        assert (folder / "out" / name).is_file(), name


def test_the_tutorials_pictures_are_what_its_commands_left(tutorial: tuple[Path, list[Said]]) -> None:
    """A picture is a window of a sheet of the pack, with the boat's own words in it."""
    for name, picture in PICTURES.items():
        if picture.page == "tutorial" and not picture.chapter:
            assert re.search(b"Depth sounder|12 V fuses", made(name, tutorial[0])), name


@needs_program("pdftoppm")
def test_a_page_of_a_book_becomes_a_picture(tutorial: tuple[Path, list[Said]]) -> None:
    """A window of a chapter's first page is as large as it says, and not blank."""
    from PIL import Image

    with Image.open(io.BytesIO(made("documents-isolation.png", tutorial[0]))) as picture:
        assert picture.size == (297 * DOTS_PER_MM, 128 * DOTS_PER_MM)
        assert len(picture.convert("L").getcolors() or ()) > 10


def test_every_trial_of_rules_and_wishes_is_a_project(tmp_path: Path) -> None:
    """Each file of the page reads without an error; in full each is placed, and ends as the page says."""

    def run(*words: str) -> Ran:
        return spile(*words) if FULL or words[0] != "arrange" else spile("check", words[1])

    with contextlib.chdir(tmp_path):
        told = walk(PAGES["rules_and_wishes"], tmp_path, run)
    assert len(told) == 7
    assert [said.command for said in told if said.ran.code] == ["arrange overfull.yaml --effort quick"] * FULL
    assert [(said.command, said.missing) for said in told if FULL and said.missing] == []


def test_every_document_is_explained() -> None:
    """The page on documents has each of them under its own title, and names each book and folder."""
    headings = re.findall(r"^###? (.+)$", PAGES["documents"], flags=re.MULTILINE)
    assert sorted({document.title for document in DOCUMENTS} - set(headings)) == []
    for book in ("electrician", "workshop", "shopping", "reckoning"):
        assert f"`{book}.pdf`" in PAGES["documents"]


def test_pictures_shown_are_pictures_made() -> None:
    """Each picture that a page shows is made by the command, and none is made for nobody."""
    shown = {name for text in PAGES.values() for name in re.findall(r"\]\(pictures/([\w.-]+)\)", text)}
    assert shown == set(PICTURES)


def test_the_measured_panel_is_a_project(tmp_path: Path) -> None:
    """The blocks of the page on measuring, put together, read without an error."""
    blocks = re.findall(r"```yaml\n(.*?)```", PAGES["measuring"], flags=re.DOTALL)
    assert len(blocks) == 2
    file = tmp_path / "panel.yaml"
    file.write_text("".join(blocks), encoding="utf-8")
    reading = read(file)
    assert reading.project is not None, [finding.message for finding in reading.findings]
    assert [finding.message for finding in reading.findings if finding.weight.value == "stop"] == []


def test_the_sum_by_hand_is_the_tools() -> None:
    """Each figure of the page on sizing is what the program works out."""
    allowed = 0.03 * 12
    assert f"{area_mm2(Practice.ISO, current_a=8, round_trip_m=12, allowed_v=allowed):.3f} mm²" in PAGES["sizing"]
    drop = drop_v(Practice.ISO, current_a=8, round_trip_m=12, area_mm2=6)
    assert f"= {drop:.3f} V" in PAGES["sizing"]
    assert f"{100 * drop / 12:.2f} %" in PAGES["sizing"]
    assert f"{area_mm2(Practice.ISO, current_a=8, round_trip_m=12, allowed_v=1.2):.3f} mm²" in PAGES["sizing"]


@pytest.mark.parametrize("name", sorted(PAGES))
def test_commands_exist(name: str) -> None:
    """Each command that a page names is one."""
    there = {command.name or command.callback.__name__ for command in app.registered_commands}
    named = re.findall(r"(?:`|^    )spile (\w+)", PAGES[name], flags=re.MULTILINE)
    assert set(named) <= there


@pytest.fixture(scope="session")
def docs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the handbook's pages with their reference; pictures are empty files."""
    folder = tmp_path_factory.mktemp("handbook") / "docs"
    shutil.copytree(ROOT / "docs", folder, ignore=shutil.ignore_patterns("reference", "pictures"))
    write(folder / "reference")
    (folder / "pictures").mkdir()
    for picture in PICTURES:
        (folder / "pictures" / picture).touch()
    return folder


def test_the_site_is_built_and_no_link_is_dead(docs: Path) -> None:
    """MkDocs in its strict mode finds nothing; pages ask no other host for anything they load."""
    shutil.copy(ROOT / "mkdocs.yml", docs.parent)
    site = docs.parent / "site"
    ran = python("-m", "mkdocs", "build", "--strict", "-q", "-f", docs.parent / "mkdocs.yml", "-d", site)
    assert ran.code == 0, ran.err
    for name in ("index", "sizing", "reference/keys", "reference/findings/fuse-8"):
        text = (site / f"{name}.html").read_text(encoding="utf-8")
        assert re.findall(r'(?:src|<link[^>]*stylesheet[^>]*href)="(?:https?:)?//', text) == []


def test_the_one_pdf_holds_every_page(docs: Path) -> None:
    """All pages are chapters of one, each link leads to one of them, and each picture is there."""
    html = as_html(docs)
    anchors = re.findall(r'<section class="\w+" id="([\w-]+)"', html)
    assert len(anchors) == len(set(anchors)) == len(list(docs.rglob("*.md")))
    assert set(re.findall(r'href="#(page-[\w-]+)"', html)) <= set(anchors)
    assert [name for name in re.findall(r'<img[^>]*src="([^"]+)"', html) if not (docs / name).is_file()] == []
    left = {name for name in re.findall(r'href="([^"#]+)"', html) if not name.startswith("http")}
    assert left == set()
