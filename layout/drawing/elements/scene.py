"""Typed primitives of a drawing: millimetres on paper, x right, y up, origin lower left.

A scene is finished geometry. Layout modules make it, writers write it down, and nobody measures
afterwards. Text is never mirrored: a mirrored drawing mirrors its paths and places its text anew.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layout.drawing.elements.colours import INK
from layout.drawing.elements.pens import HATCH, Pen
from layout.geometry.path import Arc, Box, Line, Path, Point
from layout.languages import in_language
from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

Align = Literal["left", "centre", "right"]
Level = Literal["base", "middle", "top"]


@dataclass(frozen=True, slots=True)
class StrokePath:
    """A path drawn with a pen."""

    path: Path
    pen: Pen


@dataclass(frozen=True, slots=True)
class FillPath:
    """A closed path filled with one colour (``#rrggbb``); ``holes`` stay free."""

    path: Path
    colour: str = INK
    holes: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class HatchPath:
    """A closed path filled with parallel lines; ``holes`` stay free."""

    path: Path
    pen: Pen = HATCH
    spacing_mm: float = 2.5
    turn_deg: float = 45.0
    holes: tuple[Path, ...] = ()

    def __post_init__(self) -> None:
        if not self.spacing_mm > 0:
            raise ValueError(f"spacing_mm must be above 0, got {self.spacing_mm}")


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text, in the language that is spoken.

    Attributes
    ----------
    at
        Anchor point in mm.
    height_mm
        Height of the capital letters (ISO 3098 h).
    align, level
        Which point of the text the anchor is: left, centre or right end of its advance width;
        base line, half the capital height, or its top.
    turn_deg
        Counter-clockwise about the anchor.
    halo
        Clear the paper behind the text, so that it reads over lines.
    """

    at: Point
    content: str
    height_mm: float = 2.5
    align: Align = "left"
    level: Level = "base"
    turn_deg: float = 0.0
    bold: bool = False
    colour: str = INK
    halo: bool = False

    def __post_init__(self) -> None:
        if not self.height_mm > 0:
            raise ValueError(f"height_mm must be above 0, got {self.height_mm}")
        if "\n" in self.content:
            raise ValueError("a Text is one line; make one Text a line")
        said = in_language(self.content)
        if said is not self.content:
            object.__setattr__(self, "content", said)  # before anybody measures it


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together, moved by (dx_mm, dy_mm) after scaling about the origin.

    ``scale`` scales positions and text heights; pens keep their widths. ``name`` becomes the group's
    id in SVG (made unique there), ``layer`` its layer in DXF and SVG. ``subject`` is what it shows, dotted by kind as
    in a finding (``devices.radio``); a page finds it by that.
    """

    items: tuple[Item, ...]
    name: str = ""
    layer: str = ""
    dx_mm: float = 0.0
    dy_mm: float = 0.0
    scale: float = 1.0
    subject: str = ""


Item = StrokePath | FillPath | HatchPath | Text | Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Underlay:
    """A picture under a drawing on a page.

    Attributes
    ----------
    href
        Its address; for a page that asks for nothing, the picture itself.
    size
        Across and down, in the pixels that ``matrix`` counts.
    matrix
        ``(a, b, c, d, e, f)``: pixel (u, v) lies at (a u + c v + e, b u + d v + f), y up.
    room
        Nothing of it is shown outside, mm of the scene; None shows it whole.
    """

    href: str
    size: tuple[int, int]
    matrix: tuple[float, float, float, float, float, float]
    room: Box | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One page or picture.

    Attributes
    ----------
    title
        Name of the page; bookmark in PDF, title element in SVG.
    section
        Heading that pages are gathered under in bookmarks, a panel's name for instance.
    stretch
        Factors across and up by which a writer of paper enlarges everything, the page included, to undo a
        printer's measured error. Sizes here stay true millimetres.
    underlay
        A picture under everything, on paper and in SVG; machines get none.
    """

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str = ""
    section: str = ""
    stretch: tuple[float, float] = (1.0, 1.0)
    underlay: Underlay | None = None

    def __post_init__(self) -> None:
        if not (self.width_mm > 0 and self.height_mm > 0):
            raise ValueError(f"a scene needs a size, got {self.width_mm} x {self.height_mm} mm")

    def __repr__(self) -> str:
        return f"<Scene {self.title!r}, {self.width_mm:g} x {self.height_mm:g} mm, {len(self.items)} items>"

    def _repr_svg_(self) -> str:
        """Return the scene as a notebook shows it."""
        from layout.drawing.writers.svg import svg_text  # the writers stand above the scene

        return svg_text(self)


def scaled_path(path: Path, scale: float) -> Path:
    """Return ``path`` scaled about the origin."""
    if scale == 1.0:
        return path

    def point(p: Point) -> Point:
        return (p[0] * scale, p[1] * scale)

    segments: list[Line | Arc] = []
    for segment in path.segments:
        if isinstance(segment, Arc):
            segments.append(Arc(point(segment.start), point(segment.end), point(segment.centre), segment.ccw))
        else:
            segments.append(Line(point(segment.start), point(segment.end)))
    return Path(tuple(segments), path.closed)


def moved_item(item: Item, dx_mm: float, dy_mm: float, scale: float = 1.0) -> Item:
    """Return ``item`` scaled about the origin and then moved, groups resolved to no offset of their own."""
    if dx_mm == dy_mm == 0.0 and scale == 1.0 and not isinstance(item, Group):
        return item

    def move(path: Path) -> Path:
        return scaled_path(path, scale).moved(dx_mm, dy_mm)

    match item:
        case StrokePath():
            return replace(item, path=move(item.path))
        case FillPath():
            return replace(item, path=move(item.path), holes=tuple(move(h) for h in item.holes))
        case HatchPath():
            return replace(
                item,
                path=move(item.path),
                holes=tuple(move(h) for h in item.holes),
                spacing_mm=item.spacing_mm * scale,
            )
        case Text():
            at = (item.at[0] * scale + dx_mm, item.at[1] * scale + dy_mm)
            return replace(item, at=at, height_mm=item.height_mm * scale)
        case Group():
            inner_dx = item.dx_mm * scale + dx_mm
            inner_dy = item.dy_mm * scale + dy_mm
            return Group(
                tuple(moved_item(i, inner_dx, inner_dy, item.scale * scale) for i in item.items),
                name=item.name,
                layer=item.layer,
                subject=item.subject,
            )


def resolved(scene: Scene) -> tuple[Item, ...]:
    """Return the scene's items in page coordinates: every group at no offset and scale 1."""
    return tuple(moved_item(item, 0.0, 0.0) for item in scene.items)


def scene_leaves(items: Iterable[Item]) -> Iterator[StrokePath | FillPath | HatchPath | Text]:
    """Yield every primitive of ``items`` in drawing order and in the outer frame."""
    for item in items:
        if isinstance(item, Group):
            moved = moved_item(item, 0.0, 0.0)
            if isinstance(moved, Group):
                yield from scene_leaves(moved.items)
        else:
            yield item


def line(start: Point, end: Point, pen: Pen) -> StrokePath:
    """Return a straight stroke."""
    return StrokePath(Path((Line(start, end),), closed=False), pen)


def polyline_path(points: Iterable[Point], *, closed: bool = False) -> Path:
    """Return a path of straight pieces through ``points`` (at least two)."""
    corners = list(points)
    ends = [*corners[1:], corners[0]] if closed else corners[1:]
    return Path(tuple(Line(a, b) for a, b in zip(corners, ends, strict=False)), closed)


def box_path(box: Box) -> Path:
    """Return the outline of ``box`` as a closed path, counter-clockwise."""
    return polyline_path([(box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)], closed=True)


def rect(box: Box, pen: Pen) -> StrokePath:
    """Return the stroked outline of ``box``."""
    return StrokePath(box_path(box), pen)
