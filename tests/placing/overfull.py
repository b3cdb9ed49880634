"""Invented panels that are a little too full: cut from a sheet, the sheet then made smaller or the gaps larger."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, Any

from layout.placing.by_components import Effort
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.project.model.panel import Layer, NoGo, Panel, Reserved
from layout.project.model.rules import Relation, Rules
from tests.benchmarks.placing.panels import make
from tests.placing.projects import device, panel, project, rect

if TYPE_CHECKING:
    from layout.placing.explain.changes import SingleChange
    from layout.project.model.project import Project

GAP_MM = 15

SIZES = ((6, 1.0), (8, 0.95), (12, 0.95), (16, 1.03), (20, 0.92), (20, 1.05))
"""Devices and load of the panels, in turn."""


def overfull(seed: int, devices: int, load: float) -> Project:
    """Return a project whose devices take about this share of what is free on the one panel, each part by chance.

    A load above 1 can't be placed; below, whether it can is open. A side that one device is held to, a keep-out
    across the panel and reserved room come by chance.
    """
    chance = random.Random(seed)
    cut = make(devices, min(load, 0.97), seed, width=chance.choice((420, 520, 640)), height=chance.choice((300, 360)))
    shrink = max(1.0, load / 0.97) ** 0.5
    width, height = round(cut.width / shrink), round(cut.height / shrink)
    more: dict[str, Any] = {}
    if chance.random() < 0.3:
        more["no_go"] = {
            "bar": NoGo(id="bar", name="Batten", shape=rect(width, 12, (width / 2, height / 2)), layer=(Layer.REAR,))
        }
    if chance.random() < 0.3:
        more["reserved"] = {"later": Reserved(id="later", name="Later", size=(60.0, 50.0), depth=40.0)}
    made = [device(f"d{k}", w, h, hole_gap=5.0, edge=float(GAP_MM)) for k, (w, h) in enumerate(cut.sizes)]
    rules = Rules(face_gap=float(GAP_MM), rear_gap=0.0)
    if chance.random() < 0.3:
        rules = Rules(face_gap=float(GAP_MM), rear_gap=0.0, relations=(Relation(on_side=("d0", "d1"), side="left"),))
    return project(*made, panels=(_panel(width, height, more),), rules=rules)


def is_placed(change: SingleChange) -> bool:
    """Say whether quick placing finds an arrangement of a project with a change that was offered, and it is judged."""
    arrangement = place(change.project, effort=Effort.QUICK).arrangement
    return arrangement is not None and not refusals(judge(change.project, arrangement))


def _panel(width: float, height: float, more: dict[str, Any]) -> Panel:
    return panel(width, height, **more)
