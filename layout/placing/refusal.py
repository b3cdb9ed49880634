"""What to say when a device can't stand anywhere, whatever the others do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.findings.finding import Finding, in_order
from layout.placing.outcome import Placing
from layout.placing.rule_table import hard_rules, rule_mm
from layout.placing.translation.pair_limits import edge_of
from layout.placing.translation.shallow import deepest
from layout.placing.words import NO_ARRANGEMENT, NOT_PROVEN
from layout.project.model.arrangement import Arrangement, Placed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.formulation import Formulation
    from layout.project.model.device import Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project


def nowhere(formulation: Formulation, chosen: Arrangement | None) -> Placing:
    """Return the outcome for a project with devices that can't stand anywhere; sure where the loose problem agrees."""
    sure = {one.device for one in formulation.loose.refused}
    findings = [
        _finding(formulation.project, one.device, one.rules, proven=one.device in sure)
        for one in formulation.safe.refused
    ]
    findings += _held_faults(formulation, chosen)
    proven = any(one.device in sure for one in formulation.safe.refused)
    return Placing(
        arrangement=None,
        findings=in_order(findings),
        proven=NO_ARRANGEMENT if proven else NOT_PROVEN,
        infeasible=proven,
    )


def _held_faults(formulation: Formulation, chosen: Arrangement | None) -> tuple[Finding, ...]:
    """Return what the judge says about refused devices whose position is given."""
    from layout.placing.judge import judge, refusals  # shapely

    placed = {}
    for one in formulation.safe.refused:
        held = formulation.held.get(one.device)
        device = formulation.project.devices.get(one.device)
        if held is None or device is None or held.x is None or held.y is None:
            continue
        panel, turn = held.panel or device.panel[0], device.turns[0] if held.turn is None else held.turn
        placed[one.device] = Placed(device=one.device, panel=panel, x=held.x, y=held.y, turn=turn)
    found = judge(formulation.project, Arrangement(placed=placed), chosen=chosen) if placed else ()
    shown = {f"devices.{name}" for name in placed}
    return tuple(one for one in refusals(found) if one.rule != "panel 37" and shown & set(one.subjects))


def _finding(project: Project, name: str, rules: Sequence[str], *, proven: bool) -> Finding:
    device = project.devices.get(name)
    if device is None:
        called, key = f"room {name.rpartition('.')[2]}", name
        panels: list[Panel] = []
    else:
        called, key = device.name or name, f"devices.{name}"
        panels = [project.panels[panel] for panel in device.panel if panel in project.panels]
    why = "; ".join(_reason(project, device, panels, rule) for rule in rules) or "no place is left by the rules"
    sure = "fits nowhere" if proven else "was found no place"
    where = " or ".join(panel.name or panel.id for panel in panels) or "its panel"
    return Finding(
        rule="fit 1",
        message=f"{called} {sure} on {where}, even alone: {why}",
        at=project.place_of(key),
        remedy="allow another turn, a smaller distance or another panel, or make the panel larger or deeper",
        subjects=(key,),
    )


def _reason(project: Project, device: Device | None, panels: Sequence[Panel], rule: str) -> str:
    """Return the figures behind a rule that keeps a device off the whole of its panels."""
    if device is None or not panels:
        return rule.replace("-", " ")
    if rule == "body-in-depth":
        bodies = [body.depth for body in device.behind if body.depth is not None]
        tail = (device.plug_room.depth or 0.0) if device.plug_room else 0.0
        spare = rule_mm(project, "depth_spare")
        need, have = max(bodies, default=0.0) + tail + spare, max(deepest(panel) or 0.0 for panel in panels)
        parts = f"{need - tail - spare:g} body, {tail:g} tail, {spare:g} spare"
        return f"it needs {need:g} mm of depth ({parts}), {have:g} mm are free"
    if rule == "face-in-panel" and device.face is not None:
        box = device.face.to_path().bounds()
        sizes = [panel.outline.to_path().bounds() for panel in panels]
        edge = max(edge_of(project, device, panel) for panel in panels)
        widest, tallest = max(size.width for size in sizes), max(size.height for size in sizes)
        return (
            f"its face of {box.width:g} x {box.height:g} mm with {edge:g} mm to each edge is too large for "
            f"{widest:g} x {tallest:g} mm"
        )
    if rule == "front-in-room":
        return (
            f"it stands out {device.front_height or 0.0:g} mm, {max(p.front_room or 0.0 for p in panels):g} mm are free"
        )
    if rule == "position-held":
        return "the position it is held at breaks a rule"
    return {"relation": "a relation asks for a place that its panel has not"}.get(
        rule, hard_rules()[rule].why if rule in hard_rules() else rule
    )
