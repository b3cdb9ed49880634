"""What can be left out of a project to see whether it is to blame: devices and rules."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Literal, TypeVar

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.rule_table import rule_mm

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from _typeshed import DataclassInstance

    from layout.project.model.panel import Panel
    from layout.project.model.project import Project
    from layout.project.model.rules import ApartRule, Relation, Rules

Owner = TypeVar("Owner", bound="DataclassInstance")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blameable:
    """A device or rule that may be to blame.

    Attributes
    ----------
    kind, name
        What it is, as people read it: ``device``, ``Chart display``; ``rule``, ``gap between faces (15 mm)``.
    key
        Dotted path of its entry in the project.
    left_out
        The project without it.
    """

    kind: Literal["device", "rule"]
    name: str
    key: str
    left_out: Callable[[Project], Project]


def changed(owner: Owner, **fields: Any) -> Owner:
    """Return a frozen value with some fields changed that are named at run time."""
    return replace(owner, **fields)


def devices_named(project: Project) -> tuple[Blameable, ...]:
    """Return the devices that stand on panels."""
    return tuple(
        Blameable(kind="device", name=device.name or key, key=f"devices.{key}", left_out=_without_device(key))
        for key, device in project.devices.items()
        if device.panel
    )


def as_twin(project: Project, key: str) -> str:
    """Return what a device is but for its name, the same for equal ones; empty where a rule names it."""
    named = {name for rule in project.rules.apart for name in rule.between}
    named |= {name for relation in project.rules.relations for name in relation.devices}
    if key in named:
        return ""
    return repr(replace(project.devices[key], id="", name="", note="", terminals={}, legend=()))


def only(project: Project, keep: Iterable[str]) -> Project:
    """Return the project with no other devices on its panels than these."""
    kept = set(keep)
    for key, device in project.devices.items():
        if device.panel and key not in kept:
            project = _without_device(key)(project)
    return project


def rules_of(project: Project) -> tuple[Blameable, ...]:
    """Return the rules that can be left out: limits, zones, relations, pins, and what devices keep clear."""
    return (*_limits(project), *_panels(project), *_declared(project), *_devices(project))


def _rule(name: str, key: str, left_out: Callable[[Project], Project]) -> Blameable:
    return Blameable(kind="rule", name=name, key=key, left_out=left_out)


def _limits(project: Project) -> list[Blameable]:
    words = {
        "face_gap": "gap between faces",
        "hole_gap": "web between cut-outs and to the edge",
        "edge": "distance of faces from the edge",
        "rear_gap": "gap behind the sheet",
        "depth_spare": "spare depth",
        "fixing_edge": "material round fixings",
        "ac_dc": "distance of AC from DC behind the sheet",
    }
    return [
        _rule(f"{text} ({rule_mm(project, limit):g} mm)", f"rules.{limit}", _without_limit(limit))
        for limit, text in words.items()
    ]


def _panels(project: Project) -> list[Blameable]:
    found = []
    for key, panel in project.panels.items():
        path = f"panels.{key}"
        called = panel.name or key
        if panel.depth is not None or panel.depth_at or panel.depth_steps:
            found.append(_rule(f"free depth behind {called}", f"{path}.depth", _changed(key, _bottomless)))
        if panel.hinge and panel.hinge.obstacles:
            found.append(_rule(f"swing of {called}", f"{path}.hinge", _changed(key, _unhinged)))
        if panel.compasses:
            found.append(_rule(f"compass distance at {called}", f"{path}.compasses", _changed(key, _no_compass)))
        for name, zone in panel.no_go.items():
            found.append(_rule(f"keep-out {zone.name or name}", f"{path}.no_go.{name}", _drop(key, "no_go", name)))
        for name, old in panel.old_holes.items():
            found.append(
                _rule(f"old hole {old.name or name}", f"{path}.old_holes.{name}", _drop(key, "old_holes", name))
            )
        for name, room in panel.reserved.items():
            found.append(
                _rule(f"reserved {room.name or name}", f"{path}.reserved.{name}", _drop(key, "reserved", name))
            )
    return found


def _declared(project: Project) -> list[Blameable]:
    found = [
        _rule(f"{' and '.join(rule.between)} {rule.gap:g} mm apart", f"rules.apart.{k}", _without_apart(rule))
        for k, rule in enumerate(project.rules.apart)
    ]
    for k, relation in enumerate(project.rules.relations):
        text = f"{relation.kind.replace('_', ' ')}: {', '.join(relation.devices)}"
        found.append(_rule(text, f"rules.relations.{k}", _without_relation(relation)))
    return found


def _devices(project: Project) -> list[Blameable]:
    found = []
    for key, device in project.devices.items():
        called = device.name or key
        if device.panel and device.pin is not None and device.work_state == "planned":
            found.append(_rule(f"pin of {called}", f"devices.{key}.pin", _device(key, pin=None)))
        if device.panel and device.clear_around:
            found.append(
                _rule(f"room kept clear of {called}", f"devices.{key}.clear_around", _device(key, clear_around=()))
            )
    return found


def _without_device(key: str) -> Callable[[Project], Project]:
    def left_out(project: Project) -> Project:
        devices = {name: device for name, device in project.devices.items() if name != key}
        relations = [fewer for one in project.rules.relations if (fewer := _fewer(one, key)) is not None]
        apart = tuple(rule for rule in project.rules.apart if key not in rule.between)
        rules = replace(project.rules, relations=tuple(relations), apart=apart)
        return replace(project, devices=FrozenMap(devices), rules=rules)

    return left_out


def _fewer(relation: Relation, key: str) -> Relation | None:
    if key not in relation.devices:
        return relation
    rest = tuple(name for name in relation.devices if name != key)
    least = 1 if relation.kind in ("on_side", "in_zone") else 2
    return changed(relation, **{relation.kind: rest}) if len(rest) >= least else None


def _without_limit(limit: str) -> Callable[[Project], Project]:
    def left_out(project: Project) -> Project:
        project = replace(project, rules=changed(project.rules, **{limit: 0.0}))
        if limit in ("face_gap", "hole_gap", "edge"):
            devices = {key: changed(device, **{limit: None}) for key, device in project.devices.items()}
            panels = {
                key: replace(panel, edge=None) if limit == "edge" else panel for key, panel in project.panels.items()
            }
            project = replace(project, devices=FrozenMap(devices), panels=FrozenMap(panels))
        return project

    return left_out


def _changed(key: str, change: Callable[[Panel], Panel]) -> Callable[[Project], Project]:
    return lambda project: replace(project, panels=FrozenMap({**project.panels, key: change(project.panels[key])}))


def _bottomless(panel: Panel) -> Panel:
    return replace(panel, depth=1e5, depth_at=(), depth_steps=())


def _unhinged(panel: Panel) -> Panel:
    return replace(panel, hinge=replace(panel.hinge, obstacles=FrozenMap())) if panel.hinge else panel


def _no_compass(panel: Panel) -> Panel:
    return replace(panel, compasses=FrozenMap())


def _drop(key: str, field: str, name: str) -> Callable[[Project], Project]:
    def change(panel: Panel) -> Panel:
        return changed(panel, **{field: FrozenMap({k: v for k, v in getattr(panel, field).items() if k != name})})

    return _changed(key, change)


def _without_apart(rule: ApartRule) -> Callable[[Project], Project]:
    def left_out(project: Project) -> Project:
        return _with_rules(project, replace(project.rules, apart=tuple(r for r in project.rules.apart if r != rule)))

    return left_out


def _without_relation(relation: Relation) -> Callable[[Project], Project]:
    """Leave a relation out, also where devices have gone from it since."""

    def left_out(project: Project) -> Project:
        rest = tuple(
            one
            for one in project.rules.relations
            if not (
                one.kind == relation.kind and set(one.devices) <= set(relation.devices) and one.side == relation.side
            )
        )
        return _with_rules(project, replace(project.rules, relations=rest))

    return left_out


def _with_rules(project: Project, rules: Rules) -> Project:
    return replace(project, rules=rules)


def _device(key: str, **fields: object) -> Callable[[Project], Project]:
    def left_out(project: Project) -> Project:
        if key not in project.devices:
            return project
        return replace(project, devices=FrozenMap({**project.devices, key: changed(project.devices[key], **fields)}))

    return left_out


def panels_together(project: Project) -> tuple[tuple[str, ...], ...]:
    """Return the panels that share devices, group by group: what happens on one group says nothing of another."""
    groups: list[set[str]] = []
    for device in project.devices.values():
        if device.panel:
            joined = set(device.panel).union(*(group for group in groups if group & set(device.panel)))
            groups = [group for group in groups if not group & joined] + [joined]
    order = list(project.panels)
    return tuple(
        tuple(sorted(group, key=order.index)) for group in sorted(groups, key=lambda g: min(map(order.index, g)))
    )


def panels_alone(project: Project, panels: Iterable[str]) -> Project:
    """Return the project with the devices of these panels only."""
    kept = set(panels)
    names = [key for key, device in project.devices.items() if device.panel and set(device.panel) <= kept]
    fewer = only(project, names)
    return replace(fewer, panels={key: panel for key, panel in project.panels.items() if key in kept})
