"""What is left of the sheet: webs, share cut away, thickness against weight."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from itertools import combinations
from typing import TYPE_CHECKING, Any

from layout.geometry.distance import nearest_paths
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.drawing.panel.holes import Hole
    from layout.drawing.panel.placed_panel import PanelShapes
    from layout.geometry.path import Point
    from layout.project.model.panel import Panel


@cache
def _table() -> dict[str, Any]:
    """Return the table of least webs, shares and thicknesses as shipped."""
    from layout.shipped import shipped_yaml

    loaded: dict[str, Any] = shipped_yaml(files("layout.drawing.data").joinpath("strength.yaml").read_text("utf-8"))
    return loaded


CLOSE_MM = 4.0
"""Material that a screw hole should leave to a cut-out for a drill not to break out; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Web:
    """Material left between two cut-outs, or between a cut-out and the edge (``second`` is then "edge")."""

    first: str
    second: str
    width_mm: float
    start: Point
    end: Point
    holes: tuple[Hole, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """The sheet after cutting.

    Attributes
    ----------
    webs
        Narrowest first; only those narrower than twice the least.
    removed
        Share of the outline's area that is cut away, 0 to 1.
    least_web_mm, most_removed, least_thickness_mm
        What the table asks for; thickness None where the table ends below the weight.
    heaviest_kg
        Heaviest device, and the ids of devices whose weight is not known.
    """

    webs: tuple[Web, ...]
    removed: float
    least_web_mm: float
    most_removed: float
    least_thickness_mm: float | None
    heaviest_kg: float
    heaviest: str
    unknown_weight: tuple[str, ...]

    @property
    def narrowest(self) -> Web | None:
        """The narrowest web, if any is narrower than twice the least."""
        return self.webs[0] if self.webs else None


def least_web_mm(panel: Panel) -> float:
    """Return the least material between two cut-outs, or between one and the edge."""
    row = _table()[panel.material]
    return float(max(row["least"], row["per_thickness"] * panel.thickness))


def least_left_mm(panel: Panel) -> float:
    """Return the least thickness that a rebate leaves below it."""
    return float(max(_table()[panel.material]["least_left"], panel.thickness * _table()["share_left"]))


def strength(shapes: PanelShapes, found: Sequence[Hole]) -> Strength:
    """Return webs, removed share and what the sheet should be, by its material.

    Common practice, no single source (``data/strength.yaml``). Screw holes do not count as webs, see
    :func:`close_fixings`: a drill breaks out where a cut-out is near.
    """
    row = _table()[shapes.panel.material]
    least = least_web_mm(shapes.panel)
    cut = [hole for hole in found if hole.kind != "fixing"]
    outline = abs(shapes.outline.area())
    removed = sum(abs(hole.path.area()) for hole in found) / outline
    weights = {d.device.id: d.device.weight for d in shapes.devices}
    known = {name: weight for name, weight in weights.items() if weight is not None}
    heaviest = max(known, key=lambda name: (known[name], name)) if known else ""
    heaviest_kg = known[heaviest] if known else 0.0
    thickness = next((float(t) for most, t in row["thickness"] if heaviest_kg <= most), None)
    return Strength(
        webs=_webs(shapes, cut, 2 * least),
        removed=removed,
        least_web_mm=least,
        most_removed=row["removed"],
        least_thickness_mm=thickness,
        heaviest_kg=heaviest_kg,
        heaviest=heaviest,
        unknown_weight=tuple(name for name, weight in weights.items() if weight is None),
    )


def close_fixings(found: Sequence[Hole]) -> tuple[Web, ...]:
    """Return the screw holes that leave less than :data:`CLOSE_MM` to a cut-out, narrowest first."""
    cut = [hole for hole in found if hole.kind != "fixing" and not hole.done]
    webs = []
    for fixing in found:
        if fixing.kind != "fixing" or fixing.done:
            continue
        box = fixing.path.bounds()
        near = [
            (nearest_paths(fixing.path, hole.path), hole) for hole in cut if box.gap_mm(hole.path.bounds()) < CLOSE_MM
        ]
        close = min(near, key=lambda pair: pair[0].distance_mm, default=None)
        if close is not None and close[0].distance_mm < CLOSE_MM:
            webs.append(_web(fixing.mark, close[1].mark, close[0], (fixing, close[1])))
    return tuple(sorted(webs, key=lambda web: (round(web.width_mm, 6), web.first)))


def _webs(shapes: PanelShapes, cut: Sequence[Hole], below_mm: float) -> tuple[Web, ...]:
    """Return the webs narrower than ``below_mm``, exact between lines and arcs."""
    webs = []
    boxes = [hole.path.bounds() for hole in cut]
    for (first, box), (second, other) in combinations(zip(cut, boxes, strict=True), 2):
        if first.device == second.device or box.gap_mm(other) >= below_mm:
            continue
        near = nearest_paths(first.path, second.path)
        if near.distance_mm < below_mm:
            webs.append(_web(first.mark, second.mark, near, (first, second)))
    for hole in cut:
        near = nearest_paths(hole.path, shapes.outline)
        if near.distance_mm < below_mm:
            webs.append(_web(hole.mark, "edge", near, (hole,)))
    return tuple(sorted(webs, key=lambda web: (round(web.width_mm, 6), web.first, web.second)))


def _web(first: str, second: str, near: Any, holes: tuple[Hole, ...]) -> Web:
    return Web(first=first, second=second, width_mm=near.distance_mm, start=near.first, end=near.second, holes=holes)
