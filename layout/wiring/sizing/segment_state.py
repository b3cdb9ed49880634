"""The working record of one segment while routes, bundles, sizes and fill settle."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.quantity import WireSize
from layout.standards.cables import single_core_od
from layout.standards.conductors import ConductorSize, Series, least_area_mm2, size_of, sizes
from layout.wiring.result import Length
from layout.wiring.sizing.design_current import UNKNOWN_CURRENT, DesignCurrent
from layout.wiring.sizing.drop import Copper
from layout.wiring.sizing.sized_segment import SizedSegment

if TYPE_CHECKING:
    from layout.project.model.circuits import CableKind
    from layout.project.model.project import Project
    from layout.project.model.workshop import WiringRules
    from layout.wiring.circuits.ends import Ends, Site
    from layout.wiring.circuits.segments import WireSegment
    from layout.wiring.routing.routes import Route
    from layout.wiring.sizing.conductor_size import Demand, Sizing

CARRYING = frozenset({"+", "-", "L", "N", "switched"})
"""Poles that count in a bundle: earth, bonding, sense, data and antenna conductors do not."""


@dataclass(slots=True)
class SegmentState:
    """One segment on its way to a run; nothing outside the sizing ever sees it.

    Attributes
    ----------
    sizes, ods
        Sizes of its cable kind (or of the series bought), thin to thick, and outer diameter by size.
    sites
        Where its two ends are.
    fixed_route, fixed_size
        Whether the owner gives them.
    protection_a
        Rating that the conductor must bear; None while none is known.
    share_v
        Drop allowed on this segment; None where there is no limit to work with.
    start_v
        Drop on it at its design current with which the motor behind it still starts; None where there is none.
    asked
        Demand that the size was found for.
    poor
        Whether no size meets every criterion, so that the thickest stands in.
    moves
        How often it was sent another way.
    """

    segment: WireSegment
    cable: str | None
    kind: CableKind | None
    sizes: tuple[ConductorSize, ...]
    ods: dict[ConductorSize, float]
    sites: tuple[Site, Site]
    copper: Copper
    insulation_c: float
    fixed_route: bool = False
    fixed_size: bool = False
    route: Route | None = None
    length: Length = field(default_factory=Length)
    hot: bool = False
    bundle: int = 1
    current: DesignCurrent = UNKNOWN_CURRENT
    protection_a: float | None = None
    share_v: float | None = None
    start_v: float | None = None
    size: ConductorSize | None = None
    asked: Demand | None = None
    sizing: Sizing | None = None
    poor: bool = False
    moves: int = 0

    @property
    def carrying(self) -> int:
        """How many of its conductors count in a bundle; a cranking conductor carries current for seconds only."""
        if self.segment.cranking or self.segment.run_class not in ("dc", "ac"):
            return 0
        return sum(1 for lead in self.segment.leads if lead.pole in CARRYING)

    @property
    def cores(self) -> int:
        """Conductors in one cable."""
        return self.kind.cores if self.kind else 1

    @property
    def cables(self) -> int:
        """How many cables are pulled."""
        return -(-len(self.segment.leads) // max(self.cores, 1))

    @property
    def od_mm(self) -> float | None:
        """Outer diameter of one cable; None where size or diameter is not known."""
        if self.segment.laid is not None:
            return self.segment.laid.od_mm
        if self.size is None:
            return self.ods.get(next(iter(self.ods))) if len(self.ods) == 1 else None
        return self.ods.get(self.size)

    @property
    def conductors(self) -> int:
        """Conductors whose resistance makes the drop: two in a pair, one in a single feeder conductor."""
        return min(2, sum(1 for lead in self.segment.leads if lead.pole in CARRYING)) or 1

    @property
    def loop_m(self) -> float | None:
        """Metres of conductor that count for drop; None while the length is not known."""
        return None if self.length.total_mm is None else self.conductors * self.length.total_mm / 1000

    def frozen(self) -> SizedSegment:
        """Return what was found, for all that comes after."""
        return SizedSegment(
            segment=self.segment,
            cable=self.cable,
            kind=self.kind,
            cores=self.cores,
            sizes=self.sizes,
            sites=self.sites,
            copper=self.copper,
            insulation_c=self.insulation_c,
            fixed_route=self.fixed_route,
            fixed_size=self.fixed_size,
            current=self.current,
            route=self.route,
            length=self.length,
            hot=self.hot,
            bundle=self.bundle,
            carrying=self.carrying,
            size=self.size,
            sizing=self.sizing,
            od_mm=self.od_mm,
        )


def conductor_size(size: WireSize, rules: WiringRules) -> ConductorSize:
    """Return the copper of a nominal size, in the series in which it is written.

    An AWG number takes its own area only where the project buys AWG; else the thinner SAE area of the number, if there
    is one, which is safe for both kinds sold.
    """
    if size.area_mm2 is not None:
        return size_of(area_mm2=size.area_mm2)
    if size.sae is not None:
        return size_of(gauge=size.sae, series=Series.SAE)
    nominal = size_of(gauge=size.awg, series=Series.AWG)
    return nominal if rules.wire_sizes == "awg" else replace(nominal, area_mm2=least_area_mm2(size))


def series_sizes(rules: WiringRules) -> tuple[ConductorSize, ...]:
    """Return the sizes of the series that the project buys."""
    return sizes(Series(rules.wire_sizes))


def copper_of(rules: WiringRules, kind: CableKind | None) -> Copper:
    """Return how the copper is made; plain only where the project or the cable says so."""
    tinned = "tinned" in rules.conductor_class and (kind is None or kind.tinned)
    strand_class = 2 if rules.conductor_class.startswith("class 2") else 5
    return Copper(temperature_c=rules.working_temperature, tinned=tinned, strand_class=strand_class)


def cable_for(project: Project, segment: WireSegment) -> str | None:
    """Return the cable kind of a segment: given, else the first declared that suits; None where none does.

    DC takes single cores before multi-core cable, AC the multi-core cable with the fewest cores that are enough.
    """
    if segment.cable is not None:
        return segment.cable
    suited = [key for key, kind in project.cables.items() if segment.run_class in kind.carries]
    need = len(segment.leads)
    if segment.run_class == "ac":
        enough = [key for key in suited if project.cables[key].cores >= need]
        return min(enough, key=lambda key: project.cables[key].cores, default=None)
    singles = [key for key in suited if project.cables[key].cores == 1]
    enough = singles or [key for key in suited if project.cables[key].cores >= need]
    return enough[0] if enough else None


def make_plan(ends: Ends, segment: WireSegment) -> SegmentState:
    """Start the record of a segment."""
    project = ends.project
    rules = project.wiring
    cable = cable_for(project, segment)
    kind = project.cables.get(cable) if cable else None
    given = () if segment.size is None else (conductor_size(segment.size, rules),)
    ods = _diameters(kind, rules, given)
    known = tuple(sorted(ods, key=lambda size: size.area_mm2)) if kind and kind.sizes else series_sizes(rules)
    lead = segment.leads[0]
    plan = SegmentState(
        segment=segment,
        cable=cable,
        kind=kind,
        sizes=known,
        ods=ods,
        sites=(ends.site(ends.owner(lead.start)), ends.site(ends.owner(lead.end))),
        copper=copper_of(rules, kind),
        insulation_c=kind.insulation if kind else rules.insulation,
        fixed_route=bool(segment.wireways) or segment.laid is not None,
        fixed_size=segment.size is not None,
    )
    for size in given:
        plan.size = size
    if not given and segment.run_class in ("data", "antenna") and kind is not None and len(known) == 1:
        plan.size = known[0]
    return plan


def _diameters(
    kind: CableKind | None, rules: WiringRules, given: tuple[ConductorSize, ...]
) -> dict[ConductorSize, float]:
    """Return the outer diameter by size; without a kind, typical single cores (to be confirmed)."""
    if kind is not None:
        return dict(_declared(tuple(kind.sizes.items()), rules))
    return typical_diameters((*series_sizes(rules), *given))


@cache
def _declared(sizes_: tuple[tuple[str, float], ...], rules: WiringRules) -> tuple[tuple[ConductorSize, float], ...]:
    return tuple((conductor_size(WireSize.read(text), rules), od) for text, od in sizes_)


@cache
def _typical(available: tuple[ConductorSize, ...]) -> tuple[tuple[ConductorSize, float], ...]:
    found = ((size, single_core_od(size)) for size in available)
    return tuple((size, od.od_mm) for size, od in found if od is not None)


def typical_diameters(available: tuple[ConductorSize, ...]) -> dict[ConductorSize, float]:
    """Return the typical outer diameter of single cores by size."""
    return dict(_typical(available))
