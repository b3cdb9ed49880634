"""Shapes for property tests."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from layout.geometry.region import Region
from layout.geometry.shapes import circle, fillet_path, path_through, rectangle, slot

if TYPE_CHECKING:
    from layout.geometry.path import Path

sizes = st.integers(20, 300).map(float)
turns = st.sampled_from([0, 90, 180, 270, 17, 45, 123.4])
spots = st.tuples(st.integers(-200, 200), st.integers(-200, 200)).map(lambda p: (float(p[0]), float(p[1])))


@st.composite
def rectangles(draw: st.DrawFn) -> Path:
    """Rectangles, sharp or rounded."""
    width, height = draw(sizes), draw(sizes)
    return rectangle(width, height, radius_mm=draw(st.floats(0, 0.5)) * min(width, height), at=draw(spots))


@st.composite
def slots(draw: st.DrawFn) -> Path:
    """Slots at any turn."""
    width = draw(sizes)
    return slot(width + draw(st.integers(0, 100)), width, at=draw(spots), turn_deg=draw(turns))


circles = st.builds(lambda d, at: circle(d, at=at), sizes, spots)


@st.composite
def convex_polygons(draw: st.DrawFn) -> Path:
    """Polygons on a circle, all corners rounded by one radius or none."""
    angles = sorted(draw(st.lists(st.integers(0, 11), min_size=3, max_size=8, unique=True)))
    radius = draw(st.integers(60, 200))
    corners = [(radius * math.cos(math.radians(30 * a)), radius * math.sin(math.radians(30 * a))) for a in angles]
    return fillet_path(corners, [draw(st.sampled_from([0.0, 0.5]))] * len(corners)).moved(*draw(spots))


convex = st.one_of(rectangles(), slots(), circles, convex_polygons())


@st.composite
def stars(draw: st.DrawFn) -> Path:
    """Outlines with bays: points round a centre at changing distance, corners rounded a little."""
    count = draw(st.integers(4, 9))
    reach = [draw(st.integers(40, 160)) for _ in range(count)]
    angles = [math.tau * i / count for i in range(count)]
    corners = [(r * math.cos(a), r * math.sin(a)) for r, a in zip(reach, angles, strict=True)]
    return fillet_path(corners, [draw(st.sampled_from([0.0, 1.0, 3.0]))] * count).moved(*draw(spots))


@st.composite
def bulged(draw: st.DrawFn) -> Path:
    """Boxes whose top bulges out or in by an arc."""
    width, height = draw(sizes), draw(sizes) + 40
    rise = draw(st.sampled_from([-0.4, -0.1, 0.1, 0.45, 0.7])) * min(width, 60)
    steps = [
        ("corner", (0.0, 0.0), 0.0),
        ("corner", (width, 0.0), 0.0),
        ("corner", (width, height), 0.0),
        ("arc", (0.0, height), (width / 2, height + rise)),
    ]
    return path_through(steps).moved(*draw(spots))


paths = st.one_of(convex, stars(), bulged())


@st.composite
def regions(draw: st.DrawFn) -> Region:
    """Big rounded boxes with one or two holes."""
    outer = rectangle(400, 300, radius_mm=draw(st.sampled_from([0.0, 30.0])))
    holes = [
        rectangle(60, 40, radius_mm=draw(st.sampled_from([0.0, 10.0])), at=(-100, 0)).turned(draw(turns), (-100, 0))
    ]
    if draw(st.booleans()):
        holes.append(circle(float(draw(st.integers(10, 120))), at=(90.0, 20.0)))
    return Region(outer, tuple(holes))
