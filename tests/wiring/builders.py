"""Small and large made-up projects for the wiring tests and benchmark; everything in them is invented."""

from __future__ import annotations

from layout.project.model.circuits import CableKind, Circuit, Load
from layout.project.model.device import Device
from layout.project.model.project import Project, TitleBlock
from layout.project.model.supplies import BatterySwitch, BreakerPanel, BusBar, Feeder, Protection, Supply, Way
from layout.project.model.wireways import Location, Wireway
from layout.project.model.workshop import WiringRules

SIZES = {"1 mm2": 2.6, "1.5 mm2": 3.0, "2.5 mm2": 3.6, "4 mm2": 4.3, "6 mm2": 5.2, "10 mm2": 6.7, "16 mm2": 8.0,
         "25 mm2": 9.8, "35 mm2": 11.2, "50 mm2": 13.2, "70 mm2": 15.2, "95 mm2": 17.5, "120 mm2": 19.5,
         "150 mm2": 21.5}  # fmt: skip

FUSE = Protection(kind="link fuse", rating=100.0, from_source=100.0, breaking_capacity=20_000.0, trips_at=6.0)


def way(rating: float, **more: object) -> Way:
    """Return a breaker position with everything known."""
    return Way(rating=rating, breaking_capacity=10_000.0, trips_at=5.0, **more)


def boat(
    circuits: dict[str, Circuit],
    *,
    nominal_v: float = 12.0,
    ways: dict[str, Way] | None = None,
    lengths_mm: tuple[float, ...] = (3000.0,),
    wireway: dict[str, object] | None = None,
    rules: WiringRules | None = None,
    cables: dict[str, CableKind] | None = None,
    feeder_mm: float = 1000.0,
    **sections: object,
) -> Project:
    """Return battery, switch, panel and return bar with one wireway from the panel to each of some places.

    Circuit loads stand at ``p0``, ``p1``, ...; a circuit's device is made where it names one that does not exist:
    ``lamp@1`` stands at ``p1``.
    """
    places = {"locker": Location(id="locker"), **{f"p{n}": Location(id=f"p{n}") for n in range(len(lengths_mm))}}
    ways_ = ways if ways is not None else {str(n + 1): way(10.0) for n in range(len(circuits))}
    wireways = {
        f"w{n}": Wireway(
            **{"id": f"w{n}", "from_": "locker", "to": f"p{n}", "kind": "conduit", "length": length, "bore": 50.0,
               "carries": ("dc",), **(wireway or {})}
        )
        for n, length in enumerate(lengths_mm)
    }  # fmt: skip
    devices = {}
    for circuit in circuits.values():
        for end in (circuit.to, *(end for leg in circuit.legs.values() for end in (leg.from_, leg.to))):
            name = end.partition("/")[0]
            if "@" in name:
                devices[name] = Device(id=name, location=f"p{name.partition('@')[2]}")
    feeder = {"size": None, "length": feeder_mm}
    base = {
        "spile": 1,
        "project": TitleBlock(name="made up", example=True),
        "wiring": rules or WiringRules(),
        "locations": places,
        "wireways": wireways,
        "devices": devices,
        "cables": cables
        if cables is not None
        else {"single": CableKind(sizes=SIZES, insulation=90.0, carries=("dc",))},
        "supplies": {
            "bank": Supply(
                id="bank",
                kind="battery",
                voltage=nominal_v,
                location="locker",
                chemistry="lead",
                cold_cranking=600.0,
                resistance=0.01,
            )
        },
        "battery_switches": {
            "main": BatterySwitch(id="main", kind="isolator", voltage=nominal_v, rating=200.0, location="locker")
        },
        "bus_bars": {
            "negbar": BusBar(id="negbar", pole="-", rating=200.0, studs=("M8",) * 8, covered=True, location="locker")
        },
        "feeders": {
            "lead": Feeder(id="lead", from_="bank/+", to="main/in", poles=("+",), protection=FUSE, **feeder),
            "feed": Feeder(id="feed", from_="main/out", to="dc/in", poles=("+",), **feeder),
            "back": Feeder(id="back", from_="dc/-", to="negbar", poles=("-",), **feeder),
            "home": Feeder(id="home", from_="negbar", to="bank/-", poles=("-",), **feeder),
        },
        "breaker_panels": {"dc": BreakerPanel(id="dc", voltage=nominal_v, location="locker", ways=ways_)},
        "circuits": circuits,
    }
    return Project(**{**base, **sections})


def lamp(
    n: int = 1, *, amps: float | None = 3.0, location: int = 0, purpose: str = "cabin lights", **more: object
) -> Circuit:
    """Return a plain circuit on way ``n`` to a device of its own at a place."""
    load = more.pop("load", Load(current=amps) if amps is not None else None)
    return Circuit(
        **{"id": f"c{n}", "from_": f"dc/{n}", "to": f"lamp{n}@{location}", "purpose": purpose, "load": load, **more}
    )


def grid(wires: int, *, columns: int = 12, rows: int = 13, bore_mm: float = 140.0) -> Project:
    """Return a boat with a grid of wireways (300 with the defaults) and ``wires`` / 2 plain circuits across it."""
    places = {f"n{x}_{y}": Location(id=f"n{x}_{y}") for x in range(columns) for y in range(rows)}
    links = [((x, y), (x + 1, y)) for y in range(rows) for x in range(columns - 1)]
    links += [((x, y), (x, y + 1)) for y in range(rows - 1) for x in range(columns)]
    links = (links + [((x, 0), (x + 1, 1)) for x in range(columns - 1)] * 2)[:300]
    wireways = {}
    for n, (a, b) in enumerate(links):
        key = f"w{n:03d}"
        wireways[key] = Wireway(
            id=key, from_="n{}_{}".format(*a), to="n{}_{}".format(*b), kind="conduit",
            length=400.0 + 37.0 * (n * 7 % 11), bore=bore_mm, bends=90.0, carries=("dc",),
        )  # fmt: skip
    count = wires // 2
    panels = -(-count // 40)
    names = list(places)
    distribution, feeders, circuits, devices = {}, {}, {}, {}
    for p in range(panels):
        at = names[(p * 29) % len(names)]
        here = range(p * 40, min((p + 1) * 40, count))
        ways = {str(n): way(10.0) for n in here}
        distribution[f"d{p}"] = BreakerPanel(id=f"d{p}", voltage=24.0, location=at, ways=ways, diversity=0.3)
        feeders[f"f{p}"] = Feeder(
            id=f"f{p}", from_="bank/+", to=f"d{p}/in", poles=("+",), length=1500.0, protection=FUSE
        )
        feeders[f"r{p}"] = Feeder(id=f"r{p}", from_=f"d{p}/-", to="bank/-", poles=("-",), length=1500.0)
        for n in here:
            device = f"x{n}"
            devices[device] = Device(id=device, location=names[(n * 53 + 7) % len(names)])
            circuits[f"c{n:04d}"] = Circuit(
                id=f"c{n:04d}", from_=f"d{p}/{n}", to=device, purpose="cabin lights", load=Load(current=1.0 + n % 6)
            )
    return Project(
        spile=1,
        project=TitleBlock(name="made up", example=True),
        locations=places,
        wireways=wireways,
        devices=devices,
        cables={"single": CableKind(sizes=SIZES, insulation=90.0, carries=("dc",))},
        supplies={"bank": Supply(id="bank", kind="battery", voltage=24.0, location="n0_0", resistance=0.002)},
        feeders=feeders,
        breaker_panels=distribution,
        circuits=circuits,
    )
