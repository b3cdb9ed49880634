"""The problem of planning a backbone, in whole numbers, so that planner and brute force reckon alike.

A backbone is an order of stations, each at a place of the wireways; between neighbours the cable takes the shortest
wireways. At a station one or more tees stand ganged, one for each device hung there; one station holds the power tap.
The plan is to cost the least:

    cost = backbone + drops + feed + joint_worth x (stations + joints between them)      (mm of cable)

where a joint between stations is one where bought lengths are plugged together. It must stay
under the limits on each drop, all drops, the backbone (longer drops count for the tails), the load a side, and the
fall of voltage to each device. A bus that is partly built enters as a block of stations in fixed order with fixed
cable between them; it may be lengthened at both ends and take more tees at its stations.

Voltages are whole steps of 0.1 microvolt, lengths whole mm, loads whole LEN: a conductor pair of 0.069 ohm/m then
falls by exactly 69 steps per mm and LEN.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.standards import network

if TYPE_CHECKING:
    from collections.abc import Mapping

STEP_V = 1e-7
"""One step of voltage, V."""


def steps_per_mm(cable: str) -> int:
    """Return the worst-case fall per mm and LEN of a cable, both conductors, in steps."""
    return round(2 * network.ohm_per_m(cable) / 1000.0 * network.amps_per_len() / STEP_V)


def steps_per_tap() -> int:
    """Return the fall per tap passed and LEN, both conductors, in steps."""
    return round(2 * network.tap_ohm() * network.amps_per_len() / STEP_V)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hook:
    """A device to be hung on the bus.

    Attributes
    ----------
    drops_mm
        Length of its drop from each spot where its tee may stand; the limit on one drop is already in it.
    """

    id: str
    load_units: int
    drops_mm: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What must hold: lengths in mm, load in LEN, falls in steps."""

    drops_mm: int = 78_000
    backbone_mm: int = 100_000
    side_lens: int = 60
    fall: int = round(1.5 / STEP_V)


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseProblem:
    """One problem of planning.

    Attributes
    ----------
    spots
        Where stations may stand: places of the wireways, and the stations of a built block.
    between_mm
        Length of the shortest course by pair of spots, both ways round; a pair that is missing can't be joined.
    hooks
        Devices.
    feeds_mm
        Length of the feed cable by spot where the power tap may stand.
    pieces
        Number of bought lengths that make up a course; left out, 1.
    block
        Stations that are built, in order; ``between_mm`` of neighbours is the cable that lies there.
    fixed
        Tees of a block's stations in the order they are built, ``None`` for the power tap.
    joint_mm
        Cost of a station that is not built, and of a joint between two bought lengths.
    backbone_steps, drop_steps, feed_steps, tap_steps
        Fall per mm and LEN by cable, and per tap and LEN.
    """

    spots: tuple[str, ...]
    between_mm: Mapping[tuple[str, str], int]
    hooks: tuple[Hook, ...]
    feeds_mm: Mapping[str, int]
    pieces: Mapping[tuple[str, str], int] = field(default_factory=dict)
    block: tuple[str, ...] = ()
    fixed: Mapping[str, tuple[str | None, ...]] = field(default_factory=dict)
    joint_mm: int = 1000
    limits: Limits = Limits()
    backbone_steps: int = 69
    drop_steps: int = 69
    feed_steps: int = 69
    tap_steps: int = 5000

    def course_cost_mm(self, start: str, end: str) -> int:
        """Return what the course between two spots costs: its cable, and the joints in it."""
        return self.between_mm[start, end] + self.joint_mm * (self.pieces.get((start, end), 1) - 1)

    def course_steps(self, start: str, end: str) -> int:
        """Return the fall along the course between two spots per LEN: its cable, its joints, the tee it ends at."""
        return self.backbone_steps * self.between_mm[start, end] + self.tap_steps * self.pieces.get((start, end), 1)

    @property
    def load_units(self) -> int:
        """Load of all devices."""
        return sum(hook.load_units for hook in self.hooks)


AGAIN = " again"
"""Added to the name of a spot where a place is opened a second time."""


