"""What returns must bear, beside a linear programme with one commodity for each source that gives."""

from __future__ import annotations

import random
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import coo_matrix

from layout.wiring.laws.overload import demand_on
from layout.wiring.system.bridges import cuts, edges_of
from layout.wiring.system.graph import Conductor, Consumer, Guard, Node, PowerSource, System

if TYPE_CHECKING:
    from collections.abc import Iterator

BIG = 1e5
"""Capacity of whatever no device limits, A."""


def made_up(chance: random.Random) -> System:
    """Return sources, loads, live conductors with devices, and returns; now and then a ring on either side."""
    live = [f"l{n}" for n in range(chance.randint(2, 5))]
    home = [f"r{n}" for n in range(chance.randint(2, 5))]
    conductors: list[Conductor] = []
    guards: list[Guard] = []
    for keys, pole in ((live, "+"), (home, "-")):
        links = [(keys[chance.randrange(at)], keys[at]) for at in range(1, len(keys))]
        if chance.random() < 0.2:
            links.append((*chance.sample(keys, 2),))
        for a, b in links:
            name = f"{pole}{len(conductors) + len(guards)}"
            if pole == "+" and chance.random() < 0.7:
                guards.append(Guard(key=name, device=name, entry="", name="", a=a, b=b, pole="+", kind="breaker",
                                    rating_a=float(chance.randint(1, 30))))  # fmt: skip
            else:
                conductors.append(Conductor(key=name, segment="", entry="", name="", start=a, end=b, pole=pole))
    sources = []
    for n in range(chance.randint(1, 3)):
        kind = chance.choice(("battery", "battery", "charger"))
        post, at = (f"s{n}/+", f"s{n}/-"), chance.choice(live)
        name = f"+s{n}"
        guards.append(Guard(key=name, device=name, entry="", name="", a=post[0], b=at, pole="+", kind="fuse",
                            rating_a=float(chance.randint(10, 60))))  # fmt: skip
        conductors.append(
            Conductor(key=f"-s{n}", segment="", entry="", name="", start=chance.choice(home), end=post[1], pole="-")
        )
        sources.append(
            PowerSource(key=f"s{n}", entry="", name="", kind=kind, live=post[0], back=post[1], nominal_v=12.0,
                        limit_a=None if kind == "battery" else float(chance.randint(5, 40)))
        )  # fmt: skip
    loads = []
    for n in range(chance.randint(1, 4)):
        name = f"+c{n}"
        guards.append(Guard(key=name, device=name, entry="", name="", a=chance.choice(live), b=f"c{n}/+", pole="+",
                            kind="breaker", rating_a=float(chance.randint(1, 30))))  # fmt: skip
        end = chance.choice(home)
        if chance.random() < 0.3:  # a way of two poles
            guards.append(Guard(key=f"-w{n}", device=name, entry="", name="", a=end, b=f"w{n}", pole="-",
                                kind="breaker", rating_a=guards[-1].rating_a))  # fmt: skip
            end = f"w{n}"
        conductors.append(Conductor(key=f"-c{n}", segment="", entry="", name="", start=f"c{n}/-", end=end, pole="-"))
        loads.append(Consumer(key=f"c{n}", entry="", name="", live=f"c{n}/+", back=f"c{n}/-", draw_a=1.0))
    ends = dict.fromkeys(
        [
            *live,
            *home,
            *(e for s in sources for e in (s.live, s.back)),
            *(g.b for g in guards),
            *(c.start for c in conductors),
        ]
    )
    nodes = tuple(Node(key=key, owner=key, section="", name=key, kind="device", pole=None) for key in ends)
    return System(nodes=nodes, conductors=tuple(conductors), guards=tuple(guards), consumers=tuple(loads),
                  sources=tuple(sources))  # fmt: skip


def _givers(made: System) -> Iterator[tuple[list[PowerSource], list[PowerSource]]]:
    """Yield who gives and who takes: a battery is one or the other, never both at once; a charger only gives."""
    banks = [source for source in made.sources if source.kind == "battery"]
    for count in range(len(banks) + 1):
        for takers in combinations(banks, count):
            givers = [source for source in made.sources if source not in takers]
            if givers:
                yield givers, list(takers)


def linear_programme(made: System, returning: Conductor) -> float:
    """Return the most that can flow through a return, in the worse direction, over all who may give and take."""
    ends = [(returning.start, returning.end), (returning.end, returning.start)]
    return max(_solved(made, returning, way, *who) for way in ends for who in _givers(made))


def _solved(
    made: System, out: Conductor, way: tuple[str, str], givers: list[PowerSource], takers: list[PowerSource]
) -> float:
    """Solve in two layers, before and after the return, so that a current running in a ring counts for nothing."""
    plain: list[tuple[str, str, str]] = []  # from, to, device
    for a, b, device in [
        *((c.start, c.end, "") for c in made.conductors if c is not out),
        *((guard.a, guard.b, guard.key) for guard in made.guards),
    ]:
        plain += [(a, b, device), (b, a, device)]
    plain += [(c.live or "", c.back or "", "") for c in made.consumers]
    plain += [(taker.live, taker.back, "") for taker in takers]
    arcs = [(f"{a} {layer}", f"{b} {layer}", device) for layer in (1, 2) for a, b, device in plain]
    arcs.append((f"{way[0]} 1", f"{way[1]} 2", ""))
    at = {key: number for number, key in enumerate(dict.fromkeys(end for a, b, _ in arcs for end in (a, b)))}
    width = len(arcs) + 1  # and what a giver sends
    entries: list[tuple[int, int, float]] = []
    for number, giver in enumerate(givers):
        row, column = number * len(at), number * width
        for n, (a, b, _) in enumerate(arcs):
            entries += [(row + at[a], column + n, -1.0), (row + at[b], column + n, 1.0)]
        for end, sign in ((f"{giver.live} 1", 1.0), (f"{giver.back} 2", -1.0)):
            if end in at:
                entries.append((row + at[end], column + len(arcs), sign))
    rows, columns, values = zip(*entries, strict=True)
    size = width * len(givers)
    balance = coo_matrix((values, (rows, columns)), shape=(len(givers) * len(at), size))
    gain = np.zeros(size)
    gain[len(arcs) - 1 :: width] = -1.0
    places = {guard.key: number for number, guard in enumerate(made.guards)}
    held = [(places[arc[2]], n * width + m) for n in range(len(givers)) for m, arc in enumerate(arcs) if arc[2]]
    devices = coo_matrix((np.ones(len(held)), tuple(zip(*held, strict=True))), shape=(len(places), size))
    bounds = [(0.0, BIG)] * size
    for number, giver in enumerate(givers):
        bounds[number * width + len(arcs)] = (0.0, giver.limit_a or BIG)
    ratings = [guard.rating_a for guard in made.guards]
    solved = linprog(gain, A_eq=balance, b_eq=np.zeros(balance.shape[0]), A_ub=devices, b_ub=ratings, bounds=bounds)
    assert solved.status == 0, solved.message
    return float(-solved.fun)


@pytest.mark.parametrize("seed", range(16))
def test_returns_bear_what_a_linear_programme_finds(seed: int) -> None:
    """Exactly that, on each return that is the only way home; in a ring of returns the law takes the whole ring's."""
    made = made_up(random.Random(seed))
    demands, ways = demand_on(made), cuts(edges_of(made, made.states[0]), ())
    for conductor in made.conductors:
        if conductor.pole == "-" and conductor.key in ways:
            amps = demands[conductor.key].amps if conductor.key in demands else 0.0
            assert amps == pytest.approx(linear_programme(made, conductor)), conductor.key
