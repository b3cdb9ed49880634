"""Proof is asked for, and then the register has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.register import load, register_path
from tests.running import spile

if TYPE_CHECKING:
    from pathlib import Path

    from layout.project.model.arrangement import Arrangement

TWO = """spile: 2
project: {name: Two, example: true}
panels: {wall: {outline: {rect: [300, 200]}, thickness: 6, material: plywood, depth: 100}}
devices:
  a: {panel: wall, mount: surface, face: {rect: [80, 60]}, behind: {shape: {rect: [70, 50]}, depth: 40},
      size_from: measured}
  b: {panel: wall, mount: surface, face: {rect: [60, 40]}, behind: {shape: {rect: [50, 30]}, depth: 40},
      size_from: measured}
wishes: {wanted: [{wish: near point, point: [150, 100]}]}
"""


def kept(file: Path) -> Arrangement:
    """Return the arrangement that the register has."""
    register, _ = load(register_path(file))
    assert register is not None
    assert register.arrangement is not None
    return register.arrangement


def test_prove_states_the_bound_and_keeps_it(tmp_path: Path) -> None:
    """An ordinary placing leaves the question open; proving answers it, and the arrangement stays where it is."""
    file = tmp_path / "two.yaml"
    file.write_text(TWO, encoding="utf-8")
    placed = spile("arrange", file)
    assert "how near the best is for spile prove to say" in placed.out
    before = kept(file)
    ran = spile("prove", file)
    assert ran.code == placed.code, ran.err
    assert "Proven: optimal on the 0.5 mm grid for these shapes." in ran.out
    after = kept(file)
    assert (after.placed, after.value, after.proof) == (before.placed, before.value, "optimal")
    assert after.bound == after.value


def test_without_an_arrangement_there_is_nothing_to_prove(tmp_path: Path) -> None:
    """To prove comes after to place."""
    file = tmp_path / "two.yaml"
    file.write_text(TWO, encoding="utf-8")
    ran = spile("prove", file)
    assert ran.code == 2
    assert "there is no arrangement to prove anything of" in ran.err
