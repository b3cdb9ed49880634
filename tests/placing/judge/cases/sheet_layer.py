"""Cut-outs and fixing holes."""

from __future__ import annotations

import math

from layout.project.model.device import Behind
from layout.project.model.panel import (
    Layer,
    NoGo,
)
from layout.project.model.rules import ApartRule
from layout.project.model.shape import Shape
from tests.placing.judge.builder import (
    A,
    Twin,
    device,
    disc,
    drilled,
    gauge,
    one,
    panel,
    rect,
    two,
)

ROUND = panel(outline=rect(400, 300, (200, 150), radius=60))
SLOPE = panel(outline=Shape(polygon=((0, 0), (400, 0), (400, 200), (200, 300), (0, 300))))
BIG = device("b", cutout=(rect(58, 38),))
DIAGONAL = 60 - 15 / math.sqrt(2)
MAGNET = device("a", compass_safe=300.0)


CUT = device("a", cutout=(rect(80, 20), rect(10, 10)))
"""Its cut-outs reach out from under its face."""


def sheet_cases() -> list[Twin]:
    """Return twins: cut-outs and fixing holes."""
    web = (ApartRule(between=("a", "b"), gap=5.0, layer=Layer.SHEET),)
    ell = Shape(polygon=((-30, -20), (30, -20), (30, -10), (-20, -10), (-20, 20), (-30, 20)))
    hook = Shape(polygon=((30, 20), (-5, 20), (-5, 10), (20, 10), (20, -10), (30, -10)))
    post, pole = Behind(shape=rect(10, 40, (-25, 0)), depth=50.0), Behind(shape=rect(10, 30, (25, 5)), depth=50.0)
    left = device("a", face=ell, cutout=(ell,), behind=(post,))
    right = device("b", face=hook, cutout=(hook,), behind=(pole,))
    hole, batten = (
        panel(holes=(disc(30, (200, 150)),)),
        NoGo(shape=rect(20, 300, (200, 150)), kind="batten", layer=(Layer.REAR,)),
    )
    near_hole = drilled("a", (25, 0))
    return [
        ("web", "cut-outs-apart", "panel 3", *two(A, BIG, (168.9, 150), (169, 150), face_gap=0.0)),
        (
            "web of the device's own",
            "cut-outs-apart",
            "panel 3",
            *two(A, device("b", hole_gap=40.0), (179.9, 150), (180, 150)),
        ),
        (
            "web of the pair",
            "cut-outs-apart",
            "panel 3",
            *two(BIG, device("a", cutout=(rect(58, 38),)), (162.9, 150), (163, 150), face_gap=0.0, apart=web),
        ),
        (
            "interlocking cut-outs",
            "cut-outs-apart",
            "panel 3",
            *two(left, right, (100, 159.9), (100, 160), face_gap=8.0, hole_gap=10.0),
        ),
        (
            "gauges' cut-outs",
            "cut-outs-apart",
            "panel 3",
            *two(
                gauge("a", face=disc(58)),
                gauge("b", face=disc(58)),
                (136, 197.9),
                (136, 198),
                face_gap=0.0,
                rear_gap=0.0,
            ),
        ),
        (
            "no web is no overlap",
            "cut-outs-apart",
            "panel 3",
            *two(CUT, device("b", cutout=(rect(80, 20),)), (179.9, 150), (180, 150), hole_gap=0.0, rear_gap=0.0),
        ),
        ("no web to the edge", "cut-out-to-edge", "panel 4", *one(CUT, (39.9, 150), (40, 150), hole_gap=0.0, edge=5.0)),
        (
            "screws of no distance",
            "holes-apart",
            "panel 14",
            *two(drilled("a", (35, 0)), drilled("b", (-35, 0)), (173.9, 150), (174, 150), fixing_edge=0.0),
        ),
        ("cut-out at the edge", "cut-out-to-edge", "panel 4", *one(A, (39.9, 150), (40, 150), edge=0.0)),
        ("cut-out at a hole", "cut-out-to-edge", "panel 4", *one(A, (145.1, 150), (145, 150), hole, edge=0.0)),
        (
            "cut-out in a round corner",
            "cut-out-to-edge",
            "panel 4",
            *one(gauge("a"), (45.85,) * 2, (45.86,) * 2, ROUND, edge=0.0),
        ),
        (
            "screw at the edge",
            "fixing-in-solid",
            "panel 13",
            *one(drilled("a", (-28, 0)), (35.9, 150), (36, 150), edge=0.0),
        ),
        (
            "screw off the sheet",
            "fixing-in-solid",
            "panel 13, panel 1",
            *one(drilled("a", (-40, 0)), (-5, 150), (48, 150), edge=0.0),
        ),
        ("screw at a hole", "fixing-in-solid", "panel 13", *one(near_hole, (152.1, 150), (152, 150), hole, edge=0.0)),
        (
            "screw at a cut-out",
            "fixing-in-solid",
            "panel 13",
            *two(near_hole, device("b", cutout=(rect(58, 38),)), (161.9, 150), (162, 150), face_gap=0.0),
        ),
        (
            "screw at a gauge's hole",
            "fixing-in-solid",
            "panel 13",
            *two(drilled("a", (28, 0)), gauge("b", cutout=(disc(50),)), (160.9, 150), (161, 150), face_gap=0.0),
        ),
        (
            "screws together",
            "holes-apart",
            "panel 14",
            *two(drilled("a", (29, 0)), drilled("b", (-29, 0)), (167.9, 150), (168, 150), face_gap=0.0),
        ),
        (
            "screw in a batten",
            "keep-out",
            "panel 11",
            *one(near_hole, (163.1, 150), (163, 150), panel(no_go={"b": batten})),
        ),
        (
            "cut-out on a batten",
            "keep-out",
            "panel 11",
            *one(A, (170.1, 150), (170, 150), panel(no_go={"b": batten})),
        ),
    ]
