"""Try a changed project: look for an arrangement that the judge passes, or for a proof that there is none."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.formulation import Formulation
from layout.placing.fullness import is_over_full
from layout.placing.given_positions import given
from layout.project.model.wishes import Wishes

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

_MOVES = 170_000
"""Moves of the annealing that looks for any arrangement."""

_EXACT_WORK = 0.4
"""Deterministic time of one exact search, for an arrangement or for a proof."""

FEW_DEVICES = 10
"""Up to this many devices the exact solver helps to find an arrangement, and proves that there is none."""

MOST_VAIN = 24
"""Tries of either kind that end without an answer before no more are made: each costs its whole effort."""


@dataclass(slots=True, kw_only=True)
class Trying:
    """How hard to try, from where cut holes take their place, how much patience is left, and whether to stop.

    What is found is found in the very problem that placing solves, wishes aside; what is ruled out is so in the loose
    one, so that it holds for the true shapes. Without patience left nothing is found and nothing is proven.
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
        if self._is_over() or is_over_full(project):
            return None
        formulation = self._formulated(project)
        found = None
        if formulation.safe.problem is not None:
            found = self._annealed(formulation)
            if found is None and len(formulation.safe.index.things) <= FEW_DEVICES:
                found = self._exactly(formulation)
        self.patience -= found is None
        return found

    def ruled_out(self, project: Project) -> bool:
        """Say whether it is proven that the project has no arrangement."""
        if self._is_over():
            return False
        if is_over_full(project):
            return True
        sure = self._proven(self._formulated(project))
        self.patience -= sure is None
        return bool(sure)

    def _formulated(self, project: Project) -> Formulation:
        plain = replace(project, wishes=Wishes())
        held, _ = given(plain, keep=(), chosen=self.chosen)
        return Formulation(project=plain, held=held)

    def _annealed(self, formulation: Formulation) -> Arrangement | None:
        from layout.placing.engine.anneal import Halt, first_valid
        from layout.placing.engine.kernel.problem_block import kernel_tables

        made, halt = kernel_tables(formulation.safe_problem), Halt(self.stop)
        best = first_valid(made, self.seed, round(_MOVES * self.strength), halt)
        return (
            self._judged(formulation, formulation.arrangement(best.arrangement, (), seed=self.seed))
            if best.valid
            else None
        )

    def _exactly(self, formulation: Formulation) -> Arrangement | None:
        """Look for an arrangement by exact search."""
        from layout.placing.engine.cpsat.hard_part import exact_model  # ortools is slow to import
        from layout.placing.engine.cpsat.solver import run_cpsat

        model = exact_model(formulation.safe_problem)
        answer = run_cpsat(model, work=_EXACT_WORK * self.strength, seed=self.seed, workers=1, stop=self.stop)
        if answer.arrangement is None:
            return None
        return self._judged(formulation, formulation.arrangement(answer.arrangement, (), seed=self.seed))

    def _proven(self, formulation: Formulation) -> bool | None:
        """Say whether the loose problem has no arrangement; None if that stays open."""
        from layout.placing.engine.cpsat.hard_part import exact_model
        from layout.placing.engine.cpsat.solver import run_cpsat
        from layout.placing.engine.cpsat.strengthen import order_equals
        from layout.placing.engine.precheck import prechecks

        loose: Problem | None = formulation.loose.problem
        if loose is None or prechecks(loose):
            return True
        if len(formulation.loose.index.things) > FEW_DEVICES:
            return None
        model = exact_model(loose)
        order_equals(model)
        answer = run_cpsat(model, work=_EXACT_WORK * self.strength, seed=self.seed, workers=1, stop=self.stop)
        return False if answer.arrangement is not None else True if answer.infeasible else None

    def _judged(self, formulation: Formulation, arrangement: Arrangement) -> Arrangement | None:
        from layout.placing.judge import judge, refusals  # shapely

        refused = refusals(judge(formulation.project, arrangement, chosen=self.chosen))
        return None if refused else arrangement
