"""Cut boxes that may overlap into boxes that do not, with the same union."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from layout.placing.engine.problem import StepBox

if TYPE_CHECKING:
    from collections.abc import Sequence


def disjoint(boxes: Sequence[StepBox]) -> list[StepBox]:
    """Return boxes with the same union whose insides do not meet, in a fixed order.

    ``NoOverlap2D`` needs this: fixed boxes that overlap each other would make any model infeasible.
    """
    solid = [box for box in boxes if box.area]
    levels = sorted({y for box in solid for y in (box.y0, box.y1)})
    done: list[StepBox] = []
    growing: dict[tuple[int, int], int] = {}
    for low, high in pairwise(levels):
        spans = _merged(sorted((box.x0, box.x1) for box in solid if box.y0 <= low and box.y1 >= high))
        ended = [span for span in growing if span not in spans]
        done += [StepBox(span[0], growing.pop(span), span[1], low) for span in ended]
        for span in spans:
            growing.setdefault(span, low)
    done += [StepBox(x0, y0, x1, levels[-1]) for (x0, x1), y0 in growing.items()]
    return sorted(done, key=lambda box: (box.y0, box.x0))


def _merged(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for x0, x1 in spans:
        if found and x0 <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], x1))
        else:
            found.append((x0, x1))
    return found


def union_area(boxes: Sequence[StepBox]) -> int:
    """Return the area of the union, in square steps."""
    return sum(box.area for box in disjoint(boxes))


def around(boxes: Sequence[StepBox]) -> StepBox:
    """Return the smallest box around at least one box."""
    return StepBox(
        min(box.x0 for box in boxes),
        min(box.y0 for box in boxes),
        max(box.x1 for box in boxes),
        max(box.y1 for box in boxes),
    )
