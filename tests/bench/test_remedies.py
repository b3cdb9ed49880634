"""Changes that would make a project fit: shown, made in its file and taken back from the page."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from layout.bench.remedies import remedies_of
from layout.bench.server import bench_app
from layout.bench.solving import PlacingAsked, Solve
from layout.bench.workbench import Workbench
from layout.frozen import FrozenMap
from layout.placing.explain.changes import SingleChange
from layout.placing.explain.stretch import stretched
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.register import load, register_path
from tests.bench.test_server import HOST, do

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from layout.project.model.project import Project

TIGHT = """\
spile: 2
project: {name: Workshop wall, example: true}   # made up
panels:
  wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 200}   # oak
defaults: {devices: {face_gap: 30}}
devices:
  first: {panel: wall, face: {rect: [180, 200]}, cutout: {rect: [160, 180]}, size_from: measured,
    behind: {shape: {rect: [160, 180]}, depth: 30}, plug_room: {depth: 20}}
  second: {panel: wall, face: {rect: [180, 200]}, cutout: {rect: [160, 180]}, size_from: measured,
    behind: {shape: {rect: [160, 180]}, depth: 30}, plug_room: {depth: 20}}
"""
BESIDE = {"first": (105.0, 150.0), "second": (320.0, 150.0)}
"""On a panel of 425 mm: edges of 15 mm, faces of 180 mm, and 35 mm between them where 30 mm are asked for."""


def wider(project: Project) -> Project:
    """Return the project with 25 mm more of panel."""
    return stretched(project, "wall", axis=0, by_mm=25)


def closer(project: Project) -> Project:
    """Return the project with a smaller gap, which every device has from the defaults."""
    devices = {key: replace(one, face_gap=None) for key, one in project.devices.items()}
    return replace(wider(project), devices=FrozenMap(devices))


@pytest.fixture
def tight(tmp_path: Path) -> Path:
    """Return a project of which the devices do not fit."""
    path = tmp_path / "wall.yaml"
    path.write_text(TIGHT, encoding="utf-8")
    return path


@pytest.fixture
def client(tight: Path) -> Iterator[TestClient]:
    """Return a client of a bench on which placing ended with two changes on offer, the second one not to be made."""
    bench = Workbench(tight)
    placed = {key: Placed(device=key, panel="wall", x=x, y=y) for key, (x, y) in BESIDE.items()}
    arrangement = Arrangement(placed=FrozenMap(placed))

    def offered(words: str, make: Callable[[Project], Project]) -> SingleChange:
        whole = make(bench.project)
        return SingleChange(
            words=words, amount_mm=25, smallest=True, cost=(0, 0), project=whole, arrangement=arrangement, whole=whole
        )

    changes = (offered("wall 25 mm wider", wider), offered("smaller gap", closer))
    bench.solve = Solve(PlacingAsked(str(tight)), ended=True, remedies=remedies_of(bench.project, None, changes))
    with TestClient(bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as made:
        yield made
    bench.close()


def test_a_change_shows_what_it_would_do(client: TestClient, tight: Path) -> None:
    """It says what it writes and how the panel looks with it; nothing is done yet."""
    first, _ = client.get("api/state").json()["solving"]["remedies"]
    assert first["words"] == "wall 25 mm wider (one millimetre less does not do)"
    assert first["settings"] == [["panels.wall.outline.rect", [425, 300]]]
    (panel,) = client.get("api/remedy/1").json()["panels"]
    assert panel["box"] == [0, 0, 425, 300]
    assert {one["id"]: (one["x"], one["y"]) for one in panel["devices"]} == BESIDE
    assert client.get("api/remedy/3").status_code == 409
    assert tight.read_text(encoding="utf-8") == TIGHT


def test_a_change_is_made_in_the_file_and_taken_back_as_one(client: TestClient, tight: Path) -> None:
    """The outline alone is different in the file, the register has the arrangement; taken back, neither has."""
    told = do(client, do="remedy", number=1)
    assert told["kept"]
    assert told["solving"] is None
    assert tight.read_text(encoding="utf-8") == TIGHT.replace("[400, 300]", "[425, 300]")
    register, _ = load(register_path(tight))
    assert register is not None
    assert register.arrangement is not None
    assert {key: (at.x, at.y) for key, at in register.arrangement.placed.items()} == BESIDE
    assert not do(client, do="undo")["chosen"]
    assert tight.read_text(encoding="utf-8") == TIGHT
    assert not register_path(tight).exists()


def test_a_change_that_the_file_can_not_say_is_refused_whole(client: TestClient, tight: Path) -> None:
    """The gap comes from the defaults, so taking it out of a device says nothing; the panel stays as it was too."""
    assert "change it by hand" in do(client, do="remedy", number=2)["refused"]
    assert tight.read_text(encoding="utf-8") == TIGHT


def test_the_best_so_far_is_drawn_while_it_goes_on(tight: Path) -> None:
    """Before the first improvement there is no picture; what has left the project meanwhile is not in it."""
    bench = Workbench(tight)
    bench.solve = Solve(PlacingAsked(str(tight)))
    with TestClient(bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as client:
        assert "no picture" in client.get("api/best").json()["refused"]
        there = {key: Placed(device=key, panel="wall", x=x, y=y) for key, (x, y) in BESIDE.items()}
        bench.solve.best = {**there, "gone": Placed(device="gone", panel="wall", x=1, y=1)}
        (panel,) = client.get("api/best").json()["panels"]
        assert {one["id"]: (one["x"], one["y"]) for one in panel["devices"]} == BESIDE
    bench.close()
