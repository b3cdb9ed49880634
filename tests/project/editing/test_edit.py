"""Changes to project files that keep everything else as it was."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.project.editing.edit import EditError, add_item, edit_project, remove, set_value
from layout.project.editing.new_project import new_text
from layout.project.reading.nodes import compose
from layout.project.reading.tree import TableNode, find, plain_values

if TYPE_CHECKING:
    from pathlib import Path

TEXT = """\
# top
spile: 2
devices:   # all of them
  radio: {name: "R", panel: wall}  # in one line

  meter:
    # about the meter
    name: M   # a note
    pin:
      x: 1   # from the left
      y: 2
    turns: [0, 90]
    list:
      - a
      - b

  lamp:
  empty: {}
# the end
"""


def changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """Return the lines that went and those that came."""
    old, new = before.splitlines(), after.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


@pytest.mark.parametrize(
    ("key", "value", "gone", "come"),
    [
        (
            "devices.radio.pin",
            {"x": 12.5, "y": 30},
            ['  radio: {name: "R", panel: wall}  # in one line'],
            ['  radio: {name: "R", panel: wall, pin: {x: 12.5, y: 30}}  # in one line'],
        ),
        ("devices.meter.pin.x", 7.25, ["      x: 1   # from the left"], ["      x: 7.25   # from the left"]),
        (
            "devices.meter.pin",
            {"x": 5, "turn": 90},
            ["      x: 1   # from the left", "      y: 2"],
            ["      x: 5   # from the left", "      turn: 90"],
        ),
        ("devices.meter.work_state", "cut", [], ["    work_state: cut"]),
        ("devices.meter.name", "no", ["    name: M   # a note"], ['    name: "no"   # a note']),
        ("devices.meter.turns", [180], ["    turns: [0, 90]"], ["    turns: [180]"]),
        ("devices.meter.list", ["c"], ["    list:", "      - a", "      - b"], ["    list: [c]"]),
        ("devices.lamp.pin.x", 3, ["  lamp:"], ["  lamp: {pin: {x: 3}}"]),
        ("devices.empty.work_state", "cut", ["  empty: {}"], ["  empty: {work_state: cut}"]),
        ("boat.hull", "grp", [], ["boat: {hull: grp}"]),
        ("spile", 3, ["spile: 2"], ["spile: 3"]),
    ],
)
def test_value_is_set_where_it_belongs(key: str, value: object, gone: list[str], come: list[str]) -> None:
    """Only the lines that must change do; comments, order and style of all others stay."""
    after = set_value(TEXT, tuple(key.split(".")), value)
    assert changed(TEXT, after) == (gone, come)


def test_comments_all_stay() -> None:
    """Every comment of the file is there after an edit, in its old order."""
    after = set_value(TEXT, ("devices", "meter", "pin"), {"x": 9, "y": 8})
    assert [line.partition("#")[2] for line in after.splitlines() if "#" in line] == [
        line.partition("#")[2] for line in TEXT.splitlines() if "#" in line
    ]


def test_item_is_appended() -> None:
    """A list grows at its end in its own style; a missing one is made."""
    assert changed(TEXT, add_item(TEXT, ("devices", "meter", "list"), "c")) == ([], ["      - c"])
    assert "turns: [0, 90, 180]" in add_item(TEXT, ("devices", "meter", "turns"), 180)
    assert "lamp: {turns: [90]}" in add_item(TEXT, ("devices", "lamp", "turns"), 90)


def test_entry_is_removed_with_its_lines() -> None:
    """Removing an entry takes its own lines and no others; a missing one is no fault."""
    after = remove(TEXT, ("devices", "meter", "pin"))
    assert changed(TEXT, after) == (["    pin:", "      x: 1   # from the left", "      y: 2"], [])
    assert "radio: {panel: wall}  # in one line" in remove(TEXT, ("devices", "radio", "name"))
    assert 'radio: {name: "R"}  # in one line' in remove(TEXT, ("devices", "radio", "panel"))
    assert remove(TEXT, ("devices", "nobody")) == TEXT


@pytest.mark.parametrize(
    ("key", "gone", "come"),
    [
        (("devices", "meter", "list", 0), ["      - a"], []),
        (("devices", "meter", "list", 1), ["      - b"], []),
        (("devices", "meter", "turns", 0), ["    turns: [0, 90]"], ["    turns: [90]"]),
        (("devices", "meter", "turns", 1), ["    turns: [0, 90]"], ["    turns: [0]"]),
        (("devices", "meter", "list", 2), [], []),
    ],
)
def test_item_is_removed_from_its_list(key: tuple[str | int, ...], gone: list[str], come: list[str]) -> None:
    """A block list loses the item's line, a list in one line the item; one that is not there is no fault."""
    assert changed(TEXT, remove(TEXT, key)) == (gone, come)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("a: &x {b: 1}\nc: *x\n", ("c", "b")),
        ("a: [\n", ("a",)),
        ("- a\n", ("a",)),
        ("", ("a",)),
        ("a: 1\n", ("a", "b")),
    ],
)
def test_what_cannot_be_patched_is_refused(text: str, key: tuple[str, ...]) -> None:
    """An alias, broken YAML or a value where a table is asked for is refused rather than guessed at."""
    with pytest.raises(EditError):
        set_value(text, key, 2)


