"""The bench's interface: what it gives and does, and whom it refuses."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

import layout
from layout.bench.open_files import RefusedError
from layout.bench.server import bench_app
from layout.bench.workbench import Workbench
from layout.project.register import Register, load, register_path, save

HOST = "127.0.0.1:8000"

WALL = """
# a wall in a workshop, made up
spile: 2
project: {name: Workshop wall, example: true}
panels:
  wall: {outline: {rect: [400, 300]}, thickness: 9, material: plywood, depth: 200}
devices:
  clock:   # keep this remark
    {name: Clock, panel: wall, face: {circle: 60}, cutout: {circle: 50}, behind: {shape: {circle: 50}, depth: 30},
     plug_room: {depth: 20}, size_from: measured, turns: [0, 90]}
  gauge:
    {name: Gauge, panel: wall, face: {circle: 60}, cutout: {circle: 50}, behind: {shape: {circle: 50}, depth: 30},
     plug_room: {depth: 20}, size_from: measured}
  lamp:
    {name: Lamp, panel: wall, face: {rect: [40, 20]}, cutout: {rect: [30, 15]}, size_from: measured,
     behind: {shape: {rect: [30, 15]}, depth: 20}, plug_room: {depth: 10}}
"""
SPOTS = {"clock": (80.0, 150.0), "gauge": (200.0, 150.0), "lamp": (330.0, 150.0)}


def put_wall(folder: Path) -> Path:
    """Put the wall and its register into a folder, and return its project file."""
    from layout.project.model.arrangement import Arrangement, Placed

    path = folder / "wall.yaml"
    path.write_text(WALL, encoding="utf-8")
    placed = {key: Placed(device=key, panel="wall", x=x, y=y) for key, (x, y) in SPOTS.items()}
    assert save(register_path(path), Register(arrangement=Arrangement(placed=placed))) == ()
    return path


def do(client: TestClient, **what: Any) -> dict[str, Any]:
    """Ask for something to be done and return what is shown afterwards, or what was said against it."""
    return dict(client.post("api/do", json=what).json())


def spot(told: dict[str, Any], device: str) -> tuple[float, float]:
    """Return where a device is shown."""
    (found,) = [one for panel in told["panels"] for one in panel["devices"] if one["id"] == device]
    return found["x"], found["y"]


def chosen(path: Path, device: str) -> tuple[float, float]:
    """Return where the register on disk has a device."""
    register, _ = load(register_path(path))
    assert register is not None
    assert register.arrangement is not None
    placed = register.arrangement.placed[device]
    return placed.x, placed.y


def test_a_move_that_holds_is_on_disk_at_once(client: TestClient, wall: Path) -> None:
    """The register has it, the project file is as it was, and it can be taken back and done again."""
    told = do(client, do="move", device="lamp", x=330.0, y=100.0)
    assert told["kept"]
    assert spot(told, "lamp") == chosen(wall, "lamp") == (330.0, 100.0)
    assert wall.read_text(encoding="utf-8") == WALL
    told = do(client, do="undo")
    assert spot(told, "lamp") == chosen(wall, "lamp") == SPOTS["lamp"]
    assert spot(do(client, do="redo"), "lamp") == chosen(wall, "lamp") == (330.0, 100.0)


def test_taking_back_works_after_a_restart(client: TestClient, wall: Path) -> None:
    """The history lies beside the project."""
    do(client, do="move", device="lamp", x=330.0, y=100.0)
    again = Workbench(wall)
    assert again.state()["undo"] == "move Lamp"
    again.undo()
    assert chosen(wall, "lamp") == SPOTS["lamp"]


def test_what_breaks_a_rule_is_shown_and_not_kept(client: TestClient, wall: Path) -> None:
    """Two devices pass each other: on the way nothing is written, at the end all of it."""
    told = do(client, do="move", device="clock", x=200.0, y=150.0)
    assert not told["kept"]
    assert any(finding["severity"] == "stop" for finding in told["findings"])
    assert chosen(wall, "clock") == SPOTS["clock"]
    told = do(client, do="move", device="gauge", x=80.0, y=150.0)
    assert told["kept"]
    assert (chosen(wall, "clock"), chosen(wall, "gauge")) == (SPOTS["gauge"], SPOTS["clock"])


def test_put_back_lets_go_of_what_is_loose(client: TestClient) -> None:
    """Everything stands again where the register has it."""
    do(client, do="move", device="clock", x=200.0, y=150.0)
    assert spot(do(client, do="put back"), "clock") == SPOTS["clock"]


def test_swap_align_distribute_and_turn(client: TestClient) -> None:
    """The same by one act, each to the figure that a ruler gives."""
    told = do(client, do="swap", device="clock", other="gauge")
    assert (spot(told, "clock"), spot(told, "gauge")) == (SPOTS["gauge"], SPOTS["clock"])
    told = do(client, do="align", devices=["lamp"], line="top", to="clock")
    assert spot(told, "lamp") == (330.0, 170.0)  # tops: 150 + 30 = 170 + 10
    told = do(client, do="distribute", devices=["clock", "gauge", "lamp"], axis="x")
    # faces 60, 60 and 40 wide from 50 to 350: two gaps of 70, so the middle one stands at 50 + 60 + 70 + 30
    assert spot(told, "clock")[0] == 210.0
    assert do(client, do="turn", device="clock", turn=90)["kept"]
    assert "not to be turned" in do(client, do="turn", device="gauge", turn=90)["refused"]


def test_the_judge_answers_while_dragging(client: TestClient, wall: Path) -> None:
    """It says what would be, and nothing is put there."""
    near = client.post("api/look", json={"device": "clock", "x": 190.0, "y": 150.0}).json()["findings"]
    assert any("Gauge" in finding["message"] for finding in near)
    assert client.post("api/look", json={"device": "clock", "x": 80.0, "y": 100.0}).json()["findings"] == []
    assert chosen(wall, "clock") == SPOTS["clock"]


def test_a_pin_goes_into_the_file_and_remarks_stay(client: TestClient, wall: Path) -> None:
    """Pin and unpin leave the text as it was."""
    assert do(client, do="pin", device="clock")["undo"] == "pin Clock"
    text = wall.read_text(encoding="utf-8")
    assert "# keep this remark" in text
    project = layout.read(wall).project
    assert project is not None
    pin = project.devices["clock"].pin
    assert pin is not None
    assert (pin.x, pin.y) == SPOTS["clock"]
    moved = do(client, do="move", device="clock", x=80.0, y=120.0)
    assert moved["kept"]
    do(client, do="undo")
    do(client, do="undo")
    assert wall.read_text(encoding="utf-8") == WALL


def test_a_bad_edit_is_refused_and_nothing_is_lost(client: TestClient, wall: Path) -> None:
    """A value that can't be read leaves the file as it was."""
    told = do(client, do="set", key="devices.clock.plug_room.depth", value="thirty ells")
    assert "refused" in told
    assert wall.read_text(encoding="utf-8") == WALL
    assert do(client, do="set", key="devices.clock.plug_room.depth", value=25)["kept"]
    assert "depth: 25" in wall.read_text(encoding="utf-8")


