"""The CP-SAT model under construction, and how one is built from a problem.

For each pair and each of its regions one literal per row says that the offset is on the free side of
that row; one of them must hold. The cores go into one ``NoOverlap2D`` on top: neither alone is enough
(the first is slow to see that an area is too small, the second to find a layout of a full panel).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.exact_solver import cp_model
from layout.light_dataclass import dataclass, field
from layout.placing.engine.stage_result import Positions

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.problem import HalfPlane, Linear, Problem, StepBox

Literal = Any
"""A Boolean variable of the solver, its negation, or True or False. The solver's own type names numpy scalars too."""

Sum = Any
"""A linear expression of the solver, or a whole number."""


@dataclass(slots=True)
class ExactModel:
    """Variables that stand for an arrangement, and the solver's model that they live in.

    Attributes
    ----------
    order
        Keep turns, presence and each pair's side as in this arrangement; None leaves all free.
    free
        Items that do not keep theirs.
    box
        For each item, bounds of its position over all turns.
    choices
        For a pair, for each region where there is a choice, literals and the row that each stands for
        (its right side at the turns where it is least). Only choices that always must be made.
    possible
        False when an item has no allowed position at all.
    only_bounds
        Whether a wish is stated by less than it costs, so that an optimum of the model is only a bound.
    """

    problem: Problem
    order: Positions | None = None
    free: frozenset[int] = frozenset()
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    x: list[cp_model.IntVar] = field(default_factory=list)
    y: list[cp_model.IntVar] = field(default_factory=list)
    turn: list[list[Literal]] = field(default_factory=list)
    present: list[Literal | None] = field(default_factory=list)
    box: list[StepBox] = field(default_factory=list)
    choices: dict[tuple[int, int], list[list[tuple[Literal, HalfPlane]]]] = field(default_factory=dict)
    possible: bool = True
    only_bounds: bool = False

    def kept(self, *items: int) -> Positions | None:
        """Return the order that these items keep; None when one of them is free."""
        return None if any(item in self.free for item in items) else self.order

    def here(self, *items: int) -> list[Literal]:
        """Return the literals of presence of those items that may be left out."""
        return [literal for item in items if (literal := self.present[item]) is not None]

    def add(self, row: Any, when: Sequence[Literal] = ()) -> None:
        """Add a linear rule, in force when every literal holds."""
        constraint = self.cp.add(row)
        if when:
            constraint.only_enforce_if(*when)

    def any(self, literals: Sequence[Literal], when: Sequence[Literal] = ()) -> None:
        """Add: one of the literals holds, when all others do."""
        constraint = self.cp.add_bool_or(*literals)
        if when:
            constraint.only_enforce_if(*when)

    def sum(self, expr: Linear) -> Sum:
        """Return a linear expression of the problem over the variables."""
        total: Sum = expr.const
        for item, axis, coef in expr.terms:
            total = total + coef * (self.y[item] if axis else self.x[item])
        for item, constants in expr.by_turn:
            total = total + by_turn(self.turn[item], constants)
        return total

    def read(self, value: Callable[[Sum], int]) -> Positions:
        """Return the arrangement of a solution; ``value`` evaluates a variable or literal in it."""
        return Positions(
            positions=tuple((value(x), value(y)) for x, y in zip(self.x, self.y, strict=True)),
            turns=tuple(
                0 if len(turn) == 1 else max(range(len(turn)), key=lambda t: (value(turn[t]), -t)) for turn in self.turn
            ),
            present=tuple(literal is None or bool(value(literal)) for literal in self.present),
        )

    def hint(self, arrangement: Positions) -> None:
        """Give the search an arrangement to start from."""
        for k, (x, y) in enumerate(arrangement.positions):
            self.cp.add_hint(self.x[k], x)
            self.cp.add_hint(self.y[k], y)
            for t, literal in enumerate(self.turn[k]):
                if not isinstance(literal, bool):
                    self.cp.add_hint(literal, t == arrangement.turns[k])
            if (present := self.present[k]) is not None:
                self.cp.add_hint(present, arrangement.present[k])


def by_turn(literals: Sequence[Literal], constants: Sequence[int]) -> Sum:
    """Return the constant of the turn that is taken, as an expression."""
    if len(literals) == 1 or len(set(constants)) == 1:
        return constants[0]
    first, total = constants[0], constants[0]
    for literal, constant in zip(literals[1:], constants[1:], strict=True):
        total = total + (constant - first) * literal
    return total
