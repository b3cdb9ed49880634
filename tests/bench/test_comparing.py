"""Two sides of a project: what differs, and nothing where nothing does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.register import load, register_path, save
from tests.running import ROOT, spile

if TYPE_CHECKING:
    from pathlib import Path


def test_a_side_is_the_same_as_itself(wall: Path) -> None:
    """Nothing differs, and nothing is written."""
    before = register_path(wall).read_bytes()
    ran = spile("compare", wall, "now", "now", "--json")
    assert ran.code == 0
    assert ran.data["changes"] == []
    assert ran.data["labels_to_print_again"] == []
    assert ran.data["findings_of_the_first_alone"] == ran.data["findings_of_the_second_alone"] == []
    assert register_path(wall).read_bytes() == before


def test_a_move_is_told_with_its_way(wall: Path) -> None:
    """From before to now: the one device that moved, by how much."""
    assert spile("move", wall, "lamp", "--by", "0,-40").code == 0
    (change,) = spile("compare", wall, "before", "now", "--json").data["changes"]
    assert (change["id"], change["change"]) == ("Lamp", "moved")
    assert "(+0.0, -40.0 mm)" in change["now"]


def test_practices_colour_a_light_otherwise() -> None:
    """ABYC E-11 lists grey for navigation lights and blue for cabin lights; the ISO side of the launch has red."""
    data = spile("compare", ROOT / "examples/launch/launch.yaml", "iso", "abyc", "--json").data
    coloured = {c["id"]: (c["before"], c["now"]) for c in data["changes"] if c["change"] == "recoloured"}
    light = next(both for name, both in coloured.items() if "Cabin lights aft" in name)
    assert light == ("RD, YE", "BU, YE")
    assert any("Cabin lights aft" in label["now"] for label in data["labels_to_print_again"])


def test_a_revision_is_compared_by_what_it_issued(wall: Path, tmp_path: Path) -> None:
    """What was handed over is known, its label texts and findings are not, and that is said."""
    from layout import flow
    from layout.project.reading.read import read

    register, _ = load(register_path(wall))
    project = read(wall).project
    assert register is not None
    assert project is not None
    issued = flow.remember(register, flow.plan(project, register.arrangement, register=register))
    assert save(register_path(wall), issued, known=register) == ()
    (revision,) = issued.issued
    data = spile("compare", wall, f"revision:{revision}", "now", "--json").data
    assert data["changes"] == []
    assert data["labels_to_print_again"] is None
    assert data["findings_of_the_second_alone"] is None


def test_an_unknown_side_is_refused(wall: Path) -> None:
    """Each wrong name says what there is."""
    for name, words in (("7", "no proposal 7"), ("before", "chosen before"), ("revision:Z", "no revision 'Z'"),
                        ("yesterday", "no side to compare"), ("²", "no side to compare")):  # fmt: skip
        ran = spile("compare", wall, name, "now", "--json")
        assert ran.code == 2
        assert words in ran.data["findings"][0]["message"]
