"""The greatest current through conductors: hand-made cases, just-legal twins, and a linear programme beside it."""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from scipy.optimize import linprog

from layout.wiring.laws.overload import demand_on, overload
from layout.wiring.system.flow import Currents, max_flow
from layout.wiring.system.graph import Conductor, Guard, Node, PowerSource, SwitchState, System
from tests.wiring.laws.boats import case, system

if TYPE_CHECKING:
    from pathlib import Path

FUSE = {"kind": "link fuse", "from_source": "60 mm"}

SECOND_BANK = {
    "supplies.second": {"name": "Second bank", "kind": "battery", "voltage": "12 V", "location": "locker",
                        "chemistry": "lead", "capacity": "200 Ah"},
    "feeders.second": {"from": "second/+", "to": "main/in", "protection": {**FUSE, "rating": "100 A"}},
    "feeders.second_home": {"from": "second/-", "to": "bank/-", "poles": "-"},
}  # fmt: skip
# a cable of 25 mm² at 90 °C bears 140 A, one of 70 mm² 285 A: 33 CFR 183.425 Table 5 and ISO 13297 Annex A (memory)
THIN, THICK = "25 mm2", "70 mm2"


def shared_return(amps: float, ways: int = 3, size: str = "1 mm2") -> dict[str, Any]:
    """Return lamps on several ways of 10 A that share one return."""
    changes: dict[str, Any] = {"circuits.lamp": None, "circuits.radio": None}
    for number in range(1, ways + 1):
        changes[f"breaker_panels.dc.ways.{number}.rating"] = "10 A"
        changes[f"devices.l{number}"] = {"location": "cabin"}
        changes[f"circuits.l{number}"] = {
            "from": f"dc/{number}", "to": f"l{number}", "purpose": "cabin lights", "load": {"current": f"{amps:g} A"},
            "legs": {
                "out": {"from": f"dc/{number}", "to": f"l{number}/+"},
                "home": {"from": "cabin", "to": "dc/-", "pole": "-", "shared": "cabin return", "size": size},
            },
        }  # fmt: skip
    return changes


