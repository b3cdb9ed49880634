"""What a stage gives back: an arrangement, its value, the bound, and words for what is proven."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.placing.engine.problem import Steps


MOVES_IN_A_UNIT = 300_000
"""Annealing moves that count as one unit of work."""

UNITS_OF_CPSAT = 6.0
"""Units of work that one of CP-SAT's deterministic time counts as."""


class Status(StrEnum):
    """What is known; the text is what the user reads."""

    OPTIMAL = "optimal on the grid"
    ORDER_OPTIMAL = "optimal for this order"
    WITHIN = "within a gap"
    NO_BOUND = "no useful bound"
    INFEASIBLE = "infeasible"
    NOT_PROVEN = "not proven"


@dataclass(frozen=True, slots=True, kw_only=True)
class Positions:
    """Where every item is: positions in steps, index of the turn, and whether it is there at all."""

    positions: tuple[Steps, ...]
    turns: tuple[int, ...]
    present: tuple[bool, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """How much a search may work, all of it counted.

    Attributes
    ----------
    runs
        Annealing runs, each with its own seed.
    moves, moves_per_item
        Moves of one annealing run: a part that is always done and a part for each item.
    rounds
        Rounds of bettering a few items at a time, at most; 0 leaves them out.
    exact
        CP-SAT's deterministic time for any arrangement where annealing finds none.
    proof
        CP-SAT's deterministic time for the bound and the proof; 0 leaves them out.
    """

    runs: int = 10
    moves: int = 50_000
    moves_per_item: int = 6_000
    rounds: int = 0
    exact: float = 6.0
    proof: float = 0.0

    def __post_init__(self) -> None:
        if self.moves < 1 or self.exact <= 0:
            raise ValueError(f"moves and exact must be more than 0, got {self}")
        if self.runs < 0 or self.moves_per_item < 0 or self.rounds < 0 or self.proof < 0:
            raise ValueError(f"no limit may be less than 0, got {self}")

    def moves_for(self, items: int) -> int:
        """Return the moves of one run for so many items."""
        return self.moves + self.moves_per_item * items


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """Outcome of a stage.

    Attributes
    ----------
    stage
        Name of the stage that found the arrangement.
    status
        What is proven.
    arrangement
        None when nothing valid was found.
    value
        Sum of all costs; None without an arrangement.
    costs
        ``(name, cost)`` of each wish in the order of the problem, then of each absent item.
    bound
        No arrangement has a lower value than this; None when nothing is known.
    seed
        Seed that the arrangement came from.
    work
        What was counted: see ``Spent``.
    interrupted
        True when somebody asked for an early end.
    conflict
        For ``INFEASIBLE``: names of rules and items that cannot all be met, when known.
    notes
        Sentences that the user should read (a part that could not be used, a precheck that failed).
    nearest
        When nothing valid was found: the arrangement with the least violation seen, not usable.
    order_proven
        Whether no arrangement in the same order is better.
    """

    stage: str
    status: Status
    arrangement: Positions | None = None
    value: int | None = None
    costs: tuple[tuple[str, int], ...] = ()
    bound: int | None = None
    seed: int = 0
    work: float = 0.0
    interrupted: bool = False
    conflict: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    nearest: Positions | None = None
    order_proven: bool = False

    @property
    def gap(self) -> float | None:
        """Part of the value that is not proven: (value - bound) / value; 0 is optimal, None is unknown."""
        if self.value is None or self.bound is None:
            return None
        return 0.0 if self.value <= self.bound else (self.value - self.bound) / self.value

    @property
    def words(self) -> str:
        """What is proven, as the user reads it."""
        gap = self.gap
        if self.status is Status.WITHIN and gap is not None:
            return f"within {100 * gap:.1f} %"
        return self.status.value


@dataclass(slots=True)
class Spent:
    """Work that was done: annealing moves, and deterministic time of CP-SAT.

    ``work`` counts both in one unit, about a second of an ordinary core; the same input gives the same work.
    """

    moves: int = 0
    deterministic: float = 0.0

    @property
    def work(self) -> float:
        """Both together, in units of about a second of an ordinary core."""
        return round(self.moves / MOVES_IN_A_UNIT + self.deterministic * UNITS_OF_CPSAT, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A line to show while work goes on; value and bound are None until known."""

    stage: str
    value: int | None
    bound: int | None
    arrangement: Positions | None


class Watch(Protocol):
    """Called with each improvement; returns True to stop and keep the best so far."""

    def __call__(self, progress: Progress) -> bool:
        """Take a progress report."""
        ...
