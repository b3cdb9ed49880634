"""The problem that the solver gets says the same as the judge, on the judge's own instances and on chance ones."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from layout.placing.engine import recount
from layout.placing.judge import judge, refusals
from layout.placing.translation.layout_index import GivenPosition
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import translate
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.reserved_room import stand_ins
from tests.conftest import FULL
from tests.placing.judge.cases import TWINS
from tests.placing.judge.test_oracle import instance
from tests.placing.oracle import opinion
from tests.placing.projects import mixed

if TYPE_CHECKING:
    from layout.project.model.project import Project

NOT_THE_SOLVERS = {"panel 34", "panel 35", "panel 38", "panel 39"}
"""Codes about who decides a position: the test gives every position, so nothing is left to decide."""

IDS = [f"{rule}: {what}" for what, rule, *_ in TWINS]


def refused(project: Project, arrangement: Arrangement, side: Rounding) -> tuple[str, ...]:
    """Return the rules that the problem says an arrangement breaks, positions taken exactly."""
    held = {
        key: GivenPosition(x=one.x, y=one.y, turn=one.turn, panel=one.panel)
        for key, one in arrangement.placed.items()
        if key in project.devices
    }
    built = translate(project, side=side, held=held)
    if built.problem is None:
        return tuple(rule for one in built.refused for rule in one.rules)
    rooms = {
        key: Placed(device=key, panel=room.panel[0], x=room.pin.x or 0.0, y=room.pin.y or 0.0)
        for key, room in stand_ins(project).items()
        if room.pin is not None
    }
    broken = recount.broken(built.problem, built.positions({**rooms, **arrangement.rooms, **arrangement.placed}))
    return tuple(rule for rule, _ in broken if rule != "present")


@pytest.mark.parametrize(("what", "rule", "code", "bad", "good"), TWINS, ids=IDS)
def test_problem_knows_every_rule(what: str, rule: str, code: str, bad: object, good: object) -> None:
    """What the judge refuses the safe problem refuses too; what the judge passes the loose problem allows."""
    for case in (bad, good):
        every = refusals(judge(case.project, case.arrangement, chosen=case.chosen))
        blamed = [one for one in every if one.rule not in NOT_THE_SOLVERS and "loom" not in one.message]
        missing = {one.rule for one in blamed} <= {"panel 26", "panel 37"}
        if blamed and not missing:
            assert refused(case.project, case.arrangement, Rounding.SAFE)
        if not blamed:
            assert not refused(case.project, case.arrangement, Rounding.LOOSE)


def scattered(project: Project, seed: int) -> Arrangement:
    """Return chance positions for every device: the first mostly inside the panel, the others close to it."""
    chance = random.Random(seed)
    placed: dict[str, Placed] = {}
    for key, device in project.devices.items():
        x, y = chance.randrange(80, 700) / 2, chance.randrange(60, 560) / 2
        if placed:
            x, y = placed["d0"].x + chance.randrange(-220, 220) / 2, placed["d0"].y + chance.randrange(-200, 200) / 2
        placed[key] = Placed(device=key, panel="main", x=x, y=y, turn=chance.choice(device.turns))
    return Arrangement(placed=placed)


def only(project: Project, keys: tuple[str, ...]) -> Project:
    """Return the project with some of its devices and the relations among them."""
    bound = tuple(one for one in project.rules.relations if set(one.devices) <= set(keys))
    return replace(
        project,
        devices={key: project.devices[key] for key in keys},
        rules=replace(project.rules, relations=bound),
    )


def test_chance_layouts_are_judged_alike(record_property: pytest.RecordProperty) -> None:
    """No layout that the judge refuses passes the safe problem, none that it passes is refused by the loose one.

    How many judge-valid layouts the safe problem refuses is reported with the rules that refuse them.
    """
    why: Counter[str] = Counter()
    valid = invalid = 0
    for seed in range(120 if FULL else 30):
        project = only(mixed(seed), ("d0", "d1"))
        for k in range(8):
            arrangement = scattered(project, 1000 * seed + k)
            bad = refusals(judge(project, arrangement))
            safe = refused(project, arrangement, Rounding.SAFE)
            if bad:
                invalid += 1
                assert safe, [one.message for one in bad]
            else:
                valid += 1
                why.update(set(safe) and {min(safe)})
                assert not refused(project, arrangement, Rounding.LOOSE)
    share = sum(why.values()) / valid
    record_property("safe problem refuses judge-valid layouts", f"{sum(why.values())} of {valid}: {dict(why)}")
    print(f"\nsafe problem refuses {100 * share:.1f} % of {valid} judge-valid layouts: {dict(why)}")
    assert valid > 20
    assert invalid > 20
    assert share < 0.2


def test_three_opinions_agree() -> None:
    """On small chance layouts, about half of them good, judge, problem and dense points never contradict each other."""
    good = bad = 0
    for seed in range(100 if FULL else 25):
        made = instance(seed)
        keys = tuple(made.project.devices)[: 1 + seed % 3]
        project = only(made.project, keys)
        arrangement = Arrangement(placed={key: made.arrangement.placed[key] for key in keys})
        broken = refusals(judge(project, arrangement))
        points = opinion(project, arrangement)
        if broken:
            bad += 1
            assert refused(project, arrangement, Rounding.SAFE)
            assert points.broken or points.doubtful
        else:
            good += 1
            assert not refused(project, arrangement, Rounding.LOOSE)
            assert not points.broken
    assert min(good, bad) > 0.2 * (good + bad)
