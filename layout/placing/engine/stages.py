"""The chain of stages: a first layout, annealing, polish; where it is asked for, fewer items at a time, and proof."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine import recount
from layout.placing.engine.anneal import Halt, anneal_side_by_side, first_valid
from layout.placing.engine.kernel.problem_block import kernel_tables
from layout.placing.engine.kernel.runtime import MissingKernelError, available
from layout.placing.engine.look_terms import LinesTerm
from layout.placing.engine.polish import polish
from layout.placing.engine.precheck import prechecks, too_large
from layout.placing.engine.stage_result import Limit, Progress, Result, Spent, Status
from layout.placing.engine.verified import verified

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.engine.kernel.problem_block import Tables
    from layout.placing.engine.kernel.runtime import Best
    from layout.placing.engine.precheck import Fault
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions, Watch

FIRST_MOVES = (20_000, 1_000_000)
"""Moves for a first layout, before arithmetic is asked and after; where they do not do, the panel is so full that the
exact search is quicker."""

WAVE = 2
"""Annealing runs between two polishes: what they gave is shown before the next."""

PLAIN_MOVES = 3
"""Where no lines are to be counted a move takes less than a third of the time, so there are so many more."""

WORTH_POLISHING = 1.02
"""A run whose cost is this many times the best value so far is not polished: that gains less."""

_FEW_ITEMS = 10
"""Up to so many items the proof comes early: where it succeeds, the rest need not be done."""

PASSING_WORK, LAST_WORK = 0.06, 0.15
"""Deterministic time of a polish on the way, and of the last."""

LATE = 3
"""Where lines are counted a polish takes as long as a run and gains a hundredth: only the best few get one, late."""

AGREED, SAME_VALUE = 4, 1.005
"""So many runs that end within this many times the best value end the annealing: more would find it again."""

USEFUL_GAP = 0.5
"""From here on a bound is called of no use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageLine:
    """One line of the log: a stage, the value and bound after it, its outcome in words, and the work so far."""

    stage: str
    value: int | None
    bound: int | None
    words: str
    work: float


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
    loose: Callable[[], Problem] | None = None,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
    start: Positions | None = None,
) -> StagesOutcome:
    """Search for the best arrangement, and for a proof where the limit has work for it; see ``StagedSearch``."""
    search = StagedSearch(problem, limit or Limit(), seed, loose=loose, watch=watch, stop=stop, start=start)
    search.first()
    search.better()
    search.prove()
    return search.outcome()


