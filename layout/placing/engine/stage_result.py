"""What a stage gives back: an arrangement, its value, the bound, and words for what is proven."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem, Steps


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
    """How much a stage may work. Work is counted; the clock is only a net below.

    Attributes
    ----------
    runs
        Annealing runs, each with its own seed.
    moves, moves_per_item
        Moves of one annealing run: a part that is always done and a part for each item.
    rounds
        Rounds of bettering a few items at a time, at most.
    work
        CP-SAT's deterministic time of the last proof (about half a second each on an ordinary core).
    wall_s
        Seconds after which everything stops; the result then says so.
    """

    runs: int = 8
    moves: int = 400_000
    moves_per_item: int = 40_000
    rounds: int = 96
    work: float = 3.0
    wall_s: float = 60.0

    def __post_init__(self) -> None:
        if (
            self.runs < 1
            or self.moves < 1
            or self.moves_per_item < 0
            or self.rounds < 0
            or self.work <= 0
            or self.wall_s <= 0
        ):
            raise ValueError(f"every limit must be more than 0, got {self}")

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
        Moves done, or deterministic time spent, in words of the stage.
    clock_struck
        True when the wall clock ended the work, so another run may differ.
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
    work: str = ""
    clock_struck: bool = False
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


class Stage(Protocol):
    """A step of the search that can be tested, timed and replaced alone."""

    def __call__(self, problem: Problem, limit: Limit, seed: int) -> Result:
        """Work on the problem within the limit."""
        ...
