"""Bodies, depth, compass, and what is in front."""

from __future__ import annotations

import math

from layout.project.model.device import Behind, PlugRoom
from layout.project.model.panel import (
    Compass,
    DepthPoint,
    DepthStep,
    Layer,
)
from layout.project.model.rules import ApartRule
from layout.project.model.shape import Shape
from tests.placing.judge.builder import (
    AT_A,
    A,
    B,
    Twin,
    case,
    device,
    devices,
    disc,
    gauge,
    one,
    panel,
    panels,
    rect,
    two,
)

ROUND = panel(outline=rect(400, 300, (200, 150), radius=60))
SLOPE = panel(outline=Shape(polygon=((0, 0), (400, 0), (400, 200), (200, 300), (0, 300))))
BIG = device("b", cutout=(rect(58, 38),))
DIAGONAL = 60 - 15 / math.sqrt(2)
MAGNET = device("a", compass_safe=300.0)


def rear_cases() -> list[Twin]:
    """Return twins: bodies, depth and what is in front."""
    wide = Behind(shape=rect(60, 40), depth=50.0)
    tailed = device("a", behind=(wide,), plug_room=PlugRoom(depth=30.0, right=25.0))
    turned = device("a", behind=(wide,), plug_room=PlugRoom(depth=30.0, below=25.0), turns=(90,))
    shallow, deep = (
        device("a", behind=(wide,)),
        device("b", behind=(Behind(shape=rect(60, 40), depth=140.0, from_depth=79.9),)),
    )
    deeper = device("b", behind=(Behind(shape=rect(60, 40), depth=140.0, from_depth=80.0),))
    under = panel(depth=200.0)
    round_a = gauge("a", behind=(Behind(shape=disc(60), depth=50.0),))
    round_b = gauge("b", behind=(Behind(shape=disc(60), depth=50.0),))
    broad = device("a", behind=(Behind(shape=rect(100, 20), depth=50.0),))
    rear = (ApartRule(between=("a", "b"), gap=60.0, layer=Layer.REAR),)
    ac, dc = device("a", classes=("ac",), rear_covered=True), device("b", classes=("dc",))
    only_here = (ApartRule(between=("a", "b"), gap=20.0, layer=Layer.REAR),)
    step = panel(depth_steps=(DepthStep(shape=rect(100, 300, (350, 150)), depth=60.0),))
    slope = panel(
        depth=None,
        depth_at=tuple(
            DepthPoint(at=at, depth=d) for at, d in (((0, 0), 50), ((400, 0), 150), ((0, 300), 50), ((400, 300), 150))
        ),
    )
    all_steps = panel(depth=None, depth_steps=(DepthStep(shape=rect(400, 300, (200, 150)), depth=90.0),))
    half_steps = panel(depth=None, depth_steps=(DepthStep(shape=rect(60, 300, (30, 150)), depth=90.0),))
    behind = Behind(shape=rect(40, 20), depth=None)
    space = (ApartRule(between=("a", "b"), gap=100.0, layer=Layer.ALL),)
    space_class = (ApartRule(between=("a", "class:antenna"), gap=100.0, layer=Layer.ALL),)
    return [
        (
            "tail room beside",
            "bodies-apart",
            "panel 5",
            *two(tailed, device("b", behind=(wide,)), (194.9, 150), (195, 150)),
        ),
        (
            "tail room turns along",
            "bodies-apart",
            "panel 5",
            *two(turned, device("b", behind=(wide,)), (184.9, 150), (185, 150), at=(100, 150, 90)),
        ),
        (
            "bodies that share depth",
            "bodies-apart",
            "panel 5",
            case([shallow, deep], {"a": AT_A, "b": (162, 150)}, on=under, face_gap=0.0, hole_gap=10.0),
            case([shallow, deeper], {"a": AT_A, "b": (162, 150)}, on=under, face_gap=0.0, hole_gap=10.0),
        ),
        ("round bodies", "bodies-apart", "panel 5", *two(round_a, round_b, (142, 205.9), (142, 206), face_gap=0.0)),
        ("rear rule of a pair", "bodies-apart", "panel 5", *two(A, B, (199.9, 150), (200, 150), apart=rear)),
        (
            "no rear gap is no overlap",
            "bodies-apart",
            "panel 5",
            *two(broad, device("b"), (169.9, 150), (170, 150), rear_gap=0.0, face_gap=0.0),
        ),
        ("ac beside dc", "ac-dc-apart", "panel 15", *two(ac, dc, (189.9, 150), (190, 150))),
        (
            "ac over dc in depth",
            "ac-dc-apart",
            "panel 15",
            *two(
                ac,
                device("b", classes=("dc",), behind=(Behind(shape=rect(40, 20), depth=100.0, from_depth=90.0),)),
                (189.9, 150),
                (190, 150),
            ),
        ),
        (
            "ac and dc by their own rule",
            "ac-dc-apart",
            "panel 15, panel 5",
            *two(
                ac,
                device("b", classes=("dc",), behind=(wide,)),
                (169.9, 150),
                (170, 150),
                face_gap=0.0,
                apart=only_here,
            ),
        ),
        (
            "ac not covered",
            "ac-rear-covered",
            "panel 16",
            *devices(device("a", classes=("ac",), rear_covered=False), ac),
        ),
        ("ac nobody asked about", "ac-rear-covered", "panel 16", *devices(device("a", classes=("ac",)), ac)),
        ("depth", "body-in-depth", "panel 6", *panels(panel(depth=89.9), panel(depth=90.0))),
        ("depth step", "body-in-depth", "panel 6", *one(A, (280.1, 150), (280, 150), step)),
        ("sloping depth", "body-in-depth", "panel 6", *one(A, (179.9, 150), (180, 150), slope)),
        (
            "outside the depth points",
            "body-in-depth",
            "panel 6",
            *panels(
                panel(
                    depth=None,
                    depth_at=tuple(
                        DepthPoint(at=at, depth=d) for at, d in (((0, 0), 200), ((100, 300), 200), ((400, 300), 50))
                    ),
                ),
                slope,
                at=(330, 150),
            ),
        ),
        ("body depth unknown", "body-in-depth", "panel 7", *devices(device("a", behind=(behind,)), A)),
        ("no body", "body-in-depth", "panel 7", *devices(device("a", behind=()), A)),
        ("panel depth unknown", "body-in-depth", "panel 7", *panels(panel(depth=None), all_steps)),
        ("steps leave a part open", "body-in-depth", "panel 7", *one(A, (45, 150), (40, 150), half_steps, edge=10.0)),
        ("tail room unknown", "body-in-depth", "panel 8", *devices(device("a", plug_room=None), A)),
        ("front room", "front-in-room", "panel 9", *panels(panel(front_room=4.9), panel(front_room=5.0))),
        (
            "front height unknown",
            "front-in-room",
            "panel 10",
            *devices(device("a", front_height=None), A, on=panel(front_room=20.0)),
        ),
        ("apart in space", "apart-in-space", "panel 19", *two(A, B, (259.9, 150), (260, 150), apart=space)),
        (
            "apart in space by class",
            "apart-in-space",
            "panel 19",
            *two(
                A,
                device("b", classes=("antenna",), behind=(Behind(shape=rect(100, 20), depth=50.0),)),
                (279.9, 150),
                (280, 150),
                apart=space_class,
            ),
        ),
        (
            "compass in front",
            "compass-safe",
            "panel 17",
            *panels(*(panel(compasses={"c": Compass(at=(100, 150, z))}) for z in (304.9, 305.0)), device_=MAGNET),
        ),
        (
            "compass behind",
            "compass-safe",
            "panel 17",
            *panels(*(panel(compasses={"c": Compass(at=(100, 150, z))}) for z in (-358.9, -359.0)), device_=MAGNET),
        ),
        (
            "compass aside in space",
            "compass-safe",
            "panel 17",
            *one(MAGNET, (130.1, 150), (130, 150), panel(compasses={"c": Compass(at=(340, 150, 245.0))})),
        ),
        (
            "magnet of unknown distance",
            "compass-safe",
            "panel 18",
            *devices(device("a", classes=("magnet",)), A, on=panel(compasses={"c": Compass(at=(0, 0, 900.0))})),
        ),
        (
            "compass and unknown height",
            "compass-safe",
            "panel 10",
            *devices(
                device("a", compass_safe=300.0, front_height=None),
                MAGNET,
                on=panel(compasses={"c": Compass(at=(100, 150, 500.0))}),
            ),
        ),
    ]