def test_a_file_changed_meanwhile_is_taken_over_and_never_overwritten(client: TestClient, wall: Path) -> None:
    """An editor beside the page wins; an act that was meant for the old text is refused."""
    version = client.get("api/state").json()["version"]
    wall.write_text(WALL.replace("name: Clock", "name: Ship's clock"), encoding="utf-8")
    told = do(client, do="pin", device="clock", version=version)
    assert "changed elsewhere" in told["refused"]
    assert "Ship's clock" in wall.read_text(encoding="utf-8")
    names = [one["name"] for panel in client.get("api/state").json()["panels"] for one in panel["devices"]]
    assert "Ship's clock" in names


def test_taking_back_never_undoes_another_hand(client: TestClient, wall: Path) -> None:
    """What an editor wrote after the change stands."""
    do(client, do="pin", device="clock")
    wall.write_text(wall.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    assert "changed by something else" in do(client, do="undo")["refused"]
    assert wall.read_text(encoding="utf-8").endswith("# mine\n")


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"host": "example.org"}, 421),
        ({"host": "127.0.0.1:8001"}, 421),
        ({"origin": "http://example.org"}, 403),
        ({"origin": "null"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"content-type": "text/plain"}, 415),
    ],
)
def test_strangers_are_refused(client: TestClient, headers: dict[str, str], code: int) -> None:
    """Another host, another page, a plain form: none reaches the project; the page itself does."""
    asked = {"content-type": "application/json", **headers}
    assert client.post("api/do", content=b'{"do": "undo"}', headers=asked).status_code == code
    right = {"content-type": "application/json", "origin": f"http://{HOST}", "sec-fetch-site": "same-origin"}
    assert client.post("api/look", content=b"[]", headers=right).status_code == 409


@pytest.mark.parametrize(
    "path", ["../server.py", "..%2fserver.py", "workbench.py", "api/document/../../etc/passwd.pdf", "nothing.js"]
)
def test_nothing_else_is_given_out(client: TestClient, path: str) -> None:
    """Only the page's own parts and the books."""
    assert client.get(path).status_code in (404, 405)


def test_without_the_token_there_is_nothing(wall: Path) -> None:
    """An address that was not told opens nothing."""
    with TestClient(bench_app(Workbench(wall), token="secret", hosts=(HOST,)), base_url=f"http://{HOST}") as stranger:
        assert stranger.get("/api/state").status_code == 404
        assert stranger.get("/secret/api/state").status_code == 200
        assert stranger.get("/secret/").headers["content-security-policy"].startswith("default-src 'self'")


