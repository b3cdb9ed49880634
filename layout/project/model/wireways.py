"""Named places aboard and the wireways between them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from layout.light_dataclass import dataclass
from layout.project.model.aboard import Aboard, Existing
from layout.project.model.edge import OneOrMore
from layout.project.model.keys import Entry
from layout.project.model.shape import Dimensions
from layout.quantity import Bends, BoatMm, Celsius, Diameter, RunLength, Share, Size

Point3 = tuple[BoatMm, BoatMm, BoatMm]
"""Forward of amidships, to port, above the sole; mm, in the boat's frame."""

_Zone = Literal["cabin", "hot space", "exterior", "ignition-protected"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Location(Entry):
    """A named place (a node of the wireways): locker, mast foot, battery box, panel's cable entry."""

    SECTION: ClassVar[str] = "locations"
    id: str = ""
    name: str = ""
    at: Point3 | None = None
    zone: _Zone = "cabin"
    gas: Literal["none", "petrol", "gas", "battery gas"] = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wireway(Entry, Aboard):
    """Conduit, trunking, tray or free run between two places.

    Attributes
    ----------
    from_, to
        Places, written ``from`` and ``to``.
    length
        Along it; or ``points`` of a free run in the boat's frame, from which it is summed. With neither the length is
        unknown, and so is that of every run that has to go this way.
    bore, inner
        Inner diameter of a conduit, or inner width and height of a trunk; None where nothing fills up (tray, free).
    bends
        Sum of bends, degrees.
    zone
        Hottest zone it passes.
    carries
        Classes allowed in it.
    compartments
        Classes kept apart by a wall inside (a trunk in compartments).
    fill_limit
        Lower than the practice's, for pulling again later.
    draw_line
        Whether a spare draw line stays in it.
    bundled
        Whether what lies in it counts as one bundle.
    sealed
        Whether its ends are sealed (asked where it opens into a gas or battery space).
    """

    SECTION: ClassVar[str] = "wireways"
    id: str = ""
    name: str = ""
    from_: str
    to: str
    kind: Literal["conduit", "trunk", "tray", "free"]
    length: RunLength | None = None
    points: tuple[Point3, ...] = ()
    bore: Diameter | None = None
    inner: Dimensions | None = None
    bends: Bends | None = None
    bend_radius: Size | None = None
    zone: _Zone = "cabin"
    temperature: Celsius | None = None
    carries: Annotated[tuple[Literal["dc", "ac", "data", "antenna"], ...], OneOrMore()] = ("dc", "data", "antenna")
    compartments: bool = False
    fill_limit: Share | None = None
    draw_line: bool = True
    bundled: bool = True
    sealed: bool | None = None
    aboard: Existing | None = None

    def __post_init__(self) -> None:
        if len(self.points) == 1:
            raise ValueError("a free run takes at least two points along it, found one")
        if self.length is not None and self.points:
            raise ValueError("a wireway takes length or points, not both")
        if self.from_ == self.to:
            raise ValueError(f"a wireway joins two places, found '{self.from_}' twice")
        if (self.kind == "conduit" and self.inner) or (self.kind == "trunk" and self.bore):
            raise ValueError("a conduit takes bore (inner diameter), a trunk takes inner (width and height)")
