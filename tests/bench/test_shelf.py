"""Devices from the shelf: drawn by their size, taken from the catalogue, and put where the engine says they fit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from layout.bench.shelf import new_id
from layout.project.reading.read import read
from tests.bench.test_server import SPOTS, WALL, chosen, do

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.testclient import TestClient

DRAWN = {
    "name": "Wind display", "panel": "wall", "face.rect": ["60", "40"], "cutout.rect": ["50", "30"],
    "behind.depth": "30", "plug_room.depth": "20", "size_from": "measured",
}  # fmt: skip


def test_the_form_is_the_model_s(client: TestClient) -> None:
    """Its choices and units are those that the reader takes."""
    told = client.get("api/shelf").json()
    by_key = {field["key"]: field for field in told["drawn"]}
    assert by_key["face.rect"]["parts"] == ["width", "height"]
    assert by_key["behind.depth"]["expected"] == "a length like 12 mm or 1/2 in"
    assert by_key["size_from"]["choices"] == ["maker", "measured", "traced", "guessed", "catalogue"]
    assert "gauge-52" in {entry["type"] for entry in told["catalogue"]}


def test_a_drawn_device_is_written_placed_and_taken_back(client: TestClient, wall: Path) -> None:
    """It is a line more in the file; it waits, fits where it is said to, and one by one all is undone."""
    told = do(client, do="add", device=DRAWN)
    assert told["waiting"] == [{"id": "wind_display", "name": "Wind display", "turn": 0}]
    text = wall.read_text(encoding="utf-8")
    assert "# keep this remark" in text
    assert len(text.splitlines()) == len(WALL.splitlines()) + 1
    project = read(wall).project
    assert project is not None
    device = project.devices["wind_display"]
    assert (device.face.rect, device.behind[0].depth) == ((60.0, 40.0), 30.0)  # type: ignore[union-attr]
    places = client.get("api/places/wind_display").json()["places"]
    assert places
    at = places[0]
    told = do(client, do="stand", device="wind_display", panel=at["panel"], x=at["x"], y=at["y"], turn=at["turn"])
    assert told["kept"]
    assert told["waiting"] == []
    assert chosen(wall, "wind_display") == (at["x"], at["y"])
    do(client, do="undo")
    do(client, do="undo")
    assert wall.read_text(encoding="utf-8") == WALL


def test_free_places_hold_all_rules(client: TestClient, wall: Path) -> None:
    """Every place on offer is one that the judge has nothing against; a place in another's face is not on offer."""
    told = client.get("api/places/lamp").json()
    assert told["places"]
    for at in told["places"]:
        assert client.post("api/look", json={"device": "lamp", "x": at["x"], "y": at["y"]}).json()["findings"] == []
        assert "M" in at["area"]
    near = [at for at in told["places"] if abs(at["x"] - 200) < 40 and abs(at["y"] - 150) < 30]
    assert near == []
    assert chosen(wall, "lamp") == SPOTS["lamp"]
    assert "is for a panel" in client.get("api/places/ghost").json()["refused"]


def test_from_the_catalogue(client: TestClient) -> None:
    """Its type gives its sizes; what the standard leaves open is a finding, not a guess."""
    told = do(client, do="add", device={"type": "gauge-52", "name": "Oil pressure", "panel": "wall"})
    assert [one["id"] for one in told["waiting"]] == ["oil_pressure"]


@pytest.mark.parametrize(
    "said",
    [
        {**DRAWN, "face.rect": ["60", ""]},
        {**DRAWN, "behind.depth": "deep"},
        {**DRAWN, "panel": "ceiling"},
        {**DRAWN, "name": ""},
        {**DRAWN, "pin": "5"},
    ],
)
def test_what_is_no_device_is_refused(client: TestClient, wall: Path, said: dict[str, Any]) -> None:
    """A size missing, a word for a figure, no such panel, no name, a key that is not asked: the file stays."""
    assert "refused" in do(client, do="add", device=said)
    assert wall.read_text(encoding="utf-8") == WALL


def test_standing_elsewhere_is_bounded(client: TestClient) -> None:
    """No panel of that name, a turn that the device is not made for."""
    assert "refused" in do(client, do="stand", device="lamp", panel="ceiling", x=1, y=1, turn=0)
    assert "not to be turned" in do(client, do="stand", device="lamp", panel="wall", x=330, y=150, turn=90)["refused"]


@pytest.mark.parametrize(
    ("name", "made"),
    [("Wind display", "wind_display"), ("12 V lamp", "n12_v_lamp"), ("Ölstand", "olstand"), ("?", "entry")],
)
def test_ids_are_made_of_names(name: str, made: str) -> None:
    """In letters that every file takes, and never one that is there."""
    assert new_id(name, ()) == made
    assert new_id(name, (made,)) == f"{made}_2"
