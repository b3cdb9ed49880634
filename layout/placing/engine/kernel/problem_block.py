"""Lay a problem out as one block of 32-bit numbers, in the order that ``anneal.c`` reads."""

from __future__ import annotations

from array import array
from math import gcd, isqrt
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.placing.engine.kernel.ties import ties
from layout.placing.engine.look_terms import EvenTerm, LinesTerm
from layout.placing.engine.problem import AbsTerm, AnyZeroTerm
from layout.placing.engine.rows import bounds, meets, needed_regions, split, turn_bounds

if TYPE_CHECKING:
    from layout.placing.engine.problem import AllowedRoom, ForbiddenRegion, HalfPlane, Linear, Problem

_HEAD = 26
ABS, HINGE, ANY_ZERO, _RULE = range(4)


@dataclass(slots=True)
class _Section:
    """Records of one kind, each of the same number of words."""

    words: list[int] = field(default_factory=list)
    count: int = 0

    def add(self, *record: int) -> int:
        self.words.extend(record)
        self.count += 1
        return self.count - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """A problem as the kernel reads it.

    Attributes
    ----------
    block
        All numbers, offsets at the front.
    items
        Number of items.
    pull
        Mean cost per step that one item feels from its wishes, at least 1: the unit of the cooling law.
    span
        Longest side of any room, in steps.
    """

    block: bytes
    items: int
    pull: int
    span: int


