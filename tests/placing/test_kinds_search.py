"""Kinds are joined from ways of parts that have nothing to do with each other, and what is refused stays out."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from layout.placing.by_components import Effort
from layout.placing.formulation import Formulation
from layout.placing.kinds_search import EXACT_WORK, LEAST_DIFFERENCE, RUNS, KindsSearch
from layout.placing.place import place
from layout.project.model.wishes import Wish
from tests.placing.projects import device, panel, project, wishes

TWO = project(
    replace(device("a", 90, 60), panel=("port",)),
    replace(device("b", 80, 60), panel=("starboard",)),
    panels=tuple(replace(panel(400, 300), id=key) for key in ("port", "starboard")),
    wishes=wishes(Wish(wish="near point", point=(10.0, 10.0))),
)


def search(loss: float) -> KindsSearch:
    """Return a search on two panels with one thing on each, run for six kinds."""
    first = place(TWO, effort=Effort.QUICK)
    assert first.arrangement is not None
    formulation = Formulation(project=TWO, held={})
    limit = replace(Effort.QUICK.limit, runs=RUNS, exact=EXACT_WORK)
    found = KindsSearch(
        formulation=formulation, start=formulation.safe.positions(first.arrangement.placed), seed=1, loss=loss,
        limit=limit, is_over=lambda: False,
    )  # fmt: skip
    found.run(first.arrangement, 6)
    return found


def test_ways_of_two_panels_are_joined() -> None:
    """A few ways of each panel give six kinds of the whole, every two apart; a way that is refused is in none."""
    made = search(9.0)
    picked = made.picked(6)
    assert len(picked) == 6
    assert {len(joined) for joined in picked} == {2}
    assert all(made._moved(a, b) >= LEAST_DIFFERENCE for a, b in combinations(picked, 2))
    both = next(joined for joined in picked if all(a is not b for a, b in zip(joined, picked[0], strict=True)))
    made.refuse(both)
    assert not any(way in both for joined in made.picked(6) for way in joined)


def test_nothing_dearer_than_the_loss_is_picked() -> None:
    """Without a loss only what is as good as the best is left: here each thing has one best place."""
    assert len(search(0.0).picked(6)) == 1
