"""The instrument bus on the map of the wireways: where the backbone and each drop run, and what stands where."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING

from layout.drawing.diagrams.network_drawing import BACKBONE, DROP, HEAD, PLAIN, SMALL
from layout.drawing.elements import colours, pens
from layout.drawing.elements.label_placing import LabelWish, place_labels
from layout.drawing.elements.pens import Pen
from layout.drawing.elements.scene import FillPath, Group, Scene, StrokePath, Text, line, polyline_path
from layout.geometry.path import Box
from layout.geometry.shapes import circle

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.drawing.elements.scene import Item
    from layout.geometry.path import Point
    from layout.network.bus import BusPlan
    from layout.project.model.project import Project

WAY = Pen(name="wireway", width_mm=2.2, colour=colours.RULE)
DROP_ON_MAP = Pen(name="drop_on_map", width_mm=0.35, dash_mm=(2.0, 1.2), colour=DROP.colour)
_WIDTH, HEIGHT = 330.0, 170.0
_EDGE, _APART, _LANE = 45.0, 34.0, 1.5
_TILT = 0.4
"""Share by which port and starboard are drawn up and aside (cabinet projection)."""


def bus_map(project: Project, plan: BusPlan) -> Scene:
    """Return the map of the data wireways with the bus on it; not to scale.

    Places that give their position stand as seen from starboard, a little from above and spread so that their names
    have room; without positions they stand in columns by their distance from the feed.
    """
    used = _places(project, plan)
    at = _spread(_positions(project, used, plan.assembly.feed.start))
    items: list[Item] = []
    strokes: list[tuple[Point, Point]] = []
    for wireway in project.wireways.values():
        if "data" in wireway.carries and not wireway.is_removed and wireway.from_ in at and wireway.to in at:
            items.append(line(at[wireway.from_], at[wireway.to], WAY))
            strokes.append((at[wireway.from_], at[wireway.to]))
    lanes: defaultdict[tuple[str, str], int] = defaultdict(int)
    for piece in plan.assembly.pieces:
        if plan.assembly.part_by_key[piece.first].kind != "joint":
            items += _course(piece.course, at, lanes, BACKBONE)
    for drop in plan.assembly.drops:
        items += _course(drop.course, at, lanes, DROP_ON_MAP)
    wishes = []
    taken = []
    for place, point in at.items():
        items += _mark(plan, place, point)
        ends = sum(part.kind == "terminator" and part.at == place for part in plan.assembly.parts)
        taken.append(Box(point[0] - 3.5, point[1] - 3.5, point[0] + 3.5, point[1] + 3.5))
        if ends:
            taken.append(Box(point[0] + 3.0, point[1] - 5.4, point[0] + 8.0 + 2.4 * ends, point[1] + 3.0))
        wishes.append(LabelWish(lines=_words(project, plan, place), at=point, height_mm=PLAIN, clear_mm=3.0))
    room = Box(0.0, 0.0, _WIDTH, HEIGHT)
    placed, homeless = place_labels(wishes, room=room, taken=taken, lines=strokes, reach_mm=70.0)
    for label in placed:
        items += label.items(pens.HAIR)
    top = HEIGHT + 14.0
    items.append(Text((0.0, top - HEAD), f"{plan.name} on the wireways (not to scale)", HEAD, bold=True))
    items += _key(top - HEAD - 6.0)
    for row, wish in enumerate(homeless):
        items.append(Text((0.0, -6.0 - 4.5 * row), ", ".join(wish.lines), PLAIN))
    low = 6.0 + 4.5 * len(homeless)
    return Scene(
        width_mm=_WIDTH + 12.0,
        height_mm=top + low + 6.0,
        items=(Group(tuple(items), name="bus_map", dx_mm=6.0, dy_mm=low),),
        title=f"{plan.name}: on the wireways",
    )


def _places(project: Project, plan: BusPlan) -> tuple[str, ...]:
    """Return the places that data wireways join or the bus touches, in the project's order."""
    touched = {part.at for part in plan.assembly.parts}
    for wireway in project.wireways.values():
        if "data" in wireway.carries and not wireway.is_removed:
            touched |= {wireway.from_, wireway.to}
    return tuple(place for place in project.locations if place in touched)


def _positions(project: Project, places: Sequence[str], feed: str | None) -> dict[str, Point]:
    known = {place: project.locations[place].at for place in places}
    if all(point is not None for point in known.values()):
        flat = {k: (p[0] + _TILT * p[1], p[2] + _TILT * p[1]) for k, p in known.items() if p is not None}
        return _fitted(flat)
    return _fitted(_columns(project, places, feed))


def _columns(project: Project, places: Sequence[str], feed: str | None) -> dict[str, Point]:
    """Stand places in columns by the number of wireways from the feed."""
    depth = {feed if feed in places else places[0]: 0} if places else {}
    waiting = list(depth)
    while waiting:
        here = waiting.pop(0)
        for wireway in project.wireways.values():
            for one, other in ((wireway.from_, wireway.to), (wireway.to, wireway.from_)):
                if one == here and other in places and other not in depth and "data" in wireway.carries:
                    depth[other] = depth[here] + 1
                    waiting.append(other)
    rows: defaultdict[int, int] = defaultdict(int)
    found: dict[str, Point] = {}
    for place in places:
        column = depth.get(place, max(depth.values(), default=0) + 1)
        found[place] = (float(column), -float(rows[column]) - 0.35 * (column % 2))
        rows[column] += 1
    return found


