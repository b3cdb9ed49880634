"""A move judged by what it touches says the same as judging everything anew."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.placing.judge import judge, judge_moved
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.panel import OldHole
from tests.conftest import FULL
from tests.placing.projects import mixed, rect

if TYPE_CHECKING:
    from layout.project.model.project import Project


def scattered(project: Project, chance: random.Random) -> Arrangement:
    """Return chance places for every device, some over the edge, most near another."""
    return Arrangement(placed={key: _somewhere(project, key, chance) for key in project.devices})


def _somewhere(project: Project, key: str, chance: random.Random) -> Placed:
    x, y = chance.randrange(40, 900) / 2, chance.randrange(20, 700) / 2
    return Placed(device=key, panel="main", x=x, y=y, turn=chance.choice(project.devices[key].turns))


def with_old_holes(project: Project) -> Project:
    """Return the project with an old hole to be covered and one to be blanked."""
    panel = project.panels["main"]
    holes = {
        "under": OldHole(shape=rect(20, 20, (150, 120)), fate="cover"),
        "shut": OldHole(shape=rect(30, 10, (260, 200)), fate="blank"),
    }
    return replace(project, panels={"main": replace(panel, old_holes=holes)})


def test_one_or_two_moved_devices_are_judged_like_all() -> None:
    """A walk of chance moves and turns on chance panels; each step starts from what the step before said."""
    told = 0
    for seed in range(200 if FULL else 12):
        chance = random.Random(seed)
        project = with_old_holes(mixed(seed, devices=8))
        arrangement = scattered(project, chance)
        known = judge(project, arrangement, chosen=arrangement)
        for _ in range(4):
            moved = chance.sample(sorted(project.devices), chance.choice((1, 1, 2)))
            placed = {**arrangement.placed, **{key: _somewhere(project, key, chance) for key in moved}}
            arrangement = replace(arrangement, placed=placed)
            known = judge_moved(project, arrangement, moved, known, chosen=arrangement)
            assert known == judge(project, arrangement, chosen=arrangement)
            told += len(known)
    assert told > 400  # the panels are not so wide that nothing is ever wrong
