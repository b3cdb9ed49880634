"""Small invented projects for placing, built straight from the model."""

from __future__ import annotations

import random
from typing import Any

from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Body, Device, Fixing, KeepClear, Pin, Tail
from layout.project.model.panel import CableEntry, Hinge, KeepOut, Layer, Panel
from layout.project.model.project import Project, TitleBlock
from layout.project.model.rules import Relation, Rules
from layout.project.model.shape import Shape
from layout.project.model.wishes import Wish, Wishes


def rect(width: float, height: float, at: tuple[float, float] = (0.0, 0.0), radius: float = 0.0) -> Shape:
    """Return a rectangle."""
    return Shape(rect=(width, height), at=at, radius=radius)


def disc(diameter: float, at: tuple[float, float] = (0.0, 0.0)) -> Shape:
    """Return a circle."""
    return Shape(circle=diameter, at=at)


def panel(width: float = 400, height: float = 300, **more: Any) -> Panel:
    """Return a plywood panel with 150 mm behind it."""
    fields: dict[str, Any] = {
        "id": "main",
        "outline": rect(width, height, (width / 2, height / 2)),
        "thickness": 9.0,
        "material": "plywood",
        "depth": 150.0,
    }
    return Panel(**(fields | more))


def device(key: str, width: float = 60, height: float = 40, **more: Any) -> Device:
    """Return a rectangular device; cut-out and body are 20 mm smaller than the face, 50 deep, 30 of tail room."""
    inner = rect(max(width - 20, 4), max(height - 20, 4))
    fields: dict[str, Any] = {
        "id": key,
        "panel": ("main",),
        "face": rect(width, height),
        "cutout": (inner,),
        "body": (Body(shape=inner, depth=50.0),),
        "tail": Tail(depth=30.0),
        "front_height": 5.0,
    }
    return Device(**(fields | more))


def gauge(key: str, diameter: float = 60, **more: Any) -> Device:
    """Return a round device."""
    inner = disc(diameter - 20)
    fields: dict[str, Any] = {
        "face": disc(diameter),
        "cutout": (inner,),
        "body": (Body(shape=inner, depth=50.0),),
    }
    return device(key, **(fields | more))


def project(*devices: Device, panels: tuple[Panel, ...] = (), **more: Any) -> Project:
    """Return a project with these devices on one plain panel, or on those given."""
    fields: dict[str, Any] = {
        "spile": 1,
        "project": TitleBlock(name="Invented", invented=True),
        "panels": {one.id: one for one in (panels or (panel(),))},
        "devices": {one.id: one for one in devices},
    }
    return Project(**(fields | more))


def wishes(*wanted: Wish, preset: Any = None) -> Wishes:
    """Return wishes."""
    return Wishes(wanted=wanted, preset=preset)


def relations(*bound: Relation, **limits: float) -> Rules:
    """Return rules with relations, and limits where named."""
    return Rules(relations=bound, **limits)  # type: ignore[arg-type]


def arrangement(**spots: tuple[float, float]) -> Arrangement:
    """Return an arrangement on panel main, nothing turned."""
    return Arrangement(placed={key: Placed(device=key, panel="main", x=x, y=y) for key, (x, y) in spots.items()})


def mixed(seed: int, *, devices: int = 5) -> Project:
    """Return a project of mixed shapes by a seed: an irregular panel with keep-outs, turns, keep-clears, relations."""
    chance = random.Random(seed)
    outlines = [
        rect(420, 320, (210, 160), radius=chance.choice((0.0, 25.0))),
        Shape(polygon=((0, 0), (430, 0), (430, 220), (330, 330), (0, 330))),
        Shape(polygon=((0, 0), (420, 0), (420, 340), (260, 340), (260, 280), (0, 280))),
    ]
    keep_outs = {
        "lock": KeepOut(id="lock", shape=rect(30, 50, (400, 160)), layer=(Layer.ALL,)),
        "batten": KeepOut(
            id="batten", shape=rect(420, 14, (210, 150)), layer=(Layer.REAR,), kind="batten", from_depth=40
        ),
    }
    made = [_mixed(f"d{k}", chance) for k in range(devices)]
    bound = (Relation(row=("d0", "d1")),) if chance.random() < 0.3 else ()
    return project(
        *made,
        panels=(
            panel(
                outline=chance.choice(outlines),
                keep_outs={key: zone for key, zone in keep_outs.items() if chance.random() < 0.4},
                entry=CableEntry(at=(200.0, 0.0), place="here"),
            ),
        ),
        rules=Rules(gap=chance.choice((0.0, 8.0, 12.5)), web=chance.choice((10.0, 20.0)), relations=bound),
        wishes=wishes(Wish(wish="near point", point=(chance.uniform(0, 400), chance.uniform(0, 300)))),
    )


def _mixed(key: str, chance: random.Random) -> Device:
    width, height = chance.choice((48, 60.5, 79.375, 90)), chance.choice((48, 52, 66.2))
    turns = chance.choice(((0,), (0, 90), (0, 90, 180, 270)))
    tail = Tail(depth=20, left=chance.choice((0, 12)), above=chance.choice((0, 9)))
    clear = ()
    if chance.random() < 0.3:
        clear = (
            KeepClear(shape=rect(30, 25, (-8, -height / 2 - 12)), layer=(chance.choice((Layer.FRONT, Layer.REAR)),)),
        )
    fixings = tuple(Fixing(at=(x, 0.0), drill=4.0) for x in (-width / 2 + 4, width / 2 - 4))
    if chance.random() < 0.35:
        return gauge(key, diameter=chance.choice((52, 61.5, 85)), tail=tail, keep_clear=clear)
    if chance.random() < 0.2:
        corner = Shape(polygon=((-45, -30), (45, -30), (45, 0), (5, 0), (5, 30), (-45, 30)))
        return device(key, face=corner, cutout=(rect(60, 18, (0, -15)),), turns=turns, tail=tail)
    return device(key, width, height, turns=turns, tail=tail, keep_clear=clear, fixings=fixings if width > 50 else ())


def hinged(**more: Any) -> Panel:
    """Return a panel on a hinge at its left side."""
    return panel(hinge=Hinge(side="left", loom_depth=20.0), **more)


__all__ = [
    "Pin",
    "arrangement",
    "device",
    "disc",
    "gauge",
    "hinged",
    "mixed",
    "panel",
    "project",
    "rect",
    "relations",
    "wishes",
]
