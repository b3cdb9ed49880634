"""Which distances hold between two devices, and between a device and its panel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.rule_table import rule_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from layout.project.model.device import Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class PairLimits:
    """Distances between two devices, mm.

    Attributes
    ----------
    gap, web, rear
        Between faces, cut-outs, and bodies that share depth.
    any_depth
        Between bodies whatever depth they have; None where no rule asks that.
    space
        Between any parts as seen from the front; None where no rule asks that.
    holes
        Between fixing holes, and between a fixing hole and a cut-out.
    """

    gap: float
    web: float
    rear: float
    any_depth: float | None
    space: float | None
    holes: float


def pair_limits(project: Project, first: Device, second: Device) -> PairLimits:
    """Return the distances that hold between two devices."""
    rear, any_depth = rule_mm(project, "rear_gap"), None
    declared, own = _declared(project, first, second, Layer.REAR)
    if declared is not None:
        rear = declared
    if not own and _ac_dc(first, second):
        any_depth = rule_mm(project, "ac_dc")
    space, _ = _declared(project, first, second, Layer.ALL)
    return PairLimits(
        gap=_larger(project, first, second, Layer.FRONT, "face_gap"),
        web=_larger(project, first, second, Layer.SHEET, "hole_gap"),
        rear=rear,
        any_depth=any_depth,
        space=space,
        holes=rule_mm(project, "fixing_edge"),
    )


def gap_of(project: Project, device: Device) -> float:
    """Return the gap that a device keeps of its own, mm."""
    return rule_mm(project, "face_gap") if device.face_gap is None else device.face_gap


def web_of(project: Project, device: Device) -> float:
    """Return the web that a device's cut-outs keep of their own, mm."""
    return rule_mm(project, "hole_gap") if device.hole_gap is None else device.hole_gap


def edge_of(project: Project, device: Device, panel: Panel) -> float:
    """Return the distance of a face from a panel's outline, mm."""
    said = [edge for edge in (device.edge, panel.edge) if edge is not None]
    return max(said) if said else rule_mm(project, "edge")


def _larger(project: Project, first: Device, second: Device, layer: Layer, limit: str) -> float:
    declared, _ = _declared(project, first, second, layer)
    if declared is not None:
        return declared
    of = gap_of if limit == "face_gap" else web_of
    return max(of(project, first), of(project, second))


def _declared(project: Project, first: Device, second: Device, layer: Layer) -> tuple[float | None, bool]:
    """Return the gap of the rule that counts for two devices in a layer, and whether it names the two themselves."""
    by_name: list[float] = []
    by_class: list[float] = []
    for rule in project.rules.apart:
        if rule.layer is layer and (_meets(rule.between, first, second) or _meets(rule.between, second, first)):
            named = not any(end.startswith("class:") for end in rule.between)
            (by_name if named else by_class).append(rule.gap)
    if by_name:
        return max(by_name), True
    return (max(by_class) if by_class else None), False


def _meets(between: tuple[str, str], first: Device, second: Device) -> bool:
    return all(
        device.id == end or (end.startswith("class:") and end[6:] in device.classes)
        for end, device in zip(between, (first, second), strict=True)
    )


def _ac_dc(first: Device, second: Device) -> bool:
    kinds = [{"ac", "dc"} & set(device.classes) for device in (first, second)]
    return kinds in ([{"ac"}, {"dc"}], [{"dc"}, {"ac"}])
