"""The judge against dense points: two ways to the same verdict that share nothing but the declared shapes."""

from __future__ import annotations

import random
from typing import Any

import pytest

from layout.placing.judge import judge
from layout.project.model.device import Behind, ClearAround, Device, PlugRoom
from layout.project.model.panel import Layer, NoGo
from layout.project.model.shape import Shape
from tests.placing.judge.builder import Case, Spot, case, device, disc, panel, rect
from tests.placing.oracle import opinion

SEEN = ("panel 1", "panel 2", "panel 3", "panel 4", "panel 5", "panel 6", "panel 11", "panel 12")
OUTLINES = (
    rect(400, 300, (200, 150)),
    rect(400, 300, (200, 150), radius=70),
    Shape(polygon=((0, 0), (400, 0), (400, 180), (260, 300), (0, 300))),
    Shape(polygon=((0, 0), (400, 0), (400, 300), (250, 300), (200, 180), (150, 300), (0, 300))),
)


def shape(dice: random.Random, size: float) -> Shape:
    """Return one of all kinds of shapes, about ``size`` large, centred."""
    wide, high = size, size * dice.choice((0.5, 0.75, 1.0))
    return dice.choice(
        (
            rect(wide, high),
            rect(wide, high, radius=min(wide, high) / 4),
            disc(size),
            Shape(slot=(wide, high / 2), turn=dice.choice((0.0, 90.0))),
            Shape(
                polygon=(
                    (-wide / 2, -high / 2),
                    (wide / 2, -high / 2),
                    (wide / 2, high / 4),
                    (0, high / 2),
                    (-wide / 2, 0),
                )
            ),
        )
    )


def random_device(dice: random.Random, key: str) -> Device:
    """Return a device of random layers, sometimes with a keep-clear, side tail room or a body that starts deep."""
    size = dice.choice((40.0, 60.0, 90.0))
    more: dict[str, Any] = {
        "face": shape(dice, size),
        "cutout": (shape(dice, size * 0.75),),
        "turns": (0, 90, 180, 270),
    }
    box = rect(size * 0.75, size * 0.5)
    start = dice.choice((0.0, 0.0, 60.0))
    more["behind"] = (Behind(shape=box, depth=start + dice.choice((30.0, 70.0)), from_depth=start),)
    more["plug_room"] = PlugRoom(depth=20.0, right=dice.choice((0.0, 15.0)), below=dice.choice((0.0, 10.0)))
    if dice.random() < 0.3:
        more["clear_around"] = (ClearAround(shape=rect(size, 30, (0, -size * 0.75))),)
    if dice.random() < 0.3:
        more["face_gap"] = 18.0
    return device(key, **more)


def instance(seed: int) -> Case:
    """Return a panel with three to six devices thrown on it, more often near each other than not."""
    dice = random.Random(seed)
    keys = [f"d{i}" for i in range(dice.randint(3, 6))]
    spots: dict[str, Spot] = {
        key: (dice.randint(30, 370), dice.randint(30, 270), dice.choice((0, 90, 180, 270))) for key in keys
    }
    zone = NoGo(shape=dice.choice((rect(40, 80, (320, 60)), disc(70, (90, 240)))), layer=(Layer.FRONT,))
    on = panel(outline=dice.choice(OUTLINES), depth=100.0, no_go={"z": zone})
    limits: dict[str, float] = dice.choice(({}, {"face_gap": 0.0, "edge": 0.0}, {"hole_gap": 0.0, "rear_gap": 0.0}))
    return case([random_device(dice, key) for key in keys], spots, on=on, **limits)


def compare(seed: int) -> None:
    """Fail when one of the two finds a rule broken that the other, sure of it, does not."""
    made = instance(seed)
    by_points = opinion(made.project, made.arrangement)
    by_judge = set()
    for finding in judge(made.project, made.arrangement):
        if finding.rule in SEEN:
            devices = [subject.split(".")[1] for subject in finding.subjects if subject.startswith("devices.")]
            by_judge.add((finding.rule, devices[0], devices[1] if len(devices) > 1 else ""))
    assert by_points.broken - by_judge == set()
    assert by_judge - by_points.broken - by_points.doubtful == set()


@pytest.mark.parametrize("seed", range(40))
def test_judge_and_points_agree(seed: int) -> None:
    """On random small instances both find the same rules broken by the same devices."""
    compare(seed)


@pytest.mark.long
def test_judge_and_points_agree_on_many() -> None:
    """The same over a hundred and fifty more instances."""
    for seed in range(1000, 1150):
        compare(seed)


def test_instances_are_both_good_and_bad() -> None:
    """The random instances break each rule at times and keep it at times, so agreement says something."""
    found = [{finding.rule for finding in judge(*_parts(instance(seed)))} for seed in range(40)]
    for code in SEEN:
        share = sum(code in rules for rules in found) / len(found)
        assert 0 < share < 1, code


def _parts(made: Case) -> tuple[Any, Any]:
    return made.project, made.arrangement
