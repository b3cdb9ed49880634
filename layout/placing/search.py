"""The chain of solver stages on one project's problem: find, polish, prove."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from layout.placing.engine.anneal import Annealing
from layout.placing.engine.polish import Polish
from layout.placing.engine.result import Limit, Progress, Status

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Arrangement as Positions
    from layout.placing.engine.result import Result, Watch


class Work(StrEnum):
    """How much work a placing may take; counted, not timed."""

    QUICK = "quick"
    NORMAL = "normal"
    THOROUGH = "thorough"

    @property
    def limit(self) -> Limit:
        """The engine's limits."""
        return {
            Work.QUICK: Limit(runs=2, moves=150_000, work=1.0, wall_s=30.0),
            Work.NORMAL: Limit(runs=8, moves=400_000, work=4.0, wall_s=90.0),
            Work.THOROUGH: Limit(runs=24, moves=1_500_000, work=30.0, wall_s=600.0),
        }[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the log: stage, what it reached (cost of the engine), its bound, and its work in words."""

    stage: str
    value: int | None
    bound: int | None
    words: str
    work: str


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
    """

    positions: Positions | None = None
    value: int | None = None
    costs: tuple[tuple[str, int], ...] = ()
    order_proven: bool = False
    bound: int | None = None
    infeasible: bool = False
    clock_struck: bool = False
    nearest: Positions | None = None
    log: tuple[Step, ...] = ()


def search(safe: Problem, loose: Problem, *, limit: Limit, seed: int, watch: Watch | None = None) -> Found:
    """Search the safe problem and bound by the loose one.

    Parameters
    ----------
    safe, loose
        The same project, shapes rounded to either side; equal where there is nothing to round.
    """
    found = _anneal(safe, limit, seed, watch)
    found = _proved(found, loose, limit, seed)
    if found.positions is None and not found.infeasible:
        found = _exact(found, safe, limit, seed)
    return found


def _anneal(safe: Problem, limit: Limit, seed: int, watch: Watch | None) -> Found:
    result = Annealing(watch=watch)(safe, limit, seed)
    log = [_step(result)]
    start = result.arrangement or result.nearest
    best = result
    if start is not None:
        polished = Polish(start=start)(safe, limit, seed)
        log.append(_step(polished))
        if polished.value is not None and (best.value is None or polished.value <= best.value):
            best = polished
    if best.value is not None and watch is not None:
        watch(Progress(stage=best.stage, value=best.value, bound=None, arrangement=best.arrangement))
    return Found(
        positions=best.arrangement,
        value=best.value,
        costs=best.costs,
        order_proven=best.status is Status.ORDER_OPTIMAL,
        clock_struck=result.clock_struck or best.clock_struck,
        nearest=result.nearest,
        log=tuple(log),
    )


def _proved(found: Found, loose: Problem, limit: Limit, seed: int) -> Found:
    from layout.placing.engine.cpsat.build import build  # noqa: PLC0415  (ortools is slow to import)
    from layout.placing.engine.cpsat.objective import objective  # noqa: PLC0415
    from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415

    model = build(loose)
    objective(model)
    if found.positions is not None:
        model.hint(found.positions)
    answer = solve(model, work=limit.work, wall_s=limit.wall_s, seed=seed)
    bound = None if answer.infeasible else max(0, round(answer.bound))
    step = Step(
        stage="proof",
        value=None,
        bound=bound,
        words="infeasible" if answer.infeasible else "optimal" if answer.proven else "bound",
        work=f"{answer.work:.2f} deterministic",
    )
    return replace(
        found,
        bound=bound,
        infeasible=answer.infeasible,
        clock_struck=found.clock_struck or answer.clock_struck,
        log=(*found.log, step),
    )


def _exact(found: Found, safe: Problem, limit: Limit, seed: int) -> Found:
    """Look for any arrangement with the exact solver, where annealing found none."""
    from layout.placing.engine.anneal import made_result  # noqa: PLC0415
    from layout.placing.engine.cpsat.build import build  # noqa: PLC0415
    from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415

    answer = solve(build(safe), work=limit.work, wall_s=limit.wall_s, seed=seed)
    struck = found.clock_struck or answer.clock_struck
    work = f"{answer.work:.2f} deterministic"
    if answer.arrangement is None:
        words = "infeasible on the safe side" if answer.infeasible else "nothing found"
        step = Step(stage="exact", value=None, bound=None, words=words, work=work)
        return replace(found, clock_struck=struck, log=(*found.log, step))
    first = made_result(safe, answer.arrangement, "exact", Status.NO_BOUND, seed, work, struck)
    polished = Polish(start=answer.arrangement)(safe, limit, seed)
    best = polished if polished.value is not None and (first.value is None or polished.value <= first.value) else first
    return replace(
        found,
        positions=best.arrangement,
        value=best.value,
        costs=best.costs,
        order_proven=best.status is Status.ORDER_OPTIMAL,
        clock_struck=struck,
        log=(*found.log, _step(first), _step(polished)),
    )


def _step(result: Result) -> Step:
    return Step(stage=result.stage, value=result.value, bound=result.bound, words=result.words, work=result.work)
