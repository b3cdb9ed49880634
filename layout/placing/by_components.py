"""The chain of solver stages on one project's problem: find, polish, prove."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from layout.placing.components import components_of, joined_positions
from layout.placing.engine import recount
from layout.placing.engine.stage_result import Limit, Status
from layout.placing.engine.stages import StageLine as StageLine  # noqa: PLC0414  (given on)
from layout.placing.engine.stages import run_stages

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.components import Component
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions, Progress, Watch
    from layout.placing.engine.stages import StagesOutcome


class Effort(StrEnum):
    """How much work a placing may take; counted, not timed."""

    QUICK = "quick"
    NORMAL = "normal"
    THOROUGH = "thorough"

    @property
    def limit(self) -> Limit:
        """The engine's limits."""
        return {
            Effort.QUICK: Limit(runs=2, moves=100_000, moves_per_item=10_000, rounds=12, work=0.5, wall_s=30.0),
            Effort.NORMAL: Limit(work=1.0, wall_s=90.0),
            Effort.THOROUGH: Limit(
                runs=24, moves=1_000_000, moves_per_item=100_000, rounds=600, work=30.0, wall_s=600.0
            ),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedComponents:
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
    log: tuple[StageLine, ...] = ()


def solve_components(
    safe: Problem,
    loose: Problem,
    *,
    limit: Limit,
    seed: int,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
    prove: bool = True,
) -> SolvedComponents:
    """Search the safe problem and bound by the loose one, part by part where parts don't hang together.

    Parameters
    ----------
    safe, loose
        The same project, shapes rounded to either side; equal where there is nothing to round.
    prove
        False leaves the search for a bound out.
    """
    parts = components_of(safe, loose)
    found: list[SolvedComponents] = []
    for part in parts:
        told = _Told(watch, sum(one.value or 0 for one in found)) if watch else None
        halted = bool(found) and any(one.interrupted for one in found)
        found.append(
            _of(
                run_stages(
                    part.safe.problem,
                    LEAST if halted else limit,
                    seed,
                    loose=part.loose.problem,
                    watch=told,
                    stop=None if halted else stop,
                    prove=prove and not halted,
                )
            )
        )
    return found[0] if len(parts) == 1 else _joined(safe, parts, found)


LEAST = Limit(runs=1, moves=50_000, moves_per_item=10_000, work=0.1, wall_s=20.0)
"""For what is left when the user stops the search: just enough for any arrangement."""


@dataclass(frozen=True, slots=True)
class _Told:
    """Tells the progress of a part as that of the whole: what the parts before cost is added."""

    watch: Watch
    before: int

    def __call__(self, progress: Progress) -> bool:
        value = None if progress.value is None else progress.value + self.before
        bound = None if progress.bound is None else progress.bound + self.before
        return self.watch(replace(progress, value=value, bound=bound, arrangement=None))


def _of(outcome: StagesOutcome) -> SolvedComponents:
    result = outcome.result
    return SolvedComponents(
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


def _joined(safe: Problem, parts: Sequence[Component], found: Sequence[SolvedComponents]) -> SolvedComponents:
    """Return the outcome of the whole from those of its parts."""
    count = len(safe.items)
    best = [one.positions for one in found if one.positions is not None]
    whole = joined_positions(count, parts, best) if len(best) == len(parts) else None
    seen = [one.positions or one.nearest for one in found]
    near = [positions for positions in seen if positions is not None]
    bounds = [one.bound for one in found if one.bound is not None]
    ways = [(k, other) for k, one in enumerate(found) for other in one.pool] if whole else []
    pool = [joined_positions(count, parts, [*best[:k], other, *best[k + 1 :]]) for k, other in ways]
    return SolvedComponents(
        positions=whole,
        value=recount.value(safe, whole) if whole else None,
        costs=recount.costs(safe, whole) if whole else (),
        order_proven=all(one.order_proven for one in found),
        bound=sum(bounds) if len(bounds) == len(parts) else None,
        infeasible=any(one.infeasible for one in found),
        clock_struck=any(one.clock_struck for one in found),
        interrupted=any(one.interrupted for one in found),
        nearest=None if whole or len(near) < len(parts) else joined_positions(count, parts, near),
        pool=tuple(dict.fromkeys(pool)),
        notes=tuple(note for one in found for note in one.notes),
        log=tuple(step for one in found for step in one.log),
    )
