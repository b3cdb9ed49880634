"""Small invented projects and buses for the tests of networks and energy."""

from __future__ import annotations

from typing import Any

from layout.network.bus import BusPlan, plan_bus
from layout.project.model.device import Device
from layout.project.model.network import BusNode, BusPart, InstrumentNetwork
from layout.project.model.project import Project, TitleBlock
from layout.project.model.wireways import Location, Wireway
from layout.wiring.circuits.ends import Ends


def project(ways: list[tuple[str, str, float]], devices: dict[str, str], **more: Any) -> Project:
    """Return a project with places joined by wireways (m) and devices at places."""
    names = dict.fromkeys(place for one, other, _ in ways for place in (one, other))
    return Project(
        spile=1,
        project=TitleBlock(name="test"),
        locations={name: Location(id=name) for name in names},
        wireways={
            f"w{index}": Wireway(
                id=f"w{index}", from_=one, to=other, kind="tray", length=1000 * m, carries=("dc", "data", "antenna")
            )
            for index, (one, other, m) in enumerate(ways)
        },
        devices={id_: Device(id=id_, name=id_, location=place) for id_, place in devices.items()},
        **more,
    )


GOOD = {
    "lowest_voltage": 11.0,
    "highest_voltage": 14.6,
    "voltage": 12.0,
    "fuse": 3.0,
    "shield_earths": ("tap",),
    "feed_length": 1000.0,
    "spare_tees": 0,
}
"""What a bus says that has no finding of its own."""


def bus(nodes: dict[str, BusNode], **more: Any) -> InstrumentNetwork:
    """Return a bus that is sound but for what is given."""
    return InstrumentNetwork(id="b", name="bus", nodes=nodes, **{**GOOD, **more})


def line(*parts: BusPart) -> tuple[BusPart, ...]:
    """Return a built line with a terminator at each end."""
    end = BusPart(part="terminator", at="p")
    return (end, *parts, end)


def tee(*nodes: str, **more: Any) -> BusPart:
    """Return a tee with nodes on it, at place p unless said."""
    return BusPart(part="tee", nodes=nodes, **{"at": "p", **more})


TAP = BusPart(part="tap", at="p")


def cable(metres: float, **more: Any) -> BusPart:
    """Return a cable piece."""
    return BusPart(part="cable", length=1000 * metres, **more)


def planned(
    declared: InstrumentNetwork,
    ways: list[tuple[str, str, float]] | None = None,
    places: dict[str, str] | None = None,
    **more: Any,
) -> BusPlan:
    """Plan a bus whose devices all stand at place p, unless said otherwise."""
    where = dict.fromkeys(declared.nodes, "p") | (places or {})
    return plan_bus(Ends(project(ways or [("p", "q", 3.0)], where, **more), None), declared)


def rules(plan: BusPlan) -> set[str]:
    """Return the codes of a plan's findings."""
    return {finding.rule for finding in plan.findings}
