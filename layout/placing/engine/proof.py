"""Proof: how much better than a known arrangement any other can be.

Few items are proven soonest by one plain search that is told what each choice of side costs; what it leaves
open goes to rows from groups of items, and then to two searches beside each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine import recount
from layout.placing.engine.bounds.growing_groups import Growth
from layout.placing.engine.bounds.relaxation import Bound, bound
from layout.placing.engine.cpsat.portfolio import alone, side_by_side

if TYPE_CHECKING:
    from collections.abc import Callable

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions

ALONE = 14
"""Up to so many items the plain search goes first."""

SHARE_ALONE = 0.3
"""Share of the work that goes into it."""

SHARE_BOUND = 0.2
"""Share that goes into rows from groups; each of the two searches after that gets half of what is left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofFound:
    """What is proven: nothing costs less than ``bound``; with ``work`` in deterministic time."""

    bound: int
    work: float


def prove_arrangement(
    problem: Problem,
    best: Positions,
    *,
    work: float,
    seed: int,
    tell: Callable[[int], bool],
    offer: Callable[[Positions], None],
) -> ProofFound:
    """Prove what can be proven about the best arrangement known.

    Parameters
    ----------
    problem
        Rounded to the loose side, so that what holds for it holds for the true shapes.
    work
        Deterministic time of all searches together.
    tell
        Called with the bound so far; True ends the work.
    offer
        Called with each better arrangement of the problem that is found on the way.
    """
    low, spent = 0, 0.0
    if len(problem.items) <= ALONE:
        verdict = alone(problem, Bound(), best, work=SHARE_ALONE * work, seed=seed)
        low, spent = verdict.bound, verdict.work
        best = _better(problem, verdict.arrangement, best, offer)
        if verdict.proven or tell(low):
            return ProofFound(bound=low, work=spent)
    growth = Growth(total=SHARE_BOUND * work)
    known = bound(problem, best, growth=growth, go_on=lambda: not tell(low))
    spent += known.work
    low = max(low, known.value)
    if tell(low):
        return ProofFound(bound=low, work=spent)
    rest = max(0.1, work - spent) / 2
    verdict = side_by_side(problem, known, best, work=rest, seed=seed, tell=lambda now: tell(max(low, now)))
    _better(problem, verdict.arrangement, best, offer)
    return ProofFound(bound=max(low, verdict.bound), work=spent + verdict.work)


def _better(
    problem: Problem, found: Positions | None, best: Positions, offer: Callable[[Positions], None]
) -> Positions:
    """Offer what was found where it is better; returns the better of the two."""
    if found is None or recount.value(problem, found) >= recount.value(problem, best):
        return best
    offer(found)
    return found
