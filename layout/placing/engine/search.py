"""The chain of stages: prechecks, first layout, annealing, polish, exact search, and what is then known."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.placing.engine import check
from layout.placing.engine.anneal import Halt, first_valid, main_runs, refine, side_by_side
from layout.placing.engine.kernel.machine import MissingKernelError, available
from layout.placing.engine.kernel.tables import tables
from layout.placing.engine.polish import Polish
from layout.placing.engine.precheck import prechecks
from layout.placing.engine.result import Limit, Progress, Result, Status
from layout.placing.engine.verified import verified

if TYPE_CHECKING:
    from layout.placing.engine.anneal import Job
    from layout.placing.engine.kernel.tables import Tables
    from layout.placing.engine.precheck import Fault
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Arrangement, Watch

KEPT = 3
"""How many of the polished arrangements are refined."""

USEFUL_GAP = 0.5
"""From here on a bound is called of no use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """Outcome of the whole chain.

    Attributes
    ----------
    result
        The best arrangement and what is proven about it.
    pool
        Every polished arrangement found on the way, best first; alternatives are chosen from it.
    faults
        What the prechecks proved; empty unless infeasible by arithmetic.
    """

    result: Result
    pool: tuple[tuple[int, Arrangement], ...] = ()
    faults: tuple[Fault, ...] = ()


def search(
    problem: Problem,
    limit: Limit | None = None,
    seed: int = 1,
    *,
    watch: Watch | None = None,
    start: Arrangement | None = None,
    prove: bool = True,
) -> Search:
    """Search for the best arrangement and a proof.

    Parameters
    ----------
    problem
        What is placed.
    limit
        How much work; the clock in it is only a net.
    seed
        Visible seed: same problem, limit and seed give the same arrangement, if the clock did not strike.
    watch
        Told of each improvement; returning True stops and keeps the best. Ctrl-C does the same.
    start
        A valid arrangement known before (one that was chosen); never made worse.
    prove
        False leaves the exact search out; the result is then of unknown quality.
    """
    limit = limit or Limit()
    faults = prechecks(problem)
    if faults:
        return Search(result=_impossible(faults, seed), faults=faults)
    run = _Run(problem, limit, seed, watch)
    if start is not None and not check.broken(problem, start):
        run.offer(start)
    run.anneal()
    if not run.pool:
        refusal = run.exact_first()
        if refusal is not None:
            return Search(result=refusal)
    return Search(result=run.finish(prove), pool=tuple(run.pool))


def solve(problem: Problem, limit: Limit | None = None, seed: int = 1, *, watch: Watch | None = None) -> Result:
    """Return the result of ``search`` alone."""
    return search(problem, limit, seed, watch=watch).result


