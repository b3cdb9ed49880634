"""A small patch in a conductor's colour; the words and IEC 60757 letters beside it say the same without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.scene import FillPath, Item, box_path, line, rect
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence

INKS = {
    "black": "#1a1a1a",
    "blue": "#2457c5",
    "brown": "#7a4a21",
    "dark blue": "#16348a",
    "dark grey": "#4d5259",
    "gold": "#c9a227",
    "gray": "#8a9099",
    "green": "#1f8a3b",
    "grey": "#8a9099",
    "light blue": "#7fb8ea",
    "orange": "#ef7d1a",
    "pink": "#f19ab5",
    "purple": "#6d3fa0",
    "red": "#d3261c",
    "silver": "#c4c8cc",
    "tan": "#cfae80",
    "turquoise": "#2ab5ae",
    "violet": "#6d3fa0",
    "white": "#ffffff",
    "yellow": "#f6d21f",
}
"""Print colours by the words of the standards; chosen to be told apart on paper."""


def inks(colour: str) -> tuple[str, str | None] | None:
    """Return base and stripe ink of a colour in words (``brown with yellow stripe``); None for an unknown word."""
    name = colour.strip().lower()
    if name == "green-yellow":
        return INKS["green"], INKS["yellow"]
    base, _, stripe = name.partition(" with ")
    second = stripe.removesuffix(" stripe")
    if base not in INKS or (second and second not in INKS):
        return None
    return INKS[base], INKS[second] if second else None


def swatch(colour: str, box: Box) -> Sequence[Item]:
    """Return the patch: base colour, its lengthways stripe, an outline; a cross for an unknown word."""
    found = inks(colour)
    if found is None:
        return (
            line((box.x0, box.y0), (box.x1, box.y1), pens.HAIR),
            line((box.x0, box.y1), (box.x1, box.y0), pens.HAIR),
            rect(box, pens.HAIR),
        )
    base, stripe = found
    items: list[Item] = [FillPath(box_path(box), base)]
    if stripe:
        third_x, third_y = box.width / 3, box.height / 3
        inner = (
            Box(box.x0, box.y0 + third_y, box.x1, box.y1 - third_y)
            if box.width >= box.height
            else Box(box.x0 + third_x, box.y0, box.x1 - third_x, box.y1)
        )
        items.append(FillPath(box_path(inner), stripe))
    items.append(rect(box, pens.HAIR))
    return tuple(items)
