"""A linear row that holds in every valid arrangement."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundRow:
    """``sum(coef * x or y) + turn constants + sum(coef * cost of a wish) >= low``, in whole numbers.

    Attributes
    ----------
    terms
        ``(item, axis, coef)``.
    by_turn
        ``(item, constants)``.
    costs
        ``(index of the wish, coef)``; the cost is the weighted one.
    low
        What the sum is at least.
    """

    terms: tuple[tuple[int, int, int], ...] = ()
    by_turn: tuple[tuple[int, tuple[int, ...]], ...] = ()
    costs: tuple[tuple[int, int], ...] = ()
    low: int = 0


def rows_inside(cuts: Sequence[BoundRow], terms: tuple[int, ...]) -> list[BoundRow]:
    """Return the cost rows that look only at these wishes, with their indices among them."""
    index = {term: at for at, term in enumerate(terms)}
    return [
        BoundRow(costs=tuple((index[term], coef) for term, coef in cut.costs), low=cut.low)
        for cut in cuts
        if cut.costs and not cut.terms and all(term in index for term, _ in cut.costs)
    ]
