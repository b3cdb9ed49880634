"""Chapters of the pack for instrument network and energy: whole, in files, and stamped where something is wrong."""

from __future__ import annotations

import csv
from io import BytesIO, StringIO

import pypdf
import pytest

from layout.drawing.elements.scene import Group, Text, leaves
from layout.energy import energy_balance
from layout.handover.books.chapters import chapters
from layout.handover.books.electricians_pack import chapter_pdf
from layout.handover.files.csv_file import csv_bytes
from layout.network.networks import plan_networks
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from tests.conftest import ROOT

EXAMPLES = ROOT / "examples" / "launch"


@pytest.fixture(scope="module", params=["launch.yaml", "wrong_network.yaml"])
def made(request):
    """Return a launch example with its chapters and networks."""
    project = read(EXAMPLES / request.param).project
    placed = {
        id_: Placed(device=id_, panel=device.panel[0], x=300.0, y=200.0)
        for id_, device in project.devices.items()
        if device.panel
    }
    networks = plan_networks(project, Arrangement(placed=placed))
    return project, chapters(project, networks, energy_balance(project)), networks


def test_both_chapters(made):
    """The launch has a chapter for its network and one for its energy, each with tables of different names."""
    _, found, _ = made
    assert [chapter.name for chapter in found] == ["network", "energy"]
    for chapter in found:
        names = [table.name for table in chapter.tables]
        assert names
        assert len(set(names)) == len(names)


def test_wrong_network_is_stamped(made):
    """Sheets of a bus with an error are overprinted NOT FOR WIRING; those of a sound one are not."""
    _, (network, _), networks = made
    wrong = any(finding.weight.value == "stop" for finding in networks.findings)
    assert network.faulty is wrong
    for scene in network.sheets:
        assert any(isinstance(item, Group) and item.name == "overprint" for item in scene.items) is wrong


def test_tables_survive_csv(made):
    """Each table reads back from CSV with as many rows, and the voltages as numbers."""
    _, found, networks = made
    for chapter in found:
        for table in chapter.tables:
            rows = list(csv.DictReader(StringIO(csv_bytes(table).decode("utf-8"))))
            assert len(rows) == len(table.rows)
    table = next(t for t in found[0].tables if t.name.endswith("voltage"))
    rows = list(csv.DictReader(StringIO(csv_bytes(table).decode("utf-8"))))
    volts = {row.node: row.voltage_v for row in networks.buses[0].voltages}
    names = {device.name: id_ for id_, device in networks.buses[0].assembly.devices.items()}
    for row in rows:
        assert float(row["voltage_v"]) == pytest.approx(volts[names[row["device"]]])


def test_documents_open(made):
    """Each chapter is a PDF that another library reads, with every table's title in it."""
    project, found, _ = made
    for chapter in found:
        text = "".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(chapter_pdf(project, chapter))).pages)
        flat = " ".join(text.split())
        for table in chapter.tables:
            assert table.title in flat


def test_sheets_say_what_they_are(made):
    """Each sheet of the network carries the bus's name and the cautions."""
    _, (network, _), networks = made
    assert len(network.sheets) == 2 * len(networks.buses)
    for scene in network.sheets:
        words = " ".join(item.content for item in leaves(scene.items) if isinstance(item, Text))
        assert networks.buses[0].name in words
        assert "Isolate every supply" in words
