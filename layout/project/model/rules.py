"""Hard rules that the user sets: gaps, pairs and classes, and relations between devices."""

from __future__ import annotations

from typing import Annotated, Literal

from layout.light_dataclass import dataclass
from layout.project.model.edge import Note, OneOrMore, exactly_one
from layout.project.model.panel import Layer
from layout.project.model.shape import Shape
from layout.quantity import Gap, Mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ApartRule:
    """Least distance between two devices, or between all devices of two classes, in one layer or in space.

    Names are device ids; ``class:ac`` stands for every device of that class.
    """

    between: tuple[str, str]
    gap: Gap
    layer: Layer = Layer.FRONT
    why: Note = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation:
    """A declared relation between devices of one panel: exactly one of the keys.

    Attributes
    ----------
    left_to_right, top_to_bottom
        In this order, not overlapping in that direction.
    row, column
        Same height (row) or same distance from the side (column) of their ``by``: centre, low edge or high edge.
    on_side
        Devices whose face lies wholly in that half of the panel.
    in_zone
        Devices whose face lies inside ``zone`` (panel coordinates).
    group
        Kept together as one block in this order, side by side (``across``) or stacked (``up``), ``gap`` apart exactly.
    mirrored
        Two devices at equal distance from the vertical line ``about`` (None: the panel's centre line), same height.
    """

    left_to_right: tuple[str, ...] | None = None
    top_to_bottom: tuple[str, ...] | None = None
    row: tuple[str, ...] | None = None
    column: tuple[str, ...] | None = None
    on_side: tuple[str, ...] | None = None
    in_zone: tuple[str, ...] | None = None
    group: tuple[str, ...] | None = None
    mirrored: tuple[str, str] | None = None
    side: Literal["left", "right", "top", "bottom", "hinge", "opening"] | None = None
    zone: Shape | None = None
    by: Literal["centre", "low", "high"] = "centre"
    gap: Gap | None = None
    run: Literal["across", "up"] = "across"
    about: Mm | None = None
    why: Note = ""

    def __post_init__(self) -> None:
        kind = self.kind
        if (kind == "on_side") != (self.side is not None):
            raise ValueError("on_side goes with side: left, right, top, bottom, hinge or opening")
        if (kind == "in_zone") != (self.zone is not None):
            raise ValueError("in_zone goes with zone: a shape in panel coordinates")
        if kind not in ("on_side", "in_zone") and len(self.devices) < 2:
            raise ValueError(f"{kind} takes at least two devices")
        if len(set(self.devices)) != len(self.devices):
            raise ValueError(f"{kind} names a device twice")

    @property
    def kind(self) -> str:
        """Which relation it is."""
        names = ("left_to_right", "top_to_bottom", "row", "column", "on_side", "in_zone", "group", "mirrored")
        return exactly_one("a relation", {name: getattr(self, name) for name in names})

    @property
    def devices(self) -> tuple[str, ...]:
        """Ids of the devices it binds, in order."""
        found: tuple[str, ...] = getattr(self, self.kind)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Limits for placing, mm; what is left out takes the default of the table of rules (``spile rules`` shows both).

    Attributes
    ----------
    face_gap
        Between faces.
    hole_gap
        Material left between cut-outs, and between a cut-out and the sheet's edge.
    edge
        Faces from the panel's outline.
    rear_gap
        Between bodies (with tail room) behind the sheet.
    depth_spare
        Between the deepest part and what lies behind.
    fixing_edge
        Solid material around a fixing.
    ac_dc
        Between AC and DC devices behind the sheet.
    swing_spare
        Between anything that swings with the panel and what stands still.
    """

    face_gap: Gap | None = None
    hole_gap: Gap | None = None
    edge: Gap | None = None
    rear_gap: Gap | None = None
    depth_spare: Gap | None = None
    fixing_edge: Gap | None = None
    ac_dc: Gap | None = None
    swing_spare: Gap | None = None
    apart: tuple[ApartRule, ...] = ()
    relations: Annotated[tuple[Relation, ...], OneOrMore()] = ()