def test_placings_wait_for_one_another(client: TestClient) -> None:
    """One goes on, three wait, a fifth is refused; stopping lets go of those that wait."""
    asked = {"do": "solve", "effort": "thorough", "keep": [], "alternatives": 6}
    assert [do(client, **asked)["solving"]["waiting"] for _ in range(4)] == [0, 1, 2, 3]
    assert "wait already" in do(client, **asked)["refused"]
    assert do(client, do="stop")["solving"]["waiting"] == 0


def under(wall: Path, picture: str = "photo.png") -> None:
    """Lay a photograph under the wall, on which a pixel is a millimetre and (100, 400) the datum."""
    points = "[{pixel: [100, 400], at: [0, 0]}, {pixel: [500, 400], at: [400, 0]}, {pixel: [100, 100], at: [0, 300]}]"
    text = WALL.replace("depth: 200}", f"depth: 200,\n    photograph: {{file: '{picture}', points: {points}}}}}")
    wall.write_text(text, encoding="utf-8")


def test_a_photograph_lies_under_the_panel_by_three_points(client: TestClient, wall: Path) -> None:
    """Up for down: the picture's upper left corner lies 100 mm left of the datum and 400 mm above it."""
    from PIL import Image

    Image.new("RGB", (600, 500), "grey").save(wall.parent / "photo.png")
    under(wall)
    (panel,) = client.get("api/state").json()["panels"]
    assert panel["photograph"] == ["photo.png", 1.0, 0.0, 0.0, -1.0, -100.0, 400.0]
    told = client.get("api/photograph/wall").json()
    assert told["size"] == [600, 500]
    assert told["href"].startswith("data:image/jpeg;base64,")


def test_no_other_file_is_shown_as_a_photograph(client: TestClient, wall: Path, tmp_path_factory: Any) -> None:
    """None at all, one that is no picture, a link that leads out of the folder, a name that does."""
    assert "no photograph" in client.get("api/photograph/wall").json()["refused"]
    under(wall)
    client.get("api/state")
    photo = wall.parent / "photo.png"
    photo.write_text("spile: 2", encoding="utf-8")
    assert "can't be read as a picture" in client.get("api/photograph/wall").json()["refused"]
    photo.unlink()
    photo.symlink_to(tmp_path_factory.mktemp("elsewhere") / "photo.png")
    assert "outside the project's folder" in client.get("api/photograph/wall").json()["refused"]
    under(wall, "../photo.png")
    client.get("api/state")
    assert "outside the project's folder" in client.get("api/photograph/wall").json()["refused"]


def test_long_and_odd_questions_are_refused(client: TestClient) -> None:
    """A body beyond bounds, a number that is none, a name that is no device."""
    assert client.post("api/do", json={"do": "undo", "more": "x" * 70_000}).status_code == 413
    for asked in ({"do": "move", "device": "lamp", "x": 1e9, "y": 0}, {"do": "move", "device": "lamp"},
                  {"do": "move", "device": "ghost", "x": 1, "y": 1}, {"do": "align", "devices": "lamp"},
                  {"do": "rm"}, {"do": "choose", "number": 7}):  # fmt: skip
        assert client.post("api/do", json=asked).status_code == 409


def test_wiring_follows_a_load_that_is_changed(tmp_path: Path) -> None:
    """A load set on the page goes into the file that holds it, and current and size follow."""
    folder = tmp_path / "launch"
    shutil.copytree(Path("examples/launch"), folder)
    bench = Workbench(folder / "launch.yaml")
    with TestClient(bench_app(bench, token="t", hosts=(HOST,)), base_url=f"http://{HOST}/t/") as client:
        wiring = client.get("api/wiring").json()
        horn = next(run for run in wiring["runs"] if run["key"] == "circuits.horn")
        assert horn["route"]
        assert {way["id"] for way in wiring["wireways"]} >= set(horn["route"])
        before = next(run for run in wiring["runs"] if run["key"] == "circuits.radio")["size"]
        told = do(client, do="set", key="circuits.radio.load.current", value="20 A")
        assert told["undo"] == "set circuits.radio.load.current"
        after = next(run for run in client.get("api/wiring").json()["runs"] if run["key"] == "circuits.radio")
        assert after["current_a"] == 20.0
        assert after["size"] != before
        assert "# --- 12 V" in (folder / "power.yaml").read_text(encoding="utf-8")


def test_a_project_that_can_not_be_read_does_not_open(tmp_path: Path) -> None:
    """It says why, as the check does."""
    path = tmp_path / "bad.yaml"
    path.write_text("spile: 2\nproject: {}\n", encoding="utf-8")
    with pytest.raises(RefusedError, match="name"):
        Workbench(path)
