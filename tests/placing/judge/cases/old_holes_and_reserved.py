"""Old holes and reserved room."""

from __future__ import annotations

from layout.project.model.device import Body, Tail
from layout.project.model.panel import (
    Layer,
    OldHole,
    Reserved,
)
from tests.placing.judge.builder import (
    A,
    Twin,
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
    kept_rear = {
        d: panel(reserved={"r": Reserved(size=(100, 80), at=(250, 150), layer=(Layer.REAR,), depth=d)})
        for d in (79.9, 80.0)
    }
    above = device("a", body=(Body(shape=rect(40, 20), depth=120.0, from_depth=79.9),), tail=Tail(depth=10.0))
    somewhere = {w: panel(reserved={"r": Reserved(size=(w, 300))}) for w in (270.0, 270.1)}
    front_only = panel(reserved={"r": Reserved(size=(330, 300), layer=(Layer.SHEET,))})
    front_all = panel(reserved={"r": Reserved(size=(330, 300), layer=(Layer.FRONT,))})
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
                gap=0.0,
            ),
        ),
        (
            "cut near a blanked hole",
            "old-hole-hidden",
            "panel 23",
            *one(device("a", web=50.0), (115.1, 150), (115, 150), blanked),
        ),
        (
            "face on a blank",
            "old-hole-hidden",
            "panel 24",
            *one(device("a", cutout=(rect(10, 10),)), (145.1, 150), (145, 150), blanked),
        ),
        ("face on the web of a blank", "old-hole-hidden", "panel 24", *one(A, (135.1, 150), (135, 150), grown)),
        ("reserved room", "reserved-free", "panel 25", *one(A, (170.1, 150), (170, 150), kept)),
        (
            "reserved depth",
            "reserved-free",
            "panel 25",
            *panels(kept_rear[80.0], kept_rear[79.9], device_=above, at=(250, 150)),
        ),
        ("room somewhere", "reserved-free", "panel 26", *panels(somewhere[270.1], somewhere[270.0])),
        ("room somewhere in the sheet", "reserved-free", "panel 26", *panels(front_all, front_only, at=(45, 150))),
    ]
