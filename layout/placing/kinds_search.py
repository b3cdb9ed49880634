"""The search for arrangements of other kinds: each part of a problem is arranged in several ways, and they are joined.

Kinds are looked for, not waited for: each big or important thing is kept to a part of its panel where it is not yet, a
short search says what that costs, and the cheapest are worked out. Parts of a problem that have nothing to do with each
other are arranged one by one, so that a few ways of each give many arrangements of the whole.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.placing.components import components_of, joined_positions, positions_of_part
from layout.placing.diversity import importances, kind_of, moved
from layout.placing.zones import confined_problem, confinements
from layout.project.model.arrangement import Arrangement

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from layout.placing.components import Component
    from layout.placing.diversity import DifferenceKind
    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Limit, Positions
    from layout.placing.formulation import Formulation
    from layout.placing.zones import Confinement

LEAST_DIFFERENCE = 0.2
"""Share, by weight, of the things that stand elsewhere in every two alternatives."""

LOOK_MOVES = 40_000
"""Moves of the short search that says what keeping a thing to a part of its panel costs."""

WORKED_OUT = 4
"""Searches that are worked out for each alternative wanted, at most."""

RUNS = 2
"""Annealing runs of a search that is worked out."""

EXACT_WORK = 0.3
"""Deterministic time for a first arrangement of a search: one that is hard to find costs too much anyway."""

SAME_WAY = 0.03
"""Two ways of a part are one where less of the things, by weight, stand elsewhere: the cheaper is kept."""

MOST_JOINED = 3_000
"""So many arrangements of the whole are compared, the cheapest."""

MOST_WEIGHED = 150
"""Of so many, the cheapest, it is weighed which rules out the fewest others."""


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """One arrangement of a part of the problem: its cost, its answer, and its kind."""

    cost: int
    answer: Positions
    kind: DifferenceKind


Joined = tuple[_Way, ...]
"""An arrangement of the whole: a way for each part."""


@dataclass(slots=True, kw_only=True)
class KindsSearch:
    """What has been found so far, by part of the problem.

    Attributes
    ----------
    start
        The best arrangement known; its ways stand first.
    loss
        How much worse than the best an arrangement may be, as a share.
    is_over
        Says whether to stop.
    tried
        Searches that were worked out.
    """

    formulation: Formulation
    start: Positions
    limit: Limit
    seed: int
    loss: float
    is_over: Callable[[], bool]
    tried: int = 0
    _parts: tuple[Component, ...] = field(init=False)
    _start_ways: Joined = field(init=False)
    _ways: list[list[_Way]] = field(init=False)
    _known: dict[tuple[_Way, _Way], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._parts = components_of(self.formulation.safe_problem)
        self._start_ways = tuple(
            self._way(n, positions_of_part(self.start, part)) for n, part in enumerate(self._parts)
        )
        self._ways = [[way] for way in self._start_ways]

    def run(self, best: Arrangement, count: int) -> None:
        """Work out the cheapest ways until there are enough kinds: single things first, then two at a time."""
        weights = importances(self.formulation.project)
        single = [(one,) for one in confinements(self.formulation.safe, best, weights)]
        looked = self._looked(single)
        for chosen in looked:
            if len(self.picked(count)) >= count or self._is_done(count):
                return
            self._work_out(chosen)
        pairs = [(*a, *b) for k, a in enumerate(looked) for b in looked[:k] if a[0].item != b[0].item]
        for chosen in pairs:
            if len(self.picked(count)) >= count or self._is_done(count):
                return
            self._work_out(chosen)

    def picked(self, count: int, loss: float | None = None) -> list[Joined]:
        """Return up to so many arrangements that differ in kind, the best known first.

        Each next one is that which differs most from all before, less what it costs: a tenth dearer is to differ by a
        tenth more. Where that gives too few, each next one is that which rules out the fewest others.
        """
        joined = self._joined()
        least = _cost(joined[0])
        most = least * (1 + (self.loss if loss is None else loss)) + 1e-6
        near = [one for one in joined if _cost(one) <= most]
        first = self._start_ways if _cost(self._start_ways) <= most else near[0]
        found = self._greedy(near, first, count, lambda one, share, _: share - _cost(one) / max(least, 1))
        if len(found) < count:
            more = self._greedy(near[:MOST_WEIGHED], first, count, self._ruling_out)
            found = max(found, more, key=len)
        return found

    def _greedy(
        self,
        near: Sequence[Joined],
        first: Joined,
        count: int,
        worth: Callable[[Joined, float, Sequence[Joined]], float],
    ) -> list[Joined]:
        found = [first]
        apart = [(self._moved(one, first), one) for one in near]
        while len(found) < count:
            apart = [(share, one) for share, one in apart if share >= LEAST_DIFFERENCE]
            if not apart:
                break
            left = [one for _, one in apart]
            _, added = max(apart, key=lambda entry: worth(entry[1], entry[0], left))
            found.append(added)
            apart = [(min(share, self._moved(one, added)), one) for share, one in apart]
        return found

    def _ruling_out(self, one: Joined, _share: float, left: Sequence[Joined]) -> float:
        return -sum(self._moved(one, other) < LEAST_DIFFERENCE for other in left)

    def _moved(self, one: Joined, other: Joined) -> float:
        """Return the weight of the things that stand elsewhere in two arrangements of the whole."""
        total = 0.0
        for a, b in zip(one, other, strict=True):
            if a is not b:
                pair = (a, b)
                if pair not in self._known:
                    self._known[pair] = self._known[b, a] = moved(a.kind, b.kind)
                total += self._known[pair]
        return total

    def refuse(self, joined: Joined) -> None:
        """Never use again what an arrangement has that the best known has not."""
        for n, way in enumerate(joined):
            if way is not self._start_ways[n]:
                self._ways[n] = [one for one in self._ways[n] if one is not way]

    def whole(self, joined: Joined) -> Positions:
        """Return the answer to the whole problem."""
        count = len(self.formulation.safe_problem.items)
        return joined_positions(count, self._parts, [way.answer for way in joined])

    def _is_done(self, count: int) -> bool:
        return self.tried >= WORKED_OUT * count or self.is_over()

    def _looked(self, chosen: Sequence[tuple[Confinement, ...]]) -> list[tuple[Confinement, ...]]:
        """Return them in the order of what a short search makes of each: how much differs, less what that costs.

        What it finds no way for comes last.
        """
        from layout.placing.engine.anneal import Halt, main_law, one_run
        from layout.placing.engine.kernel.problem_block import kernel_tables

        ranked: list[tuple[float, tuple[Confinement, ...]]] = []
        for one in chosen:
            if self.is_over():
                break
            n, problem = self._confined(one)
            if problem is None:
                continue
            made = kernel_tables(problem)
            best = one_run(made, self.seed, LOOK_MOVES, main_law(made), halt=Halt(self.is_over), shown=[])
            worth = -inf
            if best.valid:
                way, start = self._way(n, best.arrangement), self._start_ways[n]
                worth = moved(way.kind, start.kind) - (way.cost - start.cost) / max(_cost(self._start_ways), 1)
            ranked.append((worth, one))
        return [one for _, one in sorted(ranked, key=lambda entry: -entry[0])]

    def _work_out(self, chosen: tuple[Confinement, ...]) -> None:
        from layout.placing.engine.stages import run_stages

        n, problem = self._confined(chosen)
        if problem is None:
            return
        self.tried += 1
        outcome = run_stages(problem, self.limit, self.seed, stop=self.is_over)
        for _, answer in outcome.pool:
            self._keep(n, self._way(n, answer))

    def _confined(self, chosen: tuple[Confinement, ...]) -> tuple[int, Problem | None]:
        part, problem = confined_problem(self._parts, chosen)
        return (0, None) if part is None else (self._parts.index(part), problem)

    def _way(self, n: int, answer: Positions) -> _Way:
        from layout.placing.engine import recount

        part = self._parts[n]
        others = [positions_of_part(self.start, one) for one in self._parts]
        whole = joined_positions(
            len(self.formulation.safe_problem.items), self._parts, [*others[:n], answer, *others[n + 1 :]]
        )
        index = self.formulation.safe.index.number
        placed = {name: one for name, one in self.formulation.safe.placed(whole).items() if index[name] in part.items}
        kind = kind_of(self.formulation.project, Arrangement(placed=placed))
        return _Way(cost=recount.value(part.subset.problem, answer), answer=answer, kind=kind)

    def _keep(self, n: int, way: _Way) -> None:
        """Keep a way where it is new, or cheaper than that which is like it."""
        for k, other in enumerate(self._ways[n]):
            if moved(way.kind, other.kind) < SAME_WAY:
                if way.cost < other.cost and k:
                    self._ways[n][k] = way
                return
        self._ways[n].append(way)

    def _joined(self) -> list[Joined]:
        """Return arrangements of the whole, the cheapest first."""
        found: list[Joined] = [()]
        for ways in self._ways:
            found = sorted(((*one, way) for one in found for way in ways), key=_cost)[:MOST_JOINED]
        return found


def _cost(joined: Joined) -> int:
    return sum(way.cost for way in joined)
