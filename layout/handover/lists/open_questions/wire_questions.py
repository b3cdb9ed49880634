"""Questions that the wired project leaves open: bare terminals, ends without a fitting, every "?" of a row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.open_questions.unknowns import Unknown
from layout.handover.lists.wires.schedule_columns import SCHEDULE, schedule_table

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

_SHARED = frozenset({"ways"})
"""Terminals that stand for many: what each way of a breaker panel has."""


SECTIONS = {
    "circuit": "circuits",
    "feeder": "feeders",
    "signal": "signals",
    "network": "networks",
    "antenna": "antennas",
}
"""Where the file declares what a run belongs to; a serial link stands in ``serial``."""


def wire_questions(project: Project, wiring: Wiring, spoken: Iterable[str]) -> Iterator[Unknown]:
    """Yield what is open about ends and rows of the schedule.

    Parameters
    ----------
    spoken
        Dotted keys that another question is about already.
    """
    keys = set(spoken)
    yield from (one for one in (*_bare(project, wiring), *_fittings(project, wiring)) if one.key not in keys)
    owners = {".".join(key.split(".")[:2]) for key in keys}
    yield from _blanks(project, wiring, owners)


def _blanks(project: Project, wiring: Wiring, owners: Collection[str]) -> Iterator[Unknown]:
    """Yield the rows of the schedule with a "?" that no other question is about; fittings are asked by terminal."""
    runs = {run.key: run for run in wiring.runs}
    done: set[str] = set()
    for row in schedule_table(project, wiring).rows:
        run = runs[str(row["key"])]
        owner = f"{SECTIONS.get(run.owner_kind, run.owner_kind)}.{run.owner}"
        titles = [c.title for c in SCHEDULE if not c.key.endswith("_fitting") and row.get(c.key, "") is None]
        if titles and owner not in owners and run.key not in done:
            done.add(run.key)
            words = ", ".join(dict.fromkeys(title[0].lower() + title[1:] for title in titles))
            where = "follows from the other questions and findings"
            yield Unknown(holds="wire sizes", key=owner, about=f"{run.number} {run.name}", question=words, where=where)


def _bare(project: Project, wiring: Wiring) -> Iterator[Unknown]:
    """Yield declared terminals that no conductor lands on."""
    stands_for = {
        key: entry.device
        for entries in (project.supplies, project.battery_switches, project.bus_bars, project.breaker_panels)
        for key, entry in entries.items()
        if entry.device is not None
    }
    ends = [end for run in wiring.runs for wire in run.wires for end in (wire.start, wire.end)]
    landed = {(stands_for.get(end.owner, end.owner), end.terminal) for end in ends}
    bars = {bar.device for bar in project.bus_bars.values()}
    for device in project.devices.values():
        if device.is_removed or device.id in bars:
            continue
        for terminal in device.terminals.values():
            if not terminal.unused and terminal.id not in _SHARED and (device.id, terminal.id) not in landed:
                question = f"what goes on its terminal {terminal.id}, or unused: true"
                where = "maker's paper"
                key = f"{device.key}.terminals.{terminal.id}"
                yield Unknown(
                    holds="handing over", key=key, about=device.name or device.id, question=question, where=where
                )


def _fittings(project: Project, wiring: Wiring) -> Iterator[Unknown]:
    """Yield the ends whose fitting is not known though the conductor is."""
    seen: dict[str, tuple[str, list[str]]] = {}
    for run in wiring.runs:
        for wire in run.wires:
            for end in (wire.start, wire.end):
                if not end.fitting and run.size_words is not None and end.owner not in project.bus_bars:
                    terminals = seen.setdefault(end.owner, (end.name, []))[1]
                    terminals += [end.terminal] if end.terminal not in terminals else []
    for owner, (name, terminals) in seen.items():
        section = next(
            (s for s in ("supplies", "battery_switches", "breaker_panels") if owner in getattr(project, s)), "devices"
        )
        words = "terminals" if len(terminals) > 1 else "terminal"
        question = f"what its {words} {', '.join(terminals)} take: ring and stud, blade, ferrule, plug"
        yield Unknown(
            holds="handing over", key=f"{section}.{owner}.terminals", about=name, question=question, where="look at it"
        )
