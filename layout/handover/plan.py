"""A whole plan: what was declared, where it stands, and everything that was worked out from it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, TypeVar

from layout.energy.balance import EnergySheet
from layout.frozen import FrozenMap
from layout.handover.lists.revisions import snapshot
from layout.languages import spoken
from layout.light_dataclass import dataclass, field
from layout.network.networks import Networks
from layout.project.spoken_language import language_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.drawing.elements.scene import Underlay
    from layout.findings import Finding
    from layout.languages import Language
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project
    from layout.wiring.result import Wiring

T = TypeVar("T")


class _Made:
    """What was made from one plan, by name; it only spares work."""

    def __init__(self) -> None:
        self._known: dict[str, Any] = {}

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what has that name, made when it is first asked for."""
        if name not in self._known:
            self._known[name] = make()
        made: T = self._known[name]
        return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything worked out for one project; all documents are made from it.

    Attributes
    ----------
    findings
        Everything found, in order: by reading, placing, the judge, wiring, networks and energy.
    issued
        State of the revision before this one (``state_of``), for the revision list; None if there is none.
    measured
        What the printer's 100 mm bars measured, across and up; None prints at nominal size.
    prices
        The user's own prices by item of the parts list; empty shows no prices.
    photographs
        Of panels by their id, in panel mm; empty shows none.
    made
        Drawings and tables made so far: more than one document shows them.
    """

    project: Project
    wiring: Wiring
    arrangement: Arrangement | None = None
    networks: Networks = field(default_factory=lambda: Networks(buses=(), serial=(), antennas=(), findings=()))
    energy: EnergySheet = field(default_factory=lambda: EnergySheet(situations=(), heat=(), findings=()))
    findings: tuple[Finding, ...] = ()
    issued: str | None = None
    measured: tuple[float, float] | None = None
    prices: Mapping[str, float] = field(default_factory=FrozenMap)
    photographs: Mapping[str, Underlay] = field(default_factory=FrozenMap)
    made: _Made = field(default_factory=_Made, init=False, compare=False, repr=False)

    def __repr__(self) -> str:
        return f"<Plan of {self.project.project.name!r}, {len(self.wiring.runs)} runs, {len(self.findings)} findings>"

    @property
    def found(self) -> tuple[Finding, ...]:
        """Findings of all parts, each once."""
        return tuple(dict.fromkeys((*self.findings, *self.wiring.findings)))

    @property
    def is_wired(self) -> bool:
        """Whether there is a wire."""
        return bool(self.wiring.runs)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """Return what has that name, made when it is first asked for, in the project's language."""
        with spoken(self.language):
            return self.made.once(name, make)

    @property
    def language(self) -> Language:
        """What is spoken about it."""
        return self.made.once("language", lambda: language_of(self.project))


def state_of(plan: Plan) -> str:
    """Return what this revision hands over, as JSON text for the register."""
    return json.dumps(snapshot(plan.project, plan.arrangement, plan.wiring), ensure_ascii=False, sort_keys=True)


def labels_of(wiring: Wiring) -> dict[str, str]:
    """Return the label texts of every wire, both ends, by its run and pole."""
    return {
        f"{run.key} {wire.pole}": f"{wire.start.label} | {wire.end.label}" for run in wiring.runs for wire in run.wires
    }


def keys_in_use(wiring: Wiring) -> tuple[str, ...]:
    """Return the register's keys of all wires that the project has, owners and segments."""
    segments = [run.key for run in wiring.runs]
    owners = [key.partition(":")[0] for key in segments]
    return tuple(dict.fromkeys([*owners, *(key if ":" in key else f"{key}:" for key in segments), *segments]))
