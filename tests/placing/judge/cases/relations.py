"""Declared relations."""

from __future__ import annotations

import math
from typing import Any

from layout.project.model.panel import (
    Hinge,
)
from layout.project.model.rules import Relation
from layout.project.model.shape import Shape
from tests.placing.judge.builder import (
    AT_A,
    A,
    B,
    Twin,
    case,
    device,
    one,
    panel,
    panels,
    rect,
    two,
)


def relation_cases() -> list[Twin]:
    """Return twins: declared relations."""

    def bound(**relation: Any) -> dict[str, Any]:
        return {"relations": (Relation(**relation),)}

    small = device("b", face=rect(60, 20), cutout=(rect(40, 10),))
    third = device("c")
    other = panel(id="other", name="Other")
    movable = [device("a", panel=("main", "other")), device("b", panel=("main", "other"))]
    hinge = panel(hinge=Hinge(side="left"))
    ring = Shape(circle=200.0, at=(200, 150))
    on_arc = math.sqrt(100**2 - 20**2) - 30
    return [
        (
            "left to right",
            "relation",
            "panel 27",
            *two(A, B, (159.9, 200), (160, 200), **bound(left_to_right=("a", "b"))),
        ),
        (
            "top to bottom",
            "relation",
            "panel 27",
            *two(A, B, (200, 110.1), (200, 110), **bound(top_to_bottom=("a", "b"))),
        ),
        ("row by centre", "relation", "panel 28", *two(A, B, (200, 150.5), (200, 150.4), **bound(row=("a", "b")))),
        (
            "row by low edge",
            "relation",
            "panel 28",
            *two(A, small, (200, 150), (200, 140), **bound(row=("a", "b"), by="low")),
        ),
        (
            "row by high edge",
            "relation",
            "panel 28",
            *two(A, small, (200, 150), (200, 160), **bound(row=("a", "b"), by="high")),
        ),
        ("column", "relation", "panel 28", *two(A, B, (100.5, 220), (100.4, 220), **bound(column=("a", "b")))),
        ("left half", "relation", "panel 29", *one(A, (170.1, 150), (170, 150), **bound(on_side=("a",), side="left"))),
        (
            "right half",
            "relation",
            "panel 29",
            *one(A, (229.9, 150), (230, 150), **bound(on_side=("a",), side="right")),
        ),
        ("top half", "relation", "panel 29", *one(A, (200, 169.9), (200, 170), **bound(on_side=("a",), side="top"))),
        (
            "bottom half",
            "relation",
            "panel 29",
            *one(A, (200, 130.1), (200, 130), **bound(on_side=("a",), side="bottom")),
        ),
        (
            "hinge side",
            "relation",
            "panel 29",
            *one(A, (170.1, 150), (170, 150), hinge, **bound(on_side=("a",), side="hinge")),
        ),
        (
            "opening side",
            "relation",
            "panel 29",
            *one(A, (229.9, 150), (230, 150), hinge, **bound(on_side=("a",), side="opening")),
        ),
        (
            "no hinge to be beside",
            "relation",
            "panel 29",
            *panels(panel(), hinge, **bound(on_side=("a",), side="hinge")),
        ),
        (
            "zone",
            "relation",
            "panel 30",
            *one(A, (129.9, 150), (130, 150), **bound(in_zone=("a",), zone=rect(200, 200, (200, 150)))),
        ),
        (
            "round zone",
            "relation",
            "panel 30",
            *one(A, (200 + on_arc + 0.1, 150), (200 + on_arc, 150), **bound(in_zone=("a",), zone=ring)),
        ),
        (
            "group across",
            "relation",
            "panel 31",
            *two(A, B, (175.5, 150), (175.4, 150), **bound(group=("a", "b"), gap=15.0)),
        ),
        (
            "group up",
            "relation",
            "panel 31",
            *two(A, B, (100.5, 205), (100.4, 205), **bound(group=("a", "b"), gap=15.0, run="up")),
        ),
        (
            "group at the pair's gap",
            "relation",
            "panel 31",
            *two(A, B, (171, 150), (170, 150), **bound(group=("a", "b"))),
        ),
        ("mirrored", "relation", "panel 32", *two(A, B, (300.5, 150), (300.4, 150), **bound(mirrored=("a", "b")))),
        (
            "mirrored about a line",
            "relation",
            "panel 32",
            *two(A, B, (200, 150.5), (200, 150.4), **bound(mirrored=("a", "b"), about=150.0)),
        ),
        (
            "relation over two panels",
            "relation",
            "panel 33",
            case(movable, {"a": AT_A, "b": (200, 150, 0, "other")}, on=[panel(), other], **bound(row=("a", "b"))),
            case(
                movable,
                {"a": (100, 150, 0, "other"), "b": (200, 150, 0, "other")},
                on=[panel(), other],
                **bound(row=("a", "b")),
            ),
        ),
        (
            "second of three out of order",
            "relation",
            "panel 27",
            case([A, B, third], {"a": AT_A, "b": (300, 150), "c": (200, 220)}, **bound(left_to_right=("a", "b", "c"))),
            case([A, B, third], {"a": AT_A, "b": (200, 150), "c": (300, 220)}, **bound(left_to_right=("a", "b", "c"))),
        ),
    ]
