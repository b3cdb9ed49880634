"""The JSON interface: its page leaves nothing out, answers have the fields told there, with the commands' values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from starlette.testclient import TestClient

from layout.bench import server
from layout.bench.workbench import Workbench
from tests.bench.serving import put_barge
from tests.bench.test_server import HOST, put_wall
from tests.bench_interface import act_rows, fields, interface_page, route_rows
from tests.running import spile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture(scope="module")
def barge(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the barge in a folder of its own, each device in the middle of its panel, so that much is wrong."""
    return put_barge(tmp_path_factory.mktemp("barge"))


@pytest.fixture(scope="module")
def bench(barge: Path) -> Iterator[Workbench]:
    """Return it on the bench."""
    opened = Workbench(barge)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def client(bench: Workbench) -> Iterator[TestClient]:
    """Return one that asks."""
    with TestClient(server.bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as asking:
        yield asking


def test_the_page_names_every_route_and_act(bench: Workbench) -> None:
    """None is left out, and each says what it does."""
    routes = {f"| `{path}" for path in ("api/state", "api/look", "api/do", "api/wiring", "api/events")}
    assert all(any(row.startswith(route) for row in route_rows()) for route in routes)
    desk = server._Desk(bench)
    rows = list(act_rows())
    assert [row.split("`")[1] for row in rows] == list(desk.acts)
    assert all(row.rsplit("|", 2)[1].strip().endswith(".") for row in (*route_rows(), *rows))
    assert "| `move` | `device`: text, `x`: number, `y`: number |" in interface_page()


def test_answers_have_the_fields_that_are_told(client: TestClient) -> None:
    """State, panel, device, finding, wiring, run, wireway: not one more, not one less."""
    state: dict[str, Any] = client.get("api/state").json()
    wiring: dict[str, Any] = client.get("api/wiring").json()
    panel = state["panels"][0]
    told = {
        "State": state, "Panel": panel, "Device": panel["devices"][0], "Finding": state["findings"][0],
        "FilePlace": state["findings"][0]["at"], "Wiring": wiring, "Run": wiring["runs"][0],
    }  # fmt: skip
    for name, answer in told.items():
        assert set(answer) == fields(name), name


def test_values_are_those_of_the_command(tmp_path: Path) -> None:
    """What the whole plan finds is what ``spile check --json`` prints, word for word."""
    wall = put_wall(tmp_path)
    bench = Workbench(wall)
    with TestClient(server.bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as client:
        told = client.get("api/wiring").json()["findings"]
    assert told
    assert told == spile("check", wall, "--json").data["findings"]
