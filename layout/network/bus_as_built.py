"""From the ordered parts of ``built`` to parts and pieces with both ends named."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.network.bus_parts import CablePiece, PluggedPart

if TYPE_CHECKING:
    from layout.network.bus_parts import BusPartKind
    from layout.project.model.network import BusPart, InstrumentNetwork

LETTER: dict[BusPartKind, str] = {"terminator": "R", "tee": "T", "tap": "P", "joint": "J"}
"""First letter of a part's key, by kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Backbone:
    """Parts and pieces of a built backbone, the nodes hung at each part, and labels that no part has.

    A cable piece with nothing at its end gets a ``joint`` there.
    """

    parts: tuple[PluggedPart, ...]
    pieces: tuple[CablePiece, ...]
    hung: tuple[tuple[str, str], ...]
    unknown_labels: tuple[str, ...] = ()


class _Plugging:
    """Keeps what has been plugged together so far and where the next part goes."""

    def __init__(self, bus: InstrumentNetwork) -> None:
        self.bus = bus
        self.parts: list[PluggedPart] = []
        self.pieces: list[CablePiece] = []
        self.hung: list[tuple[str, str]] = []
        self.labels: dict[str, str] = {}
        self.unknown: list[str] = []
        self.count: dict[BusPartKind, int] = dict.fromkeys(LETTER, 0)
        self.here: str | None = None
        self.loose: BusPart | None = None
        self.joins: list[tuple[str, str]] = []

    def part(self, source: BusPart | None, kind: BusPartKind) -> PluggedPart:
        self.count[kind] += 1
        key = f"{LETTER[kind]}{self.count[kind]}"
        ports = (max(len(source.nodes), 1) if source.ports is None else source.ports) if source and kind == "tee" else 0
        made = PluggedPart(
            key=key,
            kind=kind,
            at=source.at if source else None,
            label=source.label if source else "",
            ports=ports,
            resistance_ohm=source.resistance if source else None,
            connector=source.connector if source else None,
            family=source.family if source else None,
            aboard=source is not None and source.stays,
        )
        self.parts.append(made)
        if source and source.label:
            self.labels[source.label] = key
        return made

    def link(self, first: str, second: str, cable: BusPart | None) -> None:
        number = sum(piece.cable is not None for piece in self.pieces) + 1
        direct = len(self.pieces) - number + 2
        self.pieces.append(
            CablePiece(
                key=f"B{number}" if cable else f"D{direct}",
                first=first,
                second=second,
                length_mm=cable.length or 0.0 if cable else 0.0,
                cable=(cable.cable or self.bus.cable).value if cable else None,
                connector=(cable.connector or self.bus.connector).value if cable else None,
                family=cable.family if cable else None,
                aboard=cable is not None and cable.stays,
            )
        )

    def close(self) -> None:
        """End a run of parts; a cable with nothing at its far side gets an open joint there."""
        if self.loose is not None:
            start = self.here or self.part(None, "joint").key
            self.link(start, self.part(None, "joint").key, self.loose)
        self.here, self.loose = None, None

    def move_to(self, label: str) -> None:
        """Go on plugging at the part with a label."""
        self.close()
        self.here = self.labels.get(label)
        if self.here is None:
            self.unknown.append(label)

    def add(self, source: BusPart) -> None:
        if source.after is not None:
            self.move_to(source.after)
        if source.part == "cable":
            if self.loose is not None or self.here is None:
                joint = self.part(None, "joint").key
                if self.loose is not None:
                    self.link(self.here or self.part(None, "joint").key, joint, self.loose)
                self.here = joint
            self.loose = source
            if source.joins is not None:
                end = self.labels.get(source.joins)
                if end is None:
                    self.unknown.append(source.joins)
                    self.close()
                else:
                    self.link(self.here, end, source)
                    self.here, self.loose = end, None
            return
        made = self.part(source, source.part)
        if self.here is not None or self.loose is not None:
            self.link(self.here or self.part(None, "joint").key, made.key, self.loose)
        self.here, self.loose = made.key, None
        self.hung.extend((node, made.key) for node in source.nodes)
        if source.joins is not None:
            self.joins.append((made.key, source.joins))

    def finish(self) -> None:
        self.close()
        for key, label in self.joins:
            if label in self.labels:
                self.link(key, self.labels[label], None)
            else:
                self.unknown.append(label)


def backbone(bus: InstrumentNetwork) -> Backbone:
    """Plug the parts of ``bus.built`` together; ones marked ``aboard: remove`` are left out.

    A label may only name a part that stands before the one that uses it, except in ``joins`` of a part.
    """
    plugging = _Plugging(bus)
    for source in bus.built:
        if not source.is_removed:
            plugging.add(source)
    plugging.finish()
    return Backbone(
        parts=tuple(_placed(plugging)),
        pieces=tuple(plugging.pieces),
        hung=tuple(plugging.hung),
        unknown_labels=tuple(plugging.unknown),
    )


def _placed(plugging: _Plugging) -> list[PluggedPart]:
    """Give parts that plug straight into a part of known place the same place."""
    at = {part.key: part.at for part in plugging.parts}
    direct = [piece for piece in plugging.pieces if piece.cable is None]
    for _ in plugging.parts:
        for piece in direct:
            known = at[piece.first] or at[piece.second]
            at[piece.first] = at[piece.first] or known
            at[piece.second] = at[piece.second] or known
    return [replace(part, at=at[part.key]) for part in plugging.parts]
