"""The chain of solver stages on one project's problem: find, polish, prove."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from layout.placing.engine.result import Limit, Status
from layout.placing.engine.search import Step as Step  # noqa: PLC0414  (given on)
from layout.placing.engine.search import search as engine

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Arrangement as Positions
    from layout.placing.engine.result import Watch


class Work(StrEnum):
    """How much work a placing may take; counted, not timed."""

    QUICK = "quick"
    NORMAL = "normal"
    THOROUGH = "thorough"

    @property
    def limit(self) -> Limit:
        """The engine's limits."""
        return {
            Work.QUICK: Limit(runs=2, moves=100_000, moves_per_item=10_000, work=0.5, wall_s=30.0),
            Work.NORMAL: Limit(wall_s=90.0),
            Work.THOROUGH: Limit(runs=24, moves=1_000_000, moves_per_item=100_000, work=30.0, wall_s=600.0),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the stages found.

    Attributes
    ----------
    positions
        The best arrangement; None when none was found.
    value, costs
        Its cost, in all and by term.
    order_proven
        Whether no arrangement of the same order is better.
    bound
        Least cost of any arrangement, from the loose problem.
    infeasible
        Whether the loose problem has no arrangement, so that the project has none.
    pool
        Every polished arrangement on the way, best first.
    notes
        Sentences for the user: what arithmetic shows, what could not be used.
    """

    positions: Positions | None = None
    value: int | None = None
    costs: tuple[tuple[str, int], ...] = ()
    order_proven: bool = False
    bound: int | None = None
    infeasible: bool = False
    clock_struck: bool = False
    interrupted: bool = False
    nearest: Positions | None = None
    pool: tuple[Positions, ...] = ()
    notes: tuple[str, ...] = ()
    log: tuple[Step, ...] = ()


def search(
    safe: Problem,
    loose: Problem,
    *,
    limit: Limit,
    seed: int,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
) -> Found:
    """Search the safe problem and bound by the loose one.

    Parameters
    ----------
    safe, loose
        The same project, shapes rounded to either side; equal where there is nothing to round.
    """
    outcome = engine(safe, limit, seed, loose=loose, watch=watch, stop=stop)
    result = outcome.result
    return Found(
        positions=result.arrangement,
        value=result.value,
        costs=result.costs,
        order_proven=result.order_proven,
        bound=result.bound,
        infeasible=result.status is Status.INFEASIBLE,
        clock_struck=result.clock_struck,
        interrupted=result.interrupted,
        nearest=result.nearest,
        pool=tuple(positions for _, positions in outcome.pool),
        notes=result.notes,
        log=outcome.log,
    )
