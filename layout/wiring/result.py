"""What wiring hands on: runs with their wires, wireways with their fill, numbers and findings, all frozen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass, field
from layout.wiring.circuits.segments import EARTH
from layout.wiring.system.isolation import Isolation

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.findings.finding import Finding
    from layout.standards.conductors import ConductorSize
    from layout.wiring.circuits.segments import DeclaredBy
    from layout.wiring.protection.fault_book import FaultRange
    from layout.wiring.protection.protective_device import ProtectiveDevice
    from layout.wiring.sizing.conductor_size import Sizing

RunClass = Literal["dc", "ac", "data", "antenna"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WireEnd:
    """One end of a conductor.

    Attributes
    ----------
    owner, name
        Id and name of what it ends on: supply, switch, bus bar, distribution panel, device or place.
    terminal
        Its terminal, stud or way.
    node
        Electrical node, the same text for all that is joined there: ways and their panel's bar, the studs of a bus
        bar, and what closed contacts join in the first declared state.
    panel, place
        Panel the owner stands on, and the place of the wireways that the end is reached from; None where unknown.
    fitting
        Lug, ferrule or plug in words; empty where the terminal is not known.
    label
        Text of the label at this end: number, where the other end goes, size, colour.
    """

    owner: str
    name: str
    terminal: str
    node: str
    panel: str | None = None
    location: str | None = None
    fitting: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """One conductor of a run: a single-core cable, or a core of the run's cable."""

    number: str
    pole: str
    core: int | None
    colour: str
    code: str
    start: WireEnd
    end: WireEnd
    current_a: float | None
    ohm: float | None
    drop_v: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """Length of one run, mm, by its parts; ``total_mm`` is None while a part is unknown.

    ``fixed`` says that the project gives the length as a whole, so that nothing is added.
    """

    start_panel_mm: float = 0.0
    end_panel_mm: float = 0.0
    hinge_mm: float = 0.0
    wireways_mm: float = 0.0
    slack_mm: float = 0.0
    total_mm: float | None = None
    fixed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedDevice:
    """The protective device of a run.

    Attributes
    ----------
    kind, rating_a, given
        Kind, rating (None while unknown) and whether the project gives it.
    where
        Node it stands at: ``dc24/7``, ``house/+``.
    held_in
        Device or named place that holds it; empty where that is not said, or it is a way.
    from_source_mm
        How far from its source it stands; None on a way, or where it is not known.
    limit_a
        Largest rating the conductor allows.
    breaking_a, needed_breaking_a
        Its breaking capacity, and what the place asks for; None where not known.
    key
        Dotted key of the entry that declares it.
    """

    kind: str
    rating_a: float | None
    given: bool
    where: str
    key: str = ""
    poles: int = 1
    residual_a: float | None = None
    held_in: str = ""
    from_source_mm: float | None = None
    limit_a: float | None = None
    breaking_a: float | None = None
    needed_breaking_a: float | None = None

    @classmethod
    def of(
        cls, device: ProtectiveDevice, *, needed_breaking_a: float | None, limit_a: float | None = None
    ) -> FittedDevice:
        """Return a device with what its place asks of it."""
        return cls(
            kind=device.kind,
            rating_a=device.rating_a,
            given=device.given,
            where=device.where,
            key=device.key,
            poles=device.poles,
            residual_a=device.residual_a,
            held_in=device.held_in,
            from_source_mm=device.from_source_mm,
            limit_a=limit_a,
            breaking_a=device.breaking_a,
            needed_breaking_a=needed_breaking_a,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One run: the conductors of a segment that are pulled together, in one cable or as single cores.

    Attributes
    ----------
    key
        Stable name in the register: ``circuits.bilge``, ``circuits.bilge:float``, ``feeders.main``.
    number
        Number without pole, for the cable as a whole.
    owner, owner_kind
        Id of what declares it: circuit, feeder, serial link, signal cable, instrument bus or antenna lead.
    group
        Distribution panel, bus bar or supply it starts from; schedules are grouped by it.
    nominal_v, ac
        System voltage.
    current_a, current_text
        Design current and how it was found (``35 W / 21.6 V``); None while unknown.
    size, size_given
        Conductor; None while it can't be found.
    made
        Kind of a bus or antenna cable, which says its conductors: ``mid``, ``RG-213``; empty elsewhere.
    sizing
        All criteria with the one that governs, and what the next size up or down would change.
    ohm
        Resistance of the whole loop of this run at working temperature.
    drop_v, drop_percent
        On this run alone.
    cumulative_v, cumulative_percent, limit_percent
        From the battery's post to the end of this run and back, and its limit.
    route, length, bundle, hot
        Wireways in order, length, most conductors loaded together on the way, whether a hot space is passed.
    notes
        Keys of ``Wiring.footnotes`` that hold for this run.
    """

    key: str
    number: str
    owner: str
    owner_kind: DeclaredBy
    name: str
    purpose: str
    group: str
    run_class: RunClass
    nominal_v: float | None
    ac: bool
    wires: tuple[Wire, ...]
    cable: str | None
    cores: int
    od_mm: float | None
    size: ConductorSize | None
    size_given: bool
    current_a: float | None
    current_text: str
    critical: bool
    route: tuple[str, ...]
    length: Length
    bundle: int
    hot: bool
    sizing: Sizing | None
    ohm: float | None
    drop_v: float | None
    drop_percent: float | None
    cumulative_v: float | None
    cumulative_percent: float | None
    limit_percent: float | None
    guard: FittedDevice | None
    fault: FaultRange | None
    aboard: str | None = None
    old_label: str = ""
    cranking: bool = False
    always_live: bool = False
    made: str = ""
    notes: tuple[str, ...] = ()

    @property
    def carries(self) -> bool:
        """Whether a load's current flows in it: it is no data or antenna cable, and does more than earth or bond."""
        return self.run_class in ("dc", "ac") and not self.is_earth

    @property
    def is_earth(self) -> bool:
        """Whether it only earths or bonds."""
        return all(wire.pole in EARTH for wire in self.wires)

    @property
    def bought_whole(self) -> bool:
        """Whether it is bought in its length with its plugs on, and so is not cut from a reel."""
        return self.owner_kind == "network"

    @property
    def size_words(self) -> str | None:
        """What is printed as its size: its conductor or the kind it is made as; None while it can't be found."""
        return self.made or (None if self.size is None else str(self.size))


@dataclass(frozen=True, slots=True, kw_only=True)
class CableIn:
    """One cable lying in a wireway; ``bend_radius_mm`` is None where it is unknown or judged elsewhere.

    ``lies_already`` tells that it is aboard and stays, so that all others are pulled past it.
    """

    run: str
    number: str
    od_mm: float | None
    plug_mm: float | None = None
    bend_radius_mm: float | None = None
    lies_already: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WirewayFill:
    """What lies in one wireway.

    Attributes
    ----------
    cables
        In pulling order: largest plug first, then thickest.
    length_mm
        None where it is not known.
    fill_percent, limit_percent
        None where nothing fills up (tray, free run) or a diameter is unknown.
    """

    wireway: str
    kind: str
    length_mm: float | None
    cables: tuple[CableIn, ...]
    area_mm2: float | None
    fill_percent: float | None
    limit_percent: float | None
    jam: bool
    loaded: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WayUse:
    """One way of a distribution panel and what it feeds."""

    panel: str
    way: str
    circuit: str | None
    name: str
    rating_a: float | None
    assigned: bool
    free: bool
    current_a: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FeederLoad:
    """Sum of what a feeder carries at once, and in which state that is most."""

    feeder: str
    sum_a: float | None
    simultaneous_a: float | None
    state: str
    source: str
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StudUse:
    """One stud or clamp of a bus bar or return bar and the wires on it."""

    block: str
    position: int
    stud: str
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """One length cut from a reel."""

    number: str
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reel:
    """One reel of a kind, size and colour, with the pieces cut from it in order."""

    cable: str
    size: str
    colour: str
    reel_mm: float
    pieces: tuple[CutPiece, ...]
    left_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CutList:
    """All reels, and the copper in the pieces, kg."""

    reels: tuple[Reel, ...]
    copper_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """The whole result.

    Attributes
    ----------
    runs
        In the order of the schedule: feeders, then circuits, as the file has them.
    numbers
        Register of numbers to be kept: old entries and new ones.
    footnotes
        Text by key (``a``, ``b``): which table was used, what is unverified.
    protectors
        Every protective device to be fitted, once.
    isolation
        What stays live with every battery switch open, and what each switch and device leaves dead.
    """

    practice: str
    runs: tuple[Run, ...]
    feeders: tuple[FeederLoad, ...]
    wireways: tuple[WirewayFill, ...]
    ways: tuple[WayUse, ...]
    studs: tuple[StudUse, ...]
    cut_list: CutList
    numbers: Mapping[str, int]
    findings: tuple[Finding, ...]
    footnotes: Mapping[str, str] = field(default_factory=FrozenMap)
    protectors: tuple[FittedDevice, ...] = ()
    isolation: Isolation = field(default_factory=Isolation)

    def run(self, key: str) -> Run:
        """Return the run of a key.

        Raises
        ------
        KeyError
            If there is none.
        """
        for run in self.runs:
            if run.key == key:
                return run
        raise KeyError(f"no run '{key}'")
