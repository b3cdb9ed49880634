"""What feeds what, owner by owner, on the launch and on small systems."""

from __future__ import annotations

import pytest

from layout.project.model.project import Project, TitleBlock
from layout.project.model.supplies import BatterySwitch, Feeder, Supply
from layout.project.reading.read import read
from layout.wiring.circuits.supplied_from import fed_from, sources_of
from tests.conftest import ROOT

LAUNCH = ROOT / "examples" / "launch" / "launch.yaml"


@pytest.fixture(scope="module")
def launch():
    """Return the launch."""
    return read(LAUNCH).project


def ids(project: Project, owner: str, **more: str) -> list[str]:
    """Return the ids of the supplies behind an owner, nearest first."""
    return [source.id for source in sources_of(project, owner, **more)]


def test_panel_behind_a_converter(launch):
    """The 12 V panel hangs on its converter alone: the search does not go through it to the bank."""
    assert ids(launch, "dist12") == ["conv12"]
    assert fed_from(launch, "conv12") == "bar_plus"


def test_panel_on_a_shared_bar(launch):
    """The 24 V panel is fed by the bank; what charges the bank lies beyond the bank's post."""
    assert set(ids(launch, "dist24")) == {"house"}


def test_circuit_before_the_main_switch(launch):
    """An always-live circuit is fed by the bank and the solar controller that charges it over the same block."""
    assert ids(launch, "gas_alarm") == ["house", "solar"]


def test_open_switch_divides(launch):
    """The start battery feeds the house side only in the state in which the parallel switch is shut."""
    assert "start" not in ids(launch, "dist24")
    assert "start" in ids(launch, "dist24", state="emergency start")


def test_supply_feeds_itself(launch):
    """A supply is its own source."""
    assert ids(launch, "shore") == ["shore"]


def test_inverter_gives_at_its_live_terminal():
    """An inverter gives alternating current at L and takes its input at +."""
    project = Project(
        spile=1,
        project=TitleBlock(name="test"),
        supplies={
            "bank": Supply(id="bank", kind="battery", voltage=12.0),
            "inverter": Supply(id="inverter", kind="inverter", voltage=230.0),
        },
        battery_switches={"main": BatterySwitch(id="main", kind="isolator", voltage=12.0)},
        feeders={
            "a": Feeder(id="a", from_="bank/+", to="main/in"),
            "b": Feeder(id="b", from_="main/out", to="inverter/+"),
            "c": Feeder(id="c", from_="inverter/L", to="ac/in", poles=("L", "N")),
        },
        switch_states={"on": {"main": "on"}, "off": {"main": "off"}},
    )
    assert ids(project, "ac") == ["inverter"]
    assert fed_from(project, "inverter") == "main"
    assert ids(project, "main", state="on") == ["bank"]
