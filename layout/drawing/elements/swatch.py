"""A small patch in a conductor's colour; the words and IEC 60757 letters beside it say the same without colour."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements import pens
from layout.drawing.elements.colours import CONDUCTORS
from layout.drawing.elements.scene import FillPath, Item, box_path, line, rect
from layout.geometry.path import Box

if TYPE_CHECKING:
    from collections.abc import Sequence


def inks(colour: str) -> tuple[str, str | None] | None:
    """Return base and stripe ink of a colour in words (``brown with yellow stripe``); None for an unknown word."""
    name = colour.strip().lower()
    if name == "green-yellow":
        return CONDUCTORS["green"], CONDUCTORS["yellow"]
    base, _, stripe = name.partition(" with ")
    second = stripe.removesuffix(" stripe")
    if base not in CONDUCTORS or (second and second not in CONDUCTORS):
        return None
    return CONDUCTORS[base], CONDUCTORS[second] if second else None


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
