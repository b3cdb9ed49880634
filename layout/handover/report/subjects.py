"""What a report can point at: wires and devices by their subjects, and the names they have on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.handover.lists.wires.schedule_columns import name_of
from layout.handover.paper.marked_rows import run_subjects
from layout.handover.report.markup import Markup, element, joined_markup
from layout.wiring.circuits.ends import Ends
from layout.wiring.routing.loom import loom_way
from layout.wiring.routing.run_lengths import spot

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.geometry.path import Point
    from layout.handover.plan import Plan
    from layout.wiring.result import Wire


class Subjects:
    """The subjects of one plan.

    Attributes
    ----------
    words
        Subject of every wire number that is printed, of the cable as a whole too.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._wires: dict[str, dict[str, None]] = {}
        self._runs: dict[str, str] = {}
        self.words: dict[str, str] = {}
        for run in plan.wiring.runs:
            lit = [f"wires.{wire.number}" for wire in run.wires]
            for subject in (f"runs.{run.key}", *sorted(run_subjects(plan.project, run)), *_devices(plan, run.wires)):
                self._wires.setdefault(subject, {}).update(dict.fromkeys(lit))
                self._runs.setdefault(subject, run.number)
            self.words.setdefault(run.number, f"runs.{run.key}")
            self.words |= {wire.number: f"wires.{wire.number}" for wire in run.wires}

    def lights(self, subject: str) -> tuple[str, ...]:
        """Return the subjects that light up for one: itself, and the wires it stands for."""
        more = () if subject.startswith("wires.") else self._wires.get(subject, ())
        return tuple(dict.fromkeys((subject, *more)))

    def is_shown(self, subject: str) -> bool:
        """Return whether something on the page lights up for it."""
        return subject in self._wires or self._panel(subject) is not None

    def link(self, subject: str) -> Markup:
        """Return its name, as a link that lights it up where it is shown."""
        name = self.name(subject)
        if not self.is_shown(subject):
            return joined_markup([name])
        panel = self._panel(subject)
        to = f"#panel-{panel}" if panel is not None else f"#run-{self._runs[subject]}"
        return element("a", name, href=to, data_light=" ".join(self.lights(subject)))

    def name(self, subject: str) -> str:
        """Return what people call it."""
        kind, _, key = subject.partition(".")
        project = self._plan.project
        if kind in ("runs", "wires"):
            number = self._runs.get(subject, key) if kind == "runs" else key
            return f"wire {number}"
        if kind in ("circuits", "feeders", "panels", "networks", "serial", "antennas"):
            entry = getattr(project, kind).get(key)
            return str(getattr(entry, "name", "") or key)
        owner, _, rest = (key or subject).partition(".")
        return f"{name_of(project, owner)} {rest.rpartition('.')[2]}".rstrip()

    def wire_links(self, text: str) -> Markup | None:
        """Return a cell that holds wire numbers and nothing else as links; None if it holds something else."""
        parts = text.replace(",", " ").split()
        if not parts or not all(part in self.words for part in parts):
            return None
        return joined_markup([self._number(part) for part in parts], " ")

    def _number(self, number: str) -> Markup:
        lights = " ".join(self.lights(self.words[number]))
        return element("button", number, type="button", data_light=lights, data_name=f"wire {number}")

    def _panel(self, subject: str) -> str | None:
        placed = self._plan.arrangement.placed if self._plan.arrangement is not None else {}
        kind, _, key = subject.partition(".")
        return placed[key].panel if kind == "devices" and key in placed else None

    def ways_on(self, panel: str) -> dict[str, tuple[Point, ...]]:
        """Return the way of each wire on a panel, by number: from terminal to terminal, or to the cable entry."""
        plan = self._plan
        ends = Ends(project=plan.project, arrangement=plan.arrangement)
        lines, out = plan.project.panels[panel].loom, plan.project.panels[panel].cable_exit
        found: dict[str, tuple[Point, ...]] = {}
        for run in plan.wiring.runs:
            for wire in run.wires:
                at = [_at(ends, end.owner, end.terminal, panel) for end in (wire.start, wire.end)]
                known = [point for point in at if point is not None]
                if len(known) == 1 and out is not None:
                    known.append(out.at)
                if len(known) == 2 and known[0] != known[1]:
                    found[wire.number] = loom_way(lines, known[0], known[1])
        return found


def _at(ends: Ends, owner: str, terminal: str, panel: str) -> Point | None:
    site = ends.site(owner)
    there = spot(ends, owner, terminal, site) if site.panel == panel else None
    return None if there is None else there.at


def _devices(plan: Plan, wires: Iterable[Wire]) -> list[str]:
    """Return the devices that wires end on."""
    ends = Ends(project=plan.project, arrangement=plan.arrangement)
    sites = [ends.site(end.owner) for wire in wires for end in (wire.start, wire.end)]
    return list(dict.fromkeys(f"devices.{site.device}" for site in sites if site.device is not None))
