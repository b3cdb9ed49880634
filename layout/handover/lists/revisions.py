"""What changed between the state that was last issued and now: devices moved, wires added, retired, resized.

An issued state is plain data (JSON), so that the register can keep it and a later version can read it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.handover.lists.table import Column, Table
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.result import Run, Wiring

MOVED_MM = 0.05
"""A device that moved by less stands where it stood."""
_COLUMNS = (
    Column(key="what", title="What", width_mm=24),
    Column(key="id", title="Which", width_mm=60),
    Column(key="change", title="Change", width_mm=30),
    Column(key="before", title="Before", width_mm=70),
    Column(key="now", title="Now", width_mm=70),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One difference; ``before`` and ``now`` are empty where there was or is nothing."""

    what: str
    id: str
    change: str
    before: str = ""
    now: str = ""


def snapshot(project: Project, arrangement: Arrangement | None, wiring: Wiring | None) -> dict[str, Any]:
    """Return what a revision issues, as plain data in a stable order; mm to a hundredth, metres to a centimetre."""
    placed = arrangement.placed if arrangement else {}
    return {
        "revision": project.project.revision,
        "date": project.project.date,
        "devices": {
            key: {
                "name": project.devices[key].name if key in project.devices else key,
                "panel": spot.panel, "x": round(spot.x, 2), "y": round(spot.y, 2), "turn": spot.turn,
            }
            for key, spot in sorted(placed.items())
        },
        "wires": {run.key: _wire(run) for run in sorted(wiring.runs, key=lambda run: run.key)} if wiring else {},
        "ways": {
            f"{way.panel}/{way.way}": {"name": way.name, "rating": way.rating_a}
            for way in (wiring.ways if wiring else ())
        },
    }  # fmt: skip


def _wire(run: Run) -> dict[str, Any]:
    first = run.wires[0] if run.wires else None
    return {
        "number": run.number,
        "name": run.name,
        "from": f"{first.start.name} {first.start.terminal}".rstrip() if first else "",
        "to": f"{first.end.name} {first.end.terminal}".rstrip() if first else "",
        "size": run.size_words or "?",
        "colours": [wire.code or wire.colour for wire in run.wires],
        "length_m": None if run.length.total_mm is None else round(run.length.total_mm / 1000, 2),
        "fuse": "" if run.guard is None else _fuse(run),
        "route": list(run.route),
    }


def _fuse(run: Run) -> str:
    guard = run.guard
    if guard is None:
        return ""
    return f"{guard.kind} {'?' if guard.rating_a is None else format(guard.rating_a, 'g')} A"


def changes(before: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[Change, ...]:
    """Return all differences between two snapshots: devices, then wires, then ways, each by id."""
    return (*_devices(before, now), *_wires(before, now), *_ways(before, now))


def _both(before: Mapping[str, Any], now: Mapping[str, Any], part: str) -> Iterator[tuple[str, Any, Any]]:
    old, new = before.get(part, {}), now.get(part, {})
    for key in sorted({**old, **new}):
        yield key, old.get(key), new.get(key)


def _devices(before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    for key, old, new in _both(before, now, "devices"):
        name = (new or old)["name"] or key
        if old is None:
            yield Change(what="device", id=name, change="added", now=_spot(new))
        elif new is None:
            yield Change(what="device", id=name, change="taken out", before=_spot(old))
        else:
            far = max(abs(old["x"] - new["x"]), abs(old["y"] - new["y"])) > MOVED_MM
            if old["panel"] != new["panel"] or old["turn"] != new["turn"] or far:
                dx, dy = new["x"] - old["x"], new["y"] - old["y"]
                by = f" ({dx:+.1f}, {dy:+.1f} mm)" if old["panel"] == new["panel"] and far else ""
                change = "moved" if far or by else "turned"
                yield Change(what="device", id=name, change=change, before=_spot(old), now=_spot(new) + by)
            if old["name"] != new["name"]:
                yield Change(what="device", id=key, change="renamed", before=old["name"], now=new["name"])


def _spot(entry: Mapping[str, Any]) -> str:
    turn = f", turned {entry['turn']}°" if entry["turn"] else ""
    return f"{entry['panel']} at {entry['x']:g}, {entry['y']:g}{turn}"


_FIELDS = (
    ("number", "numbered anew"), ("size", "resized"), ("fuse", "protected otherwise"), ("from", "starts elsewhere"),
    ("to", "ends elsewhere"), ("colours", "recoloured"), ("route", "routed otherwise"), ("length_m", "length"),
    ("name", "renamed"),
)  # fmt: skip


def _wires(before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    for _, old, new in _both(before, now, "wires"):
        if old is None:
            yield Change(what="wire", id=new["number"], change="added", now=_whole(new))
        elif new is None:
            yield Change(what="wire", id=old["number"], change="retired, number not used again", before=_whole(old))
        else:
            for field, change in _FIELDS:
                if old.get(field) != new.get(field):
                    was, has = _words(old.get(field), field), _words(new.get(field), field)
                    yield Change(what="wire", id=f"{new['number']} {new['name']}", change=change, before=was, now=has)


def _whole(entry: Mapping[str, Any]) -> str:
    return f"{entry['name']}: {entry['from']} – {entry['to']}, {entry['size']}"


def _words(value: Any, field: str) -> str:
    if value is None:
        return "?"
    if isinstance(value, list):
        return ", ".join(str(part) for part in value) or "–"
    return f"{value:.2f} m" if field == "length_m" else str(value)


def _ways(before: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    for key, old, new in _both(before, now, "ways"):
        if old != new:
            change = "added" if old is None else "taken out" if new is None else "changed"
            yield Change(what="way", id=key, change=change, before=_way(old), now=_way(new))


def _way(entry: Mapping[str, Any] | None) -> str:
    if entry is None:
        return ""
    rating = "?" if entry["rating"] is None else f"{entry['rating']:g}"
    return f"{entry['name'] or 'spare'}, {rating} A"


def revision_table(before: Mapping[str, Any] | None, now: Mapping[str, Any]) -> Table:
    """Return the revision list; without an issued state it says that this is the first issue."""
    found = changes(before, now) if before else ()
    since = f"since revision {before.get('revision', '')}" if before else ""
    notes = (
        () if found else (f"Nothing changed {since}." if before else "First issue: there is nothing to compare with.",)
    )
    return Table(
        name="revisions", title=f"Changes {since}".strip(), columns=_COLUMNS, notes=notes,
        rows=tuple(
            {"what": c.what, "id": c.id, "change": c.change, "before": c.before, "now": c.now} for c in found
        ),
    )  # fmt: skip
