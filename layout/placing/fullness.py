"""How full a panel is: what devices take with their gaps, over what is free, layer by layer."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Any

from layout.light_dataclass import dataclass
from layout.placing.rule_table import rule_mm
from layout.placing.translation.pair_limits import edge_of, pair_limits, web_of
from layout.placing.translation.shape_pieces import ARC_MM
from layout.project.model.panel import Layer
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.project.model.device import Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project
    from layout.project.model.shape import Shape

FULL = 1.002
"""A load above this can't be placed: the polygons that stand for round corners err by less than a thousandth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fullness:
    """Areas of one layer of a panel.

    Attributes
    ----------
    needed_mm2
        Sum of what each device takes, grown by half the least gap.
    free_mm2
        What may be taken, grown by half the least gap.
    """

    panel: str
    layer: Layer
    needed_mm2: float
    free_mm2: float

    @property
    def share(self) -> float:
        """Needed over free; more than ``FULL`` is a proof that not all can stand there."""
        return self.needed_mm2 / self.free_mm2 if self.free_mm2 > 0 else float("inf")


def fullness_of(project: Project) -> tuple[Fullness, ...]:
    """Return the loads of each panel in front and in the sheet, of what can stand on no other panel.

    Reserved room counts as the device that it is kept for.
    """
    found = []
    for key, panel in project.panels.items():
        devices = [
            device
            for device in (*project.devices.values(), *stand_ins(project).values())
            if set(device.panel) == {key} and not device.is_removed
        ]
        if devices:
            found += [_front(project, panel, devices), _sheet(project, panel, devices)]
    return tuple(found)


def _front(project: Project, panel: Panel, devices: list[Device]) -> Fullness:
    gap = min((pair_limits(project, *pair).gap for pair in combinations(devices, 2)), default=0.0)
    edge = min(edge_of(project, device, panel) for device in devices)
    faces = [(device.face,) if device.face else () for device in devices]
    return _load(panel, Layer.FRONT, faces, gap=gap, edge=edge)


def _sheet(project: Project, panel: Panel, devices: list[Device]) -> Fullness:
    web = min(
        (pair_limits(project, *pair).web for pair in combinations(devices, 2)), default=rule_mm(project, "hole_gap")
    )
    edge = min(web_of(project, device) for device in devices)
    return _load(panel, Layer.SHEET, [device.cutout for device in devices], gap=web, edge=edge)


def _load(panel: Panel, layer: Layer, taken: Iterable[tuple[Shape, ...]], *, gap: float, edge: float) -> Fullness:
    import shapely

    free: Any = _polygon(panel.outline, outside=True).buffer(-edge)
    for zone in panel.no_go.values():
        if layer in zone.layer or Layer.ALL in zone.layer:
            free = free.difference(_polygon(zone.shape, outside=False))
    needed = 0.0
    for shapes in taken:
        if shapes:
            needed += shapely.union_all([_polygon(shape, outside=False) for shape in shapes]).buffer(gap / 2).area
    return Fullness(panel=panel.id, layer=layer, needed_mm2=needed, free_mm2=free.buffer(gap / 2).area)


def _polygon(shape: Shape, *, outside: bool) -> Any:
    from layout.geometry.polygon import inside_polygon, outside_polygon

    return (outside_polygon if outside else inside_polygon)(shape.to_path(), ARC_MM)


def is_over_full(project: Project) -> bool:
    """Say whether areas alone prove that not all can stand on the panels they are for."""
    return any(load.share > FULL for load in fullness_of(project))


def area_words(load: Fullness) -> str:
    """Return the areas of a load: what is needed and what is free."""
    where = "in front its devices" if load.layer is Layer.FRONT else "in the sheet its cut-outs"
    return (
        f"{where} need {load.needed_mm2 / 100:.0f} cm2 with their gaps, {load.free_mm2 / 100:.0f} cm2 are free"
        f" ({100 * load.share:.0f} %)"
    )
