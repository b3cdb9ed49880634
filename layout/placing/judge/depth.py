"""Free depth behind a sheet, which may vary over it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layout.placing.judge.placed_form import FLOAT_SLACK_MM, outside_polygon_of, overlap, placed_form, shape_form

if TYPE_CHECKING:
    from layout.placing.judge.placed_form import PlacedForm
    from layout.project.model.panel import DepthPoint, Panel


def depth_under_mm(panel: Panel, under: PlacedForm) -> float | None:
    """Return the least free depth anywhere under a part, or None where some of it is not known.

    At a place the least counts of the panel's depth, the steps that lie there, and the surface through
    the depth points: flat over the triangles of their Delaunay triangulation (made by GEOS), and
    outside of them the least depth of all points.
    """
    known = [] if panel.depth is None else [panel.depth]
    steps = [(placed_form("step", shape_form(step.shape)), step.depth) for step in panel.depth_steps]
    known += [depth for part, depth in steps if overlap(part, under) is not None]
    if panel.depth_at:
        known.append(_surface_mm(panel.depth_at, outside_polygon_of(under)))
    elif panel.depth is None and not _covered(under, [part for part, _ in steps]):
        return None
    return min(known, default=None)


def _covered(under: PlacedForm, steps: list[PlacedForm]) -> bool:
    import shapely  # heavy

    bare = outside_polygon_of(under).difference(shapely.union_all([outside_polygon_of(step) for step in steps]))
    return bool(bare.area <= FLOAT_SLACK_MM)


def _surface_mm(points: tuple[DepthPoint, ...], area: Any) -> float:
    """Return the least depth of the surface through points over an area."""
    import shapely  # heavy

    depth = {point.at: point.depth for point in points}
    triangles = shapely.get_parts(shapely.delaunay_triangles(shapely.MultiPoint(list(depth))))
    if area.difference(shapely.union_all(triangles)).area > FLOAT_SLACK_MM:
        return min(depth.values())
    least = []
    for triangle in triangles:
        common = triangle.intersection(area)
        if common.area > 0:
            corners = [(float(x), float(y)) for x, y in triangle.exterior.coords[:3]]
            plane = _plane([(x, y, depth[(x, y)]) for x, y in corners])
            least += [plane[0] * x + plane[1] * y + plane[2] for x, y in shapely.get_coordinates(common).tolist()]
    return min(least, default=min(depth.values()))


def _plane(corners: list[tuple[float, float, float]]) -> tuple[float, float, float]:
    """Return (a, b, c) of the plane a x + b y + c through three points."""
    (x0, y0, d0), (x1, y1, d1), (x2, y2, d2) = corners
    cross = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    a = ((d1 - d0) * (y2 - y0) - (d2 - d0) * (y1 - y0)) / cross
    b = ((d2 - d0) * (x1 - x0) - (d1 - d0) * (x2 - x0)) / cross
    return a, b, d0 - a * x0 - b * y0
