"""Put labels beside what they name, so that no two texts overlap and none leaves its room."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from itertools import product
from math import cos, floor, inf, radians, sin
from typing import TYPE_CHECKING, Any

from layout.drawing.elements import colours, pens
from layout.drawing.elements.metrics import ASCENT_PER_CAP, DESCENT_PER_CAP, width_mm
from layout.drawing.elements.scene import Item, Text, line
from layout.geometry.path import Box, Point
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.drawing.elements.pens import Pen

LINE_PITCH_PER_CAP = 1.7
"""Distance of base lines, as a share of the capital height (ISO 3098 asks for at least 1.4 h)."""

_CLEAR_MM = 1.0
"""Free space kept round every label."""

CROSSING_COST_MM = 6.0
"""A label over a line counts as being this much farther away."""

FIRM_COST_MM = 40.0
"""So much for a line that must stay whole, a cut line say, and for the inside of something else's hole."""

LEADER_COST_MM = 8.0
"""And so much for each such line that a leader crosses on its way."""

_CELL_MM = 16.0
"""Pitch of the grid by which strokes near a label are found."""

_HAIR_MM = 1e-6
"""Costs that differ by less may differ by rounding alone."""

_TOWARDS = tuple(
    (cos(radians(angle)), sin(radians(angle)))
    for angle in (0, 90, 180, 270, 45, 135, 225, 315, 22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5)
)
"""Directions in which places are tried, best first."""

