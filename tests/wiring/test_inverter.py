"""An inverter stands between two systems: its DC leads are a load of the bank, its AC leads a source."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from layout.project.model.supplies import Feeder, Supply
from layout.project.reading.read import read
from layout.wiring.system.isolation import isolation
from layout.wiring.system.nets import nets
from layout.wiring.wire import wire
from tests.conftest import EXAMPLES
from tests.wiring.arranged import spread_out
from tests.wiring.builders import FUSE
from tests.wiring.faulty import ac, add, part
from tests.wiring.stages import stages_of, system_of

if TYPE_CHECKING:
    from layout.project.model.project import Project


def inverter(terminal: str = "+", **more: object) -> Project:
    """Return a boat with an inverter on the switch's outlet and a kettle on its AC side."""
    project = ac()
    facts = {"id": "inv", "kind": "inverter", "voltage": 230.0, "power": 1080.0, "efficiency": 0.9,
             "location": "locker",
             "neutral_bond": True, "polarized": True, "self_limiting": True, "fed_from": "main/out"}  # fmt: skip
    return add(
        replace(project, feeders={key: feeder for key, feeder in project.feeders.items() if key != "sf"}),
        supplies={"inv": Supply(**{**facts, **more})},
        feeders={
            "fi": Feeder(id="fi", from_="main/out", to=f"inv/{terminal}", poles=("+",), length=900.0, protection=FUSE),
            "ri": Feeder(id="ri", from_="inv/-", to="negbar", poles=("-",), length=900.0),
            "sf": replace(project.feeders["sf"], from_="inv"),
        },
    )


@pytest.mark.parametrize("terminal", ["+", "in"])
def test_inverter_input_is_a_dc_load(terminal):
    """1080 W at 90 % from 10.8 V ask for 111.1 A on the inverter's DC leads, whichever name its post has."""
    found = {run.key: run for run in wire(inverter(terminal), None).runs}
    for key in ("feeders.fi", "feeders.ri"):
        assert found[key].run_class == "dc"
        assert found[key].nominal_v == 12.0
    loads = {load.feeder: load.simultaneous_a for load in wire(inverter(terminal), None).feeders}
    assert loads["feeders.fi"] == loads["feeders.ri"] == pytest.approx(1080 / 0.9 / 10.8)
    assert loads["feeders.lead"] == pytest.approx(1080 / 0.9 / 10.8 + 3.0)


def test_feeder_that_carries_nothing_known_is_an_error():
    """A feeder to an inverter without power has no size, and an error says so."""
    found = [f for f in wire(inverter(power=None), None).findings if f.rule == "wire 1" and "fi:" in f.message]
    assert [f.message for f in found] == ["fi: what it carries is not known, so its conductors have no size"]


CRUISER = read(EXAMPLES / "hire_cruiser.yaml").project
LINE = ("at the quay", "generator")


def told(project: Project) -> set[tuple[str, str]]:
    """Return code and words of what is wrong with the hire cruiser, but for tables that were not seen."""
    findings = wire(project, spread_out(project)).findings
    return {(finding.rule, finding.message) for finding in findings if finding.rule not in ("wire 8", "fuse 14")}


def cruiser(section: str, key: str, **changes: Any) -> Project:
    """Return the hire cruiser with one entry changed."""
    return part(CRUISER, section, key, **changes)


def test_cruiser_keeps_every_law() -> None:
    """Quay, generator and inverter by two changeovers: nothing to say; each state has one neutral-earth bond."""
    assert told(CRUISER) == set()


def test_ac_input_is_passed_on_or_taken_over() -> None:
    """Where quay or generator is live the inverter passes it on; that failing, and under way, it inverts."""
    system = system_of(stages_of(CRUISER))
    reach = {}
    for state in system.states:
        net = nets(system, state)
        reach[state.name] = [s.key for s in system.sources if s.ac and net.joined(s.live, "sockets/L")]
    assert reach == {
        "at the quay": ["quay"],
        "at the quay, Inverter takes over": ["inverter"],
        "generator": ["generator"],
        "generator, Inverter takes over": ["inverter"],
        "under way": ["inverter"],
        "laid up": ["inverter"],
        "all switches open": ["inverter"],
    }
    joined = [nets(system, state).joined("inverter/in:N", "inverter/N") for state in system.states]
    assert joined == [state.name in LINE for state in system.states]


@pytest.mark.parametrize(
    ("where", "change", "code", "words"),
    [
        ("supplies.inverter", {"neutral_bond": False}, "fuse 31", "state 'under way', fed by Inverter: neutral"),
        ("supplies.generator", {"neutral_bond": False}, "fuse 31", "state 'generator', fed by Generator: neutral and"),
        ("supplies.inverter", {"neutral_bond": None}, "fuse 31", "Inverter: whether neutral and earth are joined"),
        ("battery_switches.source", {"break_before_make": None}, "fuse 30", "not said to break before it makes"),
        ("supplies.inverter", {"transfer": 4.0}, "wire 45", "Inverter: 4.8 A at once is more than its 4 A"),
        ("feeders.pass_on", {"poles": ("L", "N")}, "fuse 36", "protective conductor does not reach Quay supply"),
        ("feeders.pass_on", {"poles": ("L", "PE")}, "fuse 74", "Quay or generator, out:N: no conductor"),
        ("feeders.pass_on", {"to": "ac"}, "fuse 30", "are joined in state 'at the quay'"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_changeover_is_told(where: str, change: dict[str, Any], code: str, words: str) -> None:
    """One thing changed on the cruiser; its twin, the cruiser, has no finding."""
    found = told(cruiser(*where.split("."), **change))
    assert any(rule == code and words in message for rule, message in found), found


def test_inverter_that_assists_adds_its_current() -> None:
    """Left unsaid it is taken to add: behind quay 16 A and inverter 5.8 A the feed must bear both, else one."""
    bare = cruiser("feeders", "ac_feed", protection=None)
    bears = {}
    for assist in (None, True, False):
        case = stages_of(part(bare, "supplies", "inverter", assist=assist))
        bears[assist] = case.loaded.bears["feeders.ac_feed"]
    assert bears[False] == pytest.approx(16.0)
    assert bears[None] == bears[True] == pytest.approx(16.0 + 1200 / 230)


@pytest.mark.parametrize(
    ("kind", "facts", "words"),
    [
        ("converter", {"transfer": 10.0}, "for kind: inverter, not converter"),
        ("inverter", {"assist": True}, "say transfer"),
    ],
)
def test_transfer_is_an_inverters(kind: str, facts: dict[str, Any], words: str) -> None:
    """Only an inverter has an AC input, and only one with an input assists."""
    with pytest.raises(ValueError, match=words):
        Supply(id="x", kind=kind, voltage=230.0, **facts)


def test_what_the_inverter_takes_over_is_not_told_dead() -> None:
    """The source switch or the quay's device opened, the inverter keeps the sockets live; its own device does not."""
    openings = {opening.entry: opening for opening in isolation(system_of(stages_of(CRUISER))).openings}
    for entry in ("battery_switches.source", "feeders.quay_lead.protection"):
        assert dict(openings[entry].dead) == {}
    assert set(openings["feeders.ac_feed.protection"].dead) == {"circuits.sockets", "circuits.heater"}
    assert "supplies.inverter" in openings["battery_switches.main"].dead
