"""Older serial instruments: one talker, several listeners on a shielded pair (IEC 61162-1 and -2, from memory)."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings import Finding
from layout.findings.finding import Place
from layout.light_dataclass import dataclass
from layout.network.declared_bus import called
from layout.standards import network
from layout.wiring.circuits.serial_segments import pair_key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.project.model.network import SerialLink
    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.result import Wiring


@dataclass(frozen=True, slots=True, kw_only=True)
class PairEnd:
    """One device on the pair.

    Attributes
    ----------
    terminal_a, terminal_b
        Where wires A and B end.
    current_a
        What its input draws, or its output drives; None where not known.
    number, length_mm, wireways
        Of the cable from the talker to it, once it is laid; the length is None where not known.
    """

    id: str
    device: str
    name: str
    terminal_a: str
    terminal_b: str
    current_a: float | None
    number: str = ""
    length_mm: float | None = None
    wireways: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SerialPlan:
    """One serial link as it is wired.

    Attributes
    ----------
    colour_a, colour_b
        Wires A and B; empty where not named.
    drawn_a, drives_a
        What the listeners draw together and what the talker can give; None where a part is not known.
    room
        How many more listeners like the hungriest the talker could drive; None where not known.
    """

    id: str
    name: str
    standard: str
    baud: int
    talker: PairEnd
    listeners: tuple[PairEnd, ...]
    colour_a: str
    colour_b: str
    shield_at: tuple[str, ...]
    drawn_a: float | None
    drives_a: float | None
    room: int | None
    findings: tuple[Finding, ...] = ()


def plan_serial(ends: Ends, link: SerialLink) -> SerialPlan:
    """Return one link with its currents, wires and findings (bus 40-046); its cables are laid with the wiring."""
    project = ends.project
    listeners = tuple(_listener(project, link, id_) for id_ in link.listeners)
    talker = PairEnd(
        id=link.talker,
        device=link.talker,
        name=_device_name(project, link.talker, "", link.talker),
        terminal_a=link.terminal_a or "A",
        terminal_b=link.terminal_b or "B",
        current_a=link.talker_current,
    )
    draws = [entry.current_a for entry in listeners]
    known = [amps for amps in draws if amps is not None]
    drawn = sum(known) if len(known) == len(draws) else None
    room = None
    if drawn is not None and link.talker_current is not None and known and max(known) > 0:
        room = max(int((link.talker_current - drawn) / max(known) + 1e-9), 0)
    plan = SerialPlan(
        id=link.id,
        name=link.name or link.id,
        standard=link.standard,
        baud=link.baud or network.serial_baud(link.standard),
        talker=talker,
        listeners=listeners,
        colour_a=link.colour_a or "",
        colour_b=link.colour_b or "",
        shield_at=link.shield_at or (),
        drawn_a=drawn,
        drives_a=link.talker_current,
        room=room,
    )
    return replace(plan, findings=(*_currents(plan), *_wires(plan, link)))


def serial_as_laid(plan: SerialPlan, wiring: Wiring) -> SerialPlan:
    """Return a link with the numbers, lengths and ways of its pairs in the schedule."""
    runs = {run.key: run for run in wiring.runs}

    def laid(end: PairEnd) -> PairEnd:
        run = runs.get(pair_key(plan.id, end.id))
        if run is None:
            return end
        return replace(end, number=run.number, length_mm=run.length.total_mm, wireways=run.route)

    return replace(plan, listeners=tuple(laid(end) for end in plan.listeners))


def _listener(project: Project, link: SerialLink, id_: str) -> PairEnd:
    entry = link.listeners[id_]
    device = entry.device or id_
    return PairEnd(
        id=id_,
        device=device,
        name=_device_name(project, device, entry.name, id_),
        terminal_a=entry.terminal_a or "A",
        terminal_b=entry.terminal_b or "B",
        current_a=entry.current,
    )


def check_inputs(project: Project) -> tuple[Finding, ...]:
    """Find inputs that hear two talkers: the same terminals of a device on two links (bus 47)."""
    heard: dict[tuple[str, str], str] = {}
    found = []
    for id_, link in project.serial.items():
        for key, entry in link.listeners.items():
            device = entry.device or key
            terminal = (device, entry.terminal_a or "A")
            if terminal in heard:
                name = _device_name(project, device, entry.name, key)
                found.append(
                    Finding(
                        rule="bus 47",
                        message=f"input {terminal[1]} of {name} hears two talkers: {heard[terminal]} and {id_}",
                        at=Place(key=f"serial.{id_}.listeners.{key}"),
                        related=(Place(key=f"serial.{heard[terminal]}"),),
                        remedy="use another input of the device (terminal_a, terminal_b) or a combiner",
                        subjects=(f"serial.{id_}", f"serial.{heard[terminal]}", f"devices.{device}"),
                    )
                )
            heard.setdefault(terminal, id_)
    return tuple(found)


def _device_name(project: Project, device: str, name: str, id_: str) -> str:
    entry = project.devices.get(device)
    return called(id_, name, entry.name if entry is not None else "")


def _currents(plan: SerialPlan) -> Iterator[Finding]:
    at, subjects = Place(key=f"serial.{plan.id}"), (f"serial.{plan.id}", f"devices.{plan.talker.device}")
    if not plan.listeners:
        yield Finding(rule="bus 45", message=f"serial link {plan.name} has no listener", at=at, subjects=subjects)
    if plan.drives_a is None:
        yield Finding(
            rule="bus 41",
            message=f"what {plan.talker.name} can drive on serial link {plan.name} is not known",
            at=at,
            remedy="write talker_current: from its paper",
            subjects=subjects,
        )
    for entry in plan.listeners:
        if entry.current_a is None:
            yield Finding(
                rule="bus 41",
                message=f"what {entry.name} draws as a listener on serial link {plan.name} is not known",
                at=Place(key=f"serial.{plan.id}.listeners.{entry.device}"),
                remedy="write current: from its paper",
                subjects=(f"serial.{plan.id}", f"devices.{entry.device}"),
            )
    if plan.drawn_a is not None and plan.drives_a is not None and plan.drawn_a > plan.drives_a + 1e-12:
        yield Finding(
            rule="bus 40",
            message=f"{len(plan.listeners)} listeners on serial link {plan.name} draw {1000 * plan.drawn_a:.1f} mA;"
            f" {plan.talker.name} drives {1000 * plan.drives_a:.1f} mA",
            at=at,
            remedy="put a distributor behind the talker, or take a listener off",
            measured=1000 * plan.drawn_a,
            limit=1000 * plan.drives_a,
            unit="mA",
            subjects=subjects,
        )


def _wires(plan: SerialPlan, link: SerialLink) -> Iterator[Finding]:
    at, subjects = Place(key=f"serial.{plan.id}"), (f"serial.{plan.id}",)
    right = network.serial_baud(link.standard)
    if plan.baud != right:
        yield Finding(
            rule="bus 42",
            message=f"serial link {plan.name} is set to {plan.baud} baud; {link.standard} runs at {right} baud",
            at=at,
            remedy=f"leave baud out, or name the standard that runs at {plan.baud} baud",
            measured=plan.baud,
            limit=right,
            unit="baud",
            subjects=subjects,
        )
    if link.shielded is not False and len(link.shield_at or ()) != 1:
        ends = ", ".join(link.shield_at or ()) or "no end"
        yield Finding(
            rule="bus 43",
            message=f"the shield of serial link {plan.name} is connected at {ends}; it takes one end",
            at=at,
            remedy=f"write shield_at: {link.talker}",
            measured=len(link.shield_at or ()),
            limit=1,
            subjects=subjects,
        )
    if not (plan.colour_a and plan.colour_b):
        yield Finding(
            rule="bus 44",
            message=f"serial link {plan.name} does not name the colours of wires A and B",
            at=at,
            remedy="write colour_a: and colour_b: of the pair",
            subjects=subjects,
        )
    if not (link.twisted and link.shielded):
        yield Finding(
            rule="bus 46",
            message=f"serial link {plan.name} is not said to be a shielded twisted pair",
            at=at,
            remedy="write twisted: true and shielded: true for such a cable",
            subjects=subjects,
        )
