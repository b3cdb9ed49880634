"""Projects in several files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.reading.include import read_files
from layout.project.reading.tree import plain_values

if TYPE_CHECKING:
    from pathlib import Path


def write(folder: Path, files: dict[str, str]) -> Path:
    """Write files and return the first one."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder / next(iter(files))


def test_sections_are_united_in_order(tmp_path: Path) -> None:
    """Tables of several files become one, the project's own entries first; lists are joined."""
    path = write(
        tmp_path,
        {
            "panel.yaml": "include: [shelf/a.yaml, b.yaml]\nlocations: {one: {}}\nlist: [1]\n",
            "shelf/a.yaml": "include: deeper/c.yaml\nlocations: {two: {}}\n",
            "shelf/deeper/c.yaml": "locations: {three: {}}\nlist: [2]\n",
            "b.yaml": "locations: {four: {}}\nother: 1\n",
        },
    )
    files = read_files(path)
    assert files.findings == []
    assert files.tree is not None
    data = plain_values(files.tree)
    assert list(data["locations"]) == ["one", "two", "three", "four"]
    assert data["list"] == [1, 2]
    assert list(files.sources) == ["panel.yaml", "shelf/a.yaml", "shelf/deeper/c.yaml", "b.yaml"]


def test_file_included_on_two_ways_counts_once(tmp_path: Path) -> None:
    """A file that two others include is read once, and its names are not taken twice."""
    path = write(
        tmp_path,
        {
            "panel.yaml": "include: [a.yaml, b.yaml]\n",
            "a.yaml": "include: shelf.yaml\n",
            "b.yaml": "include: shelf.yaml\n",
            "shelf.yaml": "shelf: {gauge: {}}\n",
        },
    )
    files = read_files(path)
    assert files.findings == []
    assert files.tree is not None
    assert plain_values(files.tree) == {"shelf": {"gauge": {}}}


def test_places_keep_their_file(tmp_path: Path) -> None:
    """What an included file says is located there, named from the project's folder."""
    path = write(tmp_path, {"panel.yaml": "include: sub/a.yaml\n", "sub/a.yaml": "\nlocations:\n  here: {}\n"})
    tree = read_files(path).tree
    assert tree is not None
    spot = tree.members["locations"].at
    assert (spot.file, spot.line, spot.column) == ("sub/a.yaml", 2, 1)


def test_broken_part_leaves_the_rest(tmp_path: Path) -> None:
    """A part that can't be read is reported, and the other parts are still read."""
    path = write(
        tmp_path,
        {"panel.yaml": "include: [a.yaml, b.yaml]\n", "a.yaml": "a: [\n", "b.yaml": "locations: {one: {}}\n"},
    )
    files = read_files(path)
    assert [(fault.rule, fault.at.file) for fault in files.findings] == [("file 6", "a.yaml")]
    assert files.tree is not None
    assert plain_values(files.tree) == {"locations": {"one": {}}}


def test_symlink_inside_the_folder_is_fine(tmp_path: Path) -> None:
    """A link to another file of the project may be included."""
    path = write(tmp_path, {"panel.yaml": "include: link.yaml\n", "shelf.yaml": "shelf: {}\n"})
    (tmp_path / "link.yaml").symlink_to("shelf.yaml")
    assert read_files(path).findings == []