class StagedSearch:
    """One search: what it has found so far can be read after each stage.

    Parameters
    ----------
    problem
        What is placed; rounded to the safe side, so that its arrangements are true ones.
    limit
        How much work, counted: same problem, limit and seed give the same arrangement.
    loose
        Gives the same items and wishes rounded to the other side; bounds and "infeasible" are taken from it.
        None when nothing was rounded.
    watch
        Told of each improvement; returning True stops and keeps the best.
    stop
        Asked now and then, from any thread; True does the same.
    start
        A valid arrangement known before (one that was chosen); never made worse.
    """

    def __init__(
        self,
        problem: Problem,
        limit: Limit,
        seed: int,
        *,
        loose: Callable[[], Problem] | None = None,
        watch: Watch | None = None,
        stop: Callable[[], bool] | None = None,
        start: Positions | None = None,
    ) -> None:
        self.problem, self.limit, self.seed, self.watch = problem, limit, seed, watch
        self.halt = Halt(stop)
        self.pool: list[tuple[int, Positions]] = []
        self.spent = Spent()
        self.faults: tuple[Fault, ...] = ()
        self.bound: int | None = None
        self.log: list[StageLine] = []
        self._loose = loose
        self._ordered: set[Positions] = set()
        self._refused: Status | None = None
        self._nearest: tuple[int, Positions] | None = None
        self._notes: list[str] = []
        self._told: tuple[str, int, int | None] | None = None
        self._start = start

    @cached_property
    def loose(self) -> Problem:
        """The problem that bounds are taken from."""
        return self.problem if self._loose is None else self._loose()

    @cached_property
    def tables(self) -> Tables | None:
        """The problem as the kernel reads it; None where the kernel can't work, which is noted."""
        try:
            available()
            return kernel_tables(self.problem)
        except (MissingKernelError, OverflowError) as error:
            self._notes.append(f"annealing was not possible ({error}); the exact search worked alone")
            return None

    @property
    def best(self) -> int | None:
        """Value of the best arrangement so far."""
        return self.pool[0][0] if self.pool else None

    def first(self) -> None:
        """Take the start, or look for any arrangement: a little annealing, arithmetic, more, then the exact search."""
        if self._start is not None and not recount.broken(self.problem, self._start):
            self._offer(self._start, stage="start")
        if self.pool:
            return
        if self._is_refused(too_large(self.problem) and too_large(self.loose)):
            return
        for attempt, moves in enumerate(FIRST_MOVES):
            if self.tables is not None and (attempt == 0 or not self.halt.now()):
                self._first(self.tables, moves, self.seed + 7 * attempt)
            if self.pool:
                return
            if attempt == 0 and self._is_refused(prechecks(self.loose)):
                return
        self._exact()

    def _is_refused(self, faults: Sequence[Fault]) -> bool:
        """Remember what arithmetic shows."""
        if faults:
            self.faults, self._refused = tuple(faults), Status.INFEASIBLE
            self._notes += [fault.message for fault in faults]
        return bool(faults)

    def better(self) -> None:
        """Anneal and polish, wave by wave; then free a few items at a time where there is work for it."""
        if self._refused is Status.INFEASIBLE:
            return
        optional = any(item.absent_cost is not None for item in self.problem.items)
        if self.tables is not None and (self.problem.terms or optional or not self.pool):
            ended: list[int] = []
            for begin in range(0, self.limit.runs, WAVE):
                agreed = sum(value <= SAME_VALUE * (self.best or 0) for value in ended) >= AGREED
                if self._is_best or agreed or self.halt.now():
                    break
                ended += self._wave(self.tables, range(begin, min(begin + WAVE, self.limit.runs)))
                if begin == 0 and len(self.problem.items) <= _FEW_ITEMS:
                    self.prove()
            self._late()
            self._note("annealing", f"{len(self.pool)} arrangements")
        movable = sum(item.pin is None for item in self.problem.items)
        if self.pool and self.limit.rounds and movable > 1 and not self._is_best and not self.halt.now():
            self._few_at_a_time()

    @property
    def _is_best(self) -> bool:
        """Whether nothing better than the best so far is possible."""
        return self.best is not None and self.best <= (self.bound or 0)

    def prove(self) -> None:
        """Prove what can be proven within the limit's work for it."""
        if not self.pool:
            return
        if self._is_best:
            self.bound = self.best
        elif self.limit.proof and not self.halt.now():
            from layout.placing.engine.proof import prove_arrangement

            proof = prove_arrangement(
                self.loose, self.pool[0][1], work=self.limit.proof, seed=self.seed,
                tell=lambda low: self._tell("proof", low), offer=self._found_in_proof,
            )  # fmt: skip
            self.bound = max(self.bound or 0, proof.bound)
            self.spent.deterministic += proof.work
            self._note("proof", "proven" if self.bound >= (self.best or 0) else "bound")

    def outcome(self) -> StagesOutcome:
        """Return what is known now."""
        return StagesOutcome(result=self._result(), pool=tuple(self.pool), faults=self.faults, log=tuple(self.log))

    def _note(self, stage: str, words: str) -> None:
        line = StageLine(stage=stage, value=self.best, bound=self.bound, words=words, work=self.spent.work)
        self.log.append(line)

    def _offer(self, arrangement: Positions, *, ordered: bool = False, stage: str = "search") -> int:
        """Put a valid arrangement into the pool, best first, each once; return its value. Ordered: so proven."""
        if ordered:
            self._ordered.add(arrangement)
        entry = (recount.value(self.problem, arrangement), arrangement)
        if entry not in self.pool:
            self.pool.append(entry)
            self.pool.sort(key=lambda one: one[0])
            self._tell(stage, None)
        return entry[0]

    def _tell(self, stage: str, bound: int | None) -> bool:
        """Report the best so far where it is news; True when the search is to stop."""
        if self.watch is not None and self.pool:
            value, arrangement = self.pool[0]
            if self._told != (news := (stage, value, bound)):
                self._told = news
                if self.watch(Progress(stage=stage, value=value, bound=bound, arrangement=arrangement)):
                    self.halt.asked.set()
        return self.halt.now()

    def _first(self, made: Tables, moves: int, seed: int) -> None:
        found = first_valid(made, seed, moves, self.halt if moves > FIRST_MOVES[0] else Halt())
        self.spent.moves += found.moves
        if found.valid:
            self._offer(found.arrangement, stage="first")
        else:
            self._near(found)
        self._note("first", "valid" if found.valid else "nothing valid found")

    def _near(self, found: Best) -> None:
        """Remember what breaks least."""
        if self._nearest is None or found.violation < self._nearest[0]:
            self._nearest = (found.violation, found.arrangement)

    @cached_property
    def _looks(self) -> bool:
        """Whether lines are counted."""
        return any(isinstance(term, LinesTerm) for term in self.problem.terms)

    def _late(self) -> None:
        """Polish the best few where the runs left them unpolished, then the best for longer."""
        if self._looks:
            for _, arrangement in self.pool[:LATE]:
                self._polish(arrangement)
        if self.pool and not self._is_best and self.limit.runs > WAVE:
            self._polish(self.pool[0][1], LAST_WORK)

    def _wave(self, made: Tables, runs: range) -> list[int]:
        """Do a few runs, polish what they gave where that is quick, and return the values they ended at."""

        def tell(best: Best) -> bool:
            value = recount.value(self.problem, best.arrangement)
            if self.watch is None or (self.best is not None and value >= self.best):
                return False
            return self.watch(Progress(stage="annealing", value=value, bound=None, arrangement=best.arrangement))

        moves = self.limit.moves_for(made.items) * (1 if self._looks else PLAIN_MOVES)
        ended = []
        for found in anneal_side_by_side(made, runs, moves, self.seed, halt=self.halt, tell=tell):
            self.spent.moves += found.moves
            if not found.valid:
                self._near(found)
            if found.valid and self._looks:
                ended.append(self._offer(found.arrangement, stage="annealing"))
            elif not found.valid or self.best is None or found.cost <= self.best * WORTH_POLISHING:
                ended += self._polish(found.arrangement)
        return ended

    def _polish(self, arrangement: Positions, work: float = PASSING_WORK) -> list[int]:
        """Polish and keep the outcome, or the arrangement itself when it is valid and nothing better came.

        Returns its value; nothing where it is not valid.
        """
        if self.halt.now():
            return [] if recount.broken(self.problem, arrangement) else [self._offer(arrangement)]
        done = polish(self.problem, arrangement, seed=self.seed, work=work)
        self.spent.deterministic += done.work
        if done.arrangement is None:
            return []
        return [self._offer(done.arrangement, ordered=done.order_proven, stage="polish")]

    def _few_at_a_time(self) -> None:
        from layout.placing.engine.neighbourhood import better

        done = better(
            self.problem,
            self.pool[0][1],
            rounds=self.limit.rounds,
            seed=self.seed,
            halted=self.halt.now,
            tell=lambda arrangement: self._offer(arrangement, stage="neighbourhood"),
        )
        self.spent.deterministic += done.work
        self._polish(done.arrangement)
        self._note("neighbourhood", f"{done.rounds} rounds")

    def _exact(self) -> None:
        """Look for any arrangement exactly, or for the proof that there is none."""
        from layout.placing.engine.cpsat.feasible import first_layout

        for problem in (self.problem,) if self.loose is self.problem else (self.loose, self.problem):
            if self.halt.now():
                break
            answer = first_layout(problem, work=self.limit.exact, seed=self.seed, go_on=lambda: not self.halt.now())
            self.spent.deterministic += answer.work
            words = "infeasible" if answer.infeasible else "nothing found" if answer.arrangement is None else "valid"
            self._note("exact", words)
            if answer.arrangement is not None and not recount.broken(self.problem, answer.arrangement):
                self._polish(answer.arrangement)
                return
            if answer.infeasible:
                self._refused = Status.INFEASIBLE if problem is self.loose else Status.NOT_PROVEN
                return

    def _found_in_proof(self, arrangement: Positions) -> None:
        """Take an arrangement of the loose problem, mended where the safe one does not hold it."""
        if recount.broken(self.problem, arrangement):
            self._polish(arrangement)
        else:
            self._offer(arrangement, stage="proof")

    def _result(self) -> Result:
        interrupted = self.halt.asked.is_set()
        if not self.pool:
            return Result(
                stage="search",
                status=self._refused or Status.NOT_PROVEN,
                seed=self.seed,
                work=self.spent.work,
                notes=tuple(self._notes),
                nearest=None if self._nearest is None or self.faults else self._nearest[1],
                interrupted=interrupted,
            )
        value, arrangement = self.pool[0]
        ordered = arrangement in self._ordered
        if self.bound is not None and self.bound >= value:
            status = Status.OPTIMAL
        elif self.bound is not None and self.bound > value * (1 - USEFUL_GAP):
            status = Status.WITHIN
        else:
            status = Status.ORDER_OPTIMAL if ordered else Status.NO_BOUND
        result = verified(
            self.problem,
            arrangement,
            stage="search",
            status=status,
            seed=self.seed,
            work=self.spent.work,
            bound=self.bound,
        )
        return replace(result, notes=tuple(self._notes), order_proven=ordered, interrupted=interrupted)
