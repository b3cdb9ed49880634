"""Keep-outs and keep-clears."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.project.model.device import Behind, ClearAround, Device, PlugRoom
from layout.project.model.panel import (
    Layer,
    NoGo,
)
from tests.placing.judge.builder import (
    AT_A,
    A,
    B,
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

if TYPE_CHECKING:
    from layout.project.model.shape import Shape


def zoned(key: str, shape: Shape, **more: Any) -> Device:
    """Return a device with a keep-clear zone."""
    return device(key, clear_around=(ClearAround(shape=shape, **more),))


def zone_cases() -> list[Twin]:
    """Return twins: keep-outs and keep-clears."""
    frame = {
        layer: panel(no_go={"k": NoGo(shape=rect(100, 300, (250, 150)), layer=(layer,), kind="frame")})
        for layer in Layer
    }
    from_80 = panel(no_go={"k": NoGo(shape=rect(100, 300, (250, 150)), layer=(Layer.REAR,), from_depth=80.0)})
    from_79 = panel(no_go={"k": NoGo(shape=rect(100, 300, (250, 150)), layer=(Layer.REAR,), from_depth=79.9)})
    pillar = panel(no_go={"k": NoGo(shape=disc(60, (200, 150)), layer=(Layer.FRONT,))})
    cord = zoned("a", rect(60, 80, (0, -60)), against="cord")
    card = zoned("a", rect(60, 40, (70, 0)), layer=(Layer.REAR,), from_depth=20.0, depth=60.0)
    hot = zoned("a", rect(60, 40, (70, 0)), layer=(Layer.SHEET,), against="hot air")
    flat = device("b", behind=(Behind(shape=rect(60, 40), depth=10.0),), plug_room=PlugRoom(depth=10.0))
    fat = device("b", behind=(Behind(shape=rect(60, 40), depth=15.0),), plug_room=PlugRoom(depth=10.0))
    return [
        ("frame in front", "keep-out", "panel 11", *one(A, (170.1, 150), (170, 150), frame[Layer.FRONT])),
        ("frame in the sheet", "keep-out", "panel 11", *one(A, (180.1, 150), (180, 150), frame[Layer.SHEET])),
        (
            "frame behind",
            "keep-out",
            "panel 11",
            *one(device("a", plug_room=PlugRoom(depth=30.0, right=5.0)), (175.1, 150), (175, 150), frame[Layer.REAR]),
        ),
        ("frame in all layers", "keep-out", "panel 11", *one(A, (170.1, 150), (170, 150), frame[Layer.ALL])),
        ("shelf at a depth", "keep-out", "panel 11", *panels(from_79, from_80, at=(250, 150))),
        ("round pillar", "keep-out", "panel 11", *one(gauge("a"), (164, 197.9), (164, 198), pillar)),
        ("cord", "keep-clear", "panel 12", *two(cord, B, (100, 60.1), (100, 60), at=(100, 180))),
        ("hot air in the sheet", "keep-clear", "panel 12", *two(hot, B, (219.9, 150), (220, 150))),
        (
            "card slot behind",
            "keep-clear",
            "panel 12",
            case([card, fat], {"a": AT_A, "b": (180, 150)}),
            case([card, flat], {"a": AT_A, "b": (180, 150)}),
        ),
    ]
