"""Arrangements that differ in kind, each nearly as good as the best.

Kinds are looked for, not waited for: each big or important thing is kept to a part of its panel where it
is not yet, a short search says what that costs, and the cheapest of them are worked out.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.placing.by_components import Effort
from layout.placing.components import components_of, joined_positions, positions_of_part
from layout.placing.diversity import difference, importances, kind_of, names_of
from layout.placing.formulation import Formulation
from layout.placing.given_positions import given
from layout.placing.place import proof_of
from layout.placing.wishes.wanted import COST_PER_MM
from layout.placing.zones import Confinement, confined_problem, confinements

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layout.placing.components import Component
    from layout.placing.diversity import Kind
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Limit, Positions, Watch
    from layout.placing.outcome import Placing
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

LEAST_DIFFERENCE = 0.2
"""Share, by weight, of the things that stand elsewhere in every two alternatives."""

LOSS = 0.15
"""How much worse than the best an alternative may be, as a share of the best value, unless the user says otherwise."""

LOOK_MOVES = 40_000
"""Moves of the short search that says what keeping a thing to a part of its panel costs."""

WORKED_OUT = 3
"""Searches that are worked out for each alternative wanted, at most."""

STEP = 0.05
"""In such steps of the loss is said what would give more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternatives:
    """Arrangements that differ in kind.

    Attributes
    ----------
    arrangements
        In the order of their values; in every two at least ``LEAST_DIFFERENCE`` of the things, by weight, stand
        elsewhere, and none is worse than the best by more than the loss that was allowed.
    names
        What each is called, in words.
    differences
        ``differences[i][j]``: share, by weight, of the things that stand elsewhere.
    tried
        Searches that were worked out.
    lines
        What to say: their names, and what would give more.
    findings
        A note where fewer were found than asked for.
    """

    arrangements: tuple[Arrangement, ...]
    names: tuple[str, ...] = ()
    differences: tuple[tuple[float, ...], ...] = ()
    tried: int = 0
    lines: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def alternatives(
    project: Project,
    first: Placing,
    *,
    count: int = 6,
    loss: float = LOSS,
    seed: int = 1,
    effort: Effort = Effort.NORMAL,
    keep: Iterable[str] = (),
    chosen: Arrangement | None = None,
    progress: Watch | None = None,
    stop: Callable[[], bool] | None = None,
) -> Alternatives:
    """Return up to ``count`` arrangements that differ in kind, each judged.

    Parameters
    ----------
    first
        Outcome of placing with the same seed, effort, keep and chosen: it gives the bound, and takes part itself.
    count
        How many are wanted.
    loss
        How much worse than the best one may be, as a share of the best value.

    For the other parameters see ``place``.

    Raises
    ------
    ValueError
        If count is not at least 1, or loss is less than 0.
    """
    if count < 1:
        raise ValueError(f"count must be at least 1, got {count}")
    if not loss >= 0:
        raise ValueError(f"loss must be at least 0, got {loss}")
    best = first.arrangement
    if best is None or best.proof == "not usable":
        return Alternatives(arrangements=())
    held, _ = given(project, keep=tuple(keep), chosen=chosen)
    formulation = Formulation(project=project, held=held)
    search = _Search(
        project=project, formulation=formulation, first=first, best=best, limit=effort.limit, seed=seed,
        loss=loss, chosen=chosen, progress=progress, stop=stop,
    )  # fmt: skip
    search.run(count)
    found = sorted(search.found, key=lambda one: one[0].value)[:count]
    shown = tuple(_bounded(one, best) for one, _ in found)
    names = names_of(project, shown)
    table = tuple(tuple(round(difference(a, b), 3) for _, b in found) for _, a in found)
    return Alternatives(
        arrangements=shown,
        names=names,
        differences=table,
        tried=search.tried,
        lines=(*(f"{number}: {name}" for number, name in enumerate(names, 1)), _known(table, loss, search.tried)),
        findings=tuple(_few(len(shown), count, loss, search.dearer(count - len(shown)))),
    )


