"""Wishes about where a device is: near a point, an edge, a corner, another device; at the height of eye or hand.

Distances are counted along x and along y, each past ``free``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.translation.relation_rules import high, low, sum_of
from layout.placing.translation.turns import plain_side
from layout.placing.wishes.wishing import datum, wished_size

if TYPE_CHECKING:
    from layout.placing.translation.turns import Option
    from layout.placing.wishes.wishing import Wishing


def near_point(wishing: Wishing) -> None:
    """Draw the middle of each face to a point."""
    x, y = wishing.wish.point or (0.0, 0.0)
    for item in wishing.items():
        wishing.to_line(item, 0, lambda _: x, slack_mm=wishing.wish.free)
        wishing.to_line(item, 1, lambda _: y, slack_mm=wishing.wish.free)


def near_edge(wishing: Wishing) -> None:
    """Draw each face to an edge of its panel's box."""
    for item in wishing.items():
        _to_edge(wishing, item, wishing.wish.edge or "left")


def near_corner(wishing: Wishing) -> None:
    """Draw each face to both edges of a corner."""
    for item in wishing.items():
        for edge in (wishing.wish.corner or "bottom left").split():
            _to_edge(wishing, item, edge)


def near_device(wishing: Wishing) -> None:
    """Draw each face to another: what lies between their boxes along x and y costs."""
    to = wishing.built.index.number.get(wishing.wish.to or "")
    if to is None:
        wishing.note(f"the wish '{wishing.name}' is near {wishing.wish.to}, which stands on no panel")
        return
    for item in (item for item in wishing.items() if item != to):
        for axis in (0, 1):
            for first, second in ((item, to), (to, item)):
                parts = [
                    (first, axis, 1, low(wishing.options(first), axis)),
                    (second, axis, -1, high(wishing.options(second), axis)),
                ]
                wishing.below_zero(sum_of(parts, const_mm=-wishing.wish.free))


def band(wishing: Wishing) -> None:
    """Draw the middle of each face to a height above the sole, within a band that costs nothing."""
    mark = "eye" if wishing.wish.wish == "eye band" else "reach"
    height = wishing.wish.eye_height or 0.0
    slack = wishing.wish.free if wishing.wish.within is None else wishing.wish.within

    def line(option: Option) -> float:
        return height - (wishing.panel(option).above_sole or 0.0)

    for item in wishing.items(only=lambda device: bool(getattr(device, mark))):
        unknown = [option.frame.panel for option in wishing.options(item) if wishing.panel(option).above_sole is None]
        if unknown:
            wishing.note(
                f"the wish '{wishing.name}' needs to know how high panel {unknown[0]} stands above the sole",
                remedy=f"give panels.{unknown[0]}.above_sole",
                subjects=(f"panels.{unknown[0]}",),
            )
        else:
            wishing.to_line(item, 1, line, slack_mm=slack)


def _to_edge(wishing: Wishing, item: int, edge: str) -> None:
    offsets, ways = [], set()
    for option in wishing.options(item):
        panel = wishing.panel(option)
        if edge in ("hinge", "opening") and panel.hinge is None:
            wishing.note(f"the wish '{wishing.name}' asks for the {edge} side of {panel.id}, which has no hinge")
            return
        side = plain_side(panel, edge)
        axis = 0 if side in ("left", "right") else 1
        near = side in ("left", "bottom")
        ways.add((axis, 1 if near else -1))
        frame = wishing.frame(option)
        end = datum(frame, axis) + (0.0 if near else wished_size(frame, axis))
        offsets.append(option.stand.box[axis if near else 2 + axis] - end)
    if len(ways) > 1:
        wishing.note(f"the wish '{wishing.name}' means different sides on the panels of {wishing.called(item)}")
        return
    axis, sign = ways.pop()
    wishing.below_zero(sum_of([(item, axis, sign, offsets)], const_mm=-wishing.wish.free))
