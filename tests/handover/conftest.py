"""A small boat with one bank, one panel and four circuits, and its wiring written out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.findings import Finding
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.circuits import CableKind, Circuit, Load
from layout.project.model.device import Behind, Device
from layout.project.model.keys import End
from layout.project.model.panel import Panel, SizeFrom
from layout.project.model.project import Boat, Project, TitleBlock
from layout.project.model.shape import Shape
from layout.project.model.supplies import BreakerPanel, BusBar, Feeder, Protection, Supply, Way
from layout.project.model.wireways import Location, Wireway
from layout.standards.conductors import ConductorSize, Series
from layout.standards.tables import Practice
from layout.wiring.result import (
    CableIn,
    CutList,
    CutPiece,
    FeederLoad,
    FittedDevice,
    Length,
    Reel,
    Run,
    StudUse,
    WayUse,
    Wire,
    WireEnd,
    WirewayFill,
    Wiring,
)
from layout.wiring.sizing.conductor_size import Demand, choose_size

METRIC = [ConductorSize(series=Series.METRIC, area_mm2=a) for a in (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0)]


def make_project() -> Project:
    """Return the invented boat."""
    return Project(
        spile=1,
        project=TitleBlock(name="Test dory", number="TD-1", revision="B", date="2026-11-25", example=True),
        boat=Boat(hull="grp", fuel="diesel"),
        panels={
            "dash": Panel(
                id="dash", name="Dash", outline=Shape(rect=(400, 200)), thickness=6, material="plywood", depth=90
            )
        },
        devices={
            "radio": Device(
                id="radio",
                name="Radio",
                panel=("dash",),
                face=Shape(rect=(120, 60)),
                cutout=(Shape(rect=(110, 52)),),
                behind=(Behind(shape=Shape(rect=(108, 50)), depth=None),),
                classes=("dc", "radio"),
                size_from=SizeFrom.GUESSED,
            ),
            "lamp": Device(id="lamp", name="Masthead light", location="mast"),
            "pump": Device(id="pump", name="Bilge pump", location="bilge"),
        },
        locations={
            "dash": Location(id="dash", name="Dash"),
            "mast": Location(id="mast", name="Mast foot"),
            "bilge": Location(id="bilge", name="Bilge"),
        },
        wireways={
            "main": Wireway(
                id="main", name="Main conduit", from_="dash", to="mast", kind="conduit", length=3000, bore=20, bends=90
            ),
            "low": Wireway(id="low", name="Bilge run", from_="dash", to="bilge", kind="free", length=2000),
        },
        cables={"boat": CableKind(id="boat", insulation=90, sizes={})},
        supplies={
            "house": Supply(
                id="house",
                name="House bank",
                kind="battery",
                voltage=12,
                capacity=100,
                chemistry="lead",
                location="bilge",
            )
        },
        bus_bars={"neg": BusBar(id="neg", name="Negative bar", pole="-", studs=("M8", "M6", "M6"), location="dash")},
        breaker_panels={
            "dc": BreakerPanel(
                id="dc",
                name="12 V distribution",
                voltage=12,
                location="dash",
                rating=50,
                ways={
                    "1": Way(id="1", rating=10, circuit="light"),
                    "2": Way(id="2", rating=10, circuit="radio"),
                    "3": Way(id="3", rating=5, free=True),
                },
            )
        },
        feeders={
            "feed": Feeder(
                id="feed",
                name="Bank to panel",
                from_=End.read("house/+"),
                to=End.read("dc/in"),
                poles=("+",),
                protection=Protection(kind="link fuse", rating=50, from_source=150),
            ),
            "back": Feeder(id="back", name="Bar to bank", from_=End.read("neg"), to=End.read("house/-"), poles=("-",)),
        },
        circuits={
            "light": Circuit(
                id="light",
                name="Masthead light",
                from_=End.read("dc/1"),
                to=End.read("lamp"),
                purpose="nav lights",
                load=Load(power=25),
            ),
            "radio": Circuit(
                id="radio",
                name="Radio",
                from_=End.read("dc/2"),
                to=End.read("radio"),
                purpose="radio",
                load=Load(current=6),
            ),
            "pump": Circuit(
                id="pump",
                name="Bilge pump",
                from_=End.read("house/+"),
                to=End.read("pump"),
                purpose="bilge pump",
                always_live=True,
                protection=Protection(kind="blade fuse", rating=10),
                load=Load(current=4, motor=True),
            ),
            "spot": Circuit(
                id="spot", name="Spot light", from_=End.read("dc"), to=End.read("mast"), purpose="cabin lights"
            ),
        },
    )


def _end(owner: str, name: str, terminal: str, *, location: str = "dash", fitting: str = "ring red M4") -> WireEnd:
    return WireEnd(
        owner=owner,
        name=name,
        terminal=terminal,
        node=f"{owner}/{terminal}",
        location=location,
        fitting=fitting,
        label=f"{name} {terminal}",
    )


def make_run(  # noqa: PLR0917
    key: str,
    number: str,
    name: str,
    start: tuple[str, str, str],
    end: tuple[str, str, str],
    amps: float | None,
    metres: float,
    route: tuple[str, ...],
) -> Run:
    """Return a run of a plus and a minus conductor, sized by the product's own arithmetic."""
    sizing = None
    if amps is not None:
        demand = Demand(
            practice=Practice.ISO, current_a=amps, loop_m=2 * metres, allowed_v=0.36, nominal_v=12.0, protection_a=10.0
        )
        sizing = choose_size(demand, METRIC)
    size = sizing.verdict.size if sizing else None
    drop = sizing.verdict.drop.worse_v if sizing else None
    wires = tuple(
        Wire(
            number=f"{number}{pole}",
            pole=pole,
            core=None,
            colour=colour,
            code=code,
            start=_end(
                *start,
            ),
            end=_end(*end, location="mast"),
            current_a=amps,
            ohm=None if drop is None else drop / amps / 2,
            drop_v=None if drop is None else drop / 2,
        )
        for pole, colour, code in (("+", "red", "RD"), ("-", "yellow", "YE"))
    )
    kind, _, owner = key.partition(".")
    return Run(
        key=key,
        number=number,
        owner=owner,
        owner_kind="feeder" if kind == "feeders" else "circuit",
        name=name,
        purpose="test",
        group=start[0],
        run_class="dc",
        nominal_v=12.0,
        ac=False,
        wires=wires,
        cable="boat",
        cores=1,
        od_mm=3.4,
        size=size,
        size_given=False,
        current_a=amps,
        current_text="" if amps is None else f"{amps:g} A",
        critical=True,
        route=route,
        length=Length(wireways_mm=metres * 1000 - 300, slack_mm=300, total_mm=metres * 1000),
        bundle=2,
        hot=False,
        sizing=sizing,
        ohm=None if drop is None else drop / amps,
        drop_v=drop,
        drop_percent=None if drop is None else drop / 0.12,
        cumulative_v=drop,
        cumulative_percent=None if drop is None else drop / 0.12,
        limit_percent=3.0,
        guard=FittedDevice(kind="breaker", rating_a=10.0, given=True, where=f"{start[0]}/{start[2]}", limit_a=20.0),
        fault=None,
        notes=("a",),
    )


