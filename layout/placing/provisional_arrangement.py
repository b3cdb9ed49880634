"""A stand-in for an arrangement, to reckon lengths with before anything is placed. Never judged, drawn or kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.project.model.arrangement import Arrangement, Placed

if TYPE_CHECKING:
    from layout.project.model.project import Project


def in_the_middle(project: Project) -> Arrangement:
    """Return every device in the middle of its panel, or where a pin has it; faces overlap.

    A wire to the middle is wrong by half a panel at most, so that what is too thin, too long or unprotected shows
    before placing. Of several panels the first counts.
    """
    middles = {key: panel.outline.to_path().bounds().centre for key, panel in project.panels.items()}
    placed = {}
    for key, device in project.devices.items():
        pin = device.pin
        panel = (pin.panel if pin else None) or next(iter(device.panel), None)
        if panel is None or panel not in middles:
            continue
        x, y = middles[panel]
        if pin is not None:
            x, y = x if pin.x is None else pin.x, y if pin.y is None else pin.y
        turn = device.turns[0] if pin is None or pin.turn is None else pin.turn
        placed[key] = Placed(device=key, panel=panel, x=x, y=y, turn=turn)
    return Arrangement(placed=FrozenMap(placed))