def test_windows_line_ends_stay() -> None:
    """New lines end as the file's lines do."""
    after = set_value(TEXT.replace("\n", "\r\n"), ("devices", "meter", "state"), "cut")
    assert after == set_value(TEXT, ("devices", "meter", "state"), "cut").replace("\n", "\r\n")


def test_file_of_the_entry_is_edited(tmp_path: Path) -> None:
    """A change goes into whichever file holds the entry, and only there; None takes the entry out again."""
    main = tmp_path / "panel.yaml"
    main.write_text("include: more.yaml\nplaces: {a: {}}\n")
    more = tmp_path / "more.yaml"
    more.write_text("devices:\n  radio: {location: a}\n")
    assert edit_project(main, "devices.radio.pin", {"x": 1}) == more
    assert more.read_text() == "devices:\n  radio: {location: a, pin: {x: 1}}\n"
    assert edit_project(main, "locations.a.zone", "exterior") == main
    edit_project(main, "devices.radio.pin", None)
    assert more.read_text() == "devices:\n  radio: {location: a}\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["more.yaml", "panel.yaml"]


def _tables(tree: Any, key: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [key] if isinstance(tree, dict) else []
    entries = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for name, entry in entries:
        found.extend(_tables(entry, (*key, name)))
    return found


TREE, _ = compose(new_text(), "panel.yaml")
assert isinstance(TREE, TableNode)
DATA = plain_values(TREE)


@given(
    st.sampled_from(_tables(DATA)),
    st.sampled_from(["x", "name", "at", "face", "pin", "1"]),
    st.sampled_from([1, 2.5, "on", "a b", [1, 2], {"x": 1, "y": {"z": "12 mm"}}, {}, [], None, True]),
)
def test_any_edit_changes_that_entry_alone(owner: tuple[str | int, ...], name: str, value: object) -> None:
    """Setting any key of any table of a real file gives exactly that data, and removing it again gives the rest."""
    key = (*owner, name)
    after = set_value(new_text(), key, value)
    tree, findings = compose(after, "panel.yaml")
    assert findings == []
    assert tree is not None
    entry = find(tree, key)
    assert entry is not None
    assert plain_values(entry) == value
    comments = [line for line in new_text().splitlines() if line.lstrip().startswith("#")]
    assert [line for line in after.splitlines() if line.lstrip().startswith("#")] == comments
    gone, _ = compose(remove(after, key), "panel.yaml")
    assert gone is not None
    assert find(gone, key) is None