@dataclass(slots=True, kw_only=True)
class _Search:
    """The search for kinds: those found, and those that cost too much."""

    project: Project
    formulation: Formulation
    first: Placing
    best: Arrangement
    limit: Limit
    seed: int
    loss: float
    chosen: Arrangement | None
    progress: Watch | None
    stop: Callable[[], bool] | None
    found: list[tuple[Arrangement, Kind]] = field(default_factory=list)
    over: list[tuple[Arrangement, Kind]] = field(default_factory=list)
    tried: int = 0

    def run(self, count: int) -> None:
        """Work out the cheapest confinements until there are enough kinds; then pairs of them."""
        self.found.append((self.best, kind_of(self.project, self.best)))
        safe = self.formulation.safe_problem
        parts = components_of(safe)
        places = {**self.best.placed, **{room.device: room for room in self.first.rooms}}
        start = self.formulation.safe.positions(places)
        weights = importances(self.project)
        single = confinements(self.formulation.safe, self.best, weights)
        tries = self._ranked(safe, parts, start, [(one,) for one in single])
        self._work_out(tries, count, safe, parts, start)
        if len(self.found) < count and not self._is_over():
            cheap = [chosen for _, chosen, _ in tries[: 2 * count]]
            pairs = [(*a, *b) for k, a in enumerate(cheap) for b in cheap[:k] if a[0].item != b[0].item]
            self._work_out(self._ranked(safe, parts, start, pairs[: 4 * count]), count, safe, parts, start)

    def _is_over(self) -> bool:
        return self.stop is not None and self.stop()

    def _ranked(
        self, safe: Problem, parts: Sequence[Component], start: Positions, chosen: Sequence[tuple[Confinement, ...]]
    ) -> list[tuple[int, tuple[Confinement, ...], Kind]]:
        """Return what a short search makes of each, the cheapest first, without those that have no arrangement."""
        from layout.placing.engine import recount
        from layout.placing.engine.anneal import Halt, main_law, one_run
        from layout.placing.engine.kernel.problem_block import kernel_tables

        ranked = []
        for one in chosen:
            if self._is_over():
                break
            part, problem = confined_problem(parts, one)
            if part is None or problem is None:
                continue
            made = kernel_tables(problem)
            best = one_run(made, self.seed, LOOK_MOVES, main_law(made), halt=Halt(self.stop), shown=[])
            if best.valid:
                whole = self._whole(safe, parts, start, part, best.arrangement)
                kind = kind_of(self.project, self._described(whole, ()))
                ranked.append((recount.value(safe, whole), one, kind))
        return sorted(ranked, key=lambda entry: entry[0])

    def _work_out(
        self,
        tries: Sequence[tuple[int, tuple[Confinement, ...], Kind]],
        count: int,
        safe: Problem,
        parts: Sequence[Component],
        start: Positions,
    ) -> None:
        from layout.placing.engine import recount
        from layout.placing.engine.stages import run_stages

        limit = replace(self.limit, runs=4, rounds=0, proof=0.0)
        for _, one, looked in tries:
            if len(self.found) >= count or self.tried >= 2 * WORKED_OUT * count or self._is_over():
                return
            if not self._is_new(looked):
                continue
            part, problem = confined_problem(parts, one)
            if part is None or problem is None:
                continue
            self.tried += 1
            result = run_stages(problem, limit, self.seed, stop=self.stop).result
            if result.arrangement is None:
                continue
            whole = self._whole(safe, parts, start, part, result.arrangement)
            arrangement = self._described(whole, recount.costs(safe, whole), work=result.work)
            kind = kind_of(self.project, arrangement)
            if not self._is_new(kind) or not self._is_valid(arrangement):
                continue
            near = arrangement.value <= self.best.value * (1 + self.loss) + 1e-9
            (self.found if near else self.over).append((arrangement, kind))

    def _is_new(self, kind: Kind) -> bool:
        return all(difference(kind, other) >= LEAST_DIFFERENCE for _, other in self.found)

    def dearer(self, wanted: int) -> tuple[int, float] | None:
        """Return how many more kinds the next larger loss gives, and that loss; None where none is known."""
        kinds = [kind for _, kind in self.found]
        losses: list[float] = []
        for one, kind in sorted(self.over, key=lambda entry: entry[0].value):
            if len(losses) < wanted and all(difference(kind, other) >= LEAST_DIFFERENCE for other in kinds):
                kinds.append(kind)
                losses.append(one.value / self.best.value - 1 if self.best.value else 0.0)
        if not losses:
            return None
        needed = -(-losses[0] // STEP) * STEP
        return sum(one <= needed for one in losses), needed

    def _whole(
        self, safe: Problem, parts: Sequence[Component], start: Positions, part: Component, answer: Positions
    ) -> Positions:
        shown = [answer if one is part else positions_of_part(start, one) for one in parts]
        return joined_positions(len(safe.items), parts, shown)

    def _described(self, whole: Positions, costs: Sequence[tuple[str, int]], *, work: float = 0.0) -> Arrangement:
        return replace(self.formulation.arrangement(whole, costs, seed=self.seed), work=work)

    def _is_valid(self, arrangement: Arrangement) -> bool:
        from layout.placing.judge import judge, refusals  # shapely

        return not refusals(judge(self.project, arrangement, chosen=self.chosen))


def _bounded(arrangement: Arrangement, best: Arrangement) -> Arrangement:
    """Return an arrangement with what the proof of the best one says about it."""
    if best.bound is None or arrangement is best:
        return arrangement
    value, bound = round(arrangement.value * COST_PER_MM), round(best.bound * COST_PER_MM)
    proof, gap = proof_of(value, bound, order_proven=False)
    return replace(arrangement, proof=proof, gap=gap, bound=best.bound)


def _known(table: Sequence[Sequence[float]], loss: float, tried: int) -> str:
    shares = [share for i, row in enumerate(table) for share in row[:i]]
    if not shares:
        return f"No other kind is known within {100 * loss:g} % of the best; {tried} searches were made for one."
    return (
        f"In every two of them {100 * min(shares):.0f} to {100 * max(shares):.0f} % of the things stand elsewhere, by "
        f"their size; none is worse than the best by more than {100 * loss:g} %."
    )


def _few(shown: int, count: int, loss: float, dearer: tuple[int, float] | None) -> list[Finding]:
    if shown >= count:
        return []
    remedy = "fewer pins and relations leave more freedom"
    if dearer is not None:
        more, needed = dearer
        remedy = f"to see {more} more, allow {100 * needed:.0f} % instead of {100 * loss:g} %"
    return [
        Finding(
            rule="fit 11",
            message=(
                f"{shown} of {count} kinds of arrangement were found within {100 * loss:g} % of the best: elsewhere "
                "the big things cost more, or have no room"
            ),
            remedy=remedy,
        )
    ]
