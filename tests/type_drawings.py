"""A small drawing of each type of the catalogue: face, cut-outs and fixings to one scale of its own."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from layout.geometry.box import Box
from layout.project import catalogue
from layout.project.reading.read import read

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.project.model.device import Device
    from layout.project.model.shape import Shape

WIDTH_PX = 220
MARGIN_MM = 4


@cache
def devices() -> Mapping[str, Device]:
    """Return every type as the reader builds it, by its name."""
    text = "spile: 2\nproject: {name: types}\nlocations: {store: {}}\ndevices:\n"
    text += "".join(f"  {_id(name)}: {{type: {name}, location: store}}\n" for name in catalogue.entries())
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "types.yaml"
        file.write_text(text, encoding="utf-8")
        reading = read(file)
    assert reading.project is not None, [finding.message for finding in reading.findings]
    return {name: reading.project.devices[_id(name)] for name in catalogue.entries()}


def drawing(name: str) -> str:
    """Return one type as SVG."""
    device = devices()[name]
    shapes = [*([device.face] if device.face else []), *device.cutout]
    boxes = [shape.to_path().bounds() for shape in shapes]
    boxes += [Box(x - r, y - r, x + r, y + r) for (x, y), r in ((f.at, f.drill / 2) for f in device.fixings)]
    low_x, low_y = min(box.x0 for box in boxes), min(box.y0 for box in boxes)
    high_x, high_y = max(box.x1 for box in boxes), max(box.y1 for box in boxes)
    view = (low_x - MARGIN_MM, -high_y - MARGIN_MM, high_x - low_x + 2 * MARGIN_MM, high_y - low_y + 2 * MARGIN_MM)
    height = round(WIDTH_PX * view[3] / view[2])
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{" ".join(f"{value:g}" for value in view)}" '
        f'width="{WIDTH_PX}" height="{height}" role="img" aria-label="{name}">',
        f'<g fill="none" stroke="#1d2a28" stroke-width="{view[2] / WIDTH_PX:.3f}">',
        *([_outline(device.face)] if device.face else []),
        *(_outline(shape, f' stroke-dasharray="{view[2] / 50:.2f}"') for shape in device.cutout),
        *(
            f'<circle cx="{fixing.at[0]:g}" cy="{-fixing.at[1]:g}" r="{fixing.drill / 2:g}"/>'
            for fixing in device.fixings
        ),
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _outline(shape: Shape, more: str = "") -> str:
    points = " ".join(f"{x:.2f},{-y:.2f}" for x, y in shape.to_path().points(0.1))
    return f'<polygon points="{points}"{more}/>'


def _id(name: str) -> str:
    return name.replace("-", "_")
