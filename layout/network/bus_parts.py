"""A bus as it is plugged together: parts, the pieces between them, drops, devices and feed. Lengths in mm."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.network.piece_graph import PieceGraph
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Mapping


BusPartKind = Literal["terminator", "tee", "tap", "joint"]
"""``tap`` is the power tap; ``joint`` joins two cable pieces where nothing else stands, or is an end left open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PluggedPart:
    """One plug-in part of the backbone.

    Attributes
    ----------
    key
        Unique on the bus, by order along it: ``T1``.
    at
        Place of the wireways, None where not known.
    ports
        Drop ports of a tee.
    existing
        Whether it is already there (and so not in the parts list).
    """

    key: str
    kind: BusPartKind
    at: str | None = None
    label: str = ""
    ports: int = 0
    resistance_ohm: float | None = None
    connector: str | None = None
    family: str | None = None
    aboard: bool = False

    @property
    def title(self) -> str:
        """What a message calls it."""
        words = {"terminator": "terminator", "tee": "tee", "tap": "power tap", "joint": "joint"}[self.kind]
        return f"{words} {self.label or self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class CablePiece:
    """What lies between two parts: a cable piece, or nothing where they plug into each other (``cable`` None).

    ``course`` are the places it passes, and ``way_mm`` the length of the wireways on it; None where not known.
    """

    key: str
    first: str
    second: str
    length_mm: float = 0.0
    cable: str | None = None
    connector: str | None = None
    family: str | None = None
    course: tuple[str, ...] = ()
    wireways: tuple[str, ...] = ()
    way_mm: float | None = None
    aboard: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BusDevice:
    """A device of the bus; ``load_units`` and ``current_a`` are None where not known. ``own``: its own supply."""

    id: str
    name: str
    device: str
    load_units: int | None
    current_a: float | None = None
    own: bool = False
    circuit: str | None = None
    isolated: bool | None = None
    family: str | None = None

    @property
    def load_a(self) -> float | None:
        """Current it is reckoned with: its LEN times 50 mA, so that rounding up stays in; None where not known."""
        return None if self.load_units is None else self.load_units * network.amps_per_len()


@dataclass(frozen=True, slots=True, kw_only=True)
class DropCable:
    """The drop cable of one device, from its tee; the length is None where not known.

    ``course`` are the places it passes, the tee's first, and ``way_mm`` the length of the wireways on it.
    """

    node: str
    part: str
    length_mm: float | None
    cable: str
    course: tuple[str, ...] = ()
    wireways: tuple[str, ...] = ()
    way_mm: float | None = None
    given: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BusFeed:
    """What feeds the power tap.

    Attributes
    ----------
    nominal_v, lowest_v, highest_v, source_lowest_v
        At the head of the feed, and the lowest at the source itself; None where not known.
    length_mm, cable
        From there to the tap.
    fuse_a, fuse_each_side
        Rating of the protective device, and whether each side of the tap has one of its own.
    start
        Place where it begins.
    owner
        What a message calls it: the circuit or supply.
    number
        Of its cable in the schedule; empty before it is laid, and where it has none.
    """

    owner: str = ""
    number: str = ""
    start: str | None = None
    nominal_v: float | None = None
    lowest_v: float | None = None
    highest_v: float | None = None
    source_lowest_v: float | None = None
    length_mm: float | None = None
    cable: str = network.LIGHT
    wireways: tuple[str, ...] = ()
    fuse_a: float | None = None
    fuse_each_side: bool = False


@dataclass(frozen=True, kw_only=True)
class Assembly:
    """A whole bus, plugged together; the parts stand in order from one end."""

    bus: str
    name: str = ""
    parts: tuple[PluggedPart, ...] = ()
    pieces: tuple[CablePiece, ...] = ()
    drops: tuple[DropCable, ...] = ()
    devices: Mapping[str, BusDevice] = field(default_factory=FrozenMap)
    feed: BusFeed = field(default_factory=BusFeed)
    cable: str = network.LIGHT
    connector: str = "micro"
    family: str | None = None
    allowed_drop_v: float = 1.5
    shield_earths: tuple[str, ...] | None = None
    spare_tees: int = 0

    @cached_property
    def part_by_key(self) -> dict[str, PluggedPart]:
        """Each part by its key."""
        return {part.key: part for part in self.parts}

    @cached_property
    def taps(self) -> tuple[PluggedPart, ...]:
        """The power taps; a sound bus has one."""
        return tuple(part for part in self.parts if part.kind == "tap")

    @cached_property
    def graph(self) -> PieceGraph:
        """The backbone as a graph of part keys; its edges are the pieces, in their order."""
        return PieceGraph(
            (part.key for part in self.parts), ((piece.first, piece.second, piece.length_mm) for piece in self.pieces)
        )

    def drops_at(self, part: str) -> tuple[DropCable, ...]:
        """Return the drops that plug into one tee."""
        return tuple(drop for drop in self.drops if drop.part == part)

    def free_ports(self) -> int:
        """Return how many drop ports of tees are free."""
        return sum(max(part.ports - len(self.drops_at(part.key)), 0) for part in self.parts if part.kind == "tee")
