"""Ends as the file writes them, each as the one terminal it means. Nothing is set right in silence."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from layout.standards.conductors import least_area_mm2
from layout.wiring.system.graph import LIVE_POLES, Node

if TYPE_CHECKING:
    from layout.project.model.device import Terminal
    from layout.quantity import WireSize
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.system.graph import NodeKind, Pole

ALL_POLES = ("+", "-", "L", "N", "PE", "bond", "data", "antenna")


class Terminals:
    """Resolves ends and remembers every terminal it met, in the order of meeting.

    An end names one terminal: ``radio/+``. Where an entry has several conductors and one end for all of them, that
    terminal is the live conductor's, and each other conductor goes to the terminal of its own pole.
    """

    def __init__(self, ends: Ends) -> None:
        self._ends = ends
        self._project = ends.project
        self._met: dict[str, Node] = {}
        hosted: dict[str, list[str]] = {}
        for section in ("supplies", "battery_switches", "bus_bars", "breaker_panels"):
            for key, entry in getattr(self._project, section).items():
                if entry.device is not None and entry.aboard != "remove":
                    hosted.setdefault(entry.device, []).append(key)
        self._hosted = {device: keys[0] for device, keys in hosted.items() if len(keys) == 1}

    @property
    def nodes(self) -> tuple[Node, ...]:
        """Every terminal that was met."""
        return tuple(self._met.values())

    def node(self, key: str) -> Node:
        """Return a terminal that was met."""
        return self._met[key]

    def owner(self, end: str) -> str:
        """Return the entry that an end belongs to; a device that is a supply, a switch, a bar or a panel is that."""
        owner = end.partition("/")[0]
        kind = self._ends.kind(owner)
        return self._hosted.get(owner, owner) if kind == "devices" else owner

    def at(self, end: str, pole: Pole, *, alone: bool, incoming: bool, group: str = "", way: str = "") -> str:
        """Return the key of the terminal that a conductor lands on.

        Parameters
        ----------
        alone
            Whether the end is written for this conductor only, so that it means what it says.
        incoming
            Whether the conductor arrives here; tells the side of a switch.
        group
            What conductors that end at one place must share to be joined there: a shared return, or a circuit.
        way
            Way of the breaker panel that the conductor's circuit hangs on; empty for a feeder.
        """
        owner, written = self.owner(end), end.partition("/")[2]
        literal = written if alone or pole in LIVE_POLES or owner in self._ends.holders else ""
        kind = self._ends.kind(owner)
        if kind == "locations":
            return self._meet(f"{owner}/{pole}:{group}", owner, "splice", pole)
        if kind == "bus_bars":
            bar = self._project.bus_bars[owner]
            return self._meet(owner, owner, "bar", bar.pole, studs=bar.studs, rating_a=bar.rating)
        if kind == "battery_switches":
            return self.switch(owner, literal or written or ("in" if incoming else "out"), pole)
        if kind == "breaker_panels":
            at_way = written if written in self._project.breaker_panels[owner].ways else ""  # a feeder may leave a way
            return self._panel(owner, literal, pole, way or at_way)
        if kind == "supplies":
            return self.post(owner, literal or self._ends.terminal(end, pole, incoming=incoming))
        return self._device(owner, literal, pole)

    def switch(self, key: str, side: str, pole: Pole) -> str:
        """Return a switch's terminal: of the live pole by its side, of another with the pole behind it; PE is one."""
        if pole in ("PE", "bond"):
            return self._meet(f"{key}/PE", key, "switch", "PE", declared=False)
        terminal = side if pole in LIVE_POLES else f"{side}:{pole}"
        rating = self._project.battery_switches[key].rating
        return self._meet(f"{key}/{terminal}", key, "switch", None, rating_a=rating)

    def post(self, key: str, terminal: str) -> str:
        """Return a supply's terminal; one ``:N`` is the neutral of an inverter's AC input, or behind its changeover."""
        supply = self._project.supplies[key]
        if terminal == "bond":
            terminal = "PE" if supply.is_ac else "-"
        switched = {"in": "L", "in:N": "N", "own": "L", "own:N": "N"} if supply.transfer is not None else {"in": "+"}
        pole = {**switched, "in-": "-"}.get(terminal, terminal[:1] if terminal[1:].isdigit() else terminal)
        passes = supply.transfer if terminal in ("in", "in:N") else None
        ac = supply.is_ac and pole in ("L", "N")
        return self._meet(f"{key}/{terminal}", key, "source", _pole(pole), ac=ac, rating_a=passes)

    def _panel(self, key: str, written: str, pole: Pole, way: str) -> str:
        panel = self._project.breaker_panels[key]
        if written in panel.ways and (pole in LIVE_POLES):
            return self.way(key, written)
        if pole in LIVE_POLES:
            if written in ("-", "N", "PE"):
                return self.panel_return(key, cast("Pole", written), behind_main=bool(way))
            return self._meet(f"{key}/in", key, "panel", "L" if panel.ac else "+", rating_a=panel.rating)
        if pole in ("PE", "bond") and written not in ("-", "N"):
            return self._meet(f"{key}/PE", key, "panel", "PE")
        if written in ("PE", "in"):
            terminal_pole: Pole = "PE" if written == "PE" else ("L" if panel.ac else "+")
            return self._meet(f"{key}/{written}", key, "panel", terminal_pole, rating_a=panel.rating)
        own: Pole = "N" if panel.ac else "-"
        at_way = next((at for at in (written, way) if at in panel.ways), "") if pole == own else ""
        if at_way and panel.ways[at_way].poles >= 2:
            return self.way(key, at_way, second=True)
        return self.panel_return(key, own, behind_main=bool(way or at_way))

    def way(self, key: str, way: str, *, second: bool = False) -> str:
        """Return the terminal of a way, or of its second pole."""
        panel = self._project.breaker_panels[key]
        if second:
            return self._meet(f"{key}/{way}:{'N' if panel.ac else '-'}", key, "way", "N" if panel.ac else "-")
        return self._meet(f"{key}/{way}", key, "way", "L" if panel.ac else "+")

    def panel_bar(self, key: str) -> str:
        """Return a breaker panel's live bar, behind its own main device."""
        panel = self._project.breaker_panels[key]
        return self._meet(f"{key}/bar", key, "panel", "L" if panel.ac else "+", rating_a=panel.rating)

    def panel_return(self, key: str, pole: Pole, *, behind_main: bool) -> str:
        """Return a breaker panel's return: its bar behind a main device of two poles, else the side that is fed."""
        panel = self._project.breaker_panels[key]
        if behind_main and panel.main is not None and panel.main.poles >= 2:
            return self._meet(f"{key}/{pole}:bar", key, "panel", pole)
        return self._meet(f"{key}/{pole}", key, "panel", pole)

    def inner(self, key: str, owner: str, pole: Pole) -> str:
        """Return a point between a conductor's tail and its device, or behind that; it is at the owner's place."""
        return self._meet(key, owner, "inner", pole, declared=False)

    def _device(self, owner: str, written: str, pole: Pole) -> str:
        device = self._project.devices.get(owner)
        terminals = device.terminals if device is not None else {}
        if written:
            terminal = terminals.get(written)
            return self._meet(
                f"{owner}/{written}",
                owner,
                "device",
                None if terminal is None else self._device_pole(owner, terminal),
                declared=terminal is not None,
            )
        fits = [key for key, entry in terminals.items() if self._device_pole(owner, entry) == pole]
        if fits:
            return self._device(owner, fits[0], pole)
        if terminals and pole not in ("PE", "bond"):
            return self._meet(f"{owner}/({pole})", owner, "device", pole, declared=False, missing=True)
        return self._meet(f"{owner}/{pole}", owner, "device", pole, declared=False, missing=bool(terminals))

    def _device_pole(self, owner: str, terminal: Terminal) -> Pole | None:
        if terminal.pole == "switched":
            siblings = {entry.pole for entry in self._project.devices[owner].terminals.values()}
            return "L" if siblings & {"L", "N"} else "+"
        return None if terminal.pole in (None, "sense") else _pole(terminal.pole)

    def _meet(
        self,
        key: str,
        owner: str,
        kind: NodeKind,
        pole: Pole | None,
        *,
        ac: bool | None = None,
        studs: tuple[str, ...] = (),
        rating_a: float | None = None,
        declared: bool = True,
        missing: bool = False,
    ) -> str:
        if key in self._met:
            return key
        section = self._ends.kind(owner) or ""
        entry = getattr(self._project, section)[owner] if section else None
        site = self._ends.site(owner)
        terminal = key.partition("/")[2] if key.startswith(f"{owner}/") else ""
        said = self._ends.declared(owner, terminal) if kind not in ("inner", "splice", "bar") else None
        nominal = getattr(entry, "voltage", None) if section != "devices" else None
        if (
            section == "supplies"
            and entry is not None
            and terminal not in (*entry.live_posts, *(("N", "PE", "own", "own:N") if entry.is_ac else ("-",)))
        ):
            nominal = None  # the input of a converter, charger or inverter has the voltage of what feeds it
        self._met[key] = Node(
            key=key,
            owner=owner,
            section=section,
            name=f"{self._ends.name(owner)}, {terminal}" if terminal else self._ends.name(owner),
            kind=kind,
            pole=pole,
            nominal_v=nominal,
            ac=(pole in ("L", "N")) if ac is None else ac,
            location=site.location,
            panel=site.panel,
            stud=self._ends.stud(owner) or (said.stud if said else None),
            studs=studs,
            rating_a=rating_a,
            diversity=getattr(entry, "diversity", None) if section == "breaker_panels" else None,
            takes=said.takes if said else None,
            lugs_most=said.lugs if said else None,
            largest_mm2=_area_mm2(said.largest) if said else None,
            positions=said.positions if said else None,
            vapour=self._project.vapour_at(site.location) if site.panel is None else "",
            ignition_protected=self._ignition_protected(owner, entry),
            declared=declared,
            missing=missing,
        )
        return key

    def _ignition_protected(self, owner: str, entry: object) -> bool | None:
        """Return what the owner says, or the device that it is."""
        device = self._project.devices.get(getattr(entry, "device", None) or owner)
        said: bool | None = getattr(entry, "ignition_protected", None)
        return said if said is not None or device is None else device.ignition_protected


def _area_mm2(size: WireSize | None) -> float | None:
    return None if size is None else least_area_mm2(size)


def _pole(text: str) -> Pole | None:
    return cast("Pole", text) if text in ALL_POLES else None
