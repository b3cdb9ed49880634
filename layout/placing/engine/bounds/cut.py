"""A linear row that holds in every valid arrangement."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
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
