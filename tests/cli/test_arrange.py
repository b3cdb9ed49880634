"""``spile arrange`` and ``spile choose``: the first is kept, later ones are proposals, Ctrl-C keeps the best so far."""

from __future__ import annotations

import os
import signal
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.project.register import Register, load, save
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from layout.placing.engine.stage_result import Progress
    from tests.conftest import Built


def remembered(file: Path) -> Register:
    """Return the register beside a project."""
    register, faults = load(file.with_name(f"{file.stem}.register.yaml"))
    assert register is not None, faults
    return register


def with_a_proposal(built: Built, folder: Path) -> Path:
    """Return a copy of a built project whose register has a second proposal: the radio 5 mm further right."""
    file = built.copy(folder)
    register = remembered(file)
    chosen = register.arrangement
    assert chosen is not None
    radio = replace(chosen.placed["radio"], x=chosen.placed["radio"].x + 5)
    other = replace(chosen, placed={**chosen.placed, "radio": radio}, proof="feasible", bound=None, gap=None)
    assert save(file.with_name(f"{file.stem}.register.yaml"), register.with_proposals((chosen, other))) == ()
    return file


def test_first_arrangement_is_kept(wall: Built) -> None:
    """The first placing of a project decides: it is in the register, and is proposal 1 as well."""
    register = remembered(wall.file)
    assert register.arrangement is not None
    assert register.proposals == (register.arrangement,)
    assert register.arrangement.made_of["devices.radio"]


def test_later_placing_only_proposes(wall: Built, tmp_path: Path) -> None:
    """Placing again leaves the chosen arrangement alone, and its proposals take the place of the ones before."""
    file = with_a_proposal(wall, tmp_path / "wall")
    chosen = remembered(file).arrangement
    ran = spile("arrange", file, "--seed", "2", "--effort", "quick", "--keep", "radio,ways", "--json")
    assert ran.code == 0
    after = remembered(file)
    assert after.arrangement == chosen
    assert [one.seed for one in after.proposals] == [2]
    assert chosen is not None
    for name in ("radio", "ways"):
        assert after.proposals[0].placed[name] == chosen.placed[name]


def test_choosing_takes_a_proposal(wall: Built, tmp_path: Path) -> None:
    """The proposal of that number becomes the arrangement; numbers of wires and the proposals stay."""
    file = with_a_proposal(wall, tmp_path / "wall")
    before = remembered(file)
    ran = spile("choose", file, "2")
    assert ran.code == 0
    assert "Proposal 2 is now the project's arrangement." in ran.out
    after = remembered(file)
    assert after.arrangement == before.proposals[1]
    assert (after.numbers, after.proposals) == (before.numbers, before.proposals)


def test_proposal_that_breaks_a_rule_is_not_taken(wall: Built, tmp_path: Path) -> None:
    """When the project has changed so that a proposal no longer fits, choosing it is an error and changes nothing."""
    file = with_a_proposal(wall, tmp_path / "wall")
    text = file.read_text(encoding="utf-8").replace("  edge: 14", "  edge: 140")
    file.write_text(text, encoding="utf-8")
    before = remembered(file)
    ran = spile("choose", file, "2", "--json")
    assert ran.code == 1
    assert "fit 8" in ran.rules
    assert remembered(file) == before


def test_picture_and_score_are_shown(wall: Built, tmp_path: Path) -> None:
    """The terminal shows each device with its place, the cost of each wish, the sum, and what is proven."""
    file = with_a_proposal(wall, tmp_path / "wall")
    ran = spile("choose", file, "1")
    chosen = remembered(file).arrangement
    assert chosen is not None
    lines = ran.out.splitlines()
    for name, placed in chosen.placed.items():
        assert any(line.split()[-4:] == [name, f"{placed.x:g}", f"{placed.y:g}", f"{placed.turn}"] for line in lines)
    for wish, cost in chosen.by_wish.items():
        assert any(line.startswith(wish) and line.endswith(f" {cost:g}") for line in lines)
    assert any(line.startswith("Proven: ") for line in lines)


def test_what_does_not_fit_is_explained(wall: Built, tmp_path: Path) -> None:
    """A device too large for its panel is an error with figures; nothing is kept."""
    file = wall.copy(tmp_path / "wall")
    file.with_name("workshop_wall.register.yaml").unlink()
    text = file.read_text(encoding="utf-8").replace("face: {rect: [185, 60], radius: 5}", "face: {rect: [485, 60]}")
    file.write_text(text, encoding="utf-8")
    ran = spile("arrange", file, "--effort", "quick", "--json")
    assert ran.code == 1
    assert any("485 x 60 mm" in finding["message"] for finding in ran.data["findings"] if finding["rule"] == "fit 1")
    assert not file.with_name("workshop_wall.register.yaml").exists()


def test_ctrl_c_keeps_the_best_so_far(wall: Built, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in a long search, once something is found, ends it early, keeps that, says so, and leaves whole files."""
    file = wall.copy(tmp_path / "wall")
    register = file.with_name("workshop_wall.register.yaml")
    register.unlink()
    pressed: list[Progress] = []

    def press(now: Progress) -> str:
        if not pressed:
            os.kill(os.getpid(), signal.SIGINT)
        pressed.append(now)
        return ""

    monkeypatch.setattr("layout.placing.words.progress_words", press)
    ran = spile("arrange", file, "--effort", "thorough", "--json")
    assert ran.code == 0, ran.err
    assert "fit 10" in ran.rules
    assert pressed[0].value is not None
    assert remembered(file).arrangement is not None
    assert {one.name for one in file.parent.iterdir()} == {file.name, register.name}


@pytest.mark.parametrize("words", [("--alternatives", "3")])
def test_alternatives_differ_and_go_on_a_contact_sheet(wall: Built, tmp_path: Path, words: tuple[str, ...]) -> None:
    """Several arrangements are shown by number, proposed, and drawn beside each other."""
    file = wall.copy(tmp_path / "wall")
    ran = spile("arrange", file, *words, "--effort", "quick", "--out", tmp_path / "out", "--json")
    assert ran.code == 0
    proposals = remembered(file).proposals
    assert len(ran.data["arrangements"]) == len(proposals)
    assert len({str(one.placed) for one in proposals}) == len(proposals)
    if len(proposals) > 1:
        assert {name.rsplit(".", 1)[-1] for name in ran.data["files"]} == {"pdf", "svg"}
