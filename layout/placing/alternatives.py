"""Arrangements that differ in kind, each nearly as good as the best."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.findings.finding import Finding
from layout.light_dataclass import dataclass
from layout.placing.by_components import Effort
from layout.placing.diversity import difference, kind_of, names_of
from layout.placing.formulation import Formulation
from layout.placing.given_positions import given
from layout.placing.kinds_search import EXACT_WORK, RUNS, KindsSearch
from layout.placing.kinds_search import LEAST_DIFFERENCE as LEAST_DIFFERENCE  # noqa: PLC0414  (given on)
from layout.placing.place import proof_of
from layout.placing.wishes.wanted import COST_PER_MM

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from layout.placing.kinds_search import Joined
    from layout.placing.outcome import Placing
    from layout.project.model.arrangement import Arrangement
    from layout.project.model.project import Project

LOSS = 0.15
"""How much worse than the best an alternative may be, as a share of the best value, unless the user says otherwise."""

STEP, MOST_LOSS = 0.05, 1.0
"""In such steps of the loss is said what would give more, up to the most that is thought of."""


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
    places = {**best.placed, **{room.device: room for room in first.rooms}}
    search = KindsSearch(
        formulation=formulation, start=formulation.safe.positions(places), seed=seed, loss=loss,
        limit=replace(effort.limit, runs=RUNS, rounds=0, proof=0.0, exact=EXACT_WORK), is_over=stop or (lambda: False),
    )  # fmt: skip
    search.run(best, count)
    shown = _judged(search, best, count=count, chosen=chosen)
    names = names_of(project, shown)
    kinds = [kind_of(project, one) for one in shown]
    table = tuple(tuple(round(difference(a, b), 3) for b in kinds) for a in kinds)
    return Alternatives(
        arrangements=shown,
        names=names,
        differences=table,
        tried=search.tried,
        lines=(*(f"{number}: {name}" for number, name in enumerate(names, 1)), _known(table, loss, search.tried)),
        findings=tuple(_few(len(shown), count, loss, _dearer(search, len(shown), count))),
    )


def _judged(
    search: KindsSearch, best: Arrangement, *, count: int, chosen: Arrangement | None
) -> tuple[Arrangement, ...]:
    """Return what was picked and passes the judge, the best first; what does not is picked again without it."""
    from layout.placing.engine import recount
    from layout.placing.judge import judge, refusals  # shapely

    formulation = search.formulation
    passed: dict[Joined, Arrangement] = {}
    while True:
        picked = search.picked(count)
        for joined in picked:
            whole = search.whole(joined)
            if whole == search.start:
                passed[joined] = best
            elif joined not in passed:
                costs = recount.costs(formulation.safe_problem, whole)
                made = _bounded(formulation.arrangement(whole, costs, seed=search.seed), best)
                if refusals(judge(formulation.project, made, chosen=chosen)):
                    search.refuse(joined)
                    break
                passed[joined] = made
        else:
            return tuple(sorted((passed[one] for one in picked), key=lambda one: one.value))


def _dearer(search: KindsSearch, shown: int, count: int) -> tuple[int, float] | None:
    """Return how many more kinds a larger loss gives, and that loss: the least that gives all wanted, or the most."""
    most: tuple[int, float] | None = None
    loss = (search.loss // STEP + 1) * STEP
    while loss <= MOST_LOSS + STEP / 2 and (most is None or shown + most[0] < count):
        more = len(search.picked(count, loss)) - shown
        if more > (most[0] if most else 0):
            most = more, loss
        loss += STEP
    return most


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
