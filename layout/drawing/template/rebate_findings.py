"""What speaks against a rebate: nothing left below it, a hole or an edge in its way, little sheet beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.elements.numerals import mm
from layout.drawing.panel.rebates import rebates
from layout.drawing.template.sheet_strength import CLOSE_MM, least_left_mm, least_web_mm
from layout.findings import Finding
from layout.geometry.distance import contains_point, nearest_paths
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.drawing.panel.rebates import SheetRebate
    from layout.geometry.path import Path
    from layout.project.model.project import Project

_TOUCH_MM = 0.01
"""Lines nearer than this touch."""


@dataclass(frozen=True, slots=True)
class _Beside:
    """What lies beside a rebate: its name in a sentence, its outline, the device it concerns, the least web to it."""

    name: str
    path: Path
    device: str = ""
    least_mm: float = 0.0


def rebate_findings(project: Project, shapes: PanelShapes, holes: Sequence[Hole]) -> Iterator[Finding]:
    """Yield what is wrong with the rebates of a panel.

    How much is to be left below and beside one is common practice, no single source (``data/strength.yaml``).
    """
    web, cut = least_web_mm(shapes.panel), rebates(shapes)
    for number, rebate in enumerate(cut):
        yield from _left(project, shapes, rebate)
        beside = [
            _Beside(f"the face of {device.name}", device.face, device.device.id)
            for device in shapes.devices
            if device.device.id != rebate.device
        ]
        beside += [
            _Beside(
                f"hole {hole.mark} of {hole.name}", hole.path, "" if hole.kind == "opening" else hole.device,
                CLOSE_MM if hole.kind == "fixing" else web,
            )
            for hole in holes
            if hole.device != rebate.device
        ]  # fmt: skip
        beside += [_Beside(f"rebate {one.mark} of {one.name}", one.path, one.device, web) for one in cut[number + 1 :]]
        for other in beside:
            yield from _near(project, shapes, rebate, other, inside=_share(rebate.path, other.path))
        edge = _Beside("the edge", shapes.outline, least_mm=web)
        yield from _near(project, shapes, rebate, edge, inside=not contains_point(shapes.outline, rebate.at))


def _share(first: Path, second: Path) -> bool:
    """Tell whether one of two outlines that do not cross lies in the other."""
    return contains_point(first, second.segments[0].start) or contains_point(second, first.segments[0].start)


def _left(project: Project, shapes: PanelShapes, rebate: SheetRebate) -> Iterator[Finding]:
    panel, at = shapes.panel, project.place_of(f"devices.{rebate.device}.rebate")
    subjects = (f"devices.{rebate.device}", panel.key)
    if rebate.left_mm <= 0:
        yield Finding(
            rule="cut 60",
            message=f"the rebate of {rebate.name} is {mm(rebate.depth_mm)} mm deep, and {shapes.name} is only"
            f" {mm(panel.thickness)} mm thick",
            at=at,
            remedy="make the rebate less deep, take a thicker sheet, or let the face stand on the sheet",
            measured=rebate.depth_mm,
            limit=panel.thickness,
            unit="mm",
            subjects=subjects,
        )
        return
    least = least_left_mm(panel)
    if rebate.left_mm < least - 1e-9:
        yield Finding(
            rule="cut 61",
            message=f"only {mm(rebate.left_mm)} mm of {panel.material} are left below the rebate of {rebate.name};"
            f" {mm(least)} mm is the least for {mm(panel.thickness)} mm",
            at=at,
            remedy="make the rebate less deep, take a thicker sheet, or glue a doubler behind it",
            measured=rebate.left_mm,
            limit=least,
            unit="mm",
            subjects=subjects,
        )


def _near(
    project: Project, shapes: PanelShapes, rebate: SheetRebate, other: _Beside, *, inside: bool
) -> Iterator[Finding]:  # fmt: skip
    """Yield that a rebate cuts into what lies beside it, or that too little sheet stands between the two."""
    web = nearest_paths(rebate.path, other.path).distance_mm
    at = project.place_of(f"devices.{rebate.device}.rebate")
    subjects = (f"devices.{rebate.device}", *([f"devices.{other.device}"] if other.device else []), shapes.panel.key)
    if web < _TOUCH_MM or inside:
        yield Finding(
            rule="cut 62",
            message=f"the rebate of {rebate.name} runs into {other.name}",
            at=at,
            remedy="make its margin smaller, or move the two apart",
            subjects=subjects,
        )
    elif web < other.least_mm - 1e-9:
        yield Finding(
            rule="cut 63",
            message=f"only {mm(web)} mm stand between the rebate of {rebate.name}, which leaves {mm(rebate.left_mm)} mm"
            f" of {mm(shapes.panel.thickness)} mm {shapes.panel.material}, and {other.name}; {mm(other.least_mm)} mm"
            " is the least",
            at=at,
            remedy=f"move them apart by {mm(other.least_mm - web)} mm, make the margin smaller, or stiffen the rear",
            measured=web,
            limit=other.least_mm,
            unit="mm",
            subjects=subjects,
        )
