"""Zones drawn on the page, lists beside the panels, and two sides compared."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from starlette.testclient import TestClient

from layout.bench.server import bench_app
from layout.bench.workbench import Workbench
from layout.project.reading.read import read
from tests.bench.test_server import HOST, SPOTS, WALL, do
from tests.conftest import ROOT

if TYPE_CHECKING:
    from pathlib import Path

ENERGY = """
energy:
  banks: {battery: {usable: 50 %, autonomy: 15 h}}
  situations:
    a day: {uses: {radio: {hours: 2 h}}}
"""

ZONE: dict[str, Any] = {
    "do": "zone", "kind": "no_go", "panel": "wall", "x0": 20, "y0": 280, "x1": 120, "y1": 250, "name": "Batten",
    "layer": "rear",
}  # fmt: skip


def test_a_zone_is_written_and_taken_out(client: TestClient, wall: Path) -> None:
    """Pulled from any corner; the file says it, the picture has it, and without it the file is as it was."""
    (panel,) = do(client, **ZONE)["panels"]
    assert [zone["key"] for zone in panel["no_go"]] == ["panels.wall.no_go.batten"]
    project = read(wall).project
    assert project is not None
    zone = project.panels["wall"].no_go["batten"]
    assert (zone.shape.rect, zone.shape.at, zone.layer) == ((100.0, 30.0), (70.0, 265.0), ("rear",))
    assert "# keep this remark" in wall.read_text(encoding="utf-8")
    assert do(client, do="remove zone", key="panels.wall.no_go.batten")["panels"][0]["no_go"] == []
    do(client, do="undo")
    do(client, do="undo")
    assert wall.read_text(encoding="utf-8") == WALL


def test_reserved_room_stops_what_stands_in_it(client: TestClient) -> None:
    """Room drawn over the lamp is a finding at once; beside it there is none."""
    x, y = SPOTS["lamp"]
    over = {**ZONE, "kind": "reserved", "x0": x - 30, "x1": x + 30, "y0": y - 30, "y1": y + 30, "name": ""}
    assert any("Lamp" in one["message"] for one in do(client, **over)["findings"] if one["severity"] == "stop")
    do(client, do="undo")
    beside = {**over, "x0": 240, "x1": 290, "y0": 20, "y1": 60}
    assert not any(one["severity"] == "stop" for one in do(client, **beside)["findings"])


@pytest.mark.parametrize(
    "asked",
    [{**ZONE, "x1": 20}, {**ZONE, "panel": "ceiling"}, {**ZONE, "kind": "outline"}, {**ZONE, "layer": "attic"},
     {**ZONE, "name": "x" * 400}, {"do": "remove zone", "key": "panels.wall.no_go.ghost"},
     {"do": "remove zone", "key": "devices.lamp"}, {"do": "add", "device": "lamp"}],
)  # fmt: skip
def test_what_is_no_zone_is_refused(client: TestClient, wall: Path, asked: dict[str, Any]) -> None:
    """No width, no such panel, kind or layer; a key that is no zone's is never taken out."""
    assert "refused" in do(client, **asked)
    assert wall.read_text(encoding="utf-8") == WALL


def test_lists_and_sides(tmp_path: Path) -> None:
    """Energy as the books list it; a practice beside the other; an unknown name of either is refused."""
    file = tmp_path / "wall.yaml"
    text = (ROOT / "examples" / "workshop_wall.yaml").read_text(encoding="utf-8")
    file.write_text(text + ENERGY, encoding="utf-8")
    bench = Workbench(file)
    with TestClient(bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as client:
        tables = client.get("api/pane/energy").json()["tables"]
        assert tables
        assert all(len(row) == len(table["columns"]) for table in tables for row in table["rows"])
        assert "refused" in client.get("api/pane/secrets").json()
        assert [one["name"] for one in client.get("api/sides").json()["sides"]] == ["now", "iso", "abyc"]
        told = client.post("api/compare", json={"first": "iso", "second": "abyc"}).json()
        assert {"changes", "labels_to_print_again", "pictures"} <= set(told)
        assert client.post("api/compare", json={"first": "iso", "second": "iso"}).json()["changes"] == []
        assert "no side" in client.post("api/compare", json={"first": "iso", "second": "ghost"}).json()["refused"]
        assert client.post("api/compare", json=["iso"]).status_code == 409
    bench.close()
