"""The chain of stages: prechecks, first layout, annealing, polish, exact search, and what is then known."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.placing.engine import recount
from layout.placing.engine.anneal import Halt, first_valid, main_runs
from layout.placing.engine.kernel.problem_block import kernel_tables
from layout.placing.engine.kernel.runtime import MissingKernelError, available
from layout.placing.engine.polish import Polish
from layout.placing.engine.precheck import prechecks
from layout.placing.engine.stage_result import Limit, Progress, Result, Status
from layout.placing.engine.verified import verified

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.kernel.problem_block import Tables
    from layout.placing.engine.kernel.runtime import Best
    from layout.placing.engine.precheck import Fault
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions, Watch

FIRST_MOVES = 1_000_000
"""Moves for a first layout; where they do not do, the panel is so full that the exact search is quicker."""

KEPT = 2
"""How many of the polished arrangements are bettered further."""

USEFUL_GAP = 0.5
"""From here on a bound is called of no use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageLine:
    """One line of the log: a stage, the value and bound after it, and its outcome and work in words."""

    stage: str
    value: int | None
    bound: int | None
    words: str
    work: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StagesOutcome:
    """Outcome of the whole chain.

    Attributes
    ----------
    result
        The best arrangement and what is proven about it.
    pool
        Every polished arrangement found on the way with its value, best first.
    faults
        What the prechecks proved; empty unless infeasible by arithmetic.
    log
        What each stage reached, in order.
    """

    result: Result
    pool: tuple[tuple[int, Positions], ...] = ()
    faults: tuple[Fault, ...] = ()
    log: tuple[StageLine, ...] = ()


def run_stages(
    problem: Problem,
    limit: Limit | None = None,
    seed: int = 1,
    *,
    loose: Problem | None = None,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
    start: Positions | None = None,
    prove: bool = True,
) -> StagesOutcome:
    """Search for the best arrangement and a proof.

    Parameters
    ----------
    problem
        What is placed; rounded to the safe side, so that its arrangements are true ones.
    limit
        How much work; the clock in it is only a net.
    seed
        Visible seed: same problem, limit and seed give the same arrangement, if the clock did not strike.
    loose
        The same items and wishes rounded to the other side; bounds and "infeasible" are taken from it. None
        when nothing was rounded.
    watch
        Told of each improvement; returning True stops and keeps the best.
    stop
        Asked now and then, from any thread; True does the same.
    start
        A valid arrangement known before (one that was chosen); never made worse.
    prove
        False leaves the exact search for the bound out.
    """
    limit = limit or Limit()
    faults = prechecks(loose or problem)
    if faults:
        return StagesOutcome(result=_impossible(faults, seed), faults=faults)
    run = _Run(problem, loose or problem, limit, seed=seed, watch=watch, stop=stop)
    if start is not None and not recount.broken(problem, start):
        run.offer(start, ordered=False)
    result = run.find() or run.finish(prove)
    return StagesOutcome(result=result, pool=tuple(run.pool), log=tuple(run.log))


