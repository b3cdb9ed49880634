"""Upright boxes as regions, rooms and pair rules: the usual case, made without a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.placing.engine.problem import ForbiddenRegion

if TYPE_CHECKING:
    from layout.placing.engine.problem import StepBox


def box_region(first: StepBox, second: StepBox, *, gap: int = 0, rule: str = "gap") -> ForbiddenRegion:
    """Return the offsets ``second - first`` at which two boxes come closer than a gap.

    Parameters
    ----------
    first, second
        Extents of each about its own position.
    gap
        Free steps to be kept between them, along x or along y.
    rule
        Name of the rule.
    """
    return ForbiddenRegion(
        (
            (1, 0, first.x1 - second.x0 + gap),
            (-1, 0, second.x1 - first.x0 + gap),
            (0, 1, first.y1 - second.y0 + gap),
            (0, -1, second.y1 - first.y0 + gap),
        ),
        rule,
    )
