"""From a declared bus to the problem of planning it."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.network.bus_planning.bus_problem import CourseProblem, Hook, Limits, steps_per_mm, steps_per_tap
from layout.network.bus_planning.bus_stock import bought_lengths
from layout.network.cable_paths import reach_of
from layout.network.declared_bus import drop_need_mm, feed_need_mm, slackened_mm
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.network.bus_as_built import Backbone
    from layout.network.bus_blocks import BusBlock
    from layout.network.bus_parts import BusDevice, BusFeed
    from layout.network.cable_paths import CableReach, Ways
    from layout.project.model.network import InstrumentNetwork
    from layout.wiring.circuits.ends import Ends

MOST_SPOTS = 40
"""Places that a plan looks at, in the project's order."""


@dataclass(frozen=True, kw_only=True)
class CourseSetting:
    """Everything that a plan of one bus starts from.

    Attributes
    ----------
    data, power
        Ways for the bus cable and for its feed.
    built, blocks
        A sound built line and its stations; None and empty where nothing is built.
    """

    ends: Ends
    bus: InstrumentNetwork
    devices: Mapping[str, BusDevice]
    feed: BusFeed
    data: Ways
    power: Ways
    built: Backbone | None = None
    blocks: tuple[BusBlock, ...] = ()

    @cached_property
    def stock_mm(self) -> tuple[int, ...]:
        """Lengths in which made-up cables are bought."""
        return tuple(round(mm) for mm in self.bus.stock)

    @cached_property
    def joint_mm(self) -> int:
        """Cable that one joint is worth."""
        return round(self.bus.joint_worth)

    @cached_property
    def hung(self) -> dict[str, str]:
        """Part of the built line that each node already hangs at."""
        return dict(self.built.hung) if self.built is not None else {}

    @cached_property
    def reaches(self) -> dict[str, CableReach]:
        """Where each node's device is reached from."""
        return {id_: reach_of(self.ends, device.device) for id_, device in self.devices.items()}

    @cached_property
    def place_of(self) -> dict[str, str | None]:
        """Place of each spot: stations of the built line first, then the places where one could be made."""
        useful = [place for place in self.data.places if self._useful(place)][:MOST_SPOTS]
        return {block.spot: block.location for block in self.blocks} | {place: place for place in useful}

    def _useful(self, place: str) -> bool:
        """Tell whether a station could stand at a place: within a drop of a device, or where the feed begins."""
        if place in (self.feed.start, self.bus.tap_at):
            return True
        found = (
            self.data.between(place, reach.location) for reach in self.reaches.values() if reach.location is not None
        )
        return any(way is not None and way.length_mm <= network.most_drop_mm() for way in found)

    @cached_property
    def cables(self) -> list[str]:
        """Kinds of backbone cable: the bus's, and those that are built."""
        built = self.built.pieces if self.built is not None else ()
        return [self.bus.cable.value, *(piece.cable for piece in built if piece.cable is not None)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The planning problem of a bus, and what kept devices out of it.

    Attributes
    ----------
    lost
        Nodes whose place or way is not known, with the reason in words.
    beyond
        Nodes that no place reaches within the limit on one drop.
    """

    problem: CourseProblem
    lost: tuple[tuple[str, str], ...] = ()
    beyond: tuple[str, ...] = ()


def make_terms(setting: CourseSetting) -> Terms:
    """Make the planning problem of a bus; devices that can't be in it are named beside it."""
    hooks: list[Hook] = []
    lost: list[tuple[str, str]] = []
    beyond: list[str] = []
    for id_ in setting.devices:
        reason = _unknown(setting, id_)
        if reason is not None:
            lost.append((id_, reason))
            continue
        drops = _drops_mm(setting, id_)
        if drops:
            hooks.append(Hook(id=id_, load_units=setting.devices[id_].load_units or 0, drops_mm=drops))
        else:
            beyond.append(id_)
    between, pieces = _courses(setting)
    bus = setting.bus
    problem = CourseProblem(
        spots=tuple(setting.place_of),
        between_mm=between,
        pieces=pieces,
        hooks=tuple(hooks),
        feeds_mm=_feeds_mm(setting),
        block=tuple(block.spot for block in setting.blocks),
        fixed={block.spot: block.tees for block in setting.blocks},
        joint_mm=setting.joint_mm,
        limits=limits_for(bus, setting.feed, setting.cables),
        backbone_steps=max(steps_per_mm(cable) for cable in setting.cables),
        drop_steps=steps_per_mm(bus.drop_cable.value),
        feed_steps=steps_per_mm(bus.feed_cable.value),
        tap_steps=steps_per_tap(),
    )
    return Terms(problem=problem, lost=tuple(lost), beyond=tuple(beyond))


def _unknown(setting: CourseSetting, id_: str) -> str | None:
    """Return why a node can't be planned; None if it can. What hangs on the built line already needs no place."""
    if id_ in setting.hung:
        return None
    reach = setting.reaches[id_]
    if reach.location is None or reach.location not in setting.data.places:
        return "its place is not known"
    if setting.bus.nodes[id_].drop is None and reach.tail_mm is None:
        return "it is not placed yet, so its way on the panel is not known"
    return None


def hung_drop_mm(setting: CourseSetting, id_: str) -> float | None:
    """Return the length of the drop of a node that hangs on the built line, mm; None where it is not known."""
    given = setting.bus.nodes[id_].drop
    if given is not None:
        return given
    part = next((p for p in (setting.built.parts if setting.built else ()) if p.key == setting.hung[id_]), None)
    reach = setting.reaches[id_]
    if part is None or part.at is None or reach.location is None:
        return None
    way = setting.data.between(part.at, reach.location)
    need = drop_need_mm(setting.ends.project, way, reach) if way is not None else None
    return None if need is None else sum(bought_lengths(need, setting.stock_mm, setting.joint_mm))


def _drops_mm(setting: CourseSetting, id_: str) -> dict[str, int]:
    """Return the drop's length from each spot within the limit on one drop.

    A declared length stands as it is, and its tee may stand where the way is not longer. A drop that is to be bought
    is made up of stock lengths.
    """
    if id_ in setting.hung:
        spot = next(block.spot for block in setting.blocks if setting.hung[id_] in block.parts)
        return {spot: round(hung_drop_mm(setting, id_) or 0.0)}
    given, reach = setting.bus.nodes[id_].drop, setting.reaches[id_]
    drops: dict[str, int] = {}
    for spot, place in setting.place_of.items():
        way = setting.data.between(place, reach.location) if place is not None and reach.location is not None else None
        if way is None:
            continue
        need = drop_need_mm(setting.ends.project, way, reach)
        if given is not None:
            length = round(given) if way.length_mm <= given else None
        else:
            length = None if need is None else sum(bought_lengths(need, setting.stock_mm, setting.joint_mm))
        if length is not None and length <= network.most_drop_mm():
            drops[spot] = length
    return drops


def _courses(setting: CourseSetting) -> tuple[dict[tuple[str, str], int], dict[tuple[str, str], int]]:
    """Return length and number of bought lengths of the course between each two spots."""
    between: dict[tuple[str, str], int] = {}
    pieces: dict[tuple[str, str], int] = {}
    for start, start_place in setting.place_of.items():
        for end, end_place in setting.place_of.items():
            if start == end or start_place is None or end_place is None:
                continue
            way = setting.data.between(start_place, end_place)
            if way is not None:
                need = max(slackened_mm(setting.ends.project, way.length_mm), 1)
                lengths = bought_lengths(need, setting.stock_mm, setting.joint_mm)
                between[start, end], pieces[start, end] = sum(lengths), len(lengths)
    for one, other in pairwise(setting.blocks):
        for pair in ((one.spot, other.spot), (other.spot, one.spot)):
            between[pair], pieces[pair] = one.next_mm, max(len(one.next_keys), 1)
    return between, pieces


def _feeds_mm(setting: CourseSetting) -> dict[str, int]:
    """Return the length of the feed by spot where the power tap may stand; a built or fixed tap leaves one.

    Where no length is known each spot has 0, and the check of the plugged bus says that it is not known.
    """
    with_tap = [block.spot for block in setting.blocks if None in block.tees]
    if with_tap:
        allowed = with_tap[:1]
    elif setting.bus.tap_at is not None:
        allowed = [spot for spot, place in setting.place_of.items() if place == setting.bus.tap_at]
    else:
        allowed = list(setting.place_of)
    found = {spot: feed_mm(setting, setting.place_of[spot]) for spot in allowed}
    known = {spot: mm for spot, mm in found.items() if mm is not None}
    return known or dict.fromkeys(allowed, 0)


def feed_mm(setting: CourseSetting, place: str | None) -> int | None:
    """Return the length of the feed to a power tap at a place, mm; None where it is not known."""
    need = feed_need_mm(setting.ends, setting.bus, setting.feed, setting.power, place)
    if need is None:
        need = feed_need_mm(setting.ends, setting.bus, setting.feed, setting.data, place)
    return need


def limits_for(bus: InstrumentNetwork, feed: BusFeed, cables: list[str]) -> Limits:
    """Return the limits of a bus by its weakest cable, its protective device and its lowest feed.

    The fall of voltage allowed is the bus's own limit, or less where the lowest feed leaves less above 9.0 V.
    """
    low, _ = network.supply_range_v()
    fall = bus.allowed_drop if feed.lowest_v is None else min(bus.allowed_drop, max(feed.lowest_v - low, 0.0))
    sides = []
    for cable in cables:
        try:
            sides.append(network.most_side_current_a(cable, bus.connector.value))
        except KeyError:
            sides.append(network.most_fuse_light_a())
    if feed.fuse_a is not None and feed.fuse_each_side:
        sides.append(feed.fuse_a)
    return Limits(
        drops_mm=round(network.most_drops_together_mm()),
        backbone_mm=round(min(network.most_backbone_mm(cable) for cable in cables)),
        side_lens=int(min(sides) / network.amps_per_len() + 1e-6),
        fall=int(fall * 1e7 + 1e-3),
    )