class _Run:
    """One search under way: what is left of the limit and the arrangements found so far."""

    def __init__(
        self,
        problem: Problem,
        loose: Problem,
        limit: Limit,
        *,
        seed: int,
        watch: Watch | None,
        stop: Callable[[], bool] | None,
    ) -> None:
        self.problem, self.loose, self.limit, self.seed, self.watch = problem, loose, limit, seed, watch
        self.halt = Halt(time.monotonic() + limit.wall_s, stop)
        self.pool: list[tuple[int, Positions]] = []
        self.ordered: set[Positions] = set()
        self.nearest: Positions | None = None
        self.notes: list[str] = []
        self.log: list[StageLine] = []
        self._told: tuple[str, int, int | None] | None = None

    @property
    def left_s(self) -> float:
        """Seconds until the clock strikes."""
        return max(0.1, self.halt.deadline - time.monotonic())

    @property
    def best(self) -> int | None:
        """Value of the best arrangement so far."""
        return self.pool[0][0] if self.pool else None

    def note(self, stage: str, words: str, work: str, bound: int | None = None) -> None:
        """Write a line of the log."""
        self.log.append(StageLine(stage=stage, value=self.best, bound=bound, words=words, work=work))

    def offer(self, arrangement: Positions, *, ordered: bool) -> None:
        """Put a valid arrangement into the pool, best first, each once; ``ordered``: proven best of its order."""
        if ordered:
            self.ordered.add(arrangement)
        entry = (recount.value(self.problem, arrangement), arrangement)
        if entry in self.pool:
            return
        self.pool.append(entry)
        self.pool.sort(key=lambda one: one[0])
        self.tell("search", None)

    def tell(self, stage: str, bound: int | None) -> bool:
        """Report the best so far where it is news; True when the search is to stop."""
        if self.watch is not None and self.pool:
            value, arrangement = self.pool[0]
            if self._told != (news := (stage, value, bound)):
                self._told = news
                if self.watch(Progress(stage=stage, value=value, bound=bound, arrangement=arrangement)):
                    self.halt.asked.set()
        return self.halt.now()

    def polish(self, arrangement: Positions) -> None:
        """Polish and keep the outcome, or the arrangement itself when it is valid and nothing better came."""
        if not self.halt.now():
            limit = replace(self.limit, work=0.5, wall_s=min(10.0, self.left_s))
            polished = Polish(start=arrangement)(self.problem, limit, self.seed)
            if polished.arrangement is not None:
                self.offer(polished.arrangement, ordered=polished.status is Status.ORDER_OPTIMAL)
                return
        if not recount.broken(self.problem, arrangement):
            self.offer(arrangement, ordered=False)

    def find(self) -> Result | None:
        """Find arrangements, better and better; returns a result when there are none or none was found."""
        made = self._kernel()
        first = self._first(made) if made is not None else None
        if not self.pool and not self.halt.now() and (refusal := self._exact()) is not None:
            impossible = refusal.status is Status.INFEASIBLE
            if impossible or made is None or self.halt.now():
                return refusal
            self._main(made, first)
            return None if self.pool else replace(refusal, nearest=self.nearest, work=self._all_work())
        if not self.pool:
            return self._nothing(Status.NOT_PROVEN)
        if made is not None and (self.problem.terms or self._optional) and not self.halt.now():
            self._main(made, first)
        self._better()
        return None

    def _kernel(self) -> Tables | None:
        try:
            available()
            return kernel_tables(self.problem)
        except (MissingKernelError, OverflowError) as error:
            self.notes.append(f"annealing was not possible ({error}); the exact search worked alone")
            return None

    def _first(self, made: Tables) -> Best:
        """Look for any layout by annealing; it is quick on all but the fullest panels."""
        first = first_valid(made, self.seed, FIRST_MOVES, self.halt)
        self.nearest = first.arrangement
        if first.valid:
            self.offer(first.arrangement, ordered=False)
        self.note("first", "valid" if first.valid else "nothing valid found", f"at most {FIRST_MOVES} moves")
        return first

    def _main(self, made: Tables, first: Best | None) -> None:
        """Do the main runs and polish each."""
        limit = self.limit
        found = main_runs(made, limit, self.seed, halt=self.halt, watch=self.watch, least=self.best)
        least = min(found, key=lambda best: (best.violation, best.cost))
        if first is None or (not first.valid and least.violation < first.violation):
            self.nearest = least.arrangement
        for best in found:
            self.polish(best.arrangement)
        valid = sum(best.valid for best in found)
        work = f"{limit.runs} runs of {limit.moves_for(made.items)} moves"
        self.note("annealing", f"{valid} of {limit.runs} runs valid, polished", work)

    @property
    def _optional(self) -> bool:
        return any(item.absent_cost is not None for item in self.problem.items)

    def _better(self) -> None:
        """Better the best by freeing a few items at a time."""
        from layout.placing.engine.neighbourhood import better  # noqa: PLC0415 - ortools is slow to import

        movable = sum(item.pin is None for item in self.problem.items)
        if not self.pool or self.best == 0 or movable < 2 or self.halt.now():
            return
        done = better(
            self.problem,
            [arrangement for _, arrangement in self.pool[:KEPT]],
            rounds=self.limit.rounds,
            seed=self.seed,
            halted=self.halt.now,
            tell=lambda arrangement: self.offer(arrangement, ordered=False),
        )
        self.polish(done.arrangement)
        self.note("neighbourhood", "polished", f"{done.rounds} rounds")

    def _exact(self) -> Result | None:
        """Look for any arrangement exactly; returns a result when there is none or none was found."""
        from layout.placing.engine.cpsat.feasible import first_layout  # noqa: PLC0415 - ortools is slow to import

        for problem in (self.problem,) if self.loose is self.problem else (self.loose, self.problem):
            answer = first_layout(
                problem,
                work=2 * self.limit.work,
                wall_s=self.left_s,
                seed=self.seed,
                go_on=lambda: not self.halt.now(),
            )
            self.halt.struck = self.halt.struck or answer.clock_struck
            words = "infeasible" if answer.infeasible else "nothing found" if answer.arrangement is None else "valid"
            self.note("exact", words, f"{answer.work:.2f} deterministic")
            if answer.arrangement is not None and not recount.broken(self.problem, answer.arrangement):
                self.polish(answer.arrangement)
                return None
            if answer.infeasible:
                return self._nothing(Status.INFEASIBLE if problem is self.loose else Status.NOT_PROVEN)
        return self._nothing(Status.NOT_PROVEN)

    def _nothing(self, status: Status) -> Result:
        return Result(
            stage="search",
            status=status,
            seed=self.seed,
            work=self._all_work(),
            clock_struck=self.halt.struck,
            notes=tuple(self.notes),
            nearest=self.nearest,
            interrupted=self.halt.asked.is_set(),
        )

    def _all_work(self) -> str:
        return ", ".join(f"{step.stage} {step.work}" for step in self.log)

    def finish(self, prove: bool) -> Result:
        """Prove what can be proven and state the result."""
        bound = 0 if self.best == 0 else None
        struck = False
        if self.best and prove and not self.halt.now():
            bound, struck = self._prove()
        value, arrangement = self.pool[0]
        ordered = arrangement in self.ordered
        if bound is not None and bound >= value:
            status = Status.OPTIMAL
        elif bound is not None and bound > value * (1 - USEFUL_GAP):
            status = Status.WITHIN
        else:
            status = Status.ORDER_OPTIMAL if ordered else Status.NO_BOUND
        result = verified(
            self.problem,
            arrangement,
            stage="search",
            status=status,
            seed=self.seed,
            work=self._all_work(),
            clock_struck=struck or self.halt.struck,
            bound=bound,
        )
        interrupted = self.halt.asked.is_set()
        return replace(result, notes=tuple(self.notes), order_proven=ordered, interrupted=interrupted)

    def _prove(self) -> tuple[int, bool]:
        """Return the bound from the loose problem and whether the clock struck; better arrangements go to the pool."""
        from layout.placing.engine.bounds.growing_groups import Growth  # noqa: PLC0415 - ortools is slow to import
        from layout.placing.engine.bounds.relaxation import bound  # noqa: PLC0415
        from layout.placing.engine.cpsat.portfolio import prove  # noqa: PLC0415

        growth = Growth(total=self.limit.work)
        known = bound(self.loose, self.pool[0][1], growth=growth, go_on=lambda: not self.tell("bound", None))
        self.note("bound", f"{len(known.cuts)} rows", f"at most {growth.total:g} deterministic", known.value)
        if self.tell("bound", known.value):
            return known.value, False
        verdict = prove(
            self.loose,
            known,
            self.pool[0][1],
            work=self.limit.work,
            wall_s=self.left_s,
            seed=self.seed,
            tell=lambda low: self.tell("proof", low),
        )
        found = verdict.arrangement
        if found is not None and not recount.broken(self.problem, found):
            self.offer(found, ordered=verdict.proven)
        elif found is not None:
            self.polish(found)
        self.note("proof", "proven" if verdict.proven else "bound", f"{verdict.work:.2f} deterministic", verdict.bound)
        return verdict.bound, verdict.clock_struck


def _impossible(faults: tuple[Fault, ...], seed: int) -> Result:
    return Result(
        stage="prechecks",
        status=Status.INFEASIBLE,
        seed=seed,
        notes=tuple(fault.message for fault in faults),
    )
