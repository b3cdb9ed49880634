"""From a plan to a plugged bus: parts, cable pieces in stock lengths, drops."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.network.bus_parts import Assembly, CablePiece, DropCable, PluggedPart
from layout.network.bus_planning.bus_course import feed_mm, hung_drop_mm
from layout.network.bus_planning.bus_spares import SPARE
from layout.network.bus_planning.bus_stock import bought_lengths
from layout.network.declared_bus import slackened_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.network.bus_blocks import BusBlock
    from layout.network.bus_parts import BusPartKind
    from layout.network.bus_planning.bus_course import CourseSetting
    from layout.network.bus_planning.bus_problem import BusCourse, CourseProblem, Station
    from layout.network.cable_paths import CablePath

LETTERS: dict[BusPartKind, str] = {"terminator": "R", "tee": "T", "tap": "P", "joint": "J"}
"""First letter of a part's key, by kind."""


def plugged(setting: CourseSetting, problem: CourseProblem, plan: BusCourse) -> Assembly:
    """Return the bus of a plan, plugged together, with a terminator at both ends.

    Parts and pieces of a built line are kept, with new devices on its free ports first; its terminators move to the
    new ends.
    """
    plugger = _Plugger(setting, problem)
    plugger.terminator(plan.stations[0].spot)
    for before, station in zip((None, *plan.stations), plan.stations, strict=False):
        if before is not None:
            plugger.course(before.spot, station.spot)
        plugger.station(plan, station)
    plugger.terminator(plan.stations[-1].spot)
    tap = next(part for part in plugger.parts if part.kind == "tap")
    return described(
        setting,
        parts=plugger.parts,
        pieces=plugger.pieces,
        drops=plugger.drops,
        feed_length_mm=feed_mm(setting, tap.at),
    )


def described(
    setting: CourseSetting,
    *,
    parts: Sequence[PluggedPart],
    pieces: Sequence[CablePiece],
    drops: Sequence[DropCable],
    feed_length_mm: float | None,
) -> Assembly:
    """Return a plugged bus with what the declared bus says about it."""
    bus = setting.bus
    return Assembly(
        bus=bus.id,
        name=bus.name,
        parts=tuple(parts),
        pieces=tuple(pieces),
        drops=tuple(drops),
        devices=FrozenMap(setting.devices),
        feed=replace(setting.feed, length_mm=feed_length_mm),
        cable=bus.cable.value,
        connector=bus.connector.value,
        family=bus.family,
        allowed_drop_v=bus.allowed_drop,
        shield_earths=bus.shield_earths,
        spare_tees=bus.spare_tees,
    )


