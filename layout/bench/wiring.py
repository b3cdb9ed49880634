"""The wiring for the page: runs, the wireways as a map, what was found, and documents to print."""

from __future__ import annotations

import tempfile
from typing import TYPE_CHECKING, Any

from layout.findings.render import as_json

if TYPE_CHECKING:
    from layout.handover.plan import Plan
    from layout.project.model.project import Project
    from layout.wiring.result import Run, WireEnd


def wiring_data(plan: Plan) -> dict[str, Any]:
    """Return the runs with their ways, the places and wireways with what lies in them, and the findings."""
    project, wiring = plan.project, plan.wiring
    return {
        "runs": [
            {
                "key": run.key,
                "number": run.number,
                "name": run.name,
                "route": list(run.route),
                "size": run.size_words or "?",
                "length_m": None if run.length.total_mm is None else round(run.length.total_mm / 1000, 2),
                "current_a": run.current_a,
                "drop_percent": run.cumulative_percent,
                "limit_percent": run.limit_percent,
                "fuse_a": run.guard.rating_a if run.guard is not None else None,
                "fuse": run.guard.key if run.guard is not None else "",
                "circuit": _circuit(project, run),
                "ends": [_end(project, end) for end in (run.wires[0].start, run.wires[0].end)] if run.wires else [],
            }
            for run in wiring.runs
        ],
        "places": [{"id": key, "name": place.name or key, "at": place.at} for key, place in project.locations.items()],
        "wireways": [
            {
                "id": key, "name": way.name or key, "from": way.from_, "to": way.to,
                "fill": next((f.fill_percent for f in wiring.wireways if f.wireway == key), None),
                "limit": next((f.limit_percent for f in wiring.wireways if f.wireway == key), None),
            }
            for key, way in project.wireways.items()
        ],
        "findings": as_json(plan.findings),
    }  # fmt: skip


def _circuit(project: Project, run: Run) -> str:
    """Return the circuit whose load flows in a run; empty where a leg says its own current, or it is no circuit's."""
    circuit = project.circuits.get(run.owner) if run.owner_kind == "circuit" else None
    leg = circuit.legs.get(run.key.partition(":")[2]) if circuit is not None else None
    return "" if circuit is None or (leg is not None and leg.current is not None) else circuit.id


def _end(project: Project, end: WireEnd) -> dict[str, str | None]:
    """Return the name of an end, and the device on a panel that it is at, if it is at one."""
    owners = (project.breaker_panels, project.bus_bars, project.supplies, project.battery_switches)
    declared = next((table[end.owner].device for table in owners if end.owner in table), end.owner)
    device = project.devices.get(declared or "")
    return {"name": end.name, "device": device.id if device is not None and device.panel else None}


def document(plan: Plan, name: str) -> bytes | None:
    """Return a book by its file name, made anew; None if there is none of that name, or nothing to put into it."""
    from layout.handover.documents import BOOKS
    from layout.handover.files.documents import write_documents

    book, dot, kind = name.partition(".")
    if not dot or kind != "pdf" or book not in {one.name for one in BOOKS}:
        return None
    with tempfile.TemporaryDirectory() as folder:
        made = [path for path in write_documents(plan, folder, only=[book]).files if path.name == name]
        return made[0].read_bytes() if made else None
