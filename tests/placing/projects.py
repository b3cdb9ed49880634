"""Small invented projects for placing, built straight from the model."""

from __future__ import annotations

import random
from typing import Any

from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.device import Behind, ClearAround, Device, Fixing, Pin, PlugRoom
from layout.project.model.panel import (
    CableExit,
    Compass,
    DepthPoint,
    DepthStep,
    Hinge,
    Layer,
    NoGo,
    Obstacle,
    OldHole,
    Panel,
    Reserved,
)
from layout.project.model.project import Project, TitleBlock
from layout.project.model.rules import ApartRule, Relation, Rules
from layout.project.model.shape import ArcTo, Corner, Shape
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
        "behind": (Behind(shape=inner, depth=50.0),),
        "plug_room": PlugRoom(depth=30.0),
        "front_height": 5.0,
    }
    return Device(**(fields | more))


def gauge(key: str, diameter: float = 60, **more: Any) -> Device:
    """Return a round device."""
    inner = disc(diameter - 20)
    fields: dict[str, Any] = {
        "face": disc(diameter),
        "cutout": (inner,),
        "behind": (Behind(shape=inner, depth=50.0),),
    }
    return device(key, **(fields | more))


def project(*devices: Device, panels: tuple[Panel, ...] = (), **more: Any) -> Project:
    """Return a project with these devices on one plain panel, or on those given."""
    fields: dict[str, Any] = {
        "spile": 1,
        "project": TitleBlock(name="Invented", example=True),
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
    """Return a project by a seed: an irregular panel with zones, depths, hinge and compass; mixed devices; rules."""
    chance = random.Random(seed)
    outlines = [
        rect(420, 320, (210, 160), radius=chance.choice((0.0, 25.0))),
        Shape(polygon=((0, 0), (430, 0), (430, 220), (330, 330), (0, 330))),
        Shape(polygon=((0, 0), (420, 0), (420, 340), (260, 340), (260, 280), (0, 280))),
        Shape(path=(Corner(at=(0, 0), radius=40), (430, 0), ArcTo(arc_to=(430, 330), through=(455, 160)), (0, 330))),
    ]
    no_go = {
        "lock": NoGo(id="lock", shape=rect(30, 50, (400, 160)), layer=(Layer.ALL,)),
        "batten": NoGo(id="batten", shape=rect(420, 14, (210, 150)), layer=(Layer.REAR,), kind="batten", from_depth=40),
    }
    made = [_mixed(f"d{k}", chance) for k in range(devices)]
    bound = (Relation(row=("d0", "d1")),) if chance.random() < 0.3 else ()
    apart = (ApartRule(between=("d0", "class:dc"), gap=35.0, layer=chance.choice(list(Layer))),)
    return project(
        *made,
        panels=(
            panel(
                outline=chance.choice(outlines),
                holes=(disc(24, (60, 260)),) if chance.random() < 0.2 else (),
                no_go={key: zone for key, zone in no_go.items() if chance.random() < 0.4},
                cable_exit=CableExit(at=(200.0, 0.0), location="here"),
                **_surroundings(chance),
            ),
        ),
        rules=Rules(
            face_gap=chance.choice((0.0, 8.0, 12.5)),
            hole_gap=chance.choice((10.0, 20.0)),
            relations=bound,
            apart=apart if chance.random() < 0.3 else (),
        ),
        wishes=wishes(Wish(wish="near point", point=(chance.uniform(0, 400), chance.uniform(0, 300)))),
    )


def _surroundings(chance: random.Random) -> dict[str, Any]:
    """Return what is behind and around a panel, each part by chance."""
    found: dict[str, Any] = {}
    if chance.random() < 0.3:
        spots = (((0, 0), 90.0), ((430, 0), 160.0), ((430, 330), 170.0), ((0, 330), 120.0))
        found["depth_at"] = tuple(DepthPoint(at=at, depth=depth) for at, depth in spots)
    if chance.random() < 0.3:
        found["depth_steps"] = (DepthStep(shape=disc(150, (120, 90)), depth=85.0),)
    if chance.random() < 0.3:
        post = Obstacle(id="post", low=(-30.0, 40.0, -300.0), high=(-8.0, 400.0, -20.0))
        frame = Obstacle(id="frame", low=(425.0, 0.0, -120.0), high=(480.0, 330.0, -30.0))
        side = chance.choice(("left", "right"))
        found["hinge"] = Hinge(side=side, opens=95.0, loom_depth=20.0, obstacles={"post": post, "frame": frame})
    if chance.random() < 0.3:
        found["compasses"] = {"c": Compass(id="c", at=(210.0, 380.0, 60.0))}
    if chance.random() < 0.2:
        found["reserved"] = {"r": Reserved(id="r", size=(70.0, 50.0), at=(300.0, 60.0), depth=40.0)}
    if chance.random() < 0.3:
        fate = chance.choice(("blank", "open"))
        found["old_holes"] = {"o": OldHole(id="o", shape=disc(30, (140, 200)), fate=fate)}
    return found


def _mixed(key: str, chance: random.Random) -> Device:
    width, height = chance.choice((48, 60.5, 79.375, 90)), chance.choice((48, 52, 66.2))
    turns = chance.choice(((0,), (0, 90), (0, 90, 180, 270)))
    tail = PlugRoom(depth=20, left=chance.choice((0, 12)), above=chance.choice((0, 9)))
    clear = ()
    if chance.random() < 0.3:
        clear = (
            ClearAround(shape=rect(30, 25, (-8, -height / 2 - 12)), layer=(chance.choice((Layer.FRONT, Layer.REAR)),)),
        )
    fixings = tuple(Fixing(at=(x, 0.0), drill=4.0) for x in (-width / 2 + 4, width / 2 - 4))
    if chance.random() < 0.35:
        return gauge(key, diameter=chance.choice((52, 61.5, 85)), plug_room=tail, clear_around=clear)
    if chance.random() < 0.2:
        corner = Shape(polygon=((-45, -30), (45, -30), (45, 0), (5, 0), (5, 30), (-45, 30)))
        return device(key, face=corner, cutout=(rect(60, 18, (0, -15)),), turns=turns, plug_room=tail)
    marks: dict[str, Any] = {
        "classes": chance.choice(((), ("ac",), ("dc",))),
        "compass_safe": chance.choice((None, None, 120.0)),
        "fixings": fixings if width > 50 else (),
    }
    return device(key, width, height, turns=turns, plug_room=tail, clear_around=clear, **marks)


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
