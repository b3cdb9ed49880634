"""A third opinion on arrangements: dense points, formulas of the declared shapes, no code of the project's geometry.

Each shape becomes points along its outline at most ``STEP_MM`` apart and a test of which points lie in it. Sampled
distances are never less than the true ones and at most about ``STEP_MM`` more, so what is found too near is broken for
sure, and what is nearer than the limit plus a step is doubtful.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import combinations, product
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.device import Behind, Device
    from layout.project.model.panel import Panel
    from layout.project.model.project import Project
    from layout.project.model.shape import Shape

    Points = NDArray[np.float64]

STEP_MM = 0.5
"""Most that two neighbouring points of an outline are apart."""

FAR_MM = 60.0
"""Shapes whose boxes are farther apart than this are beyond every limit that is asked, mm."""

DEFAULTS = {"face_gap": 10.0, "hole_gap": 20.0, "edge": 15.0, "rear_gap": 10.0, "depth_spare": 10.0}
"""Limits where a project says nothing, written down a second time on purpose."""


@dataclass(frozen=True)
class Blob:
    """A shape in place: points of its outline, and which points lie within."""

    outline: Points
    within: Callable[[Points], NDArray[np.bool_]]


@dataclass
class Verdict:
    """Rules found broken for sure, and those too near their limit to tell, as (code, device, other or '')."""

    broken: set[tuple[str, str, str]] = field(default_factory=set)
    doubtful: set[tuple[str, str, str]] = field(default_factory=set)

    def say(self, key: tuple[str, str, str], measured: float, limit: float) -> None:
        """Note one measurement; a sampled distance is never less than the true one."""
        if measured < limit - 1e-6:
            self.broken.add(key)
        elif measured < limit + 1.5 * STEP_MM:
            self.doubtful.add(key)


def _polar(x: Points, degrees: float) -> Points:
    turn = math.radians(degrees)
    return x @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])


def _corners(shape: Shape) -> tuple[Points, float]:
    """Return a shape as the corners of a polygon and a radius by which that polygon is thick."""
    if shape.circle:
        return np.zeros((1, 2)), shape.circle / 2
    if shape.slot:
        reach = (shape.slot[0] - shape.slot[1]) / 2
        return np.array([[-reach, 0.0], [reach, 0.0]]), shape.slot[1] / 2
    if shape.rect:
        x, y = shape.rect[0] / 2 - shape.radius, shape.rect[1] / 2 - shape.radius
        return np.array([[-x, -y], [x, -y], [x, y], [-x, y]]), shape.radius
    return np.array(shape.polygon, dtype=float), 0.0


def _off_polygon(corners: Points, at: Points) -> Points:
    """Return the distance of points from the polygon's area: 0 within, by ray casting and feet on the sides."""
    ends = np.roll(corners, -1, axis=0)
    sides = ends - corners
    length2 = np.maximum((sides**2).sum(axis=1), 1e-30)
    off = at[:, None, :] - corners[None, :, :]
    share = np.clip((off * sides).sum(axis=2) / length2, 0.0, 1.0)
    nearest = np.hypot(*(off - share[..., None] * sides).transpose(2, 0, 1)).min(axis=1)
    crosses = (corners[:, 1] > at[:, None, 1]) != (ends[:, 1] > at[:, None, 1])
    with np.errstate(divide="ignore", invalid="ignore"):
        x = corners[:, 0] + (at[:, None, 1] - corners[:, 1]) * sides[:, 0] / sides[:, 1]
    inside = (crosses & (at[:, None, 0] < x)).sum(axis=1) % 2 == 1
    return np.where(inside, 0.0, nearest)


def blob(shape: Shape, placed: Placed | None = None, room: tuple[float, float, float, float] = (0, 0, 0, 0)) -> Blob:
    """Return a declared shape in place; ``room`` is added left, right, above and below a rectangle without radius."""
    if any(room):
        if not shape.rect or shape.radius or shape.turn:
            raise ValueError("the oracle adds side room to plain rectangles only")
        left, right, above, below = room
        w, h = shape.rect[0] / 2, shape.rect[1] / 2
        corners, radius = (
            np.array(
                [[-w - left, -h - below], [w + right, -h - below], [w + right, h + above], [-w - left, h + above]]
            ),
            0.0,
        )
    else:
        corners, radius = _corners(shape)
    corners = _polar(corners, shape.turn) + np.array(shape.at)
    if placed is not None:
        corners = _polar(corners, placed.turn) + np.array([placed.x, placed.y])

    def within(at: Points) -> NDArray[np.bool_]:
        return _off_polygon(corners, at) <= radius - 1e-6 if radius else _strictly(corners, at)

    return Blob(_walk(corners, radius), within)


def _strictly(corners: Points, at: Points) -> NDArray[np.bool_]:
    ends = np.roll(corners, -1, axis=0)
    sides = ends - corners
    off = at[:, None, :] - corners[None, :, :]
    length = np.hypot(sides[:, 0], sides[:, 1])
    share = np.clip((off * sides).sum(axis=2) / length**2, 0.0, 1.0)
    edge = np.hypot(*(off - share[..., None] * sides).transpose(2, 0, 1)).min(axis=1)
    return (_off_polygon(corners, at) == 0) & (edge > 1e-6)


