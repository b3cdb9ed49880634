"""Find items that hard equalities tie together, so that a move takes them along."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layout.placing.engine.problem import Linear, Problem

Tied = dict[int, tuple[tuple[int, int], ...]]
"""For an item: the others and +1 when they move the same way, -1 when they move against it."""


def ties(problem: Problem) -> tuple[Tied, Tied]:
    """Return what is tied along x and along y.

    A tie is a pair of rules ``expr <= 0`` and ``-expr <= 0`` whose sum has two items with coefficients
    of one size. Ties of ties are followed.
    """
    sums = {_key(rule.expr) for rule in problem.rules}
    edges: tuple[dict[int, list[tuple[int, int]]], ...] = ({}, {})
    for rule in problem.rules:
        key = _key(rule.expr)
        if len(key[0]) != 2 or _negative(key) not in sums:
            continue
        (i, axis_i, coef_i), (j, axis_j, coef_j) = key[0]
        if axis_i == axis_j and i != j and abs(coef_i) == abs(coef_j):
            sign = -1 if coef_i == coef_j else 1
            for a, b in ((i, j), (j, i)):
                if (b, sign) not in edges[axis_i].setdefault(a, []):
                    edges[axis_i][a].append((b, sign))
    return _closed(edges[0]), _closed(edges[1])


_Key = tuple[tuple[tuple[int, int, int], ...], int, tuple[tuple[int, tuple[int, ...]], ...]]


def _key(expr: Linear) -> _Key:
    return tuple(sorted(expr.terms)), expr.const, tuple(sorted(expr.by_turn))


def _negative(key: _Key) -> _Key:
    terms, const, by_turn = key
    return (
        tuple(sorted((item, axis, -coef) for item, axis, coef in terms)),
        -const,
        tuple((item, tuple(-c for c in constants)) for item, constants in by_turn),
    )


def _closed(edges: dict[int, list[tuple[int, int]]]) -> Tied:
    result: Tied = {}
    for start in sorted(edges):
        signs, queue = {start: 1}, [start]
        while queue:
            at = queue.pop()
            for other, sign in edges[at]:
                if other not in signs:
                    signs[other] = signs[at] * sign
                    queue.append(other)
        result[start] = tuple((other, sign) for other, sign in sorted(signs.items()) if other != start)
    return result
