"""Verdicts do not depend on how a scene is looked at."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.placing.judge import judge
from layout.project.model.arrangement import Arrangement
from layout.project.model.device import PlugRoom
from tests.placing.judge.builder import Case
from tests.placing.judge.test_oracle import instance

if TYPE_CHECKING:
    from layout.findings.finding import Finding
    from layout.project.model.arrangement import Placed
    from layout.project.model.device import Device
    from layout.project.model.panel import Panel
    from layout.project.model.shape import Shape

WIDTH = 400.0
SEEDS = range(2000, 2025)


def verdict(made: Case) -> Counter[tuple[str, frozenset[str], float | None]]:
    """Return what is found, by code, subjects and measure, in no order."""
    return Counter(_plain(finding) for finding in judge(made.project, made.arrangement))


def _plain(finding: Finding) -> tuple[str, frozenset[str], float | None]:
    measured = None if finding.measured is None else round(finding.measured, 3) + 0.0
    return finding.rule, frozenset(finding.subjects), measured


def mirrored(made: Case) -> Case:
    """Return the scene seen in a mirror, x turned round about the panel's middle."""
    project = replace(
        made.project,
        panels={key: _panel(panel) for key, panel in made.project.panels.items()},
        devices={key: _device(device) for key, device in made.project.devices.items()},
    )
    return Case(project, Arrangement(placed={key: _spot(spot) for key, spot in made.arrangement.placed.items()}))


def _shape(shape: Shape, about: float = 0.0) -> Shape:
    corners = tuple((2 * about - x, y) for x, y in shape.polygon)
    if shape.polygon:
        return replace(shape, polygon=corners)
    return replace(shape, at=(2 * about - shape.at[0], shape.at[1]), turn=-shape.turn)


def _panel(panel: Panel) -> Panel:
    no_go = {key: replace(zone, shape=_shape(zone.shape, WIDTH / 2)) for key, zone in panel.no_go.items()}
    return replace(panel, outline=_shape(panel.outline, WIDTH / 2), no_go=no_go)


def _device(device: Device) -> Device:
    tail = device.plug_room or PlugRoom()
    return replace(
        device,
        face=_shape(device.face) if device.face else None,
        cutout=tuple(_shape(shape) for shape in device.cutout),
        behind=tuple(replace(body, shape=_shape(body.shape)) for body in device.behind),
        plug_room=replace(tail, left=tail.right, right=tail.left),
        clear_around=tuple(replace(zone, shape=_shape(zone.shape)) for zone in device.clear_around),
    )


def _spot(spot: Placed) -> Placed:
    return replace(spot, x=WIDTH - spot.x, turn=(-spot.turn) % 360)


@pytest.mark.parametrize("seed", SEEDS)
def test_mirror_image_gets_the_same_verdict(seed: int) -> None:
    """A scene and its mirror image break the same rules by the same measures."""
    made = instance(seed)
    assert verdict(mirrored(made)) == verdict(made)


@pytest.mark.parametrize("seed", SEEDS)
def test_order_of_devices_does_not_matter(seed: int) -> None:
    """Devices declared and placed in the opposite order break the same rules by the same measures."""
    made = instance(seed)
    project = replace(made.project, devices=dict(reversed(made.project.devices.items())))
    arrangement = Arrangement(placed=dict(reversed(made.arrangement.placed.items())))
    assert verdict(Case(project, arrangement)) == verdict(made)
