"""Which parts of a panel come near each other: by their boxes first, then exactly."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.placing.judge.placed_form import FLOAT_SLACK_MM, PlacedForm, clearance

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

Close = tuple[PlacedForm, PlacedForm, float, float]
"""Two parts, how far they are apart and how far they should be, mm."""


def near(first: Sequence[PlacedForm], second: Sequence[PlacedForm], reach_mm: float) -> Iterator[tuple[int, int]]:
    """Yield the indices of parts of different owners whose boxes are less than ``reach_mm`` apart, in order.

    Boxes that overlap are nearer than any reach.
    """
    if not first or not second:
        return
    import numpy as np  # heavy

    a, b = _boxes(first), _boxes(second)
    dx = np.maximum(a[:, None, 0] - b[None, :, 2], b[None, :, 0] - a[:, None, 2]).clip(min=0.0)
    dy = np.maximum(a[:, None, 1] - b[None, :, 3], b[None, :, 1] - a[:, None, 3]).clip(min=0.0)
    for i, j in np.argwhere(np.hypot(dx, dy) < max(reach_mm - FLOAT_SLACK_MM, FLOAT_SLACK_MM)).tolist():
        if first[i].owner != second[j].owner:
            yield i, j


def near_pairs(parts: Sequence[PlacedForm], reach_mm: float) -> Iterator[tuple[int, int]]:
    """Yield each two parts of one list that come near, once."""
    return ((i, j) for i, j in near(parts, parts, reach_mm) if i < j)


def too_near(
    pairs: Iterable[tuple[PlacedForm, PlacedForm]], limit_of: Callable[[PlacedForm, PlacedForm], float | None]
) -> dict[tuple[str, str], Close]:
    """Return, for each two owners, their two parts that miss their distance by most; None asks nothing."""
    worst: dict[tuple[str, str], Close] = {}
    for one, other in pairs:
        limit = limit_of(one, other)
        if limit is None:
            continue
        way = clearance(one, other, limit)
        if way is None:
            continue
        key = (one.owner, other.owner)
        if key not in worst or way.distance_mm - limit < worst[key][2] - worst[key][3]:
            worst[key] = (one, other, way.distance_mm, limit)
    return worst


def _boxes(parts: Sequence[PlacedForm]) -> Any:
    import numpy as np  # heavy

    return np.array([(part.box.x0, part.box.y0, part.box.x1, part.box.y1) for part in parts])
