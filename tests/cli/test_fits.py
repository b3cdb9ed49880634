"""``spile fits``: where one more device would go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.conftest import EXAMPLES
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from tests.conftest import Built


def test_small_size_has_spots(wall: Built, tmp_path: Path) -> None:
    """A face that fits beside the others has spots on the panel, and the largest free rectangles are listed."""
    ran = spile("fits", wall.copy(tmp_path / "wall"), "30x25", "--json")
    assert ran.code == 0
    assert ran.data["spots"]
    assert ran.data["movers"] == []
    assert {free["layer"] for free in ran.data["free"]} == {"front", "sheet", "rear"}
    for spot in ran.data["spots"]:
        assert spot["panel"] == "wall"
        assert 0 < spot["x"] < 460
        assert 0 < spot["y"] < 300


def test_size_that_needs_moves_names_them(wall: Built, tmp_path: Path) -> None:
    """A face that fits only when others move is said with their names, and with where all would stand then."""
    ran = spile("fits", wall.copy(tmp_path / "wall"), "240x120", "--json")
    assert ran.code == 0
    assert ran.rules == ["fit 12"]
    assert ran.data["spots"] == []
    assert ran.data["movers"]
    (moved,) = ran.data["arrangements"]
    assert {"one more", *ran.data["movers"]} <= set(moved["placed"])


def test_size_without_room_is_said(wall: Built, tmp_path: Path) -> None:
    """A face larger than the panel has no spot, and that is a finding, not an error of the project."""
    ran = spile("fits", wall.copy(tmp_path / "wall"), "900x500", "--json")
    assert ran.code == 0
    assert ran.rules == ["fit 13"]
    assert ran.data["spots"] == []


def test_type_from_the_catalogue(wall: Built, tmp_path: Path) -> None:
    """A type counts with all its layers, in the project's own register and file nothing changes."""
    file = wall.copy(tmp_path / "wall")
    before = {one.name: one.read_bytes() for one in file.parent.iterdir()}
    said = spile("fits", file, "gauge-52")
    assert said.code == 0
    assert "one more" in said.out
    assert {one.name: one.read_bytes() for one in file.parent.iterdir()} == before


def test_before_placing_there_is_nothing_to_fit_into(tmp_path: Path) -> None:
    """Without an arrangement the command says what to do first."""
    file = tmp_path / "workshop_wall.yaml"
    file.write_bytes((EXAMPLES / file.name).read_bytes())
    ran = spile("fits", file, "30x25")
    assert ran.code == 2
    assert "run: spile arrange" in ran.err
