"""Which distance two devices must keep in a layer, from the devices, the pairs, the classes and the groups."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.rule_table import rule_mm
from layout.project.model.panel import Layer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.project.model.device import Device
    from layout.project.model.project import Project

CLASS = "class:"
"""Marks the name of a class in a rule between two."""


@dataclass(frozen=True, slots=True)
class JudgeLimits:
    """All distances between two devices of a project.

    Attributes
    ----------
    pairs, classes
        Rules between two devices, and those that name a class, by layer.
    grouped
        Gap of the group that two devices are in together, where the group sets one.
    """

    project: Project
    pairs: Mapping[tuple[Layer, str, str], float]
    classes: tuple[tuple[Layer, str, str, float], ...]
    grouped: Mapping[tuple[str, str], float]

    def said(self, layer: Layer, first: Device, second: Device, ids: tuple[str, str]) -> float | None:
        """Return what the rules between two say for a layer, or None: the pair's own, else that of their classes."""
        own = self.pairs.get((layer, *ids))
        if own is not None:
            return own
        gaps = [
            gap
            for where, one, other, gap in self.classes
            if where == layer
            and (
                (_is(one, ids[0], first) and _is(other, ids[1], second))
                or (_is(one, ids[1], second) and _is(other, ids[0], first))
            )
        ]
        return max(gaps, default=None)

    def face_gap(self, first: Device, second: Device, ids: tuple[str, str]) -> float:
        """Return the least distance of two faces, mm."""
        group = self.grouped.get(ids)
        if group is not None:
            return group
        said = self.said(Layer.FRONT, first, second, ids)
        return (
            max(self._own(first.face_gap, "face_gap"), self._own(second.face_gap, "face_gap")) if said is None else said
        )

    def web(self, first: Device, second: Device, ids: tuple[str, str]) -> float:
        """Return the least material between cut-outs of two devices, mm."""
        said = self.said(Layer.SHEET, first, second, ids)
        return max(self.web_of(first), self.web_of(second)) if said is None else said

    def web_of(self, device: Device) -> float:
        """Return the material that the cut-outs of one device ask round them, mm."""
        return self._own(device.hole_gap, "hole_gap")

    def rear_gap(self, first: Device, second: Device, ids: tuple[str, str]) -> float:
        """Return the least distance of two bodies with tail room whose depths overlap, mm."""
        said = self.said(Layer.REAR, first, second, ids)
        return rule_mm(self.project, "rear_gap") if said is None else said

    def ac_dc(self, first: Device, second: Device, ids: tuple[str, str]) -> float | None:
        """Return the least distance of an AC and a DC device's bodies, mm; None for other pairs.

        A device of both classes is kept apart inside by its maker and is neither here.
        """
        sides = (current_kind(first), current_kind(second))
        if set(sides) != {"ac", "dc"}:
            return None
        own = self.pairs.get((Layer.REAR, *ids))
        return rule_mm(self.project, "ac_dc") if own is None else own

    def reach(self, layer: Layer) -> float:
        """Return the largest distance that any two devices keep in a layer, mm."""
        said = [gap for (where, _, _), gap in self.pairs.items() if where == layer]
        said += [gap for where, _, _, gap in self.classes if where == layer]
        devices = self.project.devices.values()
        if layer == Layer.FRONT:
            said += [device.face_gap for device in devices if device.face_gap is not None]
            said += [rule_mm(self.project, "face_gap"), *self.grouped.values()]
        elif layer == Layer.SHEET:
            said += [device.hole_gap for device in devices if device.hole_gap is not None]
            said.append(rule_mm(self.project, "hole_gap"))
        elif layer == Layer.REAR:
            said += [rule_mm(self.project, "rear_gap"), rule_mm(self.project, "ac_dc")]
        return max(said, default=0.0)

    def widest(self) -> float:
        """Return the largest distance that any two parts of two devices keep in any layer, mm."""
        return max(*(self.reach(layer) for layer in Layer), rule_mm(self.project, "fixing_edge"))

    def in_space(self) -> bool:
        """Tell whether any rule keeps devices apart in all layers."""
        return any(rule.layer == Layer.ALL for rule in self.project.rules.apart)

    def _own(self, value: float | None, limit: str) -> float:
        return rule_mm(self.project, limit) if value is None else value


def limits_of(project: Project) -> JudgeLimits:
    """Collect the distances of a project."""
    pairs: dict[tuple[Layer, str, str], float] = {}
    classes = []
    for rule in project.rules.apart:
        one, other = rule.between
        if one.startswith(CLASS) or other.startswith(CLASS):
            classes.append((rule.layer, one, other, rule.gap))
        else:
            for ids in ((one, other), (other, one)):
                pairs[(rule.layer, *ids)] = max(rule.gap, pairs.get((rule.layer, *ids), 0.0))
    grouped = {
        (one, other): relation.gap
        for relation in project.rules.relations
        if relation.group is not None and relation.gap is not None
        for one in relation.group
        for other in relation.group
        if one != other
    }
    return JudgeLimits(project, pairs, tuple(classes), grouped)


def current_kind(device: Device) -> str | None:
    """Return "ac" or "dc" for a device of one of these classes, None for one of both or neither."""
    sides = [side for side in ("ac", "dc") if side in device.classes]
    return sides[0] if len(sides) == 1 else None


def _is(name: str, key: str, device: Device) -> bool:
    return name.removeprefix(CLASS) in device.classes if name.startswith(CLASS) else name == key
