"""Protective devices with a holder of their own: what is laid up to it and from it, and how near it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
import yaml

import layout
from layout.handover.lists.open_questions.unknowns import unknowns
from layout.project.model.arrangement import Arrangement, Placed
from tests.wiring.laws.boats import changed, system
from tests.wiring.laws.test_boats import FACTS, FUSE

if TYPE_CHECKING:
    from pathlib import Path

HOLDER = {
    "panel": "board", "mount": "surface", "face": {"rect": [90, 42]}, "front_height": 40,
    "terminals": {"in": {"at": [-30, 0], "depth": 0, "pole": "+"}, "out": {"at": [30, 0], "depth": 0, "pole": "+"}},
}  # fmt: skip
BAR = {
    "panel": "board", "mount": "surface", "face": {"rect": [60, 20]}, "front_height": 40,
}  # fmt: skip
ON_A_BOARD: dict[str, Any] = {
    **FACTS,
    "panels.board": {
        "kind": "board", "outline": {"rect": [900, 500]}, "thickness": 12, "material": "plywood",
        "front_room": 100, "depth": 20,
        "cable_exit": {"at": [450, 0], "location": "locker"},
    },
    "devices.bar": BAR,
    "devices.holder": HOLDER,
    "bus_bars.plus": {"name": "Plus bar", "pole": "+", "voltage": "12 V", "rating": "200 A", "device": "bar",
                      "studs": ["M8", "M8"]},
    "feeders.feed.protection": {**FUSE, "rating": "50 A", "device": "holder"},
}  # fmt: skip


def laid(folder: Path, changes: dict[str, Any], *, apart_mm: float = 130.0) -> layout.Wiring:
    """Return the boat wired with its bar in the corner of the board and the holder beside it, feed unmeasured."""
    tree = changed({**ON_A_BOARD, **changes})
    del tree["feeders"]["feed"]["length"]
    path = folder / "boat.yaml"
    path.write_text(yaml.safe_dump(tree, sort_keys=False), encoding="utf-8")
    reading = layout.read(path)
    assert reading.project is not None, [str(finding) for finding in reading.findings]
    at = {"bar": 100.0, "holder": 100.0 + apart_mm}
    placed = {key: Placed(device=key, panel="board", x=x, y=100.0) for key, x in at.items()}
    return layout.wire(reading.project, Arrangement(placed=placed))


def codes(wiring: layout.Wiring, prefix: str = "fuse 12") -> list[str]:
    """Return the findings whose code begins so."""
    return [finding.rule for finding in wiring.findings if finding.rule.startswith(prefix)]


def test_a_holder_parts_a_conductor_and_changes_no_other_number(tmp_path: Path) -> None:
    """The conductor keeps its number from the holder on; what leads up to it is a further segment of it."""
    plain = laid(tmp_path, {"feeders.feed.protection": {**FUSE, "rating": "50 A", "location": "locker"}})
    held = laid(tmp_path, {})
    numbers = {run.key: run.number for run in held.runs}
    assert {run.key: run.number for run in plain.runs} == {k: v for k, v in numbers.items() if "tail" not in k}
    up_to, whole = held.run("feeders.feed:tail"), held.run("feeders.feed")
    assert (up_to.number, whole.number) == (whole.number.replace("a+", "b+"), whole.number)
    ends = [(e.owner, e.terminal) for run in (up_to, whole) for w in run.wires for e in (w.start, w.end)]
    assert ends == [("plus", "2"), ("holder", "in"), ("holder", "out"), ("dc", "in")]
    assert up_to.guard is not None
    assert up_to.guard == whole.guard
    assert up_to.current_a == whole.current_a  # in one line with it


def test_the_graph_has_the_device_between_the_holders_terminals(tmp_path: Path) -> None:
    """Nothing else joins them, and what leads up to them is told as a tail."""
    graph = system(tmp_path, ON_A_BOARD)
    (pole,) = graph.poles_of["feeders.feed.protection"]
    assert (pole.a, pole.b) == ("holder/in", "holder/out")
    assert not [join for join in graph.joins if "holder" in join.owner]
    assert [c.is_tail for c in graph.conductors if c.end == "holder/in"] == [True]


@pytest.mark.parametrize(
    ("said", "apart_mm", "told"),
    [("165 mm", 160.0, []), ("150 mm", 160.0, ["fuse 120"]), (None, 160.0, []), (None, 300.0, ["fuse 6"])],
)
def test_the_distance_is_what_is_laid(tmp_path: Path, said: str | None, apart_mm: float, told: list[str]) -> None:
    """From the holder's terminal, 30 mm nearer than its middle, to any stud of a bar of 60 by 20 mm, 40 mm off its own.

    ISO 10133 allows 200 mm without an enclosure.
    """
    fuse = {**FUSE, "rating": "50 A", "device": "holder", "from_source": said}
    wiring = laid(tmp_path, {"feeders.feed.protection": {k: v for k, v in fuse.items() if v}}, apart_mm=apart_mm)
    guard = wiring.run("feeders.feed").guard
    assert guard is not None
    assert guard.from_source_mm == pytest.approx(apart_mm - 30.0 + 40.0)
    own = [f.rule for f in wiring.findings if f.rule in ("fuse 6", "fuse 7", "fuse 120") and "Panel feed" in f.message]
    assert own == told


def test_two_devices_in_one_holder_are_told(tmp_path: Path) -> None:
    """Beside it the same with a holder for each, and a block that both start from."""
    second = {**FUSE, "rating": "100 A", "device": "holder"}
    assert "fuse 121" in codes(laid(tmp_path, {"feeders.lead.protection": second}))
    each = {"feeders.lead.protection": {**second, "device": "other"}, "devices.other": {**HOLDER}}
    assert "fuse 121" not in codes(laid(tmp_path, each))
    assert "fuse 121" not in codes(laid(tmp_path, {"feeders.feed.protection": {**second, "device": "bar"}}))


def test_a_device_in_the_block_it_starts_from_parts_nothing(tmp_path: Path) -> None:
    """A fuse block's own fuse has no conductor up to it."""
    wiring = laid(tmp_path, {"feeders.feed.protection": {**FUSE, "rating": "50 A", "device": "bar"}})
    assert not [run.key for run in wiring.runs if "tail" in run.key]


