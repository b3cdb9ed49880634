"""Try a changed project: look for an arrangement that the judge passes, or for a proof that there is none."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.placing.holding import given
from layout.placing.load import FULL, loads
from layout.placing.posing import Posed
from layout.project.model.wishes import Wishes

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.placing.engine.problem import Problem
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

MOVES = 300_000
"""Moves of the annealing that looks for any arrangement."""

WORK = 0.4
"""Deterministic time of one proof."""

FEW = 10
"""Up to this many devices the exact solver helps to find an arrangement too."""

MOST_VAIN = 24
"""Tries of either kind that end without an answer before no more are made: each costs its whole effort."""

WALL_S = 30.0
"""Safety net of one try, s."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answer:
    """Of the exact solver: no arrangement by proof, one that the judge passes, or no answer."""

    ruled_out: bool = False
    undecided: bool = False
    arrangement: Arrangement | None = None


@dataclass(slots=True, kw_only=True)
class Trying:
    """How hard to try, from where cut holes take their place, how much patience is left, and whether to stop.

    Wishes play no part. Without patience left nothing is found and nothing is proven.
    """

    seed: int = 1
    effort: float = 1.0
    chosen: Arrangement | None = None
    patience: int = MOST_VAIN
    stop: Callable[[], bool] | None = None

    def _is_over(self) -> bool:
        return self.patience <= 0 or (self.stop is not None and self.stop())

    def fits(self, project: Project) -> Arrangement | None:
        """Return an arrangement of the project that the judge passes, if one is found."""
        if self._is_over():
            return None
        posed = self._posed(project)
        found = None
        if posed.safe.problem is not None:
            found = self._annealed(posed)
            if found is None and len(posed.safe.plan.things) <= FEW:
                found = self._exact(posed).arrangement
        self.patience -= found is None
        return found

    def ruled_out(self, project: Project) -> bool:
        """Say whether it is proven that the project has no arrangement."""
        if self._is_over():
            return False
        if any(load.share > FULL for load in loads(project)):
            return True
        answer = self._exact(self._posed(project))
        self.patience -= answer.undecided
        return answer.ruled_out

    def _posed(self, project: Project) -> Posed:
        plain = replace(project, wishes=Wishes())
        held, _ = given(plain, keep=(), chosen=self.chosen)
        return Posed(project=plain, held=held)

    def _annealed(self, posed: Posed) -> Arrangement | None:
        from layout.placing.engine.anneal import Halt, first_valid  # noqa: PLC0415
        from layout.placing.engine.kernel.tables import tables  # noqa: PLC0415

        made, halt = tables(posed.safe_problem), Halt(time.monotonic() + WALL_S, self.stop)
        best = first_valid(made, self.seed, round(MOVES * self.effort), halt)
        return self._judged(posed, posed.safe.placed(best.arrangement)) if best.valid else None

    def _exact(self, posed: Posed) -> _Answer:
        """Prove that the loose problem has no arrangement, or find one of it."""
        from layout.placing.engine.cpsat.build import build  # noqa: PLC0415  (ortools is slow to import)
        from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415
        from layout.placing.engine.cpsat.strengthen import order_equals  # noqa: PLC0415
        from layout.placing.engine.precheck import prechecks  # noqa: PLC0415

        loose: Problem | None = posed.loose.problem
        if loose is None or prechecks(loose):
            return _Answer(ruled_out=True)
        model = build(loose)
        order_equals(model)
        work = WORK * self.effort
        answer = solve(model, work=work, wall_s=WALL_S, seed=self.seed, workers=1, stop=self.stop)
        if answer.arrangement is None:
            return _Answer(ruled_out=answer.infeasible, undecided=not answer.infeasible)
        return _Answer(arrangement=self._judged(posed, posed.loose.placed(answer.arrangement)))

    def _judged(self, posed: Posed, placed: Mapping[str, Placed]) -> Arrangement | None:
        from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

        arrangement = posed.described(placed, (), seed=self.seed)
        refused = refusals(judge(posed.project, arrangement, chosen=self.chosen))
        return None if refused else arrangement
