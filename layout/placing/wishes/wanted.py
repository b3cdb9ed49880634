"""Which wishes count in a project, with which weight, and what they are called."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.translation.layout_index import Thing
from layout.placing.translation.turned_shapes import room_shapes
from layout.project.model.panel import Layer
from layout.project.model.wishes import Wish

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.project.model.project import Project

COST_PER_STEP = 100
"""Cost of one step at weight 1, so that weights count in hundredths."""

COST_PER_MM = 200
"""Cost of one millimetre at weight 1: the value of an arrangement is its cost over this, in weighted mm."""

MISSING_MM = 100.0
"""A missing alignment, or a blank that is not left, counts as much as this many millimetres."""

BLANK_MM = (120.0, 120.0)
"""Size of the blank that a preset asks for, mm."""


@cache
def presets() -> dict[str, dict[str, dict[str, float]]]:
    """Return the presets: by name, the factors and base weights by kind of wish."""
    from layout.shipped import shipped_yaml

    text = resources.files("layout.placing").joinpath("presets.yaml").read_text(encoding="utf-8")
    loaded: dict[str, dict[str, dict[str, float]]] = shipped_yaml(text)
    return loaded


def wanted(project: Project) -> tuple[Wish, ...]:
    """Return the wishes that count: those of the project with the preset's factors, and the preset's own."""
    preset = presets().get(project.wishes.preset or "", {"factor": {}, "base": {}})
    stated = [
        replace(wish, weight=wish.weight * preset["factor"].get(wish.wish, 1.0)) for wish in project.wishes.wanted
    ]
    kinds = {wish.wish for wish in stated}
    base: list[Wish] = []
    for kind, weight in preset["base"].items():
        if kind not in kinds:
            extra: dict[str, Any] = {"size": BLANK_MM} if kind == "large blank" else {}
            name = f"{kind} (preset {project.wishes.preset})"
            base.append(Wish(wish=kind, weight=weight, name=name, **extra))  # type: ignore[arg-type]
    return (*stated, *base)


def wish_label(wish: Wish) -> str:
    """Return what a wish is called: its name, else its kind and devices."""
    return wish.name or (f"{wish.wish}: {', '.join(wish.devices)}" if wish.devices else wish.wish)


def by_name(costs: Sequence[tuple[str, int]]) -> dict[str, float]:
    """Return the cost of each wish in weighted mm, from the costs of its terms."""
    summed: dict[str, int] = {}
    for name, cost in costs:
        summed[name] = summed.get(name, 0) + cost
    return {name: round(cost / COST_PER_MM, 2) for name, cost in summed.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """Room that a wish wants left, and the cost of not leaving it."""

    thing: Thing
    cost: int


def room_for_blanks(project: Project) -> tuple[Blank, ...]:
    """Return the room that wishes for a large blank ask for, each named after its wish.

    A blank may stand either way up on any panel that the wish allows, clear of faces, cut-outs and bodies.
    """
    used = {panel for device in project.devices.values() for panel in device.panel}
    found = []
    for wish in wanted(project):
        if wish.wish != "large blank" or wish.size is None or not wish.weight:
            continue
        panels = (wish.panel,) if wish.panel else tuple(key for key in project.panels if key in used)
        sizes = dict.fromkeys((wish.size, wish.size[::-1]))
        stands = tuple(room_shapes(size, (Layer.ALL,), None) for size in sizes)
        thing = Thing(name=wish_label(wish), panels=panels, stands=stands)
        found.append(Blank(thing=thing, cost=round(wish.weight * MISSING_MM * COST_PER_MM)))
    return tuple(found)
