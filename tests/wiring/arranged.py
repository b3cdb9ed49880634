"""A quick arrangement for tests that only need every device to stand somewhere on its panel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.project.model.arrangement import Arrangement, Placed

if TYPE_CHECKING:
    from layout.project.model.project import Project


def spread_out(project: Project) -> Arrangement:
    """Return every panel device at a point of its own inside the panel's bounding box; faces may overlap."""
    placed = {}
    for key, device in project.devices.items():
        if device.panel:
            box = project.panels[device.panel[0]].outline.to_path().bounds()
            at = len(placed)
            x = box.x0 + box.width * (0.1 + 0.8 * (at * 37 % 100) / 100)
            y = box.y0 + box.height * (0.1 + 0.8 * (at * 61 % 100) / 100)
            placed[key] = Placed(device=key, panel=device.panel[0], x=x, y=y)
    return Arrangement(placed=placed)
