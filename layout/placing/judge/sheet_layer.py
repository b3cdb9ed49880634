"""What a sheet must keep: faces inside it, and solid material round cut-outs and fixing holes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from layout.geometry.distance import contains_point, inset_mm, nearest_to_point
from layout.placing.judge.near import near
from layout.placing.judge.placed_form import FLOAT_SLACK_MM, clearance, inside_polygon_of, outside_polygon_of
from layout.placing.judge.reporting import as_mm, device_key, geometry_finding, more_mm, way_out
from layout.placing.rule_table import rule_mm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from layout.findings.finding import Finding
    from layout.geometry.box import Point
    from layout.geometry.path import Path
    from layout.placing.judge.limits import JudgeLimits
    from layout.placing.judge.placed_form import PlacedForm
    from layout.placing.judge.standing import PanelStanding, Standing

Lack = tuple[float, float, str]
"""What was measured, its limit (both mm), and the remedy."""


def holes_in_the_sheet(here: PanelStanding, limits: JudgeLimits) -> Iterator[Finding]:
    """Find faces, cut-outs and fixing holes that are too near the outline, a hole or each other."""
    general = rule_mm(here.project, "edge")
    edges = {one.id: _edge_mm(here, one, general) for one in here.judged}
    webs = {one.id: limits.web_of(one.device) for one in here.judged}
    fixing = rule_mm(here.project, "fixing_edge")
    faces = [one.face for one in here.judged]
    cutouts = [part for one in here.judged for part in one.cutouts]
    holes = [part for one in here.judged for part in one.fixings]
    yield from _within(here, "panel 1", faces, [edges[part.owner] for part in faces], "")
    yield from _within(here, "panel 4", cutouts, [webs[part.owner] for part in cutouts], "the cut-out of ")
    yield from _within(here, "panel 13", holes, [fixing] * len(holes), "a fixing hole of ")
    yield from _beside_cutouts(here, fixing)


def _edge_mm(here: PanelStanding, one: Standing, general_mm: float) -> float:
    own = [edge for edge in (one.device.edge, here.panel.edge) if edge is not None]
    return max(own, default=general_mm)


def _within(
    here: PanelStanding, code: str, parts: Sequence[PlacedForm], least: Sequence[float], what: str
) -> Iterator[Finding]:
    """Find parts that are not inside the outline, or nearer to it or to a hole than their limit; one each device."""
    worst: dict[str, Finding] = {}
    for index in _doubtful(here, parts, least):
        part, limit = parts[index], least[index]
        measured, remedy = _margin(here, part, limit)
        finding = None
        if measured < limit - FLOAT_SLACK_MM:
            finding = _edge_finding(here, code, part, what, (measured, limit, remedy))
        for hole in here.holes:
            way = clearance(hole, part, limit)
            if way is not None and (finding is None or way.distance_mm < measured):
                measured = way.distance_mm
                name = here.by_id()[part.owner].name
                lack = (measured, limit, way_out(hole, part, name, limit))
                finding = _hole_finding(here, code, (part, hole), what, lack)
        known = worst.get(part.owner)
        if finding is not None and (known is None or measured - limit < (known.measured or 0.0) - (known.limit or 0.0)):
            worst[part.owner] = finding
    yield from worst.values()


def _doubtful(here: PanelStanding, parts: Sequence[PlacedForm], least: Sequence[float]) -> list[int]:
    """Return the indices of the parts that polygons on the safe side do not already show to be far enough in."""
    if not parts:
        return []
    import shapely  # heavy

    ground = inside_polygon_of(here.ground)
    boundary = shapely.union_all(
        [shapely.boundary(ground), *(shapely.boundary(outside_polygon_of(hole)) for hole in here.holes)]
    )
    solid = (
        ground.difference(shapely.union_all([outside_polygon_of(hole) for hole in here.holes]))
        if here.holes
        else ground
    )
    shapely.prepare(solid)
    shapely.prepare(boundary)
    areas = [shapely.box(*_corners(part)) if part.form.upright else outside_polygon_of(part) for part in parts]
    sure = shapely.contains(solid, areas) & (
        shapely.distance(boundary, areas) >= [limit - FLOAT_SLACK_MM for limit in least]
    )
    return [index for index, good in enumerate(sure.tolist()) if not good]


def _corners(part: PlacedForm) -> tuple[float, float, float, float]:
    return part.box.x0, part.box.y0, part.box.x1, part.box.y1


def _margin(here: PanelStanding, part: PlacedForm, limit_mm_: float) -> tuple[float, str]:
    """Return how far a part is inside the outline, and which move inwards would do."""
    path = part.path()
    measured = inset_mm(path, here.outline)
    lack = limit_mm_ - measured
    if part.form.circle is not None:
        measured, lack = _circle_margin(part, here.outline, limit_mm_)
    inwards = _inwards(here.outline, path)
    way, share = max(
        (("right", inwards[0]), ("left", -inwards[0]), ("up", inwards[1]), ("down", -inwards[1])), key=lambda w: w[1]
    )
    return measured, f"{way} by at least {more_mm(lack / share)} mm"


def _circle_margin(part: PlacedForm, outline: Path, limit_mm_: float) -> tuple[float, float]:
    (x, y), diameter = part.form.circle or ((0.0, 0.0), 0.0)
    centre = (x + part.x, y + part.y)
    off = min(nearest_to_point(segment, centre).distance_mm for segment in outline.segments)
    measured = (off if contains_point(outline, centre) else -off) - diameter / 2
    return measured, limit_mm_ - measured


def _inwards(outline: Path, path: Path) -> Point:
    """Return the direction in which a part that is too near the outline is to go, of length 1."""
    best: tuple[float, Point] | None = None
    for segment in path.segments:
        for share in (0.0, 0.5):
            probe = segment.point_at(share)
            way = min((nearest_to_point(edge, probe) for edge in outline.segments), key=lambda way: way.distance_mm)
            sign = 1.0 if contains_point(outline, probe) else -1.0
            step = (sign * (probe[0] - way.first[0]), sign * (probe[1] - way.first[1]))
            if best is None or sign * way.distance_mm < best[0]:
                best = (sign * way.distance_mm, step)
    dx, dy = best[1] if best else (0.0, 0.0)
    size = math.hypot(dx, dy)
    if size <= FLOAT_SLACK_MM:
        box, ground = path.bounds().centre, outline.bounds().centre
        dx, dy = ground[0] - box[0], ground[1] - box[1]
        size = math.hypot(dx, dy) or 1.0
    return (dx / size, dy / size)


def _edge_finding(here: PanelStanding, code: str, part: PlacedForm, what: str, lack: Lack) -> Finding:
    one = here.by_id()[part.owner]
    measured, limit, remedy = lack
    if measured < 0:
        text = f"{what}{one.name} stands {as_mm(-measured)} mm out of {here.name}"
        text += f", and must stay {as_mm(limit)} mm inside its edge" if limit else ""
    else:
        text = f"{what}{one.name} is {as_mm(measured)} mm from the edge of {here.name}, the least is {as_mm(limit)} mm"
    keys = (device_key(one), f"panels.{here.id}")
    return geometry_finding(
        here.project, code, text, keys, measured=measured, limit=limit, remedy=f"move {one.name} {remedy}"
    )


def _hole_finding(
    here: PanelStanding, code: str, parts: tuple[PlacedForm, PlacedForm], what: str, lack: Lack
) -> Finding:
    part, hole = parts
    one = here.by_id()[part.owner]
    measured, limit, remedy = lack
    text = f"{what}{one.name} is {as_mm(measured)} mm from {hole.owner} of {here.name}, the least is {as_mm(limit)} mm"
    keys = (device_key(one), f"panels.{here.id}")
    return geometry_finding(here.project, code, text, keys, measured=measured, limit=limit, remedy=remedy)


def _beside_cutouts(here: PanelStanding, limit: float) -> Iterator[Finding]:
    standing = here.by_id()
    cutouts = [part for one in here.standing for part in one.cutouts]
    holes = [part for one in here.standing for part in one.fixings]
    seen: set[tuple[str, str]] = set()
    for i, j in near(holes, cutouts, limit):
        hole, cutout = holes[i], cutouts[j]
        way = clearance(cutout, hole, limit)
        if way is None or (hole.owner, cutout.owner) in seen:
            continue
        seen.add((hole.owner, cutout.owner))
        one, other = standing[hole.owner], standing[cutout.owner]
        yield geometry_finding(
            here.project,
            "panel 13",
            f"a fixing hole of {one.name} is {as_mm(way.distance_mm)} mm from the cut-out of {other.name} on"
            f" {here.name}, the least is {as_mm(limit)} mm",
            (device_key(one), device_key(other)),
            measured=way.distance_mm,
            limit=limit,
            remedy=way_out(cutout, hole, one.name, limit),
        )