class _Writer:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.items, self.turns, self.zones, self.rows = (_Section() for _ in range(4))
        self.lists, self.owners, self.exprs, self.uses = (_Section() for _ in range(4))
        self.clauses, self.options, self.ties = (_Section() for _ in range(3))
        self.looks, self.seats, self.marks = (_Section() for _ in range(3))
        self.item_seats: list[list[int]] = [[] for _ in problem.items]
        self.seat_ids: list[int] = []
        self.pair_base: list[int] = []
        self.pair_list: list[int] = []
        self.constants: list[int] = []
        self.clause_ids: list[int] = []
        self.span = 1
        self.interned: dict[tuple[ForbiddenRegion, ...], int] = {}
        self.same: dict[int, int] = {}  # by identity of what is a key of the other: no need to look at what is in it
        self.item_uses: list[list[tuple[int, ...]]] = [[] for _ in problem.items]
        self.pulls = [0] * len(problem.items)

    def row(self, row: HalfPlane, *, strict: bool) -> None:
        a, b, c = row
        g = gcd(a, b)
        a, b, c = a // g, b // g, -(-c // g) if strict else c // g
        self.rows.add(a, b, max(1, isqrt((1 << 32) // (a * a + b * b))), *_halves(c))

    def zone(self, rows: tuple[HalfPlane, ...], *, strict: bool) -> int:
        box, slanted = split(rows, strict=strict)
        start = self.rows.count
        for row in slanted:
            self.row(row, strict=strict)
        return self.zones.add(*box, start, len(slanted))

    def room(self, room: AllowedRoom) -> None:
        box = bounds(room)
        if box is None:
            return
        start = self.rows.count
        slanted = split(room.rows, strict=False)[1]
        for row in slanted:
            self.row(row, strict=False)
        self.zones.add(box.x0, box.y0, box.x1, box.y1, start, len(slanted))
        self.span = max(self.span, box.width, box.height)

    def regions(self, regions: tuple[ForbiddenRegion, ...]) -> int:
        known = self.same.get(id(regions))
        if known is None:
            known = self.interned.get(regions)
        if known is None:
            start = self.zones.count
            kept = needed_regions(regions)
            for region in kept:
                self.zone(region.rows, strict=True)
            known = self.interned[regions] = self.same[id(regions)] = self.lists.add(start, len(kept), *_span(kept))
        return known

    def write_turns(self) -> None:
        for item in self.problem.items:
            for turn in item.turns:
                room = self.zones.count
                for one in turn.rooms:
                    self.room(one)
                rooms = self.zones.count - room
                region = self.zones.count
                around = turn_bounds(turn)
                for forbidden in needed_regions(turn.forbidden):
                    if around is not None and meets(forbidden, around):
                        self.zone(forbidden.rows, strict=True)
                self.turns.add(room, rooms, region, self.zones.count - region)

    def write_pairs(self) -> None:
        items = self.problem.items
        between = self.problem.pairs.between
        for i, first in enumerate(items):
            for j, second in enumerate(items):
                self.pair_base.append(len(self.pair_list))
                if i < j:
                    for ti in range(len(first.turns)):
                        for tj in range(len(second.turns)):
                            self.pair_list.append(self.regions(between(i, ti, j, tj)))

    def expression(self, owner: int, expr: Linear) -> None:
        index = self.exprs.add(owner, *_halves(expr.const), 0, 0)
        by_turn = dict(expr.by_turn)
        for item in expr.items():
            x = sum(coef for i, axis, coef in expr.terms if i == item and axis == 0)
            y = sum(coef for i, axis, coef in expr.terms if i == item and axis == 1)
            base = -1
            if item in by_turn:
                base = len(self.constants)
                self.constants.extend(by_turn[item])
            self.item_uses[item].append((index, item, x, y, base))

    def look(self, term: LinesTerm) -> None:
        """Write a wish for few lines; one for equal gaps is left to the polish."""
        axes = sum(axis << kind for kind, axis in enumerate(term.axes))
        marks = [(kind, place) for kind, at in enumerate(term.marks) for place in at]
        counts = [self.seats.count, len(term.seats), self.marks.count, len(marks)]
        index = self.looks.add(term.weight, len(term.marks), axes, *counts)
        for seat in term.seats:
            self.item_seats[seat.item].append(self.seats.count)
            has = sum((line is not None) << kind for kind, line in enumerate(seat.lines))
            self.seats.add(seat.item, index, has, len(self.constants))
            for line in seat.lines:
                self.constants.extend(line or (0,) * len(self.problem.items[seat.item].turns))
        for mark in marks:
            self.marks.add(*mark)

    def write_owners(self) -> None:
        for term in self.problem.terms:
            if isinstance(term, LinesTerm):
                self.look(term)
            if isinstance(term, LinesTerm | EvenTerm):
                continue
            exprs = term.exprs if isinstance(term, AnyZeroTerm) else (term.expr,)
            kind = ANY_ZERO if isinstance(term, AnyZeroTerm) else ABS if isinstance(term, AbsTerm) else HINGE
            slack = term.slack if isinstance(term, AbsTerm) else 0
            owner = self.owners.add(kind, term.weight, slack, self.exprs.count, len(exprs))
            for expr in exprs:
                self.expression(owner, expr)
                if kind != ANY_ZERO:
                    for item, _, coef in expr.terms:
                        self.pulls[item] += term.weight * abs(coef)
        for rule in self.problem.rules:
            owner = self.owners.add(_RULE, 1, 0, self.exprs.count, 1)
            self.expression(owner, rule.expr)

    def write_clauses(self) -> list[list[int]]:
        """Write the rules of which one option must hold; returns those that look at each item."""
        clauses_of: list[list[int]] = [[] for _ in self.problem.items]
        for clause in self.problem.one_of:
            index = self.clauses.add(self.options.count, len(clause.options))
            for k, turn, room in clause.options:
                self.options.add(k, turn, self.zone(room.rows, strict=False))
                if index not in clauses_of[k]:
                    clauses_of[k].append(index)
        return clauses_of

    def write_items(self) -> None:
        clauses_of = self.write_clauses()
        tied = ties(self.problem)
        first_turn = 0
        for k, item in enumerate(self.problem.items):
            use, clause = self.uses.count, len(self.clause_ids)
            for record in self.item_uses[k]:
                self.uses.add(*record)
            self.clause_ids.extend(clauses_of[k])
            starts: list[int] = []
            for axis in (0, 1):
                starts.append(self.ties.count)
                for other, sign in tied[axis].get(k, ()):
                    self.ties.add(other, sign)
            counts = [len(tied[axis].get(k, ())) for axis in (0, 1)]
            pin = item.pin
            place = [1, pin.x, pin.y, pin.turn] if pin else [0, 0, 0, 0]
            optional = [0, 0] if item.absent_cost is None else [1, item.absent_cost]
            looks = [use, self.uses.count - use, clause, len(clauses_of[k])]
            looks += [len(self.seat_ids), len(self.item_seats[k])]
            self.seat_ids.extend(self.item_seats[k])
            self.items.add(first_turn, len(item.turns), *place, *optional, *looks, *starts, *counts)
            first_turn += len(item.turns)


def _span(regions: tuple[ForbiddenRegion, ...]) -> tuple[int, int, int, int]:
    """Return an open box around all regions, empty for none."""
    boxes = [split(region.rows, strict=True)[0] for region in regions]
    if not boxes:
        return 1, 1, -1, -1
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def _halves(number: int) -> tuple[int, int]:
    """Split a 64-bit number into its low and high 32 bits, both as signed words."""
    low, high = number & 0xFFFFFFFF, number >> 32
    return low - (1 << 32) if low >= 1 << 31 else low, high


def kernel_tables(problem: Problem) -> Tables:
    """Lay a problem out for the kernel.

    Raises
    ------
    OverflowError
        When a weight or a constant does not fit into 32 bits.
    ValueError
        When a room is open on a side, or an item has no allowed position at some turn.
    """
    writer = _Writer(problem)
    writer.write_turns()
    writer.write_pairs()
    writer.write_owners()
    writer.write_items()
    sections = [
        *(writer.items.words, writer.turns.words, writer.zones.words, writer.rows.words, writer.lists.words),
        *(writer.pair_base, writer.pair_list, writer.constants, writer.owners.words, writer.exprs.words),
        *(writer.uses.words, writer.clauses.words, writer.options.words, writer.clause_ids, writer.ties.words),
        *(writer.looks.words, writer.seats.words, writer.marks.words, writer.seat_ids),
    ]
    offsets, at = [], _HEAD
    for section in sections:
        offsets.append(at)
        at += len(section)
    at += at % 2
    counts = [len(problem.items)]
    counts += [one.count for one in (writer.owners, writer.exprs, writer.clauses, writer.looks, writer.seats)]
    block = array("i", [*counts, *offsets, at])
    for section in sections:
        block.extend(section)
    pulls = [pull for pull in writer.pulls if pull]
    return Tables(
        block=block.tobytes(), items=len(problem.items), pull=max(1, sum(pulls) // max(1, len(pulls))), span=writer.span
    )