def _walk(corners: Points, radius: float) -> Points:
    """Return points along a convex polygon thickened by a radius, or along any polygon without one."""
    found = []
    count = len(corners)
    area = sum(np.linalg.det(np.array([corners[i], corners[(i + 1) % count]])) for i in range(count))
    ring = corners if area >= 0 else corners[::-1]
    for i in range(count):
        a, b = ring[i], ring[(i + 1) % count]
        side = b - a
        length = float(np.hypot(*side))
        if length:
            normal = np.array([side[1], -side[0]]) / length
            shares = np.linspace(0, 1, max(2, math.ceil(length / STEP_MM) + 1))[:, None]
            found.append(a + shares * side + radius * normal)
        if radius:
            angles = np.linspace(0, math.tau, max(8, math.ceil(math.tau * radius / STEP_MM)), endpoint=False)
            dots = a + radius * np.column_stack((np.cos(angles), np.sin(angles)))
            found.append(dots[_off_polygon(ring, dots) >= radius - 1e-9])
    return np.concatenate(found)


def _box_gap(first: Blob, second: Blob) -> float:
    low = np.maximum(first.outline.min(axis=0), second.outline.min(axis=0))
    high = np.minimum(first.outline.max(axis=0), second.outline.max(axis=0))
    return float(np.hypot(*np.maximum(low - high, 0.0)))


def apart_mm(first: Blob, second: Blob) -> float:
    """Return the sampled distance of two shapes, -1 where a point of one lies in the other; beyond FAR_MM roughly."""
    boxes = _box_gap(first, second)
    if boxes > FAR_MM:
        return boxes
    if overlap(first, second):
        return -1.0
    return math.sqrt(_nearest2(first.outline, second.outline).min())


def overlap(first: Blob, second: Blob) -> bool:
    """Tell whether points of one outline lie in the other shape."""
    if _box_gap(first, second) > 0:
        return False
    return bool(first.within(second.outline).any() or second.within(first.outline).any())


def inset_mm(inner: Blob, outer: Blob) -> float:
    """Return the sampled distance of a shape from the outline round it, negative when it stands out."""
    near2 = _nearest2(inner.outline, outer.outline)
    if not (outer.within(inner.outline) | (near2 < STEP_MM**2)).all():
        return -1.0
    return math.sqrt(near2.min())


def _nearest2(points: Points, others: Points) -> Points:
    """Return the squared distance of each point from the nearest of the others."""
    dx = points[:, None, 0] - others[None, :, 0]
    dy = points[:, None, 1] - others[None, :, 1]
    return (dx * dx + dy * dy).min(axis=1)


@dataclass(frozen=True)
class Stand:
    """A device in place."""

    key: str
    device: Device
    face: Blob
    cuts: tuple[Blob, ...]
    bodies: tuple[tuple[Behind, Blob], ...]
    kept: tuple[Blob, ...]


def opinion(project: Project, arrangement: Arrangement) -> Verdict:
    """Judge the only panel of a project by dense points.

    Looked at: faces, cut-outs, bodies, depth, keep-outs in front and keep-clears in front.
    """
    verdict = Verdict()
    ((_, panel),) = project.panels.items()
    said = {name: getattr(project.rules, name) for name in DEFAULTS}
    least = {name: DEFAULTS[name] if value is None else value for name, value in said.items()}
    stands = [_stand(key, project.devices[key], spot) for key, spot in arrangement.placed.items()]
    for one in stands:
        _alone(verdict, panel, one, least)
        for other in stands:
            if other is not one:
                for zone in one.kept:
                    _entering(verdict, ("panel 12", other.key, one.key), zone, other.face)
    for first, second in combinations(stands, 2):
        _pair(verdict, first, second, least)
    return verdict


def _stand(key: str, device: Device, spot: Placed) -> Stand:
    if device.face is None:
        raise ValueError(f"{key} has no face")
    return Stand(
        key=key,
        device=device,
        face=blob(device.face, spot),
        cuts=tuple(blob(shape, spot) for shape in device.cutout),
        bodies=tuple((body, blob(body.shape, spot, _room(device))) for body in device.behind),
        kept=tuple(blob(zone.shape, spot) for zone in device.clear_around),
    )


def _alone(verdict: Verdict, panel: Panel, one: Stand, least: dict[str, float]) -> None:
    outline = blob(panel.outline)
    verdict.say(("panel 1", one.key, ""), inset_mm(one.face, outline), least["edge"])
    for cut in one.cuts:
        verdict.say(("panel 4", one.key, ""), inset_mm(cut, outline), least["hole_gap"])
    for body, _ in one.bodies:
        if _end(one.device, body) + least["depth_spare"] > (panel.depth or 0) + 1e-9:
            verdict.broken.add(("panel 6", one.key, ""))
    for zone in panel.no_go.values():
        _entering(verdict, ("panel 11", one.key, ""), blob(zone.shape), one.face)


def _entering(verdict: Verdict, key: tuple[str, str, str], zone: Blob, face: Blob) -> None:
    if overlap(zone, face):
        verdict.broken.add(key)
    elif apart_mm(zone, face) < STEP_MM:
        verdict.doubtful.add(key)


def _pair(verdict: Verdict, first: Stand, second: Stand, least: dict[str, float]) -> None:
    gap = max(least["face_gap"] if one.device.face_gap is None else one.device.face_gap for one in (first, second))
    verdict.say(("panel 2", first.key, second.key), apart_mm(first.face, second.face), gap)
    for a, b in product(first.cuts, second.cuts):
        verdict.say(("panel 3", first.key, second.key), apart_mm(a, b), least["hole_gap"])
    for (body, a), (rival, b) in product(first.bodies, second.bodies):
        if body.from_depth < _end(second.device, rival) and rival.from_depth < _end(first.device, body):
            verdict.say(("panel 5", first.key, second.key), apart_mm(a, b), least["rear_gap"])


def _end(device: Device, body: Behind) -> float:
    tail = (device.plug_room.depth or 0.0) if device.plug_room else 0.0
    return math.inf if body.depth is None else body.depth + tail


def _room(device: Device) -> tuple[float, float, float, float]:
    tail = device.plug_room
    return (tail.left, tail.right, tail.above, tail.below) if tail else (0, 0, 0, 0)
