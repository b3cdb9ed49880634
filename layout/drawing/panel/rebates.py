"""Rebates: where a face is let into the sheet's front, with place, size and what is left below."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import mm
from layout.drawing.panel.holes import is_confirmed, shape_text
from layout.light_dataclass import dataclass
from layout.project.model.aboard import Existing

if TYPE_CHECKING:
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.geometry.path import Path, Point
    from layout.project.model.shape import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRebate:
    """One rebate as it lies in the sheet.

    Attributes
    ----------
    mark
        What drawing, table and order of work call it: ``3R`` for that of device 3.
    at, xy
        Centre, in the coordinates of the shapes it was read from and from the datum.
    size
        As printed, without its depth.
    depth_mm, left_mm
        How deep it goes from the front face, and how much of the sheet is left below it.
    confirmed, done
        Whether its size may be cut, and whether it is there already.
    """

    mark: str
    device: str
    name: str
    path: Path
    at: Point
    xy: Point
    size: str
    depth_mm: float
    left_mm: float
    confirmed: bool
    done: bool

    @property
    def words(self) -> str:
        """Size and depth in one."""
        return f"rebate {self.size}, {mm(self.depth_mm)} deep"


def rebates(shapes: PanelShapes) -> tuple[SheetRebate, ...]:
    """Return all rebates of a panel, in the order of its devices' numbers."""
    found = []
    for device in shapes.devices:
        model, path = device.device, device.rebate
        if model.rebate is None or model.face is None or path is None:
            continue
        at = path.bounds().centre
        found.append(
            SheetRebate(
                mark=f"{device.number}R",
                device=model.id,
                name=device.name,
                path=path,
                at=at,
                xy=shapes.coordinates(at),
                size=shape_text(_grown(model.face, model.rebate.margin), path, device.turn, shapes.units),
                depth_mm=model.rebate.depth,
                left_mm=shapes.panel.thickness - model.rebate.depth,
                confirmed=is_confirmed(model),
                done=model.work_state == "cut" or model.aboard is Existing.KEEP,
            )
        )
    return tuple(found)


def _grown(face: Shape, margin_mm: float) -> Shape:
    """Return a rectangular face grown by a margin; others say their size by their outline."""
    if face.rect is None:
        return face
    wide, tall = face.rect
    radius = face.radius + margin_mm if face.radius else 0.0
    return replace(face, rect=(wide + 2 * margin_mm, tall + 2 * margin_mm), radius=radius)