def reopened(problem: CourseProblem) -> CourseProblem:
    """Return the problem in which each place where two devices may hang can be opened twice along the course.

    That only ever helps where a limit on current or voltage asks for the devices of one place to be shared between
    both sides of the power tap; without such a limit two stations at one place can be made one at less cost.
    """
    shared = [
        spot
        for spot in problem.spots
        if spot not in problem.block and sum(spot in hook.drops_mm for hook in problem.hooks) > 1
    ]
    copies = {spot: (spot, spot + AGAIN) if spot in shared else (spot,) for spot in problem.spots}
    return replace(
        problem,
        spots=(*problem.spots, *(spot + AGAIN for spot in shared)),
        between_mm=_copied(problem.between_mm, copies),
        pieces=_copied(problem.pieces, copies),
        hooks=tuple(
            replace(hook, drops_mm={copy: mm for spot, mm in hook.drops_mm.items() for copy in copies[spot]})
            for hook in problem.hooks
        ),
    )


def _copied(values: Mapping[tuple[str, str], int], copies: Mapping[str, tuple[str, ...]]) -> dict[tuple[str, str], int]:
    return {
        (one, other): value for (start, end), value in values.items() for one in copies[start] for other in copies[end]
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One station of a plan: the spot, and its tees in order along the backbone (``None`` is the power tap)."""

    spot: str
    tees: tuple[str | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BusCourse:
    """Stations in order from one end to the other."""

    stations: tuple[Station, ...]


def cost_mm(problem: CourseProblem, plan: BusCourse) -> int:
    """Return the cost of a plan, mm of cable."""
    spots = [station.spot for station in plan.stations]
    backbone = sum(problem.course_cost_mm(*pair) for pair in pairwise(spots))
    joints = problem.joint_mm * sum(spot not in problem.block for spot in spots)
    hooks = {hook.id: hook for hook in problem.hooks}
    hung = 0
    for station in plan.stations:
        for tee in station.tees:
            hung += problem.feeds_mm[station.spot] if tee is None else hooks[tee].drops_mm[station.spot]
    return backbone + joints + hung


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a plan comes to, in the units of ``Limits``; ``fall`` is the largest over the devices."""

    drops_mm: int
    reach_mm: int
    side_lens: int
    fall: int

    def keeps(self, limits: Limits) -> bool:
        """Tell whether every limit holds."""
        return (
            self.drops_mm <= limits.drops_mm
            and self.reach_mm <= limits.backbone_mm
            and self.side_lens <= limits.side_lens
            and self.fall <= limits.fall
        )


def figures(problem: CourseProblem, plan: BusCourse) -> Figures:
    """Return what a plan comes to, tee by tee from the power tap outwards."""
    hooks = {hook.id: hook for hook in problem.hooks}
    tees = [(station.spot, tee) for station in plan.stations for tee in station.tees]
    tap = next(index for index, (_, tee) in enumerate(tees) if tee is None)
    at_mm = [0]
    for (spot, _), (following, _) in pairwise(tees):
        at_mm.append(at_mm[-1] + (0 if spot == following else problem.between_mm[spot, following]))
    drops = {tee: hooks[tee].drops_mm[spot] for spot, tee in tees if tee is not None}
    falls: list[int] = []
    loads: list[int] = []
    start = problem.feed_steps * problem.load_units * problem.feeds_mm[tees[tap][0]]
    for way in (range(tap + 1, len(tees)), range(tap - 1, -1, -1)):
        here, fall = tap, start
        flow = sum(hooks[tees[index][1] or ""].load_units for index in way)
        loads.append(flow)
        for index in way:
            tee = tees[index][1] or ""
            start_spot, spot = tees[here][0], tees[index][0]
            fall += flow * (problem.tap_steps if start_spot == spot else problem.course_steps(start_spot, spot))
            falls.append(fall + hooks[tee].load_units * problem.drop_steps * drops[tee])
            flow -= hooks[tee].load_units
            here = index
    return Figures(
        drops_mm=sum(drops.values()),
        reach_mm=_reach_mm(at_mm, [0 if tee is None else drops[tee] for _, tee in tees]),
        side_lens=max(loads),
        fall=max(falls, default=0),
    )


def _reach_mm(at_mm: list[int], drops_mm: list[int]) -> int:
    """Return the longest way between two of: both ends, and the far ends of all drops."""
    length = at_mm[-1]
    tips = [(0, 0), (length, 0), *zip(at_mm, drops_mm, strict=True)]
    return max(
        abs(at - other_at) + drop + other
        for index, (at, drop) in enumerate(tips)
        for other_at, other in tips[index + 1 :]
    )
