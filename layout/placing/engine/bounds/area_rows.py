"""Rows from area: items side by side cannot all be near the same edge.

Spread each item's mass, equal to the area of its core, evenly over the core. Between two levels no more
mass can lie than the panel is high. So for any set of items the sum of area times distance of the
centre from an edge is at least what it would be with the panel filled from that edge: total squared over
twice the height. (The rows are those of Queyranne, Mathematical Programming 58 (1993) 263-285, for
one machine, with x as time; cited from memory.) Obstacles count as items that stand still.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.bounds.cut import BoundRow
from layout.placing.engine.cores import core_reach
from layout.placing.engine.problem import StepBox
from layout.placing.engine.slabs import around, disjoint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.cores import Cores
    from layout.placing.engine.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """What takes room: an item, or a fixed box (``item`` None). ``middle`` is twice the centre, by turn."""

    item: int | None
    area: int
    middle: tuple[tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Packing:
    """The masses of a problem and the box that holds them all."""

    frame: StepBox
    masses: tuple[Mass, ...]

    def cuts(self, at: Sequence[tuple[float, float]]) -> list[BoundRow]:
        """Return the rows that a point breaks, for each of the four sides: at most the worst few of each.

        ``at`` has a position for each item, whole or not.
        """
        found = []
        for axis in (0, 1):
            for sign in (1, -1):
                found += self._side(axis, sign, at)
        return found

    def _side(self, axis: int, sign: int, at: Sequence[tuple[float, float]]) -> list[BoundRow]:
        frame = self.frame
        edge = (frame.x0, frame.y0)[axis] if sign > 0 else -(frame.x1, frame.y1)[axis]
        across = frame.height if axis == 0 else frame.width

        def place(mass: Mass) -> float:
            middle = max(mass.middle[axis]) if sign > 0 else min(mass.middle[axis])
            own = 0.0 if mass.item is None else at[mass.item][axis]
            return sign * (2 * own + middle) / 2 - edge

        placed = sorted((place(mass), k) for k, mass in enumerate(self.masses))
        total, moment, broken = 0, 0.0, []
        for n, (distance, k) in enumerate(placed, 1):
            total += self.masses[k].area
            moment += self.masses[k].area * distance
            short = total * total / (2 * across) - moment
            if short > 1e-3 * moment + 1:
                broken.append((short / total, n))
        chosen = [n for _, n in sorted(broken, reverse=True)[:3]]
        return [self._cut(axis, sign, edge, across, [k for _, k in placed[:n]]) for n in sorted(chosen)]

    def _cut(self, axis: int, sign: int, edge: int, across: int, chosen: list[int]) -> BoundRow:
        """Return ``sum(area * (sign * (2 x + middle) - 2 edge)) >= total**2 / across``."""
        masses = [self.masses[k] for k in chosen]
        total = sum(mass.area for mass in masses)
        low = -(-total * total // across) + 2 * edge * total
        terms, by_turn = [], []
        for mass in masses:
            constants = tuple(sign * mass.area * middle for middle in mass.middle[axis])
            if mass.item is None:
                low -= constants[0]
            else:
                terms.append((mass.item, axis, 2 * sign * mass.area))
                by_turn.append((mass.item, constants))
        return BoundRow(terms=tuple(terms), by_turn=tuple(by_turn), low=low)


def packings(problem: Problem, cores: Sequence[Cores]) -> list[Packing]:
    """Return the masses of a problem, apart for each panel, or group of panels, that its items can be on.

    Items that may be left out or have no core are passed over, and so are panels with one item.
    """
    found = []
    for frame, group in rows_together(problem, cores):
        if len(group) < 2:
            continue
        masses = [_mass(k, cores[k] or ()) for k in group]
        blocked = [
            StepBox(max(box.x0, frame.x0), max(box.y0, frame.y0), min(box.x1, frame.x1), min(box.y1, frame.y1))
            for _, box in problem.obstacles
            if box.overlaps(frame)
        ]
        masses += [
            Mass(item=None, area=box.area, middle=((box.x0 + box.x1,), (box.y0 + box.y1,))) for box in disjoint(blocked)
        ]
        found.append(Packing(frame=frame, masses=tuple(masses)))
    return found


def _mass(k: int, cores: Sequence[StepBox]) -> Mass:
    return Mass(
        item=k,
        area=min(box.area for box in cores),
        middle=(tuple(box.x0 + box.x1 for box in cores), tuple(box.y0 + box.y1 for box in cores)),
    )


def rows_together(problem: Problem, cores: Sequence[Cores]) -> list[tuple[StepBox, list[int]]]:
    """Group items whose cores can meet, directly or through others; returns the box around each group.

    Items that may be left out or have no core are in none.
    """
    groups: list[tuple[StepBox, list[int]]] = []
    for k, item in enumerate(problem.items):
        box = core_reach(item, cores[k])
        if item.absent_cost is not None or box is None:
            continue
        frame, members = box, [k]
        while met := [group for group in groups if group[0].overlaps(frame)]:
            groups = [group for group in groups if group not in met]
            frame = around([frame, *(one for one, _ in met)])
            members = sorted(members + [i for _, one in met for i in one])
        groups.append((frame, members))
    return groups
