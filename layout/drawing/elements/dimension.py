"""Dimensions after ISO 129-1: parallel, running and coordinate, placed before any writer runs.

Arrows are closed, filled, 30 degrees, 10 narrow line widths long; extension lines overshoot by 8 line
widths; the first line stands 10 mm off the outline, the following ones 7 mm apart; text reads from
below and from the right (ISO 129-1, from memory).

A band is laid out in its own frame: u along the dimension line, v away from the outline.
"""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING, Literal

from layout.drawing.elements import pens
from layout.drawing.elements.label_placing import spread
from layout.drawing.elements.metrics import text_box, width_mm
from layout.drawing.elements.numerals import Units, length_text
from layout.drawing.elements.scene import FillPath, Item, StrokePath, Text, polyline_path, scene_leaves
from layout.geometry.shapes import circle
from layout.light_dataclass import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.geometry.path import Box, Point

_Side = Literal["below", "above", "left", "right"]
Style = Literal["auto", "parallel", "running", "coordinate"]

ARROW_MM = 2.5
OVERSHOOT_MM = 2.0
FIRST_MM = 10.0
SPACING_MM = 7.0
TEXT_GAP_MM = 0.6
OUTLINE_GAP_MM = 1.0
RUNNING_PITCH_PER_CAP = 1.7
MOST_PARALLEL = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A feature to be dimensioned from the origin of its band.

    Attributes
    ----------
    at_mm
        Where it lies on paper, along the band.
    value_mm
        What the dimension says: its true distance from the datum.
    from_mm
        Where it lies on paper across the band; its extension line starts there. None: at the outline.
    prefix
        Symbol before the number (diameter sign, R).
    units
        Of the number.
    """

    at_mm: float
    value_mm: float
    from_mm: float | None = None
    prefix: str = ""
    units: Units = "mm"

    @property
    def text(self) -> str:
        """The dimension's text."""
        return self.prefix + length_text(self.value_mm, self.units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Dimensions along one side of an outline.

    Attributes
    ----------
    depth_mm
        How far the band reaches from the outline.
    style
        How it was laid out; ``coordinate`` says that the features are to be read from a table.
    """

    items: tuple[Item, ...]
    depth_mm: float
    style: Style

    @property
    def text_boxes(self) -> list[Box]:
        """Boxes of all its texts, for labels to keep clear of."""
        return [text_box(item) for item in scene_leaves(self.items) if isinstance(item, Text)]


@dataclass(frozen=True, slots=True)
class _Frame:
    """Places (u, v) of a band on paper."""

    side: _Side
    edge_mm: float
    items: list[Item] = field(default_factory=list)

    @property
    def across(self) -> float:
        """Direction of v on paper."""
        return 1.0 if self.side in {"above", "right"} else -1.0

    @property
    def upright(self) -> bool:
        """Whether u runs up the paper."""
        return self.side in {"left", "right"}

    def point(self, u: float, v: float) -> Point:
        w = self.edge_mm + self.across * v
        return (w, u) if self.upright else (u, w)

    def v_of(self, paper_mm: float) -> float:
        return (paper_mm - self.edge_mm) * self.across

    def stroke(self, *uv: Point, pen: pens.Pen = pens.DIMENSION) -> None:
        self.items.append(StrokePath(polyline_path([self.point(*p) for p in uv]), pen))

    def arrow(self, u: float, v: float, way: float) -> None:
        """Add an arrow head with its tip at (u, v), pointing along u in the direction of ``way``."""
        half = ARROW_MM * tan(radians(15))
        tail = u - way * ARROW_MM
        corners = [self.point(u, v), self.point(tail, v + half), self.point(tail, v - half)]
        self.items.append(FillPath(polyline_path(corners, closed=True), pens.DIMENSION.colour))

    def tip(self, u: float, v: float, origin: float, stops: Sequence[Stop]) -> None:
        """Add the end of a running dimension: an arrow, or a dot where the stop before leaves no room."""
        way = 1.0 if u > origin else -1.0
        if any(0 < (u - other.at_mm) * way < 1.6 * ARROW_MM for other in stops):
            self.items.append(FillPath(circle(1.0, at=self.point(u, v)), pens.DIMENSION.colour))
        else:
            self.arrow(u, v, way)

    def extension(self, stop: Stop, until_v: float) -> None:
        """Add the line from the feature across the outline to ``until_v``."""
        if stop.from_mm is not None and (start := self.v_of(stop.from_mm)) < -OUTLINE_GAP_MM:
            self.stroke((stop.at_mm, start), (stop.at_mm, 0.0), pen=pens.HAIR)
        self.stroke((stop.at_mm, OUTLINE_GAP_MM), (stop.at_mm, until_v))

    def along(self, u: float, v: float, content: str, height_mm: float, *, align: str = "centre") -> None:
        """Add text along the line, standing on the line at v as read from below or from the right."""
        # "Above the line" is up on paper for level lines, left for upright ones.
        up = 1.0 if self.side in {"above", "left"} else -1.0
        at = self.point(u, v + up * TEXT_GAP_MM)
        turn = 90.0 if self.upright else 0.0
        self.items.append(
            Text(at, content, height_mm, align, "base", turn, colour=pens.DIMENSION.colour)  # type: ignore[arg-type]
        )

    def out(self, u: float, v: float, content: str, height_mm: float) -> None:
        """Add text that runs away from the outline, starting at v."""
        starts_low = self.side in {"above", "right"}
        self.items.append(
            Text(
                self.point(u, v),
                content,
                height_mm,
                "left" if starts_low else "right",
                "middle",
                0.0 if self.upright else 90.0,
                colour=pens.DIMENSION.colour,
            )
        )


def parallel_band(
    stops: Sequence[Stop], *, origin_mm: float, side: _Side, edge_mm: float, height_mm: float = 2.5
) -> Band:
    """Return dimensions from a common origin, each on a line of its own, the shortest next to the outline."""
    frame = _Frame(side, edge_mm)
    ordered = sorted(stops, key=lambda s: (abs(s.at_mm - origin_mm), s.at_mm))
    depth = FIRST_MM + SPACING_MM * (len(ordered) - 1)
    frame.extension(Stop(at_mm=origin_mm, value_mm=0.0), depth + OVERSHOOT_MM)
    for row, stop in enumerate(ordered):
        off = FIRST_MM + SPACING_MM * row
        frame.extension(stop, off + OVERSHOOT_MM)
        _dimension_line(frame, origin_mm, stop.at_mm, off, text=stop.text, height_mm=height_mm)
    return Band(items=tuple(frame.items), depth_mm=depth + height_mm + OVERSHOOT_MM, style="parallel")


def running_band(
    stops: Sequence[Stop],
    *,
    origin_mm: float,
    side: _Side,
    edge_mm: float,
    low_mm: float,
    high_mm: float,
    height_mm: float = 2.5,
) -> Band:
    """Return dimensions from a common origin on one line, texts at the ends of their extension lines.

    Raises
    ------
    ValueError
        The texts do not fit between ``low_mm`` and ``high_mm``: use coordinates.
    """
    frame = _Frame(side, edge_mm)
    ordered = sorted([Stop(at_mm=origin_mm, value_mm=0.0), *stops], key=lambda s: s.at_mm)
    pitch = height_mm * RUNNING_PITCH_PER_CAP
    places = spread([s.at_mm for s in ordered], pitch_mm=pitch, low_mm=low_mm, high_mm=high_mm)
    off, bend, start = FIRST_MM, FIRST_MM + 1.5, FIRST_MM + 5.0
    deepest = 0.0
    for stop, place in zip(ordered, places, strict=True):
        frame.extension(stop, bend)
        frame.stroke((stop.at_mm, bend), (place, start - 0.7))
        frame.out(place, start, stop.text, height_mm)
        deepest = max(deepest, width_mm(stop.text, height_mm))
        if stop.at_mm != origin_mm:
            frame.tip(stop.at_mm, off, origin_mm, ordered)
    ends = [s.at_mm for s in ordered]
    frame.stroke((ends[0], off), (ends[-1], off))
    frame.items.append(StrokePath(circle(2.0, at=frame.point(origin_mm, off)), pens.DIMENSION))
    return Band(items=tuple(frame.items), depth_mm=start + deepest, style="running")


def dimension_band(
    stops: Sequence[Stop],
    *,
    origin_mm: float,
    side: _Side,
    edge_mm: float,
    low_mm: float,
    high_mm: float,
    height_mm: float = 2.5,
    style: Style = "auto",
) -> Band:
    """Return the features along one side, dimensioned as densely as their number asks for.

    ``auto`` takes parallel lines for a few features, a running line for more, and coordinates (an
    empty band; the hole table has the numbers) where even those have no room.
    """
    merged = merge(stops)
    if not merged or style == "coordinate":
        return Band(items=(), depth_mm=0.0, style="coordinate")
    if style == "parallel" or (style == "auto" and len(merged) <= MOST_PARALLEL):
        return parallel_band(merged, origin_mm=origin_mm, side=side, edge_mm=edge_mm, height_mm=height_mm)
    pitch = height_mm * RUNNING_PITCH_PER_CAP
    if style == "auto" and len(merged) * pitch > high_mm - low_mm:
        return Band(items=(), depth_mm=0.0, style="coordinate")
    return running_band(
        merged, origin_mm=origin_mm, side=side, edge_mm=edge_mm, low_mm=low_mm, high_mm=high_mm, height_mm=height_mm
    )


def merge(stops: Sequence[Stop]) -> list[Stop]:
    """Return the stops in order along the band, those that print the same number at the same place made one.

    The one kept is the one whose extension line is longest, so that it passes all of them.
    """
    kept: dict[tuple[str, float], Stop] = {}
    for stop in sorted(stops, key=lambda s: (s.at_mm, s.value_mm)):
        key = (stop.text, round(stop.at_mm, 1))
        other = kept.get(key)
        if other is None or (stop.from_mm is not None and other.from_mm is None):
            kept[key] = stop
    return sorted(kept.values(), key=lambda s: s.at_mm)


def _dimension_line(frame: _Frame, start: float, end: float, off: float, *, text: str, height_mm: float) -> None:
    """Add line, arrows and text; where they do not fit between the ends, arrows and text go outside."""
    low, high = min(start, end), max(start, end)
    wide = width_mm(text, height_mm)
    room = high - low
    if room >= wide + 1.0 and room >= 3 * ARROW_MM:
        frame.stroke((low, off), (high, off))
        frame.arrow(low, off, -1.0)
        frame.arrow(high, off, 1.0)
        frame.along((low + high) / 2, off, text, height_mm)
        return
    frame.arrow(low, off, 1.0)
    frame.arrow(high, off, -1.0)
    tail = high + 2 * ARROW_MM
    frame.stroke((low - 2 * ARROW_MM, off), (tail + wide + 1.0, off))
    frame.along(tail + 0.5, off, text, height_mm, align="left")
