"""Shapes that overlap or touch as one outline, exact for lines and true arcs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.geometry.arrangement import NODE_MM, cut_at_meetings, halves, loops, regions, unpaired
from layout.geometry.distance import contains_point, nearest_paths, path_distance_to_point_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.path import Path
    from layout.geometry.region import Region
    from layout.geometry.segment import Segment


def union(paths: Sequence[Path]) -> tuple[Region, ...]:
    """Return the area that closed paths cover together, largest region first; a gap they enclose is a hole of it."""
    whole = [path.counter_clockwise() for path in paths]
    pieces: list[Segment] = [part for path in whole for piece in path.segments for part in halves(piece)]
    kept = [piece for piece in cut_at_meetings(pieces) if not _covered(piece, whole)]
    return tuple(regions(loops(unpaired(kept))))


def _covered(piece: Segment, paths: Sequence[Path]) -> bool:
    middle = piece.point_at(0.5)
    return any(contains_point(path, middle) and path_distance_to_point_mm(path, middle) > NODE_MM for path in paths)


def meeting(paths: Sequence[Path]) -> tuple[tuple[int, ...], ...]:
    """Return the numbers of the paths in groups that overlap or touch, directly or through others, in order."""
    groups: list[list[int]] = []
    for number, path in enumerate(paths):
        mine = [group for group in groups if any(_meet(path, paths[other]) for other in group)]
        joined = sorted([number, *(other for group in mine for other in group)])
        groups = [group for group in groups if group not in mine] + [joined]
    return tuple(tuple(group) for group in sorted(groups))


def _meet(first: Path, second: Path) -> bool:
    if first.bounds().gap_mm(second.bounds()) > NODE_MM:
        return False
    if nearest_paths(first, second).distance_mm <= NODE_MM:
        return True
    return contains_point(first, second.start) or contains_point(second, first.start)
