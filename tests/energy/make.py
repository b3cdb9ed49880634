"""A small invented boat for the tests of wiring.energy: a 12 V bank, a 24 V converter, an inverter."""

from __future__ import annotations

from typing import Any

from layout.project.model.circuits import Circuit, Load
from layout.project.model.energy import Bank, ChargingSource, Conversion, Energy, Situation, Use
from layout.project.model.keys import End
from layout.project.model.project import Project, TitleBlock
from layout.project.model.supplies import BreakerPanel, Feeder, Supply

SUPPLIES = {
    "house": Supply(id="house", name="House bank", kind="battery", voltage=12.0, capacity=200.0, chemistry="lead"),
    "up": Supply(id="up", name="Converter", kind="converter", voltage=24.0, current=5.0, fed_from=End.read("dc12")),
    "inverter": Supply(
        id="inverter", name="Inverter", kind="inverter", voltage=230.0, power=800.0, fed_from=End.read("dc12")
    ),
    "alternator": Supply(id="alternator", name="Alternator", kind="alternator", voltage=12.0),
    "shore": Supply(id="shore", name="Shore", kind="shore", voltage=230.0),
}
CIRCUITS = {
    "lamp": Circuit(
        id="lamp", name="Lamp", from_=End.read("dc12/1"), to=End.read("x"), purpose="lights", load=Load(power=24.0)
    ),
    "pump": Circuit(
        id="pump", name="Pump", from_=End.read("dc12/2"), to=End.read("x"), purpose="pumps", load=Load(current=5.0)
    ),
    "radar": Circuit(
        id="radar", name="Radar", from_=End.read("dc24/1"), to=End.read("x"), purpose="radar", load=Load(current=2.0)
    ),
    "laptop": Circuit(
        id="laptop", name="Laptop", from_=End.read("ac/1"), to=End.read("x"), purpose="socket", load=Load(power=60.0)
    ),
    "heater": Circuit(
        id="heater",
        name="Heater",
        from_=End.read("quay/1"),
        to=End.read("x"),
        purpose="heater",
        load=Load(power=1000.0),
    ),
}
OFF = tuple(CIRCUITS)


def boat(situation: Situation, *, circuits: dict[str, Circuit] | None = None, **energy: Any) -> Project:
    """Return the boat with one situation; circuits that it does not use are off."""
    made = {**CIRCUITS, **(circuits or {})}
    whole = Energy(
        situations={situation.id: situation},
        **{
            "banks": {"house": Bank(usable=0.5, charge_efficiency=0.8)},
            "conversions": {
                "up": Conversion(efficiency=0.8, standby=1.0),
                "inverter": Conversion(efficiency=0.9, standby=0.0),
            },
            **energy,
        },
    )
    return Project(
        spile=1,
        project=TitleBlock(name="test"),
        supplies=SUPPLIES,
        breaker_panels={
            "dc12": BreakerPanel(id="dc12", voltage=12.0),
            "dc24": BreakerPanel(id="dc24", voltage=24.0),
            "ac": BreakerPanel(id="ac", voltage=230.0, ac=True),
            "quay": BreakerPanel(id="quay", voltage=230.0, ac=True),
        },
        feeders={
            "f1": Feeder(id="f1", from_=End.read("house/+"), to=End.read("dc12/in")),
            "f2": Feeder(id="f2", from_=End.read("up/+"), to=End.read("dc24/in")),
            "f3": Feeder(id="f3", from_=End.read("inverter/L"), to=End.read("ac/in"), poles=("L", "N")),
            "f4": Feeder(id="f4", from_=End.read("shore"), to=End.read("quay/in"), poles=("L", "N")),
            "f5": Feeder(id="f5", from_=End.read("alternator/+"), to=End.read("dc12/in")),
        },
        circuits=made,
        energy=whole,
    )


def day(uses: dict[str, Use], **more: Any) -> Situation:
    """Return a situation with these uses; every other circuit is off."""
    return Situation(id="day", name="day", uses=uses, off=tuple(c for c in OFF if c not in uses), **more)


SOLAR = ChargingSource(kind="solar", supply="alternator", bank="house", peak=100.0, sun_hours=4.0, efficiency=0.75)
