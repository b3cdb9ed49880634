"""Alternatives differ in kind, are nearly as good as the best, and are judged."""

from __future__ import annotations

from itertools import combinations

import pytest

from layout.placing.alternatives import LEAST_DIFFERENCE, WORST, alternatives
from layout.placing.by_components import Effort
from layout.placing.diversity import difference, standing_sides
from layout.placing.judge import judge, refusals
from layout.placing.place import place
from layout.project.model.device import Pin
from layout.project.model.wishes import Wish
from tests.placing.projects import arrangement, device, project, wishes

FOUR = project(
    *(device(key, 60 + 6 * k, 40 + 4 * k) for k, key in enumerate("abcd")),
    wishes=wishes(Wish(wish="near point", point=(200.0, 150.0))),
)


def test_alternatives_hold_what_they_promise() -> None:
    """Every two differ in at least 15 % of the pair relations, none is over 10 % worse, and the judge passes all."""
    first = place(FOUR, effort=Effort.QUICK)
    found = alternatives(FOUR, first, count=3, effort=Effort.QUICK)
    assert len(found.arrangements) == 3
    assert found.exist >= 3
    best = min(one.value for one in found.arrangements)
    assert best <= (first.arrangement.value if first.arrangement else 0)
    for one in found.arrangements:
        assert one.value <= best * (1 + WORST) + 1e-6
        assert not refusals(judge(FOUR, one))
    for one, other in combinations(found.arrangements, 2):
        assert difference(standing_sides(FOUR, one), standing_sides(FOUR, other)) >= LEAST_DIFFERENCE
    assert "arrangements are known" in found.lines[0]


def test_where_all_is_pinned_there_is_one_kind() -> None:
    """Without freedom only the one arrangement comes back, with a note that says so."""
    fixed = project(device("a", pin=Pin(x=60.0, y=60.0)), device("b", pin=Pin(x=200.0, y=60.0)))
    found = alternatives(fixed, place(fixed, effort=Effort.QUICK), count=2, effort=Effort.QUICK)
    assert len(found.arrangements) == 1
    assert [finding.rule for finding in found.findings] == ["fit 11"]


def test_where_nothing_fits_there_are_none() -> None:
    """A project that does not fit has no alternatives."""
    full = project(device("a", 600, 400))
    assert alternatives(full, place(full, effort=Effort.QUICK), effort=Effort.QUICK).arrangements == ()


def test_count_is_at_least_one() -> None:
    """To ask for no alternative is a mistake of the caller."""
    with pytest.raises(ValueError, match="at least 1, got 0"):
        alternatives(FOUR, place(FOUR, effort=Effort.QUICK), count=0)


def test_sides_are_told_by_the_wider_gap() -> None:
    """Each pair stands on the side on which its boxes are farthest apart; another panel is elsewhere."""
    one = arrangement(a=(60.0, 60.0), b=(200.0, 90.0), c=(60.0, 200.0))
    three = project(*(device(key) for key in "abc"))
    assert standing_sides(three, one) == ("right", "above", "left")
    assert difference(("right", "above"), ("right", "below")) == 0.5
    assert difference(("elsewhere",), ("elsewhere",)) == 0.0