class _Run:
    """One search under way: what is left of the limit and the arrangements found so far."""

    def __init__(self, problem: Problem, limit: Limit, seed: int, watch: Watch | None) -> None:
        self.problem, self.limit, self.seed, self.watch = problem, limit, seed, watch
        self.halt = Halt(time.monotonic() + limit.wall_s)
        self.pool: list[tuple[int, Arrangement]] = []
        self.nearest: Arrangement | None = None
        self.notes: list[str] = []
        self.work: list[str] = []

    @property
    def left_s(self) -> float:
        return max(0.1, self.halt.deadline - time.monotonic())

    @property
    def best(self) -> int | None:
        return self.pool[0][0] if self.pool else None

    def offer(self, arrangement: Arrangement) -> None:
        """Put a valid arrangement into the pool, best first, each once."""
        entry = (check.value(self.problem, arrangement), arrangement)
        if entry in self.pool:
            return
        better = self.best is None or entry[0] < self.best
        self.pool.append(entry)
        self.pool.sort(key=lambda one: one[0])
        if better:
            self.tell("search", None)

    def tell(self, stage: str, bound: int | None) -> bool:
        """Report the best so far; True when the search is to stop."""
        if self.watch is not None and self.pool:
            value, arrangement = self.pool[0]
            if self.watch(Progress(stage=stage, value=value, bound=bound, arrangement=arrangement)):
                self.halt.asked.set()
        return self.halt.now()

    def polish(self, arrangement: Arrangement) -> None:
        """Polish and keep the outcome, or the arrangement itself when it is valid and nothing better came."""
        if self.halt.now():
            if not check.broken(self.problem, arrangement):
                self.offer(arrangement)
            return
        limit = replace(self.limit, work=0.5, wall_s=min(10.0, self.left_s))
        polished = Polish(start=arrangement)(self.problem, limit, self.seed).arrangement
        if polished is not None:
            self.offer(polished)
        elif not check.broken(self.problem, arrangement):
            self.offer(arrangement)

    def anneal(self) -> None:
        """First layout, main runs, polish, refined runs, polish."""
        try:
            available()
            made = tables(self.problem)
        except (MissingKernelError, OverflowError) as error:
            self.notes.append(f"annealing was not possible ({error}); the exact search worked alone")
            return
        limit, halt = self.limit, self.halt
        first = first_valid(made, self.seed, 2 * limit.moves_for(made.items), halt)
        self.nearest = first.arrangement
        if first.valid:
            self.offer(first.arrangement)
        if halt.now():
            return
        found = main_runs(made, limit, self.seed, halt=halt, watch=self.watch, least=self.best)
        self.work.append(f"{limit.runs} runs of {limit.moves_for(made.items)} moves")
        least = min(found, key=lambda best: (best.violation, best.cost))
        if not first.valid and least.violation < first.violation:
            self.nearest = least.arrangement
        for best in found:
            self.polish(best.arrangement)
        self._refine(made)

    def _refine(self, made: Tables) -> None:
        if not self.pool or not self.problem.terms or self.halt.now():
            return
        moves = self.limit.moves_for(made.items) // 2 + 1
        starts = [arrangement for _, arrangement in self.pool[:KEPT] for _ in (0, 1)]

        def job(n: int) -> Job:
            return lambda halt, shown: refine(
                made, starts[n], self.seed * 1000 + 500 + n, moves, halt=halt, shown=shown
            )

        found = side_by_side([job(n) for n in range(len(starts))], self.halt, self.watch, self.best)
        self.work.append(f"{len(starts)} refining runs of {moves} moves")
        for best in found:
            self.polish(best.arrangement)

    def exact_first(self) -> Result | None:
        """Look for any arrangement exactly; returns a result when there is none or none was found."""
        from layout.placing.engine.cpsat.build import build  # noqa: PLC0415 - ortools is slow to import
        from layout.placing.engine.cpsat.solve import solve as solve_model  # noqa: PLC0415

        answer = solve_model(build(self.problem), work=2 * self.limit.work, wall_s=self.left_s, seed=self.seed)
        self.work.append(f"{answer.work:.2f} deterministic for a first layout")
        if answer.arrangement is not None:
            self.polish(answer.arrangement)
            return None
        return Result(
            stage="exact",
            status=Status.INFEASIBLE if answer.proven else Status.NOT_PROVEN,
            seed=self.seed,
            work=", ".join(self.work),
            clock_struck=answer.clock_struck or self.halt.struck,
            notes=tuple(self.notes),
            nearest=self.nearest,
        )

    def finish(self, prove: bool) -> Result:
        """Prove what can be proven and state the result."""
        value, arrangement = self.pool[0]
        status, bound, struck = Status.NO_BOUND, None, self.halt.struck
        if value == 0:
            status, bound = Status.OPTIMAL, 0
        elif prove and not self.halt.now():
            arrangement, bound, proven, struck = self._prove(arrangement)
            value = check.value(self.problem, arrangement)
            useful = bound > value * (1 - USEFUL_GAP)
            status = Status.OPTIMAL if proven else Status.WITHIN if useful else Status.NO_BOUND
        result = verified(
            self.problem,
            arrangement,
            stage="search",
            status=status,
            seed=self.seed,
            work=", ".join(self.work),
            clock_struck=struck,
            bound=bound,
        )
        return replace(result, notes=tuple(self.notes))

    def _prove(self, start: Arrangement) -> tuple[Arrangement, int, bool, bool]:
        from layout.placing.engine.bounds.clusters import Groups  # noqa: PLC0415 - ortools is slow to import
        from layout.placing.engine.bounds.relaxation import bound  # noqa: PLC0415
        from layout.placing.engine.cpsat.portfolio import prove  # noqa: PLC0415

        known = bound(self.problem, Groups(total=self.limit.work / 2), go_on=lambda: not self.tell("bound", None))
        self.tell("bound", known.value)
        verdict = prove(
            self.problem,
            known,
            start,
            work=self.limit.work,
            wall_s=self.left_s,
            seed=self.seed,
            tell=lambda _value, low, _better: self.tell("proof", low),
        )
        self.work.append(f"{verdict.work:.2f} deterministic for the proof")
        found = verdict.arrangement or start
        self.offer(found)
        return found, verdict.bound, verdict.proven, verdict.clock_struck or self.halt.struck


def _impossible(faults: tuple[Fault, ...], seed: int) -> Result:
    return Result(
        stage="prechecks",
        status=Status.INFEASIBLE,
        seed=seed,
        notes=tuple(fault.message for fault in faults),
    )