def make_wiring() -> Wiring:
    """Return the wiring of the boat: a feeder, two circuits, and one whose load is not known."""
    dc = ("dc", "12 V distribution", "1")
    runs = (
        make_run(
            "feeders.feed",
            "001a",
            "Bank to panel",
            ("house", "House bank", "+"),
            ("dc", "12 V distribution", "in"),
            20.0,
            1.5,
            ("low",),
        ),
        make_run("circuits.light", "002a", "Masthead light", dc, ("lamp", "Masthead light", "+"), 2.3, 4.0, ("main",)),
        make_run(
            "circuits.radio", "003a", "Radio", ("dc", "12 V distribution", "2"), ("radio", "Radio", "+"), 6.0, 1.0, ()
        ),
        make_run(
            "circuits.spot",
            "004a",
            "Spot light",
            ("dc", "12 V distribution", "?"),
            ("mast", "Mast foot", ""),
            None,
            4.0,
            ("main",),
        ),
    )
    return Wiring(
        practice="iso",
        runs=runs,
        protectors=tuple(run.guard for run in runs if run.guard is not None),
        feeders=(FeederLoad(feeder="feed", sum_a=20.0, simultaneous_a=20.0, state="normal", source="house"),),
        wireways=(
            WirewayFill(
                wireway="main",
                kind="conduit",
                length_mm=3000,
                area_mm2=36.3,
                fill_percent=11.6,
                limit_percent=40.0,
                jam=False,
                loaded=4,
                cables=(
                    CableIn(run="circuits.light", number="002a+", od_mm=3.4),
                    CableIn(run="circuits.light", number="002a-", od_mm=3.4),
                    CableIn(run="circuits.spot", number="004a+", od_mm=None),
                    CableIn(run="circuits.spot", number="004a-", od_mm=3.4, plug_mm=12.0),
                ),
            ),
            WirewayFill(
                wireway="low",
                kind="free",
                length_mm=2000,
                area_mm2=None,
                fill_percent=None,
                limit_percent=None,
                jam=False,
                loaded=2,
                cables=(
                    CableIn(run="feeders.feed", number="001a+", od_mm=6.8),
                    CableIn(run="feeders.feed", number="001a-", od_mm=6.8),
                ),
            ),
        ),
        ways=(
            WayUse(
                panel="dc",
                way="1",
                circuit="light",
                name="Masthead light",
                rating_a=10.0,
                assigned=False,
                free=False,
                current_a=2.3,
            ),
            WayUse(
                panel="dc",
                way="2",
                circuit="radio",
                name="Radio",
                rating_a=10.0,
                assigned=False,
                free=False,
                current_a=6.0,
            ),
            WayUse(panel="dc", way="3", circuit=None, name="", rating_a=5.0, assigned=False, free=True, current_a=None),
        ),
        studs=(
            StudUse(block="neg", position=1, stud="M8", wires=("001a-",)),
            StudUse(block="neg", position=2, stud="M6", wires=("002a-", "003a-")),
            StudUse(block="neg", position=3, stud="M6", wires=()),
        ),
        cut_list=CutList(
            reels=(
                Reel(
                    cable="boat",
                    size="1.5 mm²",
                    colour="red",
                    reel_mm=25000,
                    left_mm=16000,
                    pieces=(
                        CutPiece(number="002a+", length_mm=4000),
                        CutPiece(number="003a+", length_mm=1000),
                        CutPiece(number="004a+", length_mm=4000),
                    ),
                ),
            ),
            copper_kg=0.4,
        ),
        numbers={"feeders.feed": 1},
        findings=(),
        footnotes={"a": "Ampacity: ISO 13297 table A.1, from memory; the lower of it and 33 CFR table 5 counts."},
    )


@pytest.fixture(scope="session")
def project() -> Project:
    """Return the invented boat."""
    return make_project()


@pytest.fixture(scope="session")
def wiring() -> Wiring:
    """Return its wiring."""
    return make_wiring()


@pytest.fixture(scope="session")
def arrangement() -> Arrangement:
    """Return where its one device on a panel stands."""
    return Arrangement(placed={"radio": Placed(device="radio", panel="dash", x=120.0, y=100.0)})


@pytest.fixture(scope="session")
def faulty(wiring: Wiring) -> Wiring:
    """Return the same wiring with an error on the full conduit and one on the radio's circuit."""
    found = (
        Finding(rule="paper 1", message="made up for the test", subjects=("wireways.main",)),
        Finding(rule="paper 1", message="made up for the test too", subjects=("circuits.radio",)),
    )
    return replace(wiring, findings=found)