@pytest.mark.parametrize("at_end", [False, True])
def test_a_device_at_the_far_end_stands_in_its_holder_too(tmp_path: Path, at_end: bool) -> None:
    """The charger's fuse at the bank: fed from the bank, and so the bank's side is the part up to it."""
    where = {"device": "holder"} if at_end else {"location": "locker"}
    graph = system(tmp_path, {**ON_A_BOARD, "feeders.feed.protection": {**FUSE, "rating": "50 A", "location": "locker"},
                              "feeders.charge.protection_to": {**FUSE, "rating": "30 A", **where}})  # fmt: skip
    (pole,) = graph.poles_of["feeders.charge.protection_to"]
    assert ((pole.a, pole.b) == ("holder/in", "holder/out")) is at_end
    tail = next(c for c in graph.conductors if c.is_tail and c.key.startswith("feeders.charge"))
    assert tail.end == "bank/+"


def test_a_fuse_of_which_nobody_says_where_it_stands_is_asked_for(tmp_path: Path) -> None:
    """Not so where a place or a device is named, nor for one that is built in."""
    asked = "feeders.feed.protection.device"
    for where, is_asked in (({}, True), ({"location": "locker"}, False), ({"device": "holder"}, False)):
        tree = changed({**ON_A_BOARD, "feeders.feed.protection": {**FUSE, "rating": "50 A", **where}})
        path = tmp_path / "boat.yaml"
        path.write_text(yaml.safe_dump(tree, sort_keys=False), encoding="utf-8")
        project = layout.read(path).project
        assert project is not None
        assert (asked in {str(question.key) for question in unknowns(project)}) is is_asked


def test_a_holder_and_a_place_at_once_are_refused(tmp_path: Path) -> None:
    """The message names the two keys."""
    both = {**FUSE, "rating": "50 A", "device": "holder", "location": "locker"}
    path = tmp_path / "boat.yaml"
    path.write_text(yaml.safe_dump(changed({**ON_A_BOARD, "feeders.feed.protection": both})), encoding="utf-8")
    reading = layout.read(path)
    assert any("device" in str(finding) and "location" in str(finding) for finding in reading.findings)
