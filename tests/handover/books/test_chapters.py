"""Network and energy in the books: whole, in files, and stamped where something is wrong."""

from __future__ import annotations

import csv
from io import StringIO

import pytest

from layout.drawing.elements.scene import Group, Text, scene_leaves
from layout.energy import energy_balance
from layout.handover.books.book import book_pdf
from layout.handover.documents import BOOKS, DOCUMENTS
from layout.handover.files.csv_file import csv_bytes
from layout.handover.plan import Plan
from layout.network.networks import plan_networks
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.reading.read import read
from tests.conftest import ROOT
from tests.handover.pages import everything

EXAMPLES = ROOT / "examples" / "launch"
NETWORK, ENERGY, FIGURES = (
    next(one for one in DOCUMENTS if one.name == name) for name in ("network", "energy", "network-figures")
)


@pytest.fixture(scope="module", params=["launch.yaml", "wrong_network.yaml"])
def plan(request, wiring):
    """Return a launch example with its networks and energy, and no wires."""
    project = read(EXAMPLES / request.param).project
    placed = {
        id_: Placed(device=id_, panel=device.panel[0], x=300.0, y=200.0)
        for id_, device in project.devices.items()
        if device.panel
    }
    networks = plan_networks(project, Arrangement(placed=placed))
    bare = type(wiring)(
        practice="iso", runs=(), feeders=(), wireways=(), ways=(), studs=(), cut_list=wiring.cut_list, numbers={},
        findings=(),
    )  # fmt: skip
    return Plan(project=project, wiring=bare, networks=networks, energy=energy_balance(project))


def test_both_have_tables_of_different_names(plan):
    """The launch has lists of its network and of its energy, each with a name of its own."""
    for document in (NETWORK, ENERGY, FIGURES):
        names = [table.name for table in document.tables_of(plan)]
        assert names
        assert len(set(names)) == len(names)


def test_wrong_network_is_stamped(plan):
    """Sheets of a bus with an error are overprinted NOT FOR WIRING; those of a sound one are not."""
    wrong = any(finding.weight.value == "stop" for finding in plan.networks.findings)
    for scene in NETWORK.sheets_of(plan):
        assert any(isinstance(item, Group) and item.name == "overprint" for item in scene.items) is wrong


def test_tables_survive_csv(plan):
    """Each table reads back from CSV with as many rows, and the voltages as numbers."""
    tables = [table for one in (NETWORK, ENERGY, FIGURES) for table in one.tables_of(plan)]
    for table in tables:
        rows = list(csv.DictReader(StringIO(csv_bytes(table).decode("utf-8"))))
        assert len(rows) == len(table.rows)
    table = next(t for t in tables if t.name.endswith("voltage"))
    rows = list(csv.DictReader(StringIO(csv_bytes(table).decode("utf-8"))))
    volts = {row.node: row.voltage_v for row in plan.networks.buses[0].voltages}
    names = {device.name: id_ for id_, device in plan.networks.buses[0].assembly.devices.items()}
    for row in rows:
        assert float(row["voltage_v"]) == pytest.approx(volts[names[row["device"]]])


def test_books_show_every_table(plan):
    """Another library reads every list's title in the book it belongs to."""
    for document in (NETWORK, ENERGY, FIGURES):
        book = next(book for book in BOOKS if book.name == document.book)
        words = everything(book_pdf(plan, book, [document]))
        for table in document.tables_of(plan):
            assert table.title in words


def test_sheets_say_what_they_are(plan):
    """Each sheet of the network carries the bus's name and the cautions."""
    sheets = NETWORK.sheets_of(plan)
    assert len(sheets) == len(plan.networks.buses)
    for scene in sheets:
        words = " ".join(item.content for item in scene_leaves(scene.items) if isinstance(item, Text))
        assert plan.networks.buses[0].name in words
        assert "Isolate every supply" in words
