"""Soft wishes: what makes one arrangement better than another, each with a weight the user can see and set."""

from __future__ import annotations

from typing import Annotated, Literal

from layout.light_dataclass import dataclass
from layout.project.model.edge import OneOrMore
from layout.project.model.shape import Dimensions, Pair
from layout.quantity import Gap, Mm, Weight

WishKind = Literal[
    "near point",
    "near edge",
    "near corner",
    "near device",
    "eye band",
    "reach",
    "aligned",
    "tidy",
    "even spacing",
    "symmetry",
    "short cables",
    "mass to hinge",
    "large blank",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One wish.

    Attributes
    ----------
    wish
        Its kind. near point (``point``), near edge (``edge``), near corner (``corner``), near device (``to``),
        eye band (``eye_height`` above the sole, devices at most ``within`` off it), reach (same, for hands),
        aligned (edges and centre lines in common), tidy (few lines, equal gaps, wherever they come about),
        even spacing, symmetry (about ``about`` or the centre line), short cables (weighted by conductor), mass to
        hinge, large blank (of at least ``size``).
    devices
        Whom it concerns; empty means all it can concern.
    weight
        Cost of each mm (or of each missing alignment, counted as 100 mm) over ``free``, against other wishes.
    free
        Distance that costs nothing.
    """

    wish: WishKind
    devices: Annotated[tuple[str, ...], OneOrMore()] = ()
    weight: Weight = 1.0
    free: Gap = 0.0
    point: Pair | None = None
    edge: Literal["left", "right", "top", "bottom", "hinge", "opening"] | None = None
    corner: Literal["top left", "top right", "bottom left", "bottom right"] | None = None
    to: str | None = None
    eye_height: Mm | None = None
    within: Gap | None = None
    about: Mm | None = None
    size: Dimensions | None = None
    panel: str | None = None
    name: str = ""

    def __post_init__(self) -> None:
        needs = {
            "near point": "point",
            "near edge": "edge",
            "near corner": "corner",
            "near device": "to",
            "eye band": "eye_height",
            "reach": "eye_height",
            "large blank": "size",
        }
        field = needs.get(self.wish)
        if field and getattr(self, field) is None:
            raise ValueError(f"the wish '{self.wish}' needs {field}")
        if not self.weight >= 0:
            raise ValueError(f"weight must be at least 0, found {self.weight:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """All wishes of a project; a preset only sets weights (data in ``placing/presets.yaml``)."""

    preset: Literal["tidy", "short wires", "room to grow"] | None = None
    wanted: tuple[Wish, ...] = ()
