"""Holes that help to cut a shape: relief holes in corners, a start for the jigsaw, a chain of drilled holes."""

from __future__ import annotations

from math import hypot, pi
from typing import TYPE_CHECKING, Literal

from layout.drawing.template.tools import Owned, tool_tables
from layout.geometry.distance import contains_point, path_distance_to_point_mm
from layout.geometry.offset import offset
from layout.geometry.path import Arc, Line, Path, Point
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.drawing.panel.holes import Hole

_HAIR_MM = 1e-6

MOST_REST_MM = 1.5
"""A rounded corner is relieved by a hole whose radius is larger by at most this; else it is sawn round."""


_CLEAR_MM, LEAST_CLEAR_MM = 3.0, 1.0
"""How far a starting hole stays off the finished line: a drill wanders, and the blade takes its kerf."""


TURNED_MM = 8.0
"""A rounder corner than this needs no relief: the blade follows it (common practice, no single source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Helper:
    """A hole drilled inside a cut-out.

    Attributes
    ----------
    rest_mm
        How much sharper the corner is than the hole leaves it: what a file takes away. 0: exact.
    """

    kind: Literal["relief", "start", "chain"]
    at: Point
    diameter_mm: float
    tool: Literal["drill", "hole saw"] = "drill"
    rest_mm: float = 0.0


def helpers(hole: Hole, tools: Owned) -> tuple[Helper, ...]:
    """Return the helping holes of a cut-out; none for a round one that one tool makes."""
    if hole.kind == "odd" or not tools.jigsaw:
        return tuple(_chain(hole, tools))
    found = list(_reliefs(hole, tools))
    least = tool_tables()["jigsaw"]["least_start"]
    if not any(helper.diameter_mm >= least for helper in found):
        found += _start(hole, tools)
    return tuple(found)


def corners(path: Path) -> Iterator[tuple[Line, Line, float]]:
    """Yield the outward corners of a counter-clockwise path: both sides and the radius between them (0: sharp)."""
    pieces = path.counter_clockwise().segments
    count = len(pieces)
    for index, piece in enumerate(pieces):
        after = pieces[(index + 1) % count]
        if isinstance(piece, Line) and isinstance(after, Line):
            if _cross(piece, after) > _HAIR_MM:
                yield piece, after, 0.0
        elif isinstance(piece, Line) and isinstance(after, Arc) and after.ccw and after.sweep < pi - 1e-3:
            beyond = pieces[(index + 2) % count]
            if isinstance(beyond, Line) and _cross(piece, beyond) > _HAIR_MM:
                yield piece, beyond, after.radius


def relief_centre(first: Line, second: Line, radius_mm: float) -> Point:
    """Return the centre of the circle that touches both sides of a corner from inside.

    ``first`` runs into the corner, ``second`` out of it, the inside on their left.
    """
    (ux, uy), (vx, vy) = first.heading_at(0), second.heading_at(0)
    normals = ((-uy, ux), (-vy, vx))
    # Both sides moved inwards by the radius; where they meet is the centre.
    (ax, ay), (bx, by) = (
        (p[0] + n[0] * radius_mm, p[1] + n[1] * radius_mm)
        for p, n in zip((first.start, second.start), normals, strict=True)
    )
    cross = ux * vy - uy * vx
    along = ((bx - ax) * vy - (by - ay) * vx) / cross
    return (ax + ux * along, ay + uy * along)


def _reliefs(hole: Hole, tools: Owned) -> Iterator[Helper]:
    """Yield one relief hole a corner, wholly inside the cut-out.

    It touches both sides; where only smaller ones are at hand than the corner is round, it touches the round's middle.
    """
    for first, second, radius in corners(hole.path):
        wanted = 2 * radius
        sizes = [(d, "drill") for d in tools.drills] + [(d, "hole saw") for d in tools.saws]
        if radius:
            most = wanted + 2 * MOST_REST_MM
            sizes = sorted(pair for pair in sizes if wanted - _HAIR_MM <= pair[0] <= most)
        else:
            most = tool_tables()["jigsaw"]["start"]
            sizes = sorted((pair for pair in sizes if pair[0] <= most), reverse=True)
        for size, tool in sizes:
            centre = relief_centre(first, second, size / 2)
            if _inside(hole.path, centre, size / 2):
                kind: Literal["drill", "hole saw"] = "drill" if tool == "drill" else "hole saw"
                rest = max(0.0, size / 2 - radius)
                yield Helper(kind="relief", at=centre, diameter_mm=size, tool=kind, rest_mm=rest)
                break
        else:
            yield from _in_the_round(hole, first, second, radius, tools)


def _in_the_round(hole: Hole, first: Line, second: Line, radius: float, tools: Owned) -> Iterator[Helper]:
    """Yield the largest drilled hole that lets the blade turn in a round corner, touching the round at its middle."""
    least = tool_tables()["jigsaw"]["least_start"]
    sizes = [size for size in tools.drills if least <= size <= 2 * radius]
    if not sizes or radius > TURNED_MM:
        return
    size = max(sizes)
    (cx, cy), (ux, uy), (vx, vy) = relief_centre(first, second, radius), first.heading_at(0), second.heading_at(0)
    length = hypot(ux - vx, uy - vy)
    out = radius - size / 2
    centre = (cx + (ux - vx) / length * out, cy + (uy - vy) / length * out)
    if _inside(hole.path, centre, size / 2):
        yield Helper(kind="relief", at=centre, diameter_mm=size)


def _start(hole: Hole, tools: Owned) -> list[Helper]:
    """Return where the jigsaw enters: a hole in the waste beside the longest side, clear of the cut line."""
    wanted, least = tool_tables()["jigsaw"]["start"], tool_tables()["jigsaw"]["least_start"]
    sizes = [d for d in tools.drills if d >= least] or list(tools.drills)[-1:]
    longest = max(hole.path.counter_clockwise().segments, key=lambda s: s.length())
    middle, (hx, hy) = longest.point_at(0.5), longest.heading_at(0.5)
    for clear in (_CLEAR_MM, LEAST_CLEAR_MM):
        for size in sorted(sizes, key=lambda d: (abs(d - wanted), d)):
            reach = size / 2 + clear
            centre = (middle[0] - hy * reach, middle[1] + hx * reach)
            if _inside(hole.path, centre, reach):
                return [Helper(kind="start", at=centre, diameter_mm=size)]
    return []


def _chain(hole: Hole, tools: Owned) -> list[Helper]:
    """Return a chain of drilled holes along the inside of the cut line."""
    rules = tool_tables()["chain"]
    sizes = [d for d in tools.drills if d <= rules["most_drill"]] or list(tools.drills)[:1]
    if not sizes:
        return []
    drill = sizes[-1]
    chain: list[Helper] = []
    for region in offset(hole.path, -(drill / 2 + rules["inside"])):
        path = region.outer
        count = max(3, int(path.length() / (drill + rules["land"])))
        chain += [Helper(kind="chain", at=at, diameter_mm=drill) for at in _along(path, count)]
    return chain


def _along(path: Path, count: int) -> Iterator[Point]:
    """Yield ``count`` points at equal distances along a closed path."""
    step = path.length() / count
    walked, wanted = 0.0, 0.0
    for segment in path.segments:
        length = segment.length()
        while wanted < walked + length - _HAIR_MM:
            yield segment.point_at(max(0.0, (wanted - walked) / length))
            wanted += step
        walked += length


def _inside(path: Path, centre: Point, radius_mm: float) -> bool:
    return contains_point(path, centre) and path_distance_to_point_mm(path, centre) >= radius_mm - 1e-4


def _cross(first: Line, second: Line) -> float:
    (ux, uy), (vx, vy) = first.heading_at(0), second.heading_at(0)
    return ux * vy - uy * vx
