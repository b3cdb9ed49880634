"""Pins, cut holes, and where devices may stand."""

from __future__ import annotations

from layout.project.model.aboard import Existing
from layout.project.model.device import Pin
from tests.placing.judge.builder import (
    AT_A,
    A,
    B,
    Spot,
    Twin,
    case,
    device,
    devices,
    one,
    panel,
)


def held_cases() -> list[Twin]:
    """Return twins: pins, cut holes, and where devices may stand."""
    other = panel(id="other", name="Other")
    pinned = device("a", pin=Pin(x=100.0))
    turned = device("a", pin=Pin(turn=90), turns=(0, 90))
    sided = device("a", panel=("main", "other"), pin=Pin(panel="other"))
    cut, pulled = device("a", work_state="cut"), device("a", work_state="pulled")
    cut_pinned = device("a", work_state="cut", pin=Pin(x=100.0, y=150.0))
    leaving = device("b", aboard=Existing.REMOVE)
    register: dict[str, Spot] = {"a": AT_A}
    return [
        ("pin", "position-held", "panel 34", *one(pinned, (100.1, 150), (100, 180))),
        ("pinned turn", "position-held", "panel 34", *one(turned, (100, 150), (100, 150, 90))),
        (
            "pinned panel",
            "position-held",
            "panel 34",
            case([sided], {"a": AT_A}, on=[panel(), other]),
            case([sided], {"a": (100, 150, 0, "other")}, on=[panel(), other]),
        ),
        (
            "cut hole",
            "position-held",
            "panel 35",
            case([cut], {"a": (101, 150)}, chosen=register),
            case([cut], {"a": AT_A}, chosen=register),
        ),
        (
            "wired hole",
            "position-held",
            "panel 35",
            case([pulled], {"a": (101, 150)}, chosen=register),
            case([pulled], {"a": AT_A}, chosen=register),
        ),
        (
            "cut panel",
            "position-held",
            "panel 35",
            case([A], {"a": (101, 150)}, on=panel(work_state="cut"), chosen=register),
            case([A], {"a": AT_A}, on=panel(work_state="cut"), chosen=register),
        ),
        ("cut, nobody knows where", "position-held", "panel 36", *devices(cut, cut_pinned)),
        ("not placed", "allowed-place", "panel 37", case([A, B], {"a": AT_A}), case([A, leaving], {"a": AT_A})),
        (
            "wrong panel",
            "allowed-place",
            "panel 38",
            case([A], {"a": (100, 150, 0, "other")}, on=[panel(), other]),
            case([A], {"a": AT_A}, on=[panel(), other]),
        ),
        (
            "panel that does not exist",
            "allowed-place",
            "panel 38",
            case([A], {"a": (100, 150, 0, "gone")}),
            case([A], {"a": AT_A}),
        ),
        ("wrong turn", "allowed-place", "panel 39", *one(A, (100, 150, 90), (100, 150, 0))),
    ]
