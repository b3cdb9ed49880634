"""Arithmetic on half planes with whole numbers: bounds, and which of two regions says more."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

from layout.placing.engine.problem import MAX_COORDINATE, StepBox
from layout.placing.engine.slabs import around

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layout.placing.engine.problem import AllowedRoom, ForbiddenRegion, HalfPlane, TurnOption

FAR_STEPS = 1 << 22
"""A coordinate that no position reaches; stands for "no limit on this side"."""


def split(rows: Iterable[HalfPlane], *, strict: bool) -> tuple[tuple[int, int, int, int], tuple[HalfPlane, ...]]:
    """Part rows into an upright box and the slanted rest.

    Parameters
    ----------
    rows
        Half planes.
    strict
        True for a region (``a*x + b*y < c``): the box is open, so whole numbers strictly between its
        sides are inside. False for a room: the sides themselves are allowed.

    Returns
    -------
    tuple
        ``(x0, y0, x1, y1)`` with ``FAR`` where a side has no limit, and the slanted rows.
    """
    low, high, slanted = [-FAR_STEPS, -FAR_STEPS], [FAR_STEPS, FAR_STEPS], []
    for a, b, c in rows:
        if a and b:
            slanted.append((a, b, c))
            continue
        axis, n = (0, a) if a else (1, b)
        down = c // n
        up = -(-c // n)
        if n > 0:
            high[axis] = min(high[axis], up if strict else down)
        else:
            low[axis] = max(low[axis], down if strict else up)
    return (low[0], low[1], high[0], high[1]), tuple(slanted)


@lru_cache(maxsize=4096)
def bounds(room: AllowedRoom) -> StepBox | None:
    """Return a box around every whole-number position of a room, or None when the room is empty.

    Raises
    ------
    ValueError
        When the rows leave the room open on a side.
    """
    (x0, y0, x1, y1), slanted = split(room.rows, strict=False)
    if x0 > x1 or y0 > y1:
        return None
    if slanted:
        corners = _corners([*slanted, (1, 0, x1), (-1, 0, -x0), (0, 1, y1), (0, -1, -y0)])
        if not corners:
            return None
        x0 = min(-(-x // d) for x, _, d in corners)
        x1 = max(x // d for x, _, d in corners)
        y0 = min(-(-y // d) for _, y, d in corners)
        y1 = max(y // d for _, y, d in corners)
    if x0 > x1 or y0 > y1:
        return None
    if min(x0, y0) < -MAX_COORDINATE or max(x1, y1) > MAX_COORDINATE:
        raise ValueError("a room is open on one side, or farther out than a coordinate may be")
    return StepBox(x0, y0, x1, y1)


def _corners(rows: list[HalfPlane]) -> list[tuple[int, int, int]]:
    """Return the corners of a bounded set as ``(x * d, y * d, d)`` with d > 0."""
    found = []
    for (a, b, c), (e, f, g) in combinations(rows, 2):
        d = a * f - b * e
        if not d:
            continue
        x, y = c * f - b * g, a * g - c * e
        if d < 0:
            x, y, d = -x, -y, -d
        if all(p * x + q * y <= r * d for p, q, r in rows):
            found.append((x, y, d))
    return found


@lru_cache(maxsize=4096)
def turn_bounds(turn: TurnOption) -> StepBox | None:
    """Return a box around every position that the rooms of a turn allow, or None when there is none."""
    boxes = [box for room in turn.rooms if (box := bounds(room))]
    return around(boxes) if boxes else None


def meets(region: ForbiddenRegion, box: StepBox) -> bool:
    """Say whether a region may forbid a position in a box; False is certain."""
    return all(min(a * box.x0, a * box.x1) + min(b * box.y0, b * box.y1) < c for a, b, c in region.rows)


def region_covers(large: ForbiddenRegion, small: ForbiddenRegion) -> bool:
    """Say whether one upright box holds another; slanted regions are never said to."""
    big, slanted = split(large.rows, strict=True)
    if slanted:
        return False
    box, _ = split(small.rows, strict=True)
    return big[0] <= box[0] and big[1] <= box[1] and big[2] >= box[2] and big[3] >= box[3]


@lru_cache(maxsize=16384)
def needed_regions(regions: tuple[ForbiddenRegion, ...]) -> tuple[ForbiddenRegion, ...]:
    """Return the regions without those that lie inside another one or are empty."""
    kept: list[ForbiddenRegion] = []
    for region in regions:
        box, _ = split(region.rows, strict=True)
        if box[2] - box[0] < 2 or box[3] - box[1] < 2:
            continue
        if any(region_covers(other, region) for other in kept):
            continue
        kept = [other for other in kept if not region_covers(region, other)]
        kept.append(region)
    return tuple(kept)
