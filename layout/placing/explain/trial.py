"""Try a changed project: an arrangement that the judge passes, a proof that there is none, or neither."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from layout.placing.holding import given
from layout.placing.posing import Posed
from layout.project.model.wishes import Wishes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Arrangement as Positions
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

Verdict = Literal["fits", "impossible", "open"]
"""Judged arrangement found; proven that there is none; neither."""

MOVES = 300_000
"""Moves of the annealing that looks for any arrangement."""

WORK = 0.4
"""Deterministic time of one proof."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """Outcome of one try; ``arrangement`` is there when it fits."""

    verdict: Verdict
    arrangement: Arrangement | None = None


MOST_OPEN = 14
"""Tries that end open before no more are made: each costs its whole effort."""


@dataclass(slots=True, kw_only=True)
class Trying:
    """How hard to try, from where cut holes take their place, and how much patience is left."""

    seed: int = 1
    effort: float = 1.0
    chosen: Arrangement | None = None
    patience: int = MOST_OPEN

    def __call__(self, project: Project) -> Trial:
        """Try a project; its wishes don't matter. Without patience left the answer is open at once."""
        if self.patience <= 0:
            return Trial(verdict="open")
        trial = self._try(replace(project, wishes=Wishes()))
        if trial.verdict == "open":
            self.patience -= 1
        return trial

    def _try(self, plain: Project) -> Trial:
        held, _ = given(plain, keep=(), chosen=self.chosen)
        posed = Posed(project=plain, held=held)
        if posed.safe.problem is None:
            impossible = posed.loose.problem is None
            return Trial(verdict="impossible" if impossible else "open")
        found = self._anneal(posed.safe_problem)
        if found is not None and (trial := self._judged(posed, posed.safe.placed(found))):
            return trial
        if posed.loose.problem is None:
            return Trial(verdict="open")
        return self._exact(posed, posed.loose.problem)

    def _anneal(self, problem: Problem) -> Positions | None:
        import time  # noqa: PLC0415

        from layout.placing.engine.anneal import Halt, first_valid  # noqa: PLC0415
        from layout.placing.engine.kernel.tables import tables  # noqa: PLC0415

        best = first_valid(tables(problem), self.seed, round(MOVES * self.effort), Halt(time.monotonic() + 30.0))
        return best.arrangement if best.valid else None

    def _exact(self, posed: Posed, loose: Problem) -> Trial:
        """Prove that the loose problem has no arrangement, or see whether the judge passes the one it has."""
        from layout.placing.engine.cpsat.build import build  # noqa: PLC0415  (ortools is slow to import)
        from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415
        from layout.placing.engine.precheck import prechecks  # noqa: PLC0415

        if prechecks(loose):
            return Trial(verdict="impossible")
        answer = solve(build(loose), work=WORK * self.effort, wall_s=30.0, seed=self.seed, workers=1)
        if answer.infeasible:
            return Trial(verdict="impossible")
        placed = posed.loose.placed(answer.arrangement) if answer.arrangement is not None else None
        return (self._judged(posed, placed) if placed is not None else None) or Trial(verdict="open")

    def _judged(self, posed: Posed, placed: Mapping[str, Placed]) -> Trial | None:
        from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

        arrangement = posed.described(placed, (), seed=self.seed)
        if refusals(judge(posed.project, arrangement, chosen=self.chosen)):
            return None
        return Trial(verdict="fits", arrangement=arrangement)
