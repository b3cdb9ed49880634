"""Alternatives differ in kind, are nearly as good as the best, and are judged."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest

from layout.placing.alternatives import LEAST_DIFFERENCE, alternatives
from layout.placing.by_components import Effort
from layout.placing.diversity import difference, kind_of, names_of
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
    """In every two a fifth of the things stand elsewhere, none is over the loss allowed, and the judge passes all."""
    first = place(FOUR, effort=Effort.QUICK)
    found = alternatives(FOUR, first, count=4, loss=0.5, effort=Effort.QUICK)
    assert len(found.arrangements) == len(found.names) == 4
    best = min(one.value for one in found.arrangements)
    assert best <= (first.arrangement.value if first.arrangement else 0)
    for one in found.arrangements:
        assert one.value <= best * 1.5 + 1e-6
        assert not refusals(judge(FOUR, one))
    for one, other in combinations(found.arrangements, 2):
        assert difference(kind_of(FOUR, one), kind_of(FOUR, other)) >= LEAST_DIFFERENCE
    assert found.lines[0] == f"1: {found.names[0]}"


def test_fewer_say_what_gives_more() -> None:
    """Where the loss allowed gives fewer than are wanted, the note names a loss that gives more, and it does."""
    wished = project(
        *(device(key, 60 + 6 * k, 40 + 4 * k) for k, key in enumerate("abcd")),
        wishes=wishes(Wish(wish="near corner", corner="bottom left", weight=1.0)),
    )
    first = place(wished, effort=Effort.QUICK)
    few = alternatives(wished, first, count=4, loss=0.0, effort=Effort.QUICK)
    assert len(few.arrangements) < 4
    (note,) = few.findings
    said = re.fullmatch(r"to see (\d) more, allow (\d+) % instead of 0 %", note.remedy or "")
    assert said is not None
    more = alternatives(wished, first, count=4, loss=int(said[2]) / 100, effort=Effort.QUICK)
    assert len(more.arrangements) >= len(few.arrangements) + int(said[1])


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


def test_exchanging_equals_or_small_things_is_no_other_kind() -> None:
    """Two equal devices that change places are one kind; a small one that moves weighs little, a large one much."""
    three = project(device("a", 80, 60), device("b", 80, 60), device("c", 20, 20), device("d", 200, 100))
    one = arrangement(a=(60.0, 60.0), b=(300.0, 60.0), c=(60.0, 200.0), d=(200.0, 220.0))
    equals = arrangement(a=(300.0, 60.0), b=(60.0, 60.0), c=(60.0, 200.0), d=(200.0, 220.0))
    small = arrangement(a=(60.0, 60.0), b=(300.0, 60.0), c=(340.0, 200.0), d=(200.0, 220.0))
    large = arrangement(a=(60.0, 240.0), b=(300.0, 240.0), c=(60.0, 200.0), d=(200.0, 80.0))
    kinds = [kind_of(three, each) for each in (one, equals, small, large)]
    assert difference(kinds[0], kinds[1]) == 0.0
    assert 0.0 < difference(kinds[0], kinds[2]) < 0.02
    assert difference(kinds[0], kinds[3]) > 0.9


def test_names_tell_where_the_big_things_are() -> None:
    """A name says where that is which differs, the largest first, and tells the arrangements apart."""
    two = project(replace(device("d", 200, 100), name="Chart display"), device("a", 80, 60))
    low, high = arrangement(d=(120.0, 60.0), a=(340.0, 60.0)), arrangement(d=(120.0, 240.0), a=(340.0, 60.0))
    assert names_of(two, (low, high)) == ("chart display low left", "chart display high left")
