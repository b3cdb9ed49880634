"""Ends of conductors: which owner, which electrical node, and where it is reached from.

An end is written ``owner`` or ``owner/terminal``. Several terminals can be one electrical node: all ways of a
distribution panel hang on its bar, a bus bar is one node, a switch in a circuit joins what comes and goes.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.device import Terminal
    from layout.project.model.project import Project
    from layout.project.model.supplies import Protection

OwnerKind = Literal["supplies", "battery_switches", "bus_bars", "breaker_panels", "devices", "locations"]
_KINDS: tuple[OwnerKind, ...] = ("supplies", "battery_switches", "bus_bars", "breaker_panels", "devices", "locations")
SOURCE_SIDE = frozenset({"supplies", "battery_switches", "bus_bars", "breaker_panels"})
LIVE = frozenset({"+", "L", "switched"})
POLES = frozenset({"+", "-", "L", "N", "PE", "bond", "switched", "sense", "data", "antenna"})
"""What a conductor can be by the file; cores of signal cables have letters."""
NETWORKED = frozenset({"data", "antenna"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where an owner is: on a panel at a point, or at a place of the wireways; both None where that is not known."""

    device: str | None = None
    panel: str | None = None
    location: str | None = None


@dataclass(frozen=True)
class Ends:
    """Resolves the ends of one project."""

    project: Project
    arrangement: Arrangement | None

    def owner(self, end: str) -> str:
        """Return the owner's id of an end."""
        return end.partition("/")[0]

    def kind(self, owner: str) -> OwnerKind | None:
        """Return in which mapping of the project an owner stands; None if in none."""
        return self._kinds.get(owner)

    def holder(self, device: Protection | None, end: str) -> str | None:
        """Return what holds a protective device apart from what its conductor ends on; None where nothing does."""
        owner = self.owner(end)
        if device is None or device.device in (None, owner, self.site(owner).device):
            return None
        return device.device

    def name(self, owner: str) -> str:
        """Return the name that people read; the id where there is none."""
        kind = self.kind(owner)
        entry = getattr(self.project, kind)[owner] if kind else None
        return (entry.name if entry is not None else "") or owner

    def site(self, owner: str) -> Site:
        """Return where an owner is."""
        if owner not in self._sites:
            self._sites[owner] = self._site(owner)
        return self._sites[owner]

    def _site(self, owner: str) -> Site:
        kind = self.kind(owner)
        if kind is None:
            return Site()
        if kind == "locations":
            return Site(location=owner)
        entry = getattr(self.project, kind)[owner]
        device = owner if kind == "devices" else entry.device
        if device is None:
            return Site(location=entry.location)
        mounted = self.project.devices.get(device)
        if mounted is None:
            return Site(location=None if kind == "devices" else entry.location)
        if mounted.location is not None:
            return Site(device=device, location=mounted.location)
        placed = self.arrangement.placed.get(device) if self.arrangement else None
        panel = placed.panel if placed else (mounted.panel[0] if len(mounted.panel) == 1 else None)
        entry_of = self.project.panels[panel].cable_exit if panel in self.project.panels and panel else None
        return Site(device=device, panel=panel, location=entry_of.location if entry_of else None)

    def terminal(self, end: str, pole: str, *, incoming: bool) -> str:
        """Return the terminal's id at an end, ``in`` or the pole where nothing is written.

        Parameters
        ----------
        incoming
            Whether the conductor arrives here (``to``); tells the side of a switch.
        """
        owner, _, written = end.partition("/")
        kind = self.kind(owner)
        if kind == "bus_bars":
            return ""
        if kind == "battery_switches":
            side = written or ("in" if incoming else "out")
            return side if pole in LIVE else f"{side}:{pole}"
        if kind == "breaker_panels":
            return written or "in" if pole in LIVE else pole
        if kind == "devices":
            return self._device_terminal(owner, written, pole)
        if pole == "N" and written == "in" and self.project.supplies[owner].transfer is not None:
            return "in:N"
        if pole in NETWORKED:
            return written or pole
        return written if written == "in-" and pole == "-" else pole if pole not in LIVE else (written or pole)

    def _device_terminal(self, owner: str, written: str, pole: str) -> str:
        terminals = self.project.devices[owner].terminals
        if written and pole not in POLES:
            return written  # a core of a signal cable or serial pair goes where it is written
        if written and (written not in terminals or terminals[written].pole in (None, pole) or pole in LIVE):
            return written
        return next((name for name, terminal in terminals.items() if terminal.pole == pole), pole)

    def declared(self, owner: str, terminal: str) -> Terminal | None:
        """Return the terminal as declared on the owner's device; None where nothing is said.

        A distribution panel's ways share the terminal ``ways`` of its device unless they have their own, and the
        further poles of a switch what is said of its ``in`` and ``out``.
        """
        device = self.site(owner).device
        mounted = self.project.devices.get(device) if device else None
        if mounted is None:
            return None
        panel = self.project.breaker_panels.get(owner)
        common = "ways" if panel is not None and terminal in panel.ways else terminal.partition(":")[0]
        shared = mounted.terminals.get(common)
        return mounted.terminals.get(terminal, shared)

    def stud(self, owner: str) -> str | None:
        """Return the stud of a supply's or switch's posts; None where nothing is said or it has none."""
        for entries in (self.project.supplies, self.project.battery_switches):
            if owner in entries:
                return entries[owner].stud
        return None

    def node(self, end: str, pole: str, *, incoming: bool) -> str:
        """Return the electrical node of an end, with every switch in its own two nodes."""
        owner = self.owner(end)
        kind = self.kind(owner)
        terminal = self.terminal(end, pole, incoming=incoming)
        if kind == "bus_bars":
            return owner
        if kind == "breaker_panels":
            return f"{owner}/{'in' if pole in LIVE else pole}"
        if owner in self.holders:
            return f"{owner}/in" if pole in (*LIVE, "sense") else f"{owner}/in:{pole}"
        if kind == "devices" and pole in LIVE and owner in self._through and end not in self._passing:
            return f"{owner}/+"
        return f"{owner}/{terminal}"

    @cached_property
    def holders(self) -> frozenset[str]:
        """Devices that hold a protective device apart from what its conductor ends on."""
        project = self.project
        placed = [(feeder.protection, feeder.from_) for feeder in project.feeders.values()]
        placed += [(feeder.protection_to, feeder.to) for feeder in project.feeders.values()]
        for circuit in project.circuits.values():
            placed.append((circuit.protection, circuit.from_))
            placed += [(leg.protection, leg.from_) for leg in circuit.legs.values()]
        return frozenset(holder for device, end in placed if (holder := self.holder(device, end)) is not None)

    @cached_property
    def _kinds(self) -> dict[str, OwnerKind]:
        return {owner: kind for kind in reversed(_KINDS) for owner in getattr(self.project, kind)}

    @cached_property
    def _sites(self) -> dict[str, Site]:
        return {}

    @cached_property
    def _passing(self) -> frozenset[str]:
        """Terminals that a live leg arrives at and another leaves from: clamps of a terminal block, each by itself."""
        legs = [leg for circuit in self.project.circuits.values() for leg in circuit.legs.values() if leg.pole in LIVE]
        return frozenset({leg.to for leg in legs} & {leg.from_ for leg in legs})

    @cached_property
    def _through(self) -> frozenset[str]:
        """Devices that a leg arrives at and another leaves from: switches in a circuit."""
        arrive: set[str] = set()
        leave: set[str] = set()
        for circuit in self.project.circuits.values():
            for leg in circuit.legs.values():
                if leg.pole in LIVE:
                    arrive.add(self.owner(leg.to))
                    leave.add(self.owner(leg.from_))
        return frozenset(arrive & leave)
