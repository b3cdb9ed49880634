"""The isolation sheet: what stays live, what each opening leaves dead, and the order of switching off."""

from __future__ import annotations

from dataclasses import replace

from layout.handover.lists.work_aboard.isolation import isolation_tables
from layout.project.model.supplies import BatterySwitch, BusBar, Supply
from layout.wiring.system.isolation import Isolation, LiveOwner, Opening
from tests.handover.conftest import make_project, make_wiring


def boat():
    """Return a boat with a bank, the sun, a switch and a bar, and what its graph says of them."""
    base, wiring = make_project(), make_wiring()
    project = replace(
        base,
        supplies={
            "bank": Supply(id="bank", kind="battery", voltage=12), "sun": Supply(id="sun", kind="solar", voltage=12),
        },
        battery_switches={"main": BatterySwitch(id="main", kind="isolator", voltage=12)},
        bus_bars={"bar": BusBar(id="bar", pole="+")},
    )  # fmt: skip
    run = wiring.runs[0]
    ways = [way for way in wiring.ways if way.panel == "dc" and way.circuit]
    hanging = {f"circuits.{way.circuit}": way.name for way in ways}
    told = Isolation(
        live=(
            LiveOwner(owner="main", sources=("bank", "sun"), conductors=((run.key, "+"),)),
            LiveOwner(owner="dc", sources=("sun",), conductors=()),
        ),
        openings=(
            Opening(entry="battery_switches.main", name="main", state="on", dead=hanging, behind=("sun",)),
            *(
                Opening(
                    entry=f"breaker_panels.dc.ways.{way.way}",
                    name=f"way {way.way}",
                    state="on",
                    behind=(),
                    dead={f"circuits.{way.circuit}": way.name},
                )
                for way in ways
            ),
            Opening(entry="feeders.spare.protection", name="device of spare", state="on", dead={}, behind=()),
        ),
    )
    return project, replace(wiring, isolation=told)


def test_the_sheet_says_what_the_graph_says():
    """Sources and wire numbers by name; a panel stands for its ways; ways and what opens nothing have no row."""
    project, wiring = boat()
    steps, stays, opened, dead = isolation_tables(project, wiring)
    assert [row["what"] for row in stays.rows] == ["main", "12 V distribution, with all its ways"]
    assert [row["from"] for row in stays.rows] == ["bank, sun", "sun"]
    assert str(stays.rows[0]["wires"]).startswith(wiring.runs[0].wires[0].number)
    assert [row["what"] for row in opened.rows] == ["Main"]
    assert opened.rows[0]["behind"] == "sun"
    assert opened.rows[0]["dead"] == "12 V distribution with all its ways"
    assert [str(row["what"]).split(" (")[0] for row in steps.rows] == ["sun", "main", "bank"]
    assert "main, out" in [row["what"] for row in dead.rows]


def test_nothing_is_said_without_a_supply():
    """A project without a supply has no such page."""
    project, wiring = boat()
    assert isolation_tables(replace(project, supplies={}), wiring) == ()
