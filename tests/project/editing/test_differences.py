"""What differs between two states of a project, written into its file, makes the one the other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from layout.project.editing.differences import differences
from layout.project.editing.edit import edit_project
from layout.project.reading.read import read

if TYPE_CHECKING:
    from pathlib import Path

FROM = """\
spile: 2   # a wall, made up
project: {name: Wall, example: true}
panels:
  wall:
    outline: {rect: [400, 300]}
    thickness: 9
    material: plywood
    depth: 200
    no_go:
      batten: {shape: {rect: [10, 300], at: [5, 150]}, kind: batten}   # oak
      lock: {shape: {circle: 30, at: [380, 150]}}
devices:
  clock: &round {panel: wall, face: {circle: 60}, cutout: {circle: 50}, behind: {shape: {circle: 50}, depth: 30}}
  gauge: {panel: wall, face: {circle: 60}, cutout: {circle: 50}, turns: [0, 90]}
  lamp: {panel: wall, face: {rect: [40, 20]}, cutout: {rect: [30, 15]}, pin: {x: 300, y: 100}}
rules:
  face_gap: 12
  apart:
    - {between: [clock, lamp], gap: 30}   # glare
    - {between: [clock, gauge], gap: 20}
  relations:
    - row: [clock, gauge]
    - left_to_right: [clock, gauge, lamp]
"""


@pytest.mark.parametrize(
    ("old", "new", "settings"),
    [
        ("rect: [400, 300]", "rect: [420.5, 300]", {"panels.wall.outline.rect": [420.5, 300]}),
        ("depth: 200\n", "depth: 220\n", {"panels.wall.depth": 220}),
        ("turns: [0, 90]", "turns: [0, 90, 180]", {"devices.gauge.turns": [0, 90, 180]}),
        (", pin: {x: 300, y: 100}", "", {"devices.lamp.pin": None}),
        ("face_gap: 12", "face_gap: 9", {"rules.face_gap": 9}),
        ("      lock: {shape: {circle: 30, at: [380, 150]}}\n", "", {"panels.wall.no_go.lock": None}),
        ("    - {between: [clock, lamp], gap: 30}   # glare\n", "", {"rules.apart.0": None}),
        ("    - row: [clock, gauge]\n", "", {"rules.relations.0": None}),
        ("gap: 20}", "gap: 15}", {"rules.apart.1.gap": 15}),
        (
            "rules:\n",
            "  horn: {name: Horn, panel: wall, face: {circle: 40}, cutout: {circle: 30}}\nrules:\n",
            {"devices.horn": {"name": "Horn", "panel": ["wall"], "face": {"circle": 40}, "cutout": [{"circle": 30}]}},
        ),
    ],
)
def test_what_differs_turns_one_file_into_the_other(
    tmp_path: Path, old: str, new: str, settings: dict[str, Any]
) -> None:
    """The settings are those a person would write; set in the first file it reads as the second, remarks kept."""
    first, second = tmp_path / "first.yaml", tmp_path / "second.yaml"
    assert FROM.count(old) == 1
    first.write_text(FROM, encoding="utf-8")
    second.write_text(FROM.replace(old, new), encoding="utf-8")
    before, after = read(first).project, read(second).project
    assert before is not None
    assert after is not None
    told = differences(before, after)
    written = {key: value for key, value in told if not key.endswith("outline.at")}  # the datum moves with its outline
    assert written == settings
    for key, value in written.items():
        edit_project(first, key, value)
    assert read(first).project == after
    assert "# a wall, made up" in first.read_text(encoding="utf-8")
    assert "# oak" in first.read_text(encoding="utf-8")


def test_nothing_differs_from_itself(tmp_path: Path) -> None:
    """The same text twice gives no settings."""
    path = tmp_path / "wall.yaml"
    path.write_text(FROM, encoding="utf-8")
    assert differences(read(path).project, read(path).project) == ()
