"""The chain of solver stages on one project's problem: find, polish, prove."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.components import components_of, crossed, joined_positions, positions_of_part
from layout.placing.engine import recount
from layout.placing.engine.stage_result import Limit, Status
from layout.placing.engine.stages import StagedSearch
from layout.placing.engine.stages import StageLine as StageLine  # noqa: PLC0414  (given on)
from layout.placing.engine.subset import restricted

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
            Effort.QUICK: Limit(runs=4),
            Effort.NORMAL: Limit(),
            Effort.THOROUGH: Limit(runs=24, moves=400_000, moves_per_item=40_000, rounds=600, exact=30.0, proof=30.0),
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
    work
        What was counted, in units of about a second of an ordinary core.
    notes
        Sentences for the user: what arithmetic shows, what could not be used.
    """

    positions: Positions | None = None
    value: int | None = None
    costs: tuple[tuple[str, int], ...] = ()
    order_proven: bool = False
    bound: int | None = None
    infeasible: bool = False
    work: float = 0.0
    interrupted: bool = False
    nearest: Positions | None = None
    pool: tuple[Positions, ...] = ()
    notes: tuple[str, ...] = ()
    log: tuple[StageLine, ...] = ()


def solve_components(
    safe: Problem,
    loose: Callable[[], Problem],
    *,
    limit: Limit,
    seed: int,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
    start: Positions | None = None,
) -> SolvedComponents:
    """Search the safe problem and bound by the loose one, part by part where parts don't hang together.

    Every part gets a first arrangement before any is bettered, so that a picture of the whole is there soon.

    Parameters
    ----------
    safe, loose
        The same project, shapes rounded to either side; the loose one is only made when something is to be proven.
    start
        A valid arrangement known before; never made worse.
    """
    parts = components_of(safe)
    whole = _Whole(safe, parts, watch)
    loose_parts = cache(lambda: _loose_parts(loose(), parts))
    searches = [
        StagedSearch(
            part.subset.problem,
            limit,
            seed,
            loose=lambda n=n: loose_parts()[n],  # type: ignore[misc]
            watch=whole.watching(n) if watch else None,
            stop=stop,
            start=None if start is None else positions_of_part(start, part),
        )
        for n, part in enumerate(parts)
    ]
    whole.searches = searches
    for search in searches:
        search.first()
    if all(search.pool for search in searches):
        for search in searches:
            search.better()
        for search in searches:
            search.prove()
    else:
        for search in searches:
            if not search.pool:
                search.better()
    found = [_of(search.outcome()) for search in searches]
    return found[0] if len(parts) == 1 else _joined(safe, parts, found)


def _loose_parts(loose: Problem, parts: Sequence[Component]) -> list[Problem]:
    """Return the loose problem of each part.

    Raises
    ------
    RuntimeError
        When rounding ties parts together that are apart in the safe problem: a fault of the translation.
    """
    if crossed(loose, parts):
        raise RuntimeError("the loose problem ties items together that the safe one keeps apart")
    return [restricted(loose, part.items).problem for part in parts]


class _Whole:
    """Tells the progress of a part as that of the whole, with the best of the others."""

    def __init__(self, safe: Problem, parts: Sequence[Component], watch: Watch | None) -> None:
        self.safe, self.parts, self.watch = safe, parts, watch
        self.searches: Sequence[StagedSearch] = ()

    def watching(self, number: int) -> Watch:
        """Return what a part is to tell."""
        return lambda progress: self._tell(number, progress)

    def _tell(self, number: int, progress: Progress) -> bool:
        others = [search for n, search in enumerate(self.searches) if n != number]
        if self.watch is None or progress.arrangement is None or not all(search.pool for search in others):
            return False
        shown = [progress.arrangement if n == number else search.pool[0][1] for n, search in enumerate(self.searches)]
        arrangement = joined_positions(len(self.safe.items), self.parts, shown)
        bounds = [progress.bound, *(search.bound for search in others)]
        bound = None if any(one is None for one in bounds) else sum(one for one in bounds if one is not None)
        value = recount.value(self.safe, arrangement)
        return self.watch(replace(progress, value=value, bound=bound, arrangement=arrangement))


def _of(outcome: StagesOutcome) -> SolvedComponents:
    result = outcome.result
    return SolvedComponents(
        positions=result.arrangement,
        value=result.value,
        costs=result.costs,
        order_proven=result.order_proven,
        bound=result.bound,
        infeasible=result.status is Status.INFEASIBLE,
        work=result.work,
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
        work=round(sum(one.work for one in found), 2),
        interrupted=any(one.interrupted for one in found),
        nearest=None if whole or len(near) < len(parts) else joined_positions(count, parts, near),
        pool=tuple(dict.fromkeys(pool)),
        notes=tuple(note for one in found for note in one.notes),
        log=tuple(step for one in found for step in one.log),
    )