CASES: dict[str, tuple[dict[str, Any], list[str]]] = {
    # changes, and the codes of what is said, in order
    "clean": ({}, []),
    "two banks behind 100 A each on one conductor": (
        {**SECOND_BANK, "feeders.to_bar.size": THIN}, ["fuse 2"],
    ),
    "the same on one that bears both, and a third for minutes": ({**SECOND_BANK, "feeders.to_bar.size": "95 mm2"}, []),
    "battery beside an alternator on one conductor": (
        {"feeders.alt.to": "main/in", "feeders.to_bar.size": THIN, "feeders.alt.protection_to.rating": "60 A"},
        ["fuse 2"],
    ),
    "no fuse at the bank": ({"feeders.lead.protection": None}, ["fuse 1"]),
    "a jumper past the bank's fuse": (
        {"feeders.jump": {"name": "Jumper", "from": "bank/+", "to": "main/out"}}, ["fuse 1"],
    ),
    "a sense wire from the post": (
        {"devices.monitor": {"location": "locker"},
         "circuits.sense": {"from": "bank", "to": "monitor", "purpose": "instruments", "load": {"current": "0.1 A"},
                            "legs": {"s": {"from": "bank/+", "to": "monitor/+", "pole": "sense", "always_live": True},
                                     "b": {"from": "monitor/-", "to": "bank/-", "pole": "-"}}}},
        ["fuse 1"],
    ),
    "the same with a fuse": (
        {"devices.monitor": {"location": "locker"},
         "circuits.sense": {"from": "bank", "to": "monitor", "purpose": "instruments", "load": {"current": "0.1 A"},
                            "legs": {"s": {"from": "bank/+", "to": "monitor/+", "pole": "sense", "always_live": True,
                                           "protection": {**FUSE, "rating": "1 A"}},
                                     "b": {"from": "monitor/-", "to": "bank/-", "pole": "-"}}}},
        [],
    ),
    "charger not said to limit itself": ({"supplies.charger.self_limiting": None}, ["fuse 15"]),
    "no fuse where the alternator meets the bank": ({"feeders.alt.protection_to": None}, ["fuse 1"]),
    "cranking on a house feed": (
        {"feeders.lead.cranking": True, "feeders.lead.protection": None}, ["fuse 1", "fuse 92"],
    ),
    "an alternator on the starter's stud without a fuse": (
        {"feeders.alt": {"name": "Alternator lead", "from": "alternator/+", "to": "starter/+"}}, ["fuse 1"],
    ),
    "the same by the engine maker's own harness": (
        {"feeders.alt": {"name": "Alternator lead", "from": "alternator/+", "to": "starter/+", "harness": "maker's"}},
        [],
    ),
    "a harness that leads to the house bank": (
        {"feeders.alt.protection_to": None, "feeders.alt.harness": "maker's"}, ["fuse 1"],
    ),
    "emergency start without a fuse": ({"feeders.par_b.protection_to": None}, ["fuse 1"]),
    "two banks joined for minutes on a conductor that bears each": ({"feeders.to_bar.size": THIN}, ["fuse 2"]),
    "two banks joined for minutes on one that bears both": ({"feeders.to_bar.size": THICK}, []),
    "a bank that is said to limit itself": (
        {"feeders.lead.protection": None, "supplies.bank.self_limiting": True, "supplies.bank.current": "50 A"},
        ["fuse 1"],
    ),
    "panel of 40 A behind 50 A": ({"breaker_panels.dc.rating": "40 A"}, ["fuse 90"]),
    "panel of 50 A behind 50 A": ({"breaker_panels.dc.rating": "50 A"}, []),
    "bar of 90 A behind 100 A": ({"bus_bars.plus.rating": "90 A"}, ["fuse 91"]),
    "bar of 100 A behind 100 A": ({"bus_bars.plus.rating": "100 A"}, []),
    # 1 mm² at 90 °C bears 18 A alone: three ways of 10 A let 30 A through together, each of them 10 A
    "three ways on one thin return": (shared_return(1.0), ["fuse 2"]),
    "one way on it": (shared_return(1.0, ways=1), []),
    "three ways on a thicker one": (shared_return(1.0, size="4 mm2"), []),
    "a way of 20 A before a return of 1 mm²": (
        {**shared_return(1.0, ways=1), "breaker_panels.dc.ways.1.rating": "20 A"}, ["fuse 2"],
    ),
    "starter home over the lights' return": (
        {"feeders.starter_home.to": "minus", "feeders.starter_home.cranking": None}, ["fuse 93"] * 3,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_what_is_said(name: str, tmp_path: Path) -> None:
    """Each wrong boat is told once, at its root; its just-legal twin is not."""
    changes, expected = CASES[name]
    found = list(overload(system(tmp_path, changes)))
    assert [breach.rule for breach in found] == expected, [breach.message for breach in found]


def test_a_return_that_no_single_way_overloads_is_only_watched(tmp_path: Path) -> None:
    """Three ways of 10 A on a return that bears 18 A: a fault on one is held, all three together are worth a look."""
    (breach,) = overload(system(tmp_path, shared_return(1.0)))
    assert breach.severity is not None
    assert breach.severity.value == "watch"
    (worse,) = overload(system(tmp_path, {**shared_return(1.0, ways=1), "breaker_panels.dc.ways.1.rating": "20 A"}))
    assert worse.severity is None


def test_a_state_for_minutes_is_watched_unless_one_source_alone_is_too_much(tmp_path: Path) -> None:
    """25 mm² bears 140 A: 100 A from each of two banks is worth a look, 150 A from one of them is too much."""
    (breach,) = overload(system(tmp_path, {"feeders.to_bar.size": THIN}))
    assert breach.severity is not None
    assert breach.severity.value == "watch"
    assert "up to 200 A can flow through it in state 'emergency', it bears 140 A; it bears each source alone" in (
        breach.message
    )
    found = overload(system(tmp_path, {"feeders.to_bar.size": THIN, "feeders.par_b.protection_to.rating": "150 A"}))
    (worse,) = [b for b in found if b.entry == "feeders.to_bar"]
    assert worse.severity is None
    assert worse.measured == 150.0


def test_what_conductors_must_bear(tmp_path: Path) -> None:
    """Figures by hand: the bank's fuse of 100 A and the alternator's 60 A add on the way to the bar."""
    demands = demand_on(system(tmp_path, {"feeders.alt.to": "main/in"}))
    assert demands["feeders.to_bar +"].amps == 160.0
    assert demands["feeders.feed +"].amps == 50.0
    assert demands["circuits.lamp +"].amps == demands["circuits.lamp -"].amps == 10.0
    assert demands["feeders.alt_home -"].amps == 60.0
    assert "feeders.starter +" not in demands


def test_outputs_of_one_charger_share_its_return(tmp_path: Path) -> None:
    """20 A at each output, behind 30 A from its bank, and 20 A home in all."""
    second = {"from": "charger/+2", "to": "start/+", "protection_to": {**FUSE, "rating": "30 A"}}
    demands = demand_on(system(tmp_path, {"supplies.charger.outputs": 2, "feeders.charge2": second}))
    assert demands["feeders.charge +"].amps == demands["feeders.charge2 +"].amps == 30.0
    assert demands["feeders.charge_home -"].amps == 20.0


@pytest.mark.parametrize(("stop", "amps"), [("bank/-", 80.0), ("minus", 80.0)])
def test_an_alternators_return_is_as_thick_as_its_own_lead(stop: str, amps: float, tmp_path: Path) -> None:
    """80 A at the bank stand before the alternator's lead; the bank's own 100 A are no matter of its return's."""
    assert case(tmp_path, {"feeders.alt_home.to": stop}).loaded.bears["feeders.alt_home"] == amps


def test_the_banks_return_is_as_thick_as_its_lead(tmp_path: Path) -> None:
    """100 A at the bank, and 60 A of the alternator that comes in behind it, flow home over the bank's return."""
    bears = case(tmp_path, {"feeders.alt.to": "main/in"}).loaded.bears
    assert bears["feeders.home"] is not None
    assert bears["feeders.home"] >= 100.0


# --- a second way -----------------------------------------------------------------------------------------------------


def linear_programme(edges: list[tuple[str, str, float]], sources: dict[str, float], sinks: list[str]) -> float:
    """Return the greatest flow as a linear programme: one variable an edge, balance at each vertex."""
    vertices = sorted({v for a, b, _ in edges for v in (a, b)} | set(sources) | set(sinks))
    inner = [v for v in vertices if v not in sinks]
    columns = len(edges) + len(sources)
    balance = np.zeros((len(inner), columns))
    for at, (a, b, _) in enumerate(edges):
        for vertex, sign in ((a, -1.0), (b, 1.0)):
            if vertex in inner:
                balance[inner.index(vertex), at] += sign
    for at, vertex in enumerate(sources):
        if vertex in inner:
            balance[inner.index(vertex), len(edges) + at] += 1.0
    gain = np.zeros(columns)
    for at, (a, b, _) in enumerate(edges):
        gain[at] -= (b in sinks) - (a in sinks)
    for at, vertex in enumerate(sources):
        gain[len(edges) + at] -= vertex in sinks
    bounds = [(-cap, cap) for _, _, cap in edges] + [(0, give) for give in sources.values()]
    solved = linprog(gain, A_eq=balance, b_eq=np.zeros(len(inner)), bounds=bounds)
    assert solved.status == 0
    return float(-solved.fun)


@pytest.mark.parametrize("seed", range(60))
def test_maximum_flow_against_a_linear_programme(seed: int) -> None:
    """Random networks with rings, several sources and sinks."""
    chance = random.Random(seed)
    names = [f"v{n}" for n in range(chance.randint(3, 7))]
    edges = [(*chance.sample(names, 2), float(chance.randint(1, 30))) for _ in range(chance.randint(2, 12))]
    sources = {v: float(chance.randint(5, 60)) for v in chance.sample(names, chance.randint(1, 2))}
    sinks = chance.sample([v for v in names if v not in sources], 1)
    assert max_flow(edges, sources, sinks) == pytest.approx(linear_programme(edges, sources, sinks))


def made_up(chance: random.Random) -> System:
    """Return a live net of conductors and devices, a tree or with rings, and some sources that limit themselves."""
    count = chance.randint(3, 9)
    keys = [f"n{n}" for n in range(count)]
    links = [(keys[chance.randrange(at)], keys[at]) for at in range(1, count)]
    links += [tuple(chance.sample(keys, 2)) for _ in range(chance.choice((0, 0, 1, 2)))]
    conductors, guards = [], []
    for at, (a, b) in enumerate(links):
        if chance.random() < 0.5:
            conductors.append(Conductor(key=f"c{at}", segment="", entry="", name="", start=a, end=b, pole="+"))
        else:
            amps = float(chance.randint(1, 50))
            guards.append(Guard(key=f"g{at}", device=f"g{at}", entry="", name="", a=a, b=b, pole="+", kind="breaker",
                                rating_a=amps))  # fmt: skip
    sources = [
        PowerSource(key=f"s{n}", entry="", name="", kind="charger", live=node, back="home", nominal_v=12.0,
                    limit_a=float(chance.randint(10, 80)))
        for n, node in enumerate(chance.sample(keys, chance.randint(1, 2)))
    ]  # fmt: skip
    nodes = [Node(key=key, owner=key, section="", name=key, kind="device", pole="+") for key in (*keys, "home")]
    return System(nodes=tuple(nodes), conductors=tuple(conductors), guards=tuple(guards), sources=tuple(sources))


@pytest.mark.parametrize("seed", range(120))
def test_each_conductor_against_a_linear_programme(seed: int) -> None:
    """With one conductor out, the worse of its ends is what a linear programme finds over the whole net."""
    made = made_up(random.Random(seed))
    demands = demand_on(made)
    big = 1e4
    for conductor in made.conductors:
        edges = [(c.start, c.end, big) for c in made.conductors if c is not conductor]
        edges += [(g.a, g.b, g.rating_a or 0.0) for g in made.guards]
        sources = {source.live: source.limit_a or 0.0 for source in made.sources}
        expected = max(linear_programme(edges, sources, [end]) for end in (conductor.start, conductor.end))
        amps = demands[conductor.key].amps if conductor.key in demands else 0.0
        assert amps == pytest.approx(expected), (seed, conductor.key)


def test_without_limits_the_flow_is_infinite() -> None:
    """A way of infinite capacity from a source without limit has no greatest flow."""
    assert math.isinf(max_flow([("a", "b", math.inf)], {"a": math.inf}, ["b"]))
    assert max_flow([("a", "b", 3.0)], {"a": math.inf}, ["b"]) == 3.0
    assert max_flow([("a", "b", 3.0)], {"a": math.inf}, ["c"]) == 0.0


def test_currents_of_one_state_only() -> None:
    """A source that is not asked for gives nothing."""
    made = made_up(random.Random(3))
    none = Currents(made, SwitchState(name="on"), only=[])
    assert all(none.most(node.key) == 0.0 for node in made.nodes)
