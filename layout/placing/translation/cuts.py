"""What the judge refused, as forbidden positions: the next answer has to differ there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import ForbiddenRegion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.placing.translation.layout_index import LayoutIndex
    from layout.placing.translation.turns import Option
    from layout.project.model.arrangement import Placed


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedStanding:
    """A standing of one or two devices that the judge refused, with as many steps about it as are forbidden too."""

    placed: tuple[Placed, ...]
    steps: int = 1


def cut_regions(
    index: LayoutIndex, options: Sequence[Sequence[Option]], cuts: Sequence[RefusedStanding]
) -> tuple[dict[tuple[int, int], list[ForbiddenRegion]], dict[tuple[int, int, int, int], tuple[ForbiddenRegion, ...]]]:
    """Return regions of single items by (item, turn), and of pairs by (item, turn, item, turn)."""
    unary: dict[tuple[int, int], list[ForbiddenRegion]] = {}
    pairs: dict[tuple[int, int, int, int], tuple[ForbiddenRegion, ...]] = {}
    for cut in cuts:
        spots = []
        for one in cut.placed:
            k = index.number[one.device]
            thing, frame = index.things[k], index.frame(one.panel)
            ways = [(option.stand.turn, option.frame.panel) for option in options[k]]
            if (one.turn, one.panel) in ways:
                at = frame.steps((one.x - thing.shift[0], one.y - thing.shift[1]))
                spots.append((k, ways.index((one.turn, one.panel)), at))
        spots.sort()
        if len(spots) == 1:
            k, t, at = spots[0]
            unary.setdefault((k, t), []).append(_about(at, cut.steps))
        elif len(spots) == 2:
            (i, ti, p), (j, tj, q) = spots
            region = _about((q[0] - p[0], q[1] - p[1]), cut.steps)
            pairs[(i, ti, j, tj)] = (*pairs.get((i, ti, j, tj), ()), region)
    return unary, pairs


def _about(at: tuple[int, int], steps: int) -> ForbiddenRegion:
    x, y = at
    return ForbiddenRegion(
        ((1, 0, x + steps), (-1, 0, steps - x), (0, 1, y + steps), (0, -1, steps - y)), "refused by the judge"
    )
