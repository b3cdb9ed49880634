"""Old holes and reserved room."""

from __future__ import annotations

from dataclasses import replace

from layout.project.model.arrangement import Placed
from layout.project.model.device import Behind, PlugRoom
from layout.project.model.panel import (
    OldHole,
    Reserved,
)
from tests.placing.judge.builder import (
    AT_A,
    A,
    Case,
    Twin,
    case,
    device,
    disc,
    gauge,
    one,
    panel,
    panels,
    rect,
    two,
)


def kept_cases() -> list[Twin]:
    """Return twins: old holes and reserved room."""
    covered = panel(old_holes={"o": OldHole(shape=disc(30, (200, 150)), fate="cover")})
    blanked = panel(old_holes={"o": OldHole(shape=disc(30, (200, 150)), fate="blank", blank=(50.0, 50.0))})
    grown = panel(old_holes={"o": OldHole(shape=disc(30, (200, 150)), fate="blank")})
    kept = panel(reserved={"r": Reserved(size=(100, 80), at=(250, 150))})
    deep = {
        d: panel(reserved={"r": Reserved(size=(100, 80), at=(250, 150), depth=d)}) for d in (79.9, 80.0, 140.0, 140.1)
    }
    above = device(
        "a", behind=(Behind(shape=rect(120, 20), depth=120.0, from_depth=79.9),), plug_room=PlugRoom(depth=10.0)
    )
    near_edge = {x: panel(reserved={"r": Reserved(size=(100, 80), at=(x, 150))}) for x in (330.0, 330.1)}
    beside = {
        x: panel(reserved={"r": Reserved(size=(100, 80), at=(250, 150)), "s": Reserved(size=(60, 40), at=(x, 150))})
        for x in (150.0, 150.1)
    }
    return [
        ("old hole shows", "old-hole-hidden", "panel 22, panel 23", *one(A, (215.1, 150), (215, 150), covered)),
        (
            "old hole under a gauge",
            "old-hole-hidden",
            "panel 22, panel 23",
            *one(gauge("a"), (209, 162.1), (209, 162), covered),
        ),
        (
            "cut near a covered hole",
            "old-hole-hidden",
            "panel 23",
            *two(
                device("a", cutout=(rect(10, 10),)),
                device("b", cutout=(rect(58, 38),)),
                (263.9, 150),
                (264, 150),
                at=(200, 150),
                on=covered,
                face_gap=0.0,
            ),
        ),
        (
            "cut near a blanked hole",
            "old-hole-hidden",
            "panel 23",
            *one(device("a", hole_gap=50.0), (115.1, 150), (115, 150), blanked),
        ),
        (
            "face on a blank",
            "old-hole-hidden",
            "panel 24",
            *one(device("a", cutout=(rect(10, 10),)), (145.1, 150), (145, 150), blanked),
        ),
        ("face on the web of a blank", "old-hole-hidden", "panel 24", *one(A, (135.1, 150), (135, 150), grown)),
        ("face by reserved room", "faces-apart", "panel 2", *one(A, (160.1, 150), (160, 150), kept, hole_gap=15.0)),
        (
            "body behind reserved room",
            "bodies-apart",
            "panel 5",
            *panels(deep[80.0], deep[79.9], device_=above, at=(150, 150)),
        ),
        ("reserved room by the edge", "cut-out-to-edge", "panel 4", *panels(near_edge[330.1], near_edge[330.0])),
        ("two reserved rooms", "cut-outs-apart", "panel 3", *panels(beside[150.1], beside[150.0], at=(60, 50))),
        ("reserved room too deep", "body-in-depth", "panel 6", *panels(deep[140.1], deep[140.0])),
        ("reserved room without a place", "reserved-free", "panel 26", *_given_a_place()),
    ]


def _given_a_place() -> tuple[Case, Case]:
    """Return an arrangement without a place for reserved room, and one with it."""
    bad = case([A], {"a": AT_A}, on=panel(reserved={"r": Reserved(size=(100, 80))}))
    at = Placed(device="panels.main.reserved.r", panel="main", x=250.0, y=150.0)
    return bad, replace(bad, arrangement=replace(bad.arrangement, rooms={at.device: at}))
