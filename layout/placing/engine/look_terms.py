"""Wishes about the look of the whole: lines that many items share, and equal gaps in the rows that are found.

Neither names pairs: which items share a line, and which stand in one row, is read from the arrangement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.engine.stage_result import Positions

LookLine = tuple[int, ...]
"""Constants by turn: the line's place is the position along the axis of its kind plus the turn's constant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """The lines by which an item may stand, by kind: its low edge, centre and high edge, say.

    One that it has not (a round thing has no edge to speak of) is None.
    """

    item: int
    lines: tuple[LookLine | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesTerm:
    """A wish for few lines: each present item costs ``weight // m``, m the most that stand on one of its lines.

    So however many items share a line, they cost one weight together, and the sum counts the lines that
    are needed to hold all items.

    Attributes
    ----------
    axes
        For each kind of line, the axis that it is counted along: 0 for upright lines, 1 for level ones.
        Lines of different kinds are never the same.
    seats
        One for each item, with a line, or None, for each kind.
    marks
        For each kind of line, places that are there already (a margin, the panel's middle); an item on
        one has one more beside it.
    """

    name: str
    weight: int
    axes: tuple[int, ...]
    seats: tuple[Seat, ...]
    marks: tuple[tuple[int, ...], ...]

    def items(self) -> tuple[int, ...]:
        """Return the items that the wish looks at, in order."""
        return tuple(sorted(seat.item for seat in self.seats))

    def cost(self, arrangement: Positions) -> int:
        """Return what an arrangement costs."""
        here = [self.places(seat, arrangement) for seat in self.seats if arrangement.present[seat.item]]
        counts: dict[tuple[int, int], int] = {}
        for kind, marks in enumerate(self.marks):
            counts |= dict.fromkeys(((kind, mark) for mark in marks), 1)
        for places in here:
            for line in places:
                counts[line] = counts.get(line, 0) + 1
        return sum(self.weight // max((counts[line] for line in places), default=1) for places in here)

    def places(self, seat: Seat, arrangement: Positions) -> tuple[tuple[int, int], ...]:
        """Return kind and place of each line that an item has."""
        at, turn = arrangement.positions[seat.item], arrangement.turns[seat.item]
        pairs = enumerate(zip(self.axes, seat.lines, strict=True))
        return tuple((kind, at[axis] + line[turn]) for kind, (axis, line) in pairs if line is not None)

    @property
    def least(self) -> int:
        """What any arrangement costs at least in which all items are present: all stand on one line."""
        return len(self.seats) * (self.weight // (len(self.seats) + any(self.marks)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """Three neighbours in a row or a column; ``axis`` is the one along which they follow each other."""

    axis: int
    first: int
    middle: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenTerm:
    """A wish for equal gaps: ``weight`` for each item in a row whose gaps to both neighbours differ.

    Two items are neighbours when nothing stands between them, each is the other's nearest, and they have
    an edge or the centre line along the row in common.

    Attributes
    ----------
    boxes
        ``(item, face's box about the position by turn, panel by turn)``.
    """

    name: str
    weight: int
    boxes: tuple[tuple[int, tuple[tuple[int, int, int, int], ...], tuple[int, ...]], ...]

    def items(self) -> tuple[int, ...]:
        """Return the items that the wish looks at, in order."""
        return tuple(sorted(item for item, _, _ in self.boxes))

    def cost(self, arrangement: Positions) -> int:
        """Return what an arrangement costs."""
        boxes = self._placed(arrangement)
        return self.weight * sum(uneven(boxes, row) for row in _rows(boxes))

    def rows(self, arrangement: Positions, near: int = 0) -> list[_Row]:
        """Return each item that stands between two neighbours, with them; lines so near count as one."""
        return _rows(self._placed(arrangement), near)

    def extent(self, item: int, turn: int) -> tuple[int, int, int, int]:
        """Return the box of an item's face about its position."""
        return next(boxes[turn] for k, boxes, _ in self.boxes if k == item)

    def _placed(self, arrangement: Positions) -> dict[int, _Box]:
        found = {}
        for item, boxes, panels in self.boxes:
            if arrangement.present[item]:
                (x, y), turn = arrangement.positions[item], arrangement.turns[item]
                x0, y0, x1, y1 = boxes[turn]
                found[item] = (panels[turn], (x + x0, y + y0), (x + x1, y + y1))
        return found


_Box = tuple[int, tuple[int, int], tuple[int, int]]
"""Panel, low corner, high corner."""


def uneven(boxes: dict[int, _Box], row: _Row) -> bool:
    """Say whether the gaps before and behind the middle one differ by more than a step, which oddness may ask."""
    first, middle, last = (boxes[k] for k in (row.first, row.middle, row.last))
    before = middle[1][row.axis] - first[2][row.axis]
    return abs(last[1][row.axis] - middle[2][row.axis] - before) > 1


def _rows(boxes: dict[int, _Box], near: int = 0) -> list[_Row]:
    found = []
    for axis in (0, 1):
        after = {k: other for k in boxes if (other := _next(boxes, k, axis, 1)) is not None}
        before = {k: other for k in boxes if (other := _next(boxes, k, axis, -1)) is not None}
        mutual = [(k, other) for k, other in after.items() if before.get(other) == k]
        joined = {k: other for k, other in mutual if _level(boxes, k, other, 1 - axis, near)}
        for first, middle in joined.items():
            if middle in joined:
                found.append(_Row(axis=axis, first=first, middle=middle, last=joined[middle]))
    return found


def _next(boxes: dict[int, _Box], k: int, axis: int, way: int) -> int | None:
    """Return what stands next to an item, along an axis, of all that overlap it across."""
    panel, low, high = boxes[k]
    best: tuple[int, int] | None = None
    for other, (its, its_low, its_high) in boxes.items():
        if other == k or its != panel or its_high[1 - axis] <= low[1 - axis] or its_low[1 - axis] >= high[1 - axis]:
            continue
        gap = its_low[axis] - high[axis] if way > 0 else low[axis] - its_high[axis]
        if gap >= 0 and (best is None or (gap, other) < best):
            best = (gap, other)
    return None if best is None else best[1]


def _level(boxes: dict[int, _Box], one: int, other: int, axis: int, near: int) -> bool:
    a, b = boxes[one], boxes[other]
    low, high = b[1][axis] - a[1][axis], b[2][axis] - a[2][axis]
    return min(abs(low), abs(high)) <= near or abs(low + high) <= 2 * near + 1


def distinct(places: Sequence[tuple[tuple[int, int], ...]]) -> int:
    """Return how many lines hold all items: the line with most items first, again and again."""
    left, lines = list(places), 0
    while left:
        counts: dict[tuple[int, int], int] = {}
        for one in left:
            for line in one:
                counts[line] = counts.get(line, 0) + 1
        most = min(counts, key=lambda line: (-counts[line], line))
        left = [one for one in left if most not in one]
        lines += 1
    return lines
