"""Try a changed project: an arrangement that the judge passes, a proof that there is none, or neither."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from layout.placing.holding import given
from layout.placing.posing import Posed
from layout.project.model.wishes import Wishes

if TYPE_CHECKING:
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.result import Arrangement as Positions
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

Verdict = Literal["fits", "impossible", "open"]
"""Judged arrangement found; proven that there is none; neither."""

MOVES = 60_000
"""Moves of the annealing that looks for any arrangement."""

WORK = 0.6
"""Deterministic time of one proof."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """Outcome of one try; ``arrangement`` is there when it fits."""

    verdict: Verdict
    arrangement: Arrangement | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trying:
    """How hard to try, and from where cut holes take their place."""

    seed: int = 1
    effort: float = 1.0
    chosen: Arrangement | None = None

    def __call__(self, project: Project) -> Trial:
        """Try a project; its wishes don't matter."""
        plain = replace(project, wishes=Wishes())
        held, _ = given(plain, keep=(), chosen=self.chosen)
        posed = Posed(project=plain, held=held)
        if posed.safe.problem is None:
            impossible = posed.loose.problem is None
            return Trial(verdict="impossible" if impossible else "open")
        safe, loose = posed.safe_problem, posed.loose.problem
        if (found := self._anneal(safe)) is not None and (trial := self._judged(posed, found)):
            return trial
        if loose is not None and self._ruled_out(loose):
            return Trial(verdict="impossible")
        found = self._exact(safe)
        return (self._judged(posed, found) if found is not None else None) or Trial(verdict="open")

    def _anneal(self, problem: Problem) -> Positions | None:
        import time  # noqa: PLC0415

        from layout.placing.engine.anneal import Halt, first_valid  # noqa: PLC0415
        from layout.placing.engine.kernel.tables import tables  # noqa: PLC0415

        best = first_valid(tables(problem), self.seed, round(MOVES * self.effort), Halt(time.monotonic() + 30.0))
        return best.arrangement if best.valid else None

    def _ruled_out(self, loose: Problem) -> bool:
        from layout.placing.engine.cpsat.build import build  # noqa: PLC0415  (ortools is slow to import)
        from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415
        from layout.placing.engine.precheck import prechecks  # noqa: PLC0415

        if prechecks(loose):
            return True
        return solve(build(loose), work=WORK * self.effort, wall_s=30.0, seed=self.seed).infeasible

    def _exact(self, safe: Problem) -> Positions | None:
        from layout.placing.engine.cpsat.build import build  # noqa: PLC0415
        from layout.placing.engine.cpsat.solve import solve  # noqa: PLC0415

        return solve(build(safe), work=WORK * self.effort, wall_s=30.0, seed=self.seed).arrangement

    def _judged(self, posed: Posed, found: Positions) -> Trial | None:
        from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

        arrangement = posed.arrangement(found, (), seed=self.seed)
        if refusals(judge(posed.project, arrangement, chosen=self.chosen)):
            return None
        return Trial(verdict="fits", arrangement=arrangement)
