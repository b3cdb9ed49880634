"""Try a changed project: look for an arrangement that the judge passes, or for a proof that there is none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.placing.formulation import Formulation
from layout.placing.fullness import FULL, fullness_of
from layout.placing.given_positions import given
from layout.project.model.wishes import Wishes

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.placing.engine.problem import Problem
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

MOVES = 300_000
"""Moves of the annealing that looks for any arrangement."""

PROOF_WORK = 0.4
"""Deterministic time of one proof."""

FEW_DEVICES = 10
"""Up to this many devices the exact solver helps to find an arrangement too."""

MOST_VAIN = 24
"""Tries of either kind that end without an answer before no more are made: each costs its whole effort."""


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
    strength: float = 1.0
    chosen: Arrangement | None = None
    patience: int = MOST_VAIN
    stop: Callable[[], bool] | None = None

    def _is_over(self) -> bool:
        return self.patience <= 0 or (self.stop is not None and self.stop())

    def fits(self, project: Project) -> Arrangement | None:
        """Return an arrangement of the project that the judge passes, if one is found."""
        if self._is_over():
            return None
        formulation = self._posed(project)
        found = None
        if formulation.safe.problem is not None:
            found = self._annealed(formulation)
            if found is None and len(formulation.safe.index.things) <= FEW_DEVICES:
                found = self._exact(formulation).arrangement
        self.patience -= found is None
        return found

    def ruled_out(self, project: Project) -> bool:
        """Say whether it is proven that the project has no arrangement."""
        if self._is_over():
            return False
        if any(load.share > FULL for load in fullness_of(project)):
            return True
        answer = self._exact(self._posed(project))
        self.patience -= answer.undecided
        return answer.ruled_out

    def _posed(self, project: Project) -> Formulation:
        plain = replace(project, wishes=Wishes())
        held, _ = given(plain, keep=(), chosen=self.chosen)
        return Formulation(project=plain, held=held)

    def _annealed(self, formulation: Formulation) -> Arrangement | None:
        from layout.placing.engine.anneal import Halt, first_valid  # noqa: PLC0415
        from layout.placing.engine.kernel.problem_block import kernel_tables  # noqa: PLC0415

        made, halt = kernel_tables(formulation.safe_problem), Halt(self.stop)
        best = first_valid(made, self.seed, round(MOVES * self.strength), halt)
        return self._judged(formulation, formulation.safe.placed(best.arrangement)) if best.valid else None

    def _exact(self, formulation: Formulation) -> _Answer:
        """Prove that the loose problem has no arrangement, or find one of it."""
        from layout.placing.engine.cpsat.hard_part import exact_model  # noqa: PLC0415  (ortools is slow to import)
        from layout.placing.engine.cpsat.solver import run_cpsat  # noqa: PLC0415
        from layout.placing.engine.cpsat.strengthen import order_equals  # noqa: PLC0415
        from layout.placing.engine.precheck import prechecks  # noqa: PLC0415

        loose: Problem | None = formulation.loose.problem
        if loose is None or prechecks(loose):
            return _Answer(ruled_out=True)
        model = exact_model(loose)
        order_equals(model)
        work = PROOF_WORK * self.strength
        answer = run_cpsat(model, work=work, seed=self.seed, workers=1, stop=self.stop)
        if answer.arrangement is None:
            return _Answer(ruled_out=answer.infeasible, undecided=not answer.infeasible)
        return _Answer(arrangement=self._judged(formulation, formulation.loose.placed(answer.arrangement)))

    def _judged(self, formulation: Formulation, placed: Mapping[str, Placed]) -> Arrangement | None:
        from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

        arrangement = formulation.described(placed, (), seed=self.seed)
        refused = refusals(judge(formulation.project, arrangement, chosen=self.chosen))
        return None if refused else arrangement