def _fitted(points: Mapping[str, Point]) -> dict[str, Point]:
    """Scale points into the room, each direction by itself."""
    if not points:
        return {}
    lows = [min(p[axis] for p in points.values()) for axis in (0, 1)]
    spans = [max(p[axis] for p in points.values()) - lows[axis] or 1.0 for axis in (0, 1)]
    size = (_WIDTH - 2 * _EDGE, HEIGHT - 50.0)
    return {
        place: (
            _EDGE + size[0] * (p[0] - lows[0]) / spans[0],
            25.0 + size[1] * (p[1] - lows[1]) / spans[1],
        )
        for place, p in points.items()
    }


def _spread(points: dict[str, Point]) -> dict[str, Point]:
    """Push points apart until none are nearer than names need, and keep them in the room."""
    at = {place: list(point) for place, point in points.items()}
    names = list(at)
    for _ in range(200):
        for index, one in enumerate(names):
            for other in names[index + 1 :]:
                dx, dy = at[other][0] - at[one][0], at[other][1] - at[one][1]
                distance = math.hypot(dx, dy)
                if distance >= _APART:
                    continue
                push = (_APART - distance) / 2
                away = (dx / distance, dy / distance) if distance > 1e-6 else (1.0, 0.0)
                for axis in (0, 1):
                    at[one][axis] -= push * away[axis]
                    at[other][axis] += push * away[axis]
        for place in names:
            at[place][0] = min(max(at[place][0], 20.0), _WIDTH - 20.0)
            at[place][1] = min(max(at[place][1], 12.0), HEIGHT - 12.0)
    return {place: (round(x, 3), round(y, 3)) for place, (x, y) in at.items()}


def _course(
    places: Sequence[str], at: Mapping[str, Point], lanes: defaultdict[tuple[str, str], int], pen: Pen
) -> list[Item]:
    """Draw a way through places, beside what already runs there."""
    items: list[Item] = []
    for one, other in pairwise(places):
        if one not in at or other not in at:
            continue
        low, high = sorted((one, other))
        lane = lanes[low, high]
        lanes[low, high] += 1
        offset = _LANE * ((lane + 1) // 2) * (1 if lane % 2 else -1)
        dx, dy = at[high][0] - at[low][0], at[high][1] - at[low][1]
        length = math.hypot(dx, dy) or 1.0
        shift = (-dy / length * offset, dx / length * offset)
        ends = [(at[place][0] + shift[0], at[place][1] + shift[1]) for place in (one, other)]
        items.append(StrokePath(polyline_path(ends), pen))
    return items


def _mark(plan: BusPlan, place: str, at: Point) -> list[Item]:
    """Mark a place: a ring, filled where tees stand, with a square round the power tap."""
    here = [part for part in plan.assembly.parts if part.at == place]
    tees = [part for part in here if part.kind == "tee"]
    items: list[Item] = [FillPath(circle(4.0, at=at), colours.LEAD if tees else colours.WHITE)]
    items.append(StrokePath(circle(4.0, at=at), pens.OUTLINE))
    if any(part.kind == "tap" for part in here):
        items.append(StrokePath(circle(7.0, at=at), Pen(name="tap", width_mm=0.5)))
    for index, part in enumerate(part for part in here if part.kind == "terminator"):
        x = at[0] + 3.4 + 2.4 * index
        items.append(line((x, at[1] - 2.6), (x, at[1] + 2.6), Pen(name="end", width_mm=1.0, colour=colours.ALARM)))
        items.append(Text((x + 1.0, at[1] - 4.6), part.key, SMALL))
    return items


def _words(project: Project, plan: BusPlan, place: str) -> tuple[str, ...]:
    """Return what stands at a place: its name, the parts there, the devices reached there."""
    lines = [project.locations[place].name or place]
    parts = [part.key for part in plan.assembly.parts if part.at == place and part.kind in ("tee", "tap")]
    if parts:
        lines.append(_short(parts))
    for drop in plan.assembly.drops:
        end = drop.course[-1] if drop.course else plan.assembly.part_by_key[drop.part].at
        if end == place and drop.node in plan.assembly.devices:
            length = "?" if drop.length_mm is None else f"{drop.length_mm / 1000:.1f}"
            lines.append(f"{plan.assembly.devices[drop.node].name} ({drop.part}, {length} m)")
    return tuple(lines)


def _short(parts: list[str]) -> str:
    """Return keys in a row, runs of tees drawn together: T5 to T11."""
    tees = [key for key in parts if key.startswith("T")]
    rest = [key for key in parts if not key.startswith("T")]
    if len(tees) > 2:
        tees = [f"{tees[0]} to {tees[-1]}"]
    return ", ".join([*tees, *rest])


def _key(y: float) -> list[Item]:
    items: list[Item] = []
    for index, (pen, words) in enumerate(((WAY, "data wireway"), (BACKBONE, "backbone"), (DROP_ON_MAP, "drop"))):
        x = 50.0 * index
        items += [line((x, y + 0.9), (x + 12.0, y + 0.9), pen), Text((x + 14.0, y), words, SMALL)]
    items += [
        StrokePath(circle(3.6, at=(154.0, y + 0.9)), Pen(name="tap", width_mm=0.5)),
        Text((158.0, y), "power tap", SMALL),
        line((190.0, y - 0.8), (190.0, y + 2.6), Pen(name="end", width_mm=1.0, colour=colours.ALARM)),
        Text((192.0, y), "terminator", SMALL),
    ]
    return items
