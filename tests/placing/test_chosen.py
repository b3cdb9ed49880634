"""What another arrangement has otherwise than the chosen one."""

from __future__ import annotations

from layout.placing.chosen import differs_in
from tests.placing.projects import arrangement, device, project

THREE = project(device("a"), device("b"), device("c"))


def test_farthest_move_comes_first() -> None:
    """Moves are told by how far, what is new before them, what is gone after; what stays is not told."""
    chosen = arrangement(a=(50.0, 50.0), b=(150.0, 50.0), gone=(250.0, 50.0))
    other = arrangement(a=(53.0, 54.0), b=(150.0, 70.0), c=(300.0, 50.0))
    assert differs_in(THREE, chosen, other) == "c has a place, b moves 20 mm, a moves 5 mm"


def test_nothing_is_told_of_the_same() -> None:
    """The arrangement itself differs in nothing, and a hundredth of a millimetre is nothing."""
    chosen = arrangement(a=(50.0, 50.0))
    assert differs_in(THREE, chosen, arrangement(a=(50.01, 50.0))) == ""


def test_many_are_counted() -> None:
    """Of more than four differences the rest is counted."""
    names = [f"d{k}" for k in range(7)]
    one = project(*(device(name) for name in names))
    chosen = arrangement(**{name: (50.0 * k, 50.0) for k, name in enumerate(names)})
    other = arrangement(**{name: (50.0 * k, 60.0 + k) for k, name in enumerate(names)})
    assert differs_in(one, chosen, other).endswith("3 more differ")