Wording = tuple[float, tuple[str, ...]]
"""Another wording of a label, and how many mm it counts as farther away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWish:
    """A label that wants to stand near a point.

    Attributes
    ----------
    lines
        Its lines of text, from the top.
    at
        The point it names, in mm on paper.
    clear_mm
        Half the size of what stands at the point; the label may stand on it only when ``on_point``.
    on_point
        The middle of the label may be the point itself (a device's name on its face).
    fits
        It is known to fit there, row by row, so no line counts against that place.
    within
        Room of its own, when that is less than the whole.
    others
        Other wordings, for where the first does not fit well: cheapest first.
    foreign
        Boxes of other things, in which the label would be taken for theirs.
    """

    lines: tuple[str, ...]
    at: Point
    height_mm: float = 2.5
    bold: bool = False
    colour: str = colours.INK
    clear_mm: float = 1.0
    on_point: bool = False
    fits: bool = False
    within: Box | None = None
    others: tuple[Wording, ...] = ()
    foreign: tuple[Box, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLabel:
    """Where a label came to stand; ``leader`` is the point its leader line starts from, if it has one."""

    wish: LabelWish
    box: Box
    leader: Point | None = None

    def items(self, pen: Pen = pens.DIMENSION) -> tuple[Item, ...]:
        """Return the label's texts and its leader line."""
        wish = self.wish
        pitch = wish.height_mm * LINE_PITCH_PER_CAP
        top = self.box.y1 - ASCENT_PER_CAP * wish.height_mm
        texts: list[Item] = [
            Text(
                (self.box.centre[0], top - row * pitch),
                content,
                wish.height_mm,
                "centre",
                bold=wish.bold,
                colour=wish.colour,
                halo=True,
            )
            for row, content in enumerate(wish.lines)
        ]
        if self.leader is None:
            return tuple(texts)
        return (line(wish.at, self.leader, pen), *texts)


def label_size_mm(lines: Sequence[str], height_mm: float, *, bold: bool = False) -> tuple[float, float]:
    """Return width and height of the box round lines of text."""
    wide = max(width_mm(content, height_mm, bold=bold) for content in lines)
    tall = height_mm * (ASCENT_PER_CAP + DESCENT_PER_CAP + LINE_PITCH_PER_CAP * (len(lines) - 1))
    return wide, tall


def overlaps(first: Box, second: Box, *, clear_mm: float = 0.0) -> bool:
    """Return whether two boxes come nearer than ``clear_mm`` (0: share area)."""
    return (
        first.x0 < second.x1 + clear_mm
        and second.x0 < first.x1 + clear_mm
        and first.y0 < second.y1 + clear_mm
        and second.y0 < first.y1 + clear_mm
    )


def box_holds(outer: Box, inner: Box) -> bool:
    """Return whether ``inner`` lies wholly in ``outer``."""
    return outer.x0 <= inner.x0 and outer.y0 <= inner.y0 and inner.x1 <= outer.x1 and inner.y1 <= outer.y1


def place_labels(
    wishes: Sequence[LabelWish],
    *,
    room: Box,
    taken: Sequence[Box] = (),
    lines: Sequence[tuple[Point, Point]] = (),
    firm: Sequence[tuple[Point, Point]] = (),
    reach_mm: float = 60.0,
) -> tuple[list[PlacedLabel], list[LabelWish]]:
    """Place labels one after the other, each where it lies nearest to its point.

    Parameters
    ----------
    wishes
        In order of importance: an earlier label is never moved for a later one.
    room
        Labels stay wholly inside.
    taken
        Boxes no label may touch.
    lines
        Straight strokes that labels would rather not cross.
    firm
        Strokes that labels cross only where nothing else is left.
    reach_mm
        Longest leader line.

    Returns
    -------
    The placed labels and the wishes that found no room; the caller lists those, it never drops them.
    """
    crossed, cut = Crossings(lines), Crossings(firm)
    blocked = list(taken)
    placed: list[PlacedLabel] = []
    homeless: list[LabelWish] = []
    for wish in wishes:
        area = wish.within or room
        best: tuple[float, tuple[str, ...], Box, Point | None] | None = None
        for extra, words in ((0.0, wish.lines), *wish.others):
            for distance, box, leader in _candidates(wish, words, reach_mm):
                if best and distance + extra >= best[0]:
                    break
                if not (box_holds(area, box) and box_holds(room, box)) or _touches(box, blocked):
                    continue
                cost = distance + extra
                if not (wish.fits and box.centre == wish.at):
                    firmly = cut.count(box) + sum(overlaps(box, other) for other in wish.foreign)
                    if best and cost + FIRM_COST_MM * firmly > best[0] + _HAIR_MM:
                        continue
                    cost += CROSSING_COST_MM * crossed.count(box)
                    cost += FIRM_COST_MM * firmly
                if leader is not None and (best is None or cost < best[0]):
                    cost += LEADER_COST_MM * cut.met(wish.at, leader)
                if best is None or cost < best[0]:
                    best = (cost, words, box, leader)
        if best is None:
            homeless.append(wish)
        else:
            _, words, box, leader = best
            placed.append(PlacedLabel(wish=replace(wish, lines=words), box=box, leader=leader))
            blocked.append(box)
    return placed, homeless


def _touches(box: Box, others: Sequence[Box]) -> bool:
    """Tell whether a label comes too near to any other; asked so often that it is spelled out."""
    x0, y0, x1, y1 = box.x0, box.y0, box.x1 + _CLEAR_MM, box.y1 + _CLEAR_MM
    for other in others:  # a generator costs twice the time
        if other.x0 < x1 and x0 < other.x1 + _CLEAR_MM and other.y0 < y1 and y0 < other.y1 + _CLEAR_MM:
            return True
    return False


def _candidates(wish: LabelWish, lines: tuple[str, ...], reach_mm: float) -> Iterator[tuple[float, Box, Point | None]]:
    """Yield places of a wording from the nearest outwards: distance in mm, box, and where a leader would start."""
    wide, tall = label_size_mm(lines, wish.height_mm, bold=wish.bold)
    x, y = wish.at
    if wish.on_point:
        yield 0.0, Box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2), None
    distance = 0.0
    while distance <= reach_mm:
        off = wish.clear_mm + _CLEAR_MM + distance
        for c, s in _TOWARDS:
            near = (x + off * c, y + off * s)
            # The label hangs on the point of its box that faces what it names.
            box = Box(
                near[0] - wide * (1 - c) / 2,
                near[1] - tall * (1 - s) / 2,
                near[0] + wide * (1 + c) / 2,
                near[1] + tall * (1 + s) / 2,
            )
            yield distance, box, near if distance > 2 * wish.height_mm else None
        distance += max(1.5, 0.6 * wish.height_mm)


