"""The table of holes, as panel drawing and template show it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import Units, size
from layout.drawing.elements.scene_table import SceneColumn, SceneTable
from layout.drawing.panel.holes import depth_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.rebates import SheetRebate


def hole_table(
    holes: Sequence[Hole],
    thickness_mm: float,
    *,
    height_mm: float = 2.5,
    most_name_mm: float = 30.0,
    units: Units = "mm",
    steps: Sequence[SheetRebate] = (),
) -> SceneTable:
    """Return mark, place from the datum, size, depth, use and device of every hole, rebates after them."""
    rows = tuple(
        (
            hole.mark,
            size("{}", hole.xy[0], units=units),
            size("{}", hole.xy[1], units=units),
            hole.size,
            depth_text(hole, thickness_mm, units),
            "DO NOT CUT" if not hole.confirmed and not hole.done else "done" if hole.done else hole.use,
            hole.name,
        )
        for hole in holes
    )
    rows += tuple(
        (
            step.mark,
            size("{}", step.xy[0], units=units),
            size("{}", step.xy[1], units=units),
            step.size,
            size("{} deep", step.depth_mm, units=units),
            "done" if step.done else "rebate" if step.confirmed else "DO NOT CUT",
            step.name,
        )
        for step in steps
    )
    columns = (
        SceneColumn(title="Hole"),
        SceneColumn(title="X", align="right"),
        SceneColumn(title="Y", align="right"),
        SceneColumn(title="Size"),
        SceneColumn(title="Depth"),
        SceneColumn(title="Use"),
        SceneColumn(title="Device", most_mm=most_name_mm),
    )
    return SceneTable(
        columns=columns, rows=rows, heading="Holes, X and Y of centres from the datum", height_mm=height_mm
    )
