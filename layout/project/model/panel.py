"""Panels: the sheet to be cut, what bounds it, and what lies around and behind it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, ClassVar, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.project.model.edge import OneOrMore, TextMark
from layout.project.model.keys import Entry
from layout.project.model.shape import Dimensions, Pair, Shape, Tolerance
from layout.quantity import Degrees, Gap, Mm, Number, Size, Thickness

Pixel = Annotated[float, Number(least=0, most=100_000)]

_FLATTEST = 0.05
"""Three points count as a triangle if its height is more than this share of its longest side."""


class Layer(StrEnum):
    """Which of the three layers something takes up; ``all`` is every one."""

    FRONT = "front"
    SHEET = "sheet"
    REAR = "rear"
    ALL = "all"


class SizeFrom(StrEnum):
    """Where a size comes from. What is guessed or from the catalogue may not be cut without a second look."""

    MAKER = "maker"
    MEASURED = "measured"
    TRACED = "traced"
    GUESSED = "guessed"
    CATALOGUE = "catalogue"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoGo:
    """A zone tied to the panel: batten, hinge, lock, frame. In the rear it may start at a depth.

    ``solid`` battens forbid fixings and cut-outs alike; ``from_depth`` is measured from the sheet's rear face.
    """

    id: str = ""
    name: str = ""
    shape: Shape
    layer: Annotated[tuple[Layer, ...], OneOrMore()] = (Layer.ALL,)
    kind: Literal["batten", "hinge", "lock", "frame", "shelf", "other"] = "other"
    from_depth: Gap = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthPoint:
    """Free depth behind the sheet's rear face at one point of the panel."""

    at: Pair
    depth: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthStep:
    """Free depth behind the sheet's rear face over a zone; where zones overlap the least counts."""

    shape: Shape
    depth: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """A box fixed in the boat (frame, shelf, hull) in panel coordinates with the panel shut; z towards the viewer."""

    id: str = ""
    name: str = ""
    low: tuple[Mm, Mm, Mm]
    high: tuple[Mm, Mm, Mm]

    def __post_init__(self) -> None:
        if any(low >= high for low, high in zip(self.low, self.high, strict=True)):
            raise ValueError(f"low must lie below high in x, y and z; found {list(self.low)} and {list(self.high)}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hinge:
    """Where the panel turns.

    Attributes
    ----------
    side
        Edge of the outline's bounding box along which the pin runs.
    pin
        Distance of the pin's axis outwards from that edge, and towards the viewer from the sheet's front face, mm.
    opens
        Largest opening angle, degrees.
    obstacles
        What the rear must clear while it swings, and what the front must clear.
    loom_depth
        How far the loom and its slack stand behind the sheet's rear face, mm; None is not known.
    """

    side: Literal["left", "right", "top", "bottom"]
    pin: Pair = (0.0, 0.0)
    opens: Degrees = 90.0
    obstacles: Mapping[str, Obstacle] = field(default_factory=FrozenMap)
    loom_depth: Size | None = None

    def __post_init__(self) -> None:
        if not 0 < self.opens <= 180:
            raise ValueError(f"opens is an angle of more than 0 and at most 180 degrees, found {self.opens:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class CableExit:
    """Where the loom leaves the panel, and the named place (a node of the wireways) it reaches there."""

    at: Pair
    location: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OldHole:
    """A hole that the sheet already has. ``fate``: blank (gets a blanking plate), cover (a face must hide it), open."""

    id: str = ""
    name: str = ""
    shape: Shape
    fate: Literal["cover", "blank", "open"] = "cover"
    blank: Dimensions | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserved:
    """Room kept free for a later device, at a fixed place (``at`` is its centre) or wherever the solver finds it.

    ``depth`` is that of the later device's body with its tail; without it all the depth there is stays free.
    """

    id: str = ""
    name: str = ""
    size: Dimensions
    at: Pair | None = None
    depth: Size | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Compass:
    """A magnetic compass near the panel, in panel coordinates (z towards the viewer, 0 at the sheet's front face)."""

    id: str = ""
    name: str = ""
    at: tuple[Mm, Mm, Mm]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPoint:
    """One spot of a photograph: its pixels across and down from the upper left, and where it is on the panel, mm."""

    pixel: tuple[Pixel, Pixel]
    at: Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A photograph of the panel as it is, which lies under it on a screen.

    Attributes
    ----------
    file
        JPEG or PNG in the project's folder.
    points
        Three spots that are not in a line, far apart: corners of the panel, say. Perspective is not taken out.
    """

    file: Annotated[str, TextMark(most=200)]
    points: tuple[PhotoPoint, PhotoPoint, PhotoPoint]

    def __post_init__(self) -> None:
        for name, (a, b, c) in (
            ("pixel", [point.pixel for point in self.points]),
            ("at", [point.at for point in self.points]),
        ):
            twice_area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
            longest = max(math.dist(a, b), math.dist(b, c), math.dist(c, a))
            if abs(twice_area) <= _FLATTEST * longest**2:
                raise ValueError(f"the three points lie in a line by '{name}'; take corners of a triangle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel(Entry):
    """One sheet of material to be cut, or a board that devices are screwed on to.

    Attributes
    ----------
    outline
        Closed outline; the datum is the lower left corner of its bounding box, seen from the front, so the reader
        moves it there.
    outline_tolerance, size_from
        How well the outline is known, and where it comes from.
    holes
        Openings in the sheet that stay (no device covers them).
    thickness, material
        Of the sheet. ``grain`` is the direction of the face veneer.
    depth
        Free depth behind the sheet's rear face; ``depth_at`` points or ``depth_steps`` say it where it varies (at any
        place the least of what applies counts). With none of the three the depth is unknown, and that is an error
        where a body needs it.
    edge
        Least distance of faces from the outline; None takes the rules' value.
    photograph
        Of the panel or its place as it is; it lies under the panel in the report.
    above_sole
        Height of the datum above the cabin sole, for eye and reach.
    """

    SECTION: ClassVar[str] = "panels"
    id: str = ""
    name: str = ""
    outline: Shape
    outline_tolerance: Tolerance | None = None
    size_from: SizeFrom | None = None
    holes: tuple[Shape, ...] = ()
    thickness: Thickness
    material: Literal["plywood", "solid wood", "aluminium", "acrylic", "grp", "steel"]
    grain: Literal["across", "up"] | None = None
    kind: Literal["panel", "board"] = "panel"
    depth: Size | None = None
    depth_at: tuple[DepthPoint, ...] = ()
    depth_steps: tuple[DepthStep, ...] = ()
    front_room: Size | None = None
    edge: Gap | None = None
    no_go: Mapping[str, NoGo] = field(default_factory=FrozenMap)
    hinge: Hinge | None = None
    cable_exit: CableExit | None = None
    loom: tuple[tuple[Pair, ...], ...] = ()
    old_holes: Mapping[str, OldHole] = field(default_factory=FrozenMap)
    reserved: Mapping[str, Reserved] = field(default_factory=FrozenMap)
    compasses: Mapping[str, Compass] = field(default_factory=FrozenMap)
    above_sole: Mm | None = None
    photograph: Photograph | None = None
    work_state: Literal["open", "cut"] = "open"

    def __post_init__(self) -> None:
        if self.depth_at and len(self.depth_at) < 3:
            raise ValueError(f"depth_at takes at least 3 points that span the panel, found {len(self.depth_at)}")
