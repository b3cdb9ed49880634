"""Loads and fuses changed in the table of wires go into the file that says them."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, Any

import pytest

from tests.bench.test_server import do
from tests.conftest import ROOT

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.testclient import TestClient


@pytest.fixture
def wall(tmp_path: Path) -> Path:
    """Return a small project with wiring."""
    return shutil.copy(ROOT / "examples" / "workshop_wall.yaml", tmp_path / "wall.yaml")


def run(client: TestClient, key: str) -> dict[str, Any]:
    """Return a run as the page has it."""
    return next(one for one in client.get("api/wiring").json()["runs"] if one["key"] == key)


def test_a_load_is_set_in_amperes_or_watts(client: TestClient, wall: Path) -> None:
    """What the file said before of the other unit goes; all else stays."""
    before = wall.read_text(encoding="utf-8")
    assert run(client, "circuits.radio")["circuit"] == "radio"
    assert run(client, "circuits.lamp:feed")["circuit"] == "lamp"
    assert do(client, do="load", circuit="radio", value="60 W")["undo"] == "load of Radio"
    assert "load: {power: 60 W}" in wall.read_text(encoding="utf-8")
    assert do(client, do="load", circuit="radio", value="6")["undo"] == "load of Radio"
    assert run(client, "circuits.radio")["current_a"] == 6.0
    assert wall.read_text(encoding="utf-8") == before.replace("load: 6 A", "load: {current: 6 A}")


def test_a_fuse_is_set_where_it_is_declared(client: TestClient, wall: Path) -> None:
    """The run says which entry declares its fuse; its rating is set there, and the page shows it."""
    key = run(client, "circuits.radio")["fuse"]
    assert key == "breaker_panels.ways_12.ways.2"
    assert do(client, do="fuse", key=key, value="7.5")["undo"] == "fuse of Radio"
    assert run(client, "circuits.radio")["fuse_a"] == 7.5
    assert "2: 7.5 A" in wall.read_text(encoding="utf-8")


def test_ends_lead_to_devices_on_panels(client: TestClient) -> None:
    """A way is at the device of its distribution panel."""
    assert [end["device"] for end in run(client, "circuits.radio")["ends"]] == ["ways", "radio"]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"do": "load", "circuit": "ghost", "value": "6 A"}, "no circuit"),
        ({"do": "load", "circuit": "radio", "value": "six"}, "can't be read"),
        ({"do": "fuse", "key": "circuits.radio", "value": "5 A"}, "no wire is guarded"),
        ({"do": "fuse", "key": "breaker_panels.ways_12.ways.2", "value": "-5"}, "can't be read"),
    ],
)
def test_what_is_no_figure_is_refused(client: TestClient, wall: Path, asked: dict[str, str], words: str) -> None:
    """It says why, and the file is as it was."""
    before = wall.read_text(encoding="utf-8")
    assert words in do(client, **asked)["refused"]
    assert wall.read_text(encoding="utf-8") == before
