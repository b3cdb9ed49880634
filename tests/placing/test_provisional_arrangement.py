"""The stand-in for an arrangement with which lengths are reckoned before anything is placed."""

from __future__ import annotations

from layout import flow
from layout.placing.provisional_arrangement import in_the_middle
from layout.project.reading.read import read
from tests.conftest import EXAMPLES

WALL = read(EXAMPLES / "workshop_wall.yaml").project


def test_every_device_of_a_panel_stands_in_its_middle():
    """The panel is 460 x 300 mm; what stands elsewhere aboard has no place on it."""
    placed = in_the_middle(WALL).placed
    assert set(placed) == {key for key, device in WALL.devices.items() if device.panel}
    assert {(spot.x, spot.y) for spot in placed.values()} == {(230.0, 150.0)}


def test_a_first_look_blames_nobody_for_what_is_not_placed():
    """Without an arrangement a rough plan has lengths, and no finding about them; a plain one keeps them open."""
    rough, plain = flow.plan(WALL, rough=True), flow.plan(WALL)
    assert "wire 2" not in {finding.rule for finding in rough.findings}
    assert "wire 2" in {finding.rule for finding in plain.findings}
    assert rough.arrangement is None
    assert all(run.length.total_mm is not None for run in rough.wiring.runs)
