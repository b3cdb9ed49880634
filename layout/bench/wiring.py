"""The wiring for the page: runs, the wireways as a map, what was found, and documents to print."""

from __future__ import annotations

import tempfile
from typing import TYPE_CHECKING, Any

from layout.findings.render import as_json

if TYPE_CHECKING:
    from layout.handover.plan import Plan


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
                "size": str(run.size) if run.size is not None else "?",
                "length_m": None if run.length.total_mm is None else round(run.length.total_mm / 1000, 2),
                "current_a": run.current_a,
                "drop_percent": run.cumulative_percent,
                "limit_percent": run.limit_percent,
                "fuse_a": run.guard.rating_a if run.guard is not None else None,
                "from": run.wires[0].start.name if run.wires else "",
                "to": run.wires[0].end.name if run.wires else "",
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


def document(plan: Plan, name: str) -> bytes | None:
    """Return a book by its file name, made anew; None if there is none of that name, or nothing to put into it."""
    from layout.handover.documents import BOOKS
    from layout.handover.files.documents import write_documents

    book, dot, kind = name.partition(".")
    if not dot or kind != "pdf" or book not in {one.name for one in BOOKS}:
        return None
    with tempfile.TemporaryDirectory() as folder:
        made = [path for path in write_documents(plan, folder, only=[book]) if path.name == name]
        return made[0].read_bytes() if made else None