class Crossings:
    """Counts how many straight strokes pass through a box (Liang and Barsky's clipping), by cells of a grid."""

    def __init__(self, lines: Sequence[tuple[Point, Point]]) -> None:
        self._strokes = [(xa, ya, xb - xa, yb - ya) for (xa, ya), (xb, yb) in lines]
        self._cells: dict[tuple[int, int], list[int]] = {}
        for number, ((xa, ya), (xb, yb)) in enumerate(lines):
            for cell in _cells(min(xa, xb), min(ya, yb), max(xa, xb), max(ya, yb)):
                self._cells.setdefault(cell, []).append(number)

    def count(self, box: Box) -> int:
        """Return how many strokes have more than a point inside the box."""
        x0, y0, x1, y1 = box.x0, box.y0, box.x1, box.y1
        near_by = {number for cell in _cells(x0, y0, x1, y1) for number in self._cells.get(cell, ())}
        count = 0
        for number in near_by:  # spelled out: the same by max and min takes twice the time
            x, y, dx, dy = self._strokes[number]
            if dx:
                enters, leaves = (x0 - x) / dx, (x1 - x) / dx
                if leaves < enters:
                    enters, leaves = leaves, enters
                if not (enters < leaves and enters < 1.0 and leaves > 0.0):
                    continue
            elif x0 < x < x1:
                enters, leaves = -inf, inf
            else:
                continue
            if dy:
                low, high = (y0 - y) / dy, (y1 - y) / dy
                if high < low:
                    low, high = high, low
                count += low < high and low < 1.0 and high > 0.0 and low < leaves and enters < high
            else:
                count += y0 < y < y1
        return count

    @cached_property
    def _ends(self) -> tuple[Any, Any]:
        import numpy as np  # kept out of start-up

        strokes = np.array(self._strokes, dtype=float).reshape(-1, 4)
        return strokes[:, :2], strokes[:, 2:]

    def met(self, start: Point, end: Point) -> int:
        """Return how many strokes a straight line from ``start`` to ``end`` crosses."""
        if not self._strokes:
            return 0
        import numpy as np

        origin, step = self._ends
        way = np.array([end[0] - start[0], end[1] - start[1]])
        off = origin - np.array(start)
        across = way[0] * step[:, 1] - way[1] * step[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            along = (off[:, 0] * step[:, 1] - off[:, 1] * step[:, 0]) / across
            share = (off[:, 0] * way[1] - off[:, 1] * way[0]) / across
        return int(np.count_nonzero((along > 0) & (along < 1) & (share >= 0) & (share < 1)))


def _cells(x0: float, y0: float, x1: float, y1: float) -> Iterator[tuple[int, int]]:
    columns = range(floor(x0 / _CELL_MM), floor(x1 / _CELL_MM) + 1)
    return product(columns, range(floor(y0 / _CELL_MM), floor(y1 / _CELL_MM) + 1))


def spread(wanted: Sequence[float], *, pitch_mm: float, low_mm: float, high_mm: float) -> list[float]:
    """Return positions at least ``pitch_mm`` apart, as near as can be to ``wanted`` (sorted, ascending).

    The sum of squared moves is least (pools of adjacent violators); the result is then kept between
    the ends.

    Raises
    ------
    ValueError
        There is no room for that many between ``low_mm`` and ``high_mm``.
    """
    count = len(wanted)
    if count and (count - 1) * pitch_mm > high_mm - low_mm + 1e-9:
        raise ValueError(f"{count} positions {pitch_mm:g} mm apart do not fit into {high_mm - low_mm:g} mm")
    pools: list[tuple[float, int]] = []  # mean of (wanted - index * pitch), members
    for index, value in enumerate(wanted):
        mean, members = value - index * pitch_mm, 1
        while pools and pools[-1][0] > mean:
            other, others = pools.pop()
            mean = (mean * members + other * others) / (members + others)
            members += others
        pools.append((mean, members))
    top = high_mm - max(count - 1, 0) * pitch_mm
    starts = [min(max(mean, low_mm), top) for mean, members in pools for _ in range(members)]
    return [start + index * pitch_mm for index, start in enumerate(starts)]
