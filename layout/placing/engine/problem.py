"""The placing problem in whole numbers: what the solver stages see, and nothing else.

A length is a whole number of steps; ``SCALE`` steps are one millimetre, so that the centre of an odd
width lies on the grid too. Several panels lie side by side in one plane; x runs right, y runs up. The
position of an item is one reference point of it (its origin), and each of its turns says where that
point may be.

Rows are triples ``(a, b, c)`` of whole numbers. In a room a row reads ``a*x + b*y <= c`` (allowed). In
a region a row reads ``a*x + b*y < c``, and a point is forbidden when it is strictly inside all rows: to
touch is allowed. Whoever builds a problem rounds each row to the safe side; nothing is rounded here.
"""

from __future__ import annotations

from typing import Protocol

from layout.light_dataclass import dataclass, field
from layout.placing.engine.look_terms import EvenTerm, LinesTerm

SCALE = 2
"""Steps in a millimetre."""

MAX_COORDINATE = 1 << 20
"""Largest position in steps (about half a kilometre); the kernel's products stay below 2**63."""

MAX_NORMAL = 1 << 15
"""Largest entry of a row's normal."""

HalfPlane = tuple[int, int, int]
"""``(a, b, c)``: the half plane ``a*x + b*y <= c``, or ``< c`` where the text says so."""

Steps = tuple[int, int]
"""A position or an offset in steps."""


def _check_rows(rows: tuple[HalfPlane, ...], what: str) -> None:
    for a, b, c in rows:
        if not (a or b):
            raise ValueError(f"{what}: a row needs a normal, got (0, 0, {c})")
        if max(abs(a), abs(b)) > MAX_NORMAL:
            raise ValueError(f"{what}: normal ({a}, {b}) is larger than {MAX_NORMAL}")
        if abs(c) > MAX_NORMAL * MAX_COORDINATE * 2:
            raise ValueError(f"{what}: right side {c} is too large")


