"""Wiring views of all panels on sheets: who ends on which terminal, from the runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.drawing.panel.placed_panel import panel_shapes
from layout.drawing.panel.wiring_view import Landing, Landings, divisor_of, wiring_view
from layout.handover.lists.natural_order import natural
from layout.handover.paper.diagram_sheets import picture_sheet, room_of
from layout.handover.paper.marked_rows import wiring_errors
from layout.wiring.circuits.ends import Ends

if TYPE_CHECKING:
    from layout.drawing.elements.scene import Scene
    from layout.handover.plan import Plan


def wiring_sheets(plan: Plan) -> tuple[Scene, ...]:
    """Return the wiring view of every panel that wires end on: a panel from its rear, a board from its front."""
    if plan.arrangement is None or not plan.is_wired:
        return ()
    project, sheets, faulty = plan.project, [], bool(wiring_errors(plan.found))
    room = room_of(project)
    for panel in project.panels.values():
        shapes = panel_shapes(project, plan.arrangement, panel.id)
        here = {one.device.id for one in shapes.devices}
        landings = {device: landed for device, landed in landings_of(plan).items() if device in here}
        if not landings:
            continue
        exit_to = project.locations.get(panel.cable_exit.location) if panel.cable_exit else None
        seen = shapes if panel.kind == "board" else shapes.mirrored()
        pictures = wiring_view(
            seen, landings, room_mm=room,
            entry=(exit_to.name or exit_to.id) if exit_to else "", hinge_loop_mm=project.wiring.hinge_loop,
        )  # fmt: skip
        scale = f"1:{divisor_of(seen, room):g}"
        sheets += [
            picture_sheet(project, picture, "Wiring view", section="Wiring views", faulty=faulty,
                          sheet=(number, len(pictures)), scale=scale if number == 1 else "none")
            for number, picture in enumerate(pictures, start=1)
        ]  # fmt: skip
    return tuple(sheets)


def landings_of(plan: Plan) -> dict[str, Landings]:
    """Return by device what ends on it, terminals in their natural order."""
    ends = Ends(project=plan.project, arrangement=plan.arrangement)
    wires: dict[str, dict[str, list[str]]] = {}
    ac: set[str] = set()
    for run in plan.wiring.runs:
        for wire in run.wires:
            for end in (wire.start, wire.end):
                device = ends.site(end.owner).device
                if device is not None:
                    wires.setdefault(device, {}).setdefault(end.terminal, []).append(wire.number)
                    ac |= {device} if run.ac else set()
    return {
        device: Landings(
            rows=tuple(
                Landing(terminal=terminal, wires=tuple(numbers))
                for terminal, numbers in sorted(landed.items(), key=lambda row: natural(row[0]))
            ),
            ac=device in ac,
        )
        for device, landed in wires.items()
    }
