"""Arrangements that differ in kind, each nearly as good as the best."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.placing.by_components import Effort, solve_components
from layout.placing.diversity import difference, standing_sides
from layout.placing.formulation import Formulation
from layout.placing.given_positions import given
from layout.placing.place import proof_of
from layout.placing.wishes.wanted import COST_PER_MM

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layout.placing.engine.stage_result import Limit, Watch
    from layout.placing.outcome import Placing
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

LEAST_DIFFERENCE = 0.15
"""Share of pair relations in which every two alternatives differ."""

WORST = 0.10
"""How much worse than the best an alternative may be, as a share of the best value."""

TRIES_EACH = 4
"""Runs for each alternative that is asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternatives:
    """Arrangements that differ in kind.

    Attributes
    ----------
    arrangements
        In the order of their values; every two differ in at least ``LEAST_DIFFERENCE`` of their pair relations, and
        none is worse than the best by more than ``WORST``.
    differences
        ``differences[i][j]``: share of pair relations in which two of them differ.
    exist
        How many such arrangements are known: as many or more than were asked for.
    tried
        Runs that led to a valid arrangement.
    lines
        What to say: how many exist, and how much they differ.
    findings
        A note where fewer were found than asked for.
    """

    arrangements: tuple[Arrangement, ...]
    differences: tuple[tuple[float, ...], ...]
    exist: int
    tried: int
    lines: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def alternatives(
    project: Project,
    first: Placing,
    *,
    count: int = 6,
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

    For the other parameters see ``place``.

    Raises
    ------
    ValueError
        If count is not at least 1.
    """
    if count < 1:
        raise ValueError(f"count must be at least 1, got {count}")
    best = first.arrangement
    if best is None or best.proof == "not usable":
        return Alternatives(arrangements=(), differences=(), exist=0, tried=0)
    held, _ = given(project, keep=tuple(keep), chosen=chosen)
    formulation = Formulation(project=project, held=held)
    limit = replace(effort.limit, runs=TRIES_EACH * count)
    found = [best, *_candidates(formulation, limit, seed, progress, stop)]
    valid = [one for one in found[1:] if _is_valid(project, one, chosen)]
    ranked = sorted([found[0], *valid], key=lambda one: one.value)
    ranked = [_bounded(one, best) for one in ranked]
    near = [one for one in ranked if one.value <= ranked[0].value * (1 + WORST) + 1e-9]
    kinds = [standing_sides(project, one) for one in near]
    picked = _apart(kinds)
    shown = sorted(_spread(kinds, picked, count))
    table = tuple(tuple(round(difference(kinds[i], kinds[j]), 3) for j in shown) for i in shown)
    return Alternatives(
        arrangements=tuple(near[k] for k in shown),
        differences=table,
        exist=len(picked),
        tried=len(valid),
        lines=_lines(table, len(picked), len(valid)),
        findings=tuple(_few(len(shown), count)),
    )


def _lines(table: Sequence[Sequence[float]], exist: int, tried: int) -> tuple[str, ...]:
    shares = [share for i, row in enumerate(table) for share in row[:i]]
    known = (
        f"{exist} arrangements are known that differ in at least {100 * LEAST_DIFFERENCE:g} % of the pair relations "
        f"and are within {100 * WORST:g} % of the best, from {tried} valid runs; there may be more."
    )
    if not shares:
        return (known,)
    return (known, f"Those shown differ in {100 * min(shares):.0f} to {100 * max(shares):.0f} % of the pair relations.")


def _candidates(
    formulation: Formulation, limit: Limit, seed: int, watch: Watch | None, stop: Callable[[], bool] | None
) -> list[Arrangement]:
    """Return every polished arrangement of a search with many runs."""
    from layout.placing.engine.recount import costs  # noqa: PLC0415

    problem = formulation.safe_problem
    found = solve_components(problem, formulation.for_bounds, limit=limit, seed=seed + 1, watch=watch, stop=stop)
    return [formulation.arrangement(positions, costs(problem, positions), seed=seed) for positions in found.pool]


def _is_valid(project: Project, arrangement: Arrangement, chosen: Arrangement | None) -> bool:
    from layout.placing.judge import judge, refusals  # noqa: PLC0415  (shapely)

    return not refusals(judge(project, arrangement, chosen=chosen))


def _bounded(arrangement: Arrangement, best: Arrangement) -> Arrangement:
    """Return an arrangement with what the proof of the best one says about it."""
    if best.bound is None:
        return arrangement
    value, bound = round(arrangement.value * COST_PER_MM), round(best.bound * COST_PER_MM)
    own_order = arrangement.placed == best.placed and best.proof == "optimal for this order"
    proof, gap = proof_of(value, bound, order_proven=own_order)
    return replace(arrangement, proof=proof, gap=gap, bound=best.bound, clock_struck=best.clock_struck)


def _apart(kinds: Sequence[tuple[str, ...]]) -> list[int]:
    """Return a set of which every two differ enough, better ones first; no other can be added to it."""
    picked: list[int] = []
    for k, kind in enumerate(kinds):
        if all(difference(kind, kinds[other]) >= LEAST_DIFFERENCE for other in picked):
            picked.append(k)
    return picked


def _spread(kinds: Sequence[tuple[str, ...]], picked: Sequence[int], count: int) -> list[int]:
    """Return the best and, one after another, what differs most from those taken already."""
    taken = [picked[0]]
    while len(taken) < min(count, len(picked)):
        rest = [k for k in picked if k not in taken]
        taken.append(max(rest, key=lambda k: (min(difference(kinds[k], kinds[t]) for t in taken), -k)))
    return taken


def _few(shown: int, count: int) -> list[Finding]:
    if shown >= count:
        return []
    return [
        Finding(
            rule="fit 11",
            message=(
                f"{shown} of {count} arrangements were found that differ in {100 * LEAST_DIFFERENCE:g} % of the pair "
                f"relations and are within {100 * WORST:g} % of the best"
            ),
            remedy="fewer pins and relations leave more freedom; more work may find more",
        )
    ]