@dataclass(frozen=True, slots=True)
class StepBox:
    """An upright rectangle in steps: a place in the plane, or extents about an item's position."""

    x0: int
    y0: int
    x1: int
    y1: int

    def __post_init__(self) -> None:
        if self.x1 < self.x0 or self.y1 < self.y0:
            raise ValueError(f"box runs backwards: {self.x0}, {self.y0}, {self.x1}, {self.y1}")

    @property
    def width(self) -> int:
        """Size along x."""
        return self.x1 - self.x0

    @property
    def height(self) -> int:
        """Size along y."""
        return self.y1 - self.y0

    @property
    def area(self) -> int:
        """Width times height, in square steps."""
        return self.width * self.height

    def at(self, x: int, y: int) -> StepBox:
        """Return the box moved by (x, y)."""
        return StepBox(self.x0 + x, self.y0 + y, self.x1 + x, self.y1 + y)

    def overlaps(self, other: StepBox) -> bool:
        """Say whether the two insides meet; boxes that touch do not overlap."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1


@dataclass(frozen=True, slots=True)
class ForbiddenRegion:
    """A convex set that a position (or an offset between two positions) may not be strictly inside.

    Attributes
    ----------
    rows
        Forbidden when ``a*x + b*y < c`` for every row; at least one row.
    rule
        Name of the hard rule that this comes from. Regions that share a name form one group when the
        reason for a conflict is looked for.
    """

    rows: tuple[HalfPlane, ...]
    rule: str = "gap"

    def __post_init__(self) -> None:
        if not self.rows:
            raise ValueError(f"region of rule {self.rule!r} needs at least one row")
        _check_rows(self.rows, f"region of rule {self.rule!r}")

    def holds(self, x: int, y: int) -> bool:
        """Say whether (x, y) is strictly inside, that is, forbidden."""
        return all(a * x + b * y < c for a, b, c in self.rows)


@dataclass(frozen=True, slots=True)
class AllowedRoom:
    """A convex set of allowed positions on one panel: ``a*x + b*y <= c`` for every row.

    The rows must bound the room on all sides. ``panel`` is the index of the panel it belongs to.
    """

    rows: tuple[HalfPlane, ...]
    panel: int = 0

    def __post_init__(self) -> None:
        _check_rows(self.rows, "room")

    def holds(self, x: int, y: int) -> bool:
        """Say whether (x, y) is allowed by this room."""
        return all(a * x + b * y <= c for a, b, c in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnOption:
    """One way an item may stand.

    Attributes
    ----------
    degrees
        Quarter turn, counter-clockwise seen from the front; carried through, never calculated with.
    rooms
        The position must be in at least one of these.
    forbidden
        The position must be strictly inside none of these (keep-outs, too shallow, notches).
    core
        Extents about the position of a box that no other item's core ever overlaps in a valid
        arrangement. Grow it by half the smallest gap on every side, or by the whole gap right and top
        (the same way for every item). It only speeds up proofs: the pair regions are the rule. None
        when nothing can be said.
    """

    degrees: int = 0
    rooms: tuple[AllowedRoom, ...]
    forbidden: tuple[ForbiddenRegion, ...] = ()
    core: StepBox | None = None

    def allows(self, x: int, y: int) -> bool:
        """Say whether the item may have its position at (x, y) as far as the panel is concerned."""
        return any(room.holds(x, y) for room in self.rooms) and not any(region.holds(x, y) for region in self.forbidden)


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedAt:
    """A position that is given and not looked for."""

    x: int
    y: int
    turn: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PackItem:
    """A thing to be placed.

    Attributes
    ----------
    name
        Unique among the items of the problem.
    turns
        The ways it may stand, at least one.
    pin
        Its place, when that is fixed; ``pin.turn`` is an index into ``turns``. Rules still apply.
    absent_cost
        None when the item must be there. Otherwise it may be left out for this addition to the value.
    like
        Items with the same text here (not empty) are equal in every respect, so that exchanging them
        changes nothing; proofs then look at one order only.
    """

    name: str
    turns: tuple[TurnOption, ...]
    pin: FixedAt | None = None
    absent_cost: int | None = None
    like: str = ""

    def __post_init__(self) -> None:
        if not self.turns:
            raise ValueError(f"item {self.name!r} needs at least one turn")
        if self.pin is not None and not 0 <= self.pin.turn < len(self.turns):
            raise ValueError(f"item {self.name!r} is pinned with turn {self.pin.turn}, it has {len(self.turns)}")
        if self.absent_cost is not None and self.absent_cost < 0:
            raise ValueError(f"item {self.name!r}: absent_cost must be at least 0, got {self.absent_cost}")


class Pairs(Protocol):
    """Forbidden offsets between two items, asked for only when needed."""

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        """Return the regions that ``position_j - position_i`` may not be strictly inside; i < j always."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """A whole-number sum over positions: ``const + sum(coef * x or y) + constants of the turns taken``.

    Attributes
    ----------
    terms
        ``(item, axis, coef)`` with axis 0 for x and 1 for y.
    const
        Added always.
    by_turn
        ``(item, (constant for turn 0, for turn 1, ...))``.
    """

    terms: tuple[tuple[int, int, int], ...] = ()
    const: int = 0
    by_turn: tuple[tuple[int, tuple[int, ...]], ...] = ()

    def items(self) -> tuple[int, ...]:
        """Return the items that the sum looks at, each once, in order."""
        return tuple(sorted({item for item, _, _ in self.terms} | {item for item, _ in self.by_turn}))

    def value(self, positions: tuple[Steps, ...], turns: tuple[int, ...]) -> int:
        """Return the sum for an arrangement."""
        total = self.const
        for item, axis, coef in self.terms:
            total += coef * positions[item][axis]
        for item, constants in self.by_turn:
            total += constants[turns[item]]
        return total


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearRule:
    """A hard rule ``expr <= 0``, in force when every item in it is present. Equality is two of them."""

    name: str
    expr: Linear


@dataclass(frozen=True, slots=True, kw_only=True)
class OneOf:
    """A hard rule: at least one option holds (an old hole lies under the face of some item).

    Each option is ``(item, turn, room)``: the item is present, has that turn, and its position is in
    the room.
    """

    name: str
    options: tuple[tuple[int, int, AllowedRoom], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AbsTerm:
    """A wish that costs ``weight * max(0, |expr| - slack)`` when every item in it is present."""

    name: str
    weight: int
    expr: Linear
    slack: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HingeTerm:
    """A wish that costs ``weight * max(0, expr)`` when every item in it is present."""

    name: str
    weight: int
    expr: Linear


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyZeroTerm:
    """A wish that costs ``weight`` unless one of the sums is 0 (an edge or a centre line in common).

    It costs nothing while an item in it is absent.
    """

    name: str
    weight: int
    exprs: tuple[Linear, ...]


SumTerm = AbsTerm | HingeTerm | AnyZeroTerm
"""A wish about sums over positions."""

Term = SumTerm | LinesTerm | EvenTerm
"""A wish in whole numbers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPairs:
    """Pairs without any rule between them."""

    def between(self, i: int, turn_i: int, j: int, turn_j: int) -> tuple[ForbiddenRegion, ...]:
        """Return no region."""
        del i, turn_i, j, turn_j
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything a stage needs to know.

    Attributes
    ----------
    items
        What is placed; elsewhere an item is named by its index here.
    pairs
        Forbidden offsets between two items.
    rules, one_of
        Hard rules over positions.
    terms
        Wishes; the value of an arrangement is the sum of their costs and of the absent items' costs.
    obstacles
        ``(panel, box)``: boxes that no core ever overlaps, on top of what ``forbidden`` says already.
        They may overlap each other; proofs use them.
    """

    items: tuple[PackItem, ...]
    pairs: Pairs = field(default_factory=NoPairs)
    rules: tuple[LinearRule, ...] = ()
    one_of: tuple[OneOf, ...] = ()
    terms: tuple[Term, ...] = ()
    obstacles: tuple[tuple[int, StepBox], ...] = ()

    def __post_init__(self) -> None:
        names = [item.name for item in self.items]
        if len(set(names)) != len(names):
            raise ValueError("two items have the same name")
        for term in self.terms:
            if term.weight < 0:
                raise ValueError(f"wish {term.name!r}: weight must be at least 0, got {term.weight}")
            if isinstance(term, AbsTerm) and term.slack < 0:
                raise ValueError(f"wish {term.name!r}: slack must be at least 0, got {term.slack}")
        for expr in self._expressions():
            self._check(expr)
        for clause in self.one_of:
            for item, turn, _ in clause.options:
                if not (0 <= item < len(names) and 0 <= turn < len(self.items[item].turns)):
                    raise ValueError(f"rule {clause.name!r} names item {item} turn {turn}, which is not there")

    def _expressions(self) -> list[Linear]:
        found = [rule.expr for rule in self.rules]
        for term in self.terms:
            if not isinstance(term, LinesTerm | EvenTerm):
                found.extend(term.exprs if isinstance(term, AnyZeroTerm) else (term.expr,))
        return found

    def _check(self, expr: Linear) -> None:
        for item, axis, _ in expr.terms:
            if not 0 <= item < len(self.items) or axis not in (0, 1):
                raise ValueError(f"a sum names item {item} axis {axis}, which is not there")
        for item, constants in expr.by_turn:
            if len(constants) != len(self.items[item].turns):
                raise ValueError(f"a sum gives {len(constants)} constants for item {self.items[item].name!r}")
