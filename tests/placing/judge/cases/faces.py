"""Faces in the panel and apart."""

from __future__ import annotations

import math

from layout.project.model.panel import (
    OldHole,
)
from layout.project.model.rules import ApartRule, Relation
from layout.project.model.shape import Shape
from tests.placing.judge.builder import (
    A,
    B,
    Twin,
    device,
    disc,
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


def face_cases() -> list[Twin]:
    """Return twins: faces in the panel and apart."""
    hole = panel(holes=(disc(30, (200, 150)),))
    old = panel(old_holes={"o": OldHole(shape=disc(30, (200, 150)), fate="open")})
    pair = (ApartRule(between=("a", "b"), gap=30.0),)
    klass = (ApartRule(between=("class:radio", "class:heat"), gap=30.0),)
    radio, heat = device("a", classes=("radio",)), device("b", classes=("heat",))
    both = (*klass, ApartRule(between=("b", "a"), gap=4.0))
    group = (Relation(group=("a", "b"), gap=2.0),)
    return [
        ("edge", "face-in-panel", "panel 1", *one(A, (44.9, 150), (45, 150))),
        ("edge above", "face-in-panel", "panel 1", *one(A, (100, 265.1), (100, 265))),
        (
            "edge when turned",
            "face-in-panel",
            "panel 1",
            *one(device("a", turns=(0, 90)), (34.9, 150, 90), (35, 150, 90)),
        ),
        ("out of the panel", "face-in-panel", "panel 1, panel 4", *one(A, (20, 150), (45, 150))),
        ("edge of the device's own", "face-in-panel", "panel 1", *one(device("a", edge=20.0), (49.9, 150), (50, 150))),
        (
            "edge of the panel's own",
            "face-in-panel",
            "panel 1",
            *one(A, (34.9, 150), (35, 150), panel(edge=5.0), hole_gap=10.0),
        ),
        ("gauge beside the panel", "face-in-panel", "panel 1, panel 4", *one(gauge("a"), (-60, 150), (45, 150))),
        (
            "larger of two edges",
            "face-in-panel",
            "panel 1",
            *one(device("a", edge=20.0), (49.9, 150), (50, 150), panel(edge=5.0)),
        ),
        (
            "gauge in a round corner",
            "face-in-panel",
            "panel 1",
            *one(gauge("a"), (DIAGONAL - 0.01,) * 2, (DIAGONAL,) * 2, ROUND),
        ),
        ("box in a round corner", "face-in-panel", "panel 1", *one(A, (50, 40), (60, 60), ROUND, hole_gap=0.0)),
        (
            "sloping side",
            "face-in-panel",
            "panel 1",
            *one(A, (300, 230 - 15 * math.sqrt(1.25) - 14.9), (300, 230 - 15 * math.sqrt(1.25) - 15), SLOPE),
        ),
        ("hole of the panel", "face-in-panel", "panel 1", *one(A, (140.1, 150), (140, 150), hole)),
        ("hole under the face", "face-in-panel", "panel 1, panel 4", *one(A, (200, 150), (140, 150), hole)),
        ("old hole that stays open", "face-in-panel", "panel 1", *one(A, (140.1, 150), (140, 150), old)),
        ("gap", "faces-apart", "panel 2", *two(A, B, (169.9, 150), (170, 150))),
        ("overlap", "faces-apart", "panel 2, panel 3, panel 5", *two(A, B, (130, 170), (170, 170))),
        (
            "one on the other",
            "faces-apart",
            "panel 2, panel 3, panel 5",
            *two(A, device("b", face=rect(20, 10), cutout=(rect(5, 5),)), (100, 150), (170, 150)),
        ),
        ("corner to corner", "faces-apart", "panel 2", *two(A, B, (166, 197.9), (166, 198))),
        ("larger of two gaps", "faces-apart", "panel 2", *two(A, device("b", face_gap=25.0), (184.9, 150), (185, 150))),
        ("rule for the pair", "faces-apart", "panel 2", *two(A, B, (189.9, 150), (190, 150), apart=pair)),
        ("rule for classes", "faces-apart", "panel 2", *two(radio, heat, (189.9, 150), (190, 150), apart=klass)),
        ("pair before classes", "faces-apart", "panel 2", *two(radio, heat, (163.9, 150), (164, 150), apart=both)),
        ("gauges on the diagonal", "faces-apart", "panel 2", *two(gauge("a"), gauge("b"), (142, 205.9), (142, 206))),
        ("gauge beside a corner", "faces-apart", "panel 2", *two(A, gauge("b"), (154, 201.9), (154, 202))),
        (
            "no gap is no overlap",
            "faces-apart",
            "panel 2",
            *two(A, B, (159.9, 150), (160, 150), face_gap=0.0, hole_gap=10.0),
        ),
        (
            "no edge is no overhang",
            "face-in-panel",
            "panel 1",
            *one(A, (29.9, 150), (30, 150), edge=0.0, hole_gap=9.9),
        ),
        (
            "no edge is no hole under it",
            "face-in-panel",
            "panel 1",
            *one(A, (155.1, 150), (155, 150), hole, edge=0.0, hole_gap=5.0),
        ),
        ("group is closer", "faces-apart", "panel 2, panel 31", *two(A, B, (161, 150), (162, 150), relations=group)),
    ]
