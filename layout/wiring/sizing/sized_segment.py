"""One segment as routing and sizing left it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from layout.project.model.circuits import CableKind
    from layout.standards.conductors import ConductorSize
    from layout.wiring.circuits.ends import Site
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.result import Length
    from layout.wiring.routing.routes import Route
    from layout.wiring.sizing.conductor_size import Sizing
    from layout.wiring.sizing.design_current import DesignCurrent
    from layout.wiring.sizing.drop import Copper


@dataclass(frozen=True, slots=True, kw_only=True)
class SizedSegment:
    """One segment with its cable, way, length and size.

    Attributes
    ----------
    cable, kind, cores
        Key and entry of its cable, and conductors in one; None and 1 where none is declared.
    sizes
        Sizes it could have had, thin to thick.
    sites
        Where its two ends are.
    fixed_route, fixed_size
        Whether the owner gives them.
    route, length, hot, bundle
        Wireways in order (None where no way leads there), length, whether a hot space is passed, and the most
        conductors loaded together on the way.
    carrying
        How many of its conductors count in a bundle.
    od_mm
        Outer diameter of one cable; None where size or diameter is not known.
    """

    segment: WireSegment
    cable: str | None
    kind: CableKind | None
    cores: int
    sizes: tuple[ConductorSize, ...]
    sites: tuple[Site, Site]
    copper: Copper
    insulation_c: float
    fixed_route: bool
    fixed_size: bool
    current: DesignCurrent
    route: Route | None
    length: Length
    hot: bool
    bundle: int
    carrying: int
    size: ConductorSize | None
    sizing: Sizing | None
    od_mm: float | None