class _Plugger:
    """Plugs a bus together from one end to the other."""

    def __init__(self, setting: CourseSetting, problem: CourseProblem) -> None:
        self.setting = setting
        self.hooks = {hook.id: hook for hook in problem.hooks}
        self.block_of = {block.spot: block for block in setting.blocks}
        self.old = {part.key: part for part in (setting.built.parts if setting.built is not None else ())}
        self.parts: list[PluggedPart] = []
        self.pieces: list[CablePiece] = []
        self.drops: list[DropCable] = []
        self.cable: CablePiece | None = None

    def _key(self, kind: BusPartKind) -> str:
        return f"{LETTERS[kind]}{sum(part.kind == kind for part in self.parts) + 1}"

    def plug(self, part: PluggedPart) -> PluggedPart:
        """Plug a part to the last one, by the cable that hangs there or straight."""
        made = replace(part, key=self._key(part.kind))
        if self.parts:
            last = self.parts[-1]
            piece = self.cable or CablePiece(key="", first="", second="", aboard=last.aboard and made.aboard)
            count = sum((other.cable is None) == (piece.cable is None) for other in self.pieces) + 1
            key = f"{'D' if piece.cable is None else 'B'}{count}"
            self.pieces.append(replace(piece, key=key, first=last.key, second=made.key))
        self.cable = None
        self.parts.append(made)
        return made

    def terminator(self, spot: str) -> None:
        """Close an end, with a terminator that is already there if one is left."""
        used = sum(part.kind == "terminator" for part in self.parts)
        left = [part for part in self.old.values() if part.kind == "terminator"][used:]
        at = self.setting.place_of[spot]
        self.plug(replace(left[0], at=at) if left else PluggedPart(key="", kind="terminator", at=at))

    def course(self, start: str, end: str) -> None:
        """Lay the cable between two stations."""
        setting = self.setting
        block, other = self.block_of.get(start), self.block_of.get(end)
        if block is not None and other is not None:
            self._built_course(block)
            return
        start_place, end_place = setting.place_of[start] or "", setting.place_of[end] or ""
        way = setting.data.between(start_place, end_place)
        needed = _needed(setting, start_place, end_place)
        laid = 0.0
        for length in bought_lengths(needed, setting.stock_mm, setting.joint_mm):
            wireways = way.between_mm(laid, laid + length) if way is not None else ()
            laid += length
            self._lay(
                CablePiece(
                    key="",
                    first="",
                    second="",
                    length_mm=float(length),
                    cable=setting.bus.cable.value,
                    connector=setting.bus.connector.value,
                    course=way.places if way is not None else (),
                    wireways=wireways,
                )
            )

    def _lay(self, piece: CablePiece) -> None:
        if self.cable is not None:
            self.plug(PluggedPart(key="", kind="joint", aboard=piece.aboard))
        self.cable = piece

    def _built_course(self, block: BusBlock) -> None:
        built = self.setting.built
        for piece in (p for p in (built.pieces if built is not None else ()) if p.key in block.next_keys):
            self._lay(piece)

    def station(self, plan: BusCourse, station: Station) -> None:
        """Gang the tees of a station; new tees stand before or after what is built there."""
        block = self.block_of.get(station.spot)
        if block is None:
            for tee in station.tees:
                self._new(tee, station)
            return
        new = [tee for tee in station.tees if tee not in block.tees]
        ports = self._on_free_ports(block, new)
        first = station.tees.index(block.tees[0]) if block.tees else self._before_tap(plan, station) * len(station.tees)
        for tee in station.tees[:first]:
            if tee not in ports:
                self._new(tee, station)
        for key in block.parts:
            part = self.plug(self.old[key])
            here = [node for node, hung in self.setting.hung.items() if hung == key]
            for node in [*here, *(node for node, port in ports.items() if port == key)]:
                self._drop(node, part, station.spot)
        for tee in station.tees[first:]:
            if tee not in ports and tee not in block.tees:
                self._new(tee, station)

    def _before_tap(self, plan: BusCourse, station: Station) -> bool:
        tap = next(i for i, other in enumerate(plan.stations) if None in other.tees)
        return plan.stations.index(station) < tap

    def _on_free_ports(self, block: BusBlock, new: Sequence[str | None]) -> dict[str, str]:
        """Return the built tee for each new device that finds a free port; spare tees need none."""
        hung = list(self.setting.hung.values())
        free = [key for key in block.parts for _ in range(self.old[key].ports - hung.count(key))]
        waiting = [tee for tee in new if tee is not None and not tee.startswith(SPARE)]
        return dict(zip(waiting, free, strict=False))

    def _new(self, tee: str | None, station: Station) -> None:
        at = self.setting.place_of[station.spot]
        if tee is None:
            self.plug(PluggedPart(key="", kind="tap", at=at))
            return
        spare = tee.startswith(SPARE)
        part = self.plug(PluggedPart(key="", kind="tee", at=at, ports=1, label="spare" if spare else ""))
        if not spare:
            self._drop(tee, part, station.spot)

    def _drop(self, node: str, part: PluggedPart, spot: str) -> None:
        setting = self.setting
        given = setting.bus.nodes[node].drop
        length: float | None = float(self.hooks[node].drops_mm[spot])
        if node in setting.hung:
            length = hung_drop_mm(setting, node)
        reach = setting.reaches[node]
        way = setting.data.between(part.at or "", reach.location or "")
        self.drops.append(
            DropCable(
                node=node,
                part=part.key,
                length_mm=length,
                cable=setting.bus.drop_cable.value,
                course=way.places if way is not None else (),
                wireways=way.wireways if way is not None else (),
                way_mm=way.length_mm if way is not None else None,
                given=given is not None,
            )
        )


def _needed(setting: CourseSetting, start: str, end: str) -> int:
    way = setting.data.between(start, end)
    return max(slackened_mm(setting.ends.project, way.length_mm if way is not None else 0.0), 1)


def as_built(setting: CourseSetting) -> Assembly:
    """Return a built bus as it is, sound or not, with the drops of the nodes that hang on it."""
    built = setting.built
    if built is None:
        return described(setting, parts=(), pieces=(), drops=(), feed_length_mm=None)
    at = {part.key: part.at for part in built.parts}
    drops = [_hung(setting, node, key, at[key]) for node, key in built.hung]
    tap = next((part for part in built.parts if part.kind == "tap"), None)
    pieces = []
    for piece in built.pieces:
        way = _way(setting, at[piece.first], at[piece.second])
        pieces.append(piece if way is None else replace(piece, **_along(way)))
    return described(
        setting,
        parts=built.parts,
        pieces=pieces,
        drops=drops,
        feed_length_mm=feed_mm(setting, tap.at) if tap is not None else None,
    )


def _hung(setting: CourseSetting, node: str, part: str, at: str | None) -> DropCable:
    """Return the drop of a node of a built bus; a node that is not declared has no length."""
    drop = DropCable(node=node, part=part, length_mm=None, cable=setting.bus.drop_cable.value)
    if node not in setting.devices:
        return drop
    way = _way(setting, at, setting.reaches[node].location)
    found = replace(drop, length_mm=hung_drop_mm(setting, node), given=setting.bus.nodes[node].drop is not None)
    return found if way is None else replace(found, **_along(way))


def _way(setting: CourseSetting, start: str | None, end: str | None) -> CablePath | None:
    return setting.data.between(start or "", end or "")


def _along(way: CablePath) -> dict[str, Any]:
    return {"course": way.places, "wireways": way.wireways, "way_mm": way.length_mm}
