"""Random problems of planning a backbone, and the brute force they are compared with.

The brute force shares no code with the planner: it knows the wireway graph, measures the ways with its own shortest
paths, tries every place of every tee and every order of tees, and reckons with ohms and volts.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from itertools import pairwise, permutations, product

from layout.network.bus_planning.bus_problem import CourseProblem, Figures, Hook, Limits

AMPS, THIN, TAP = 0.05, 0.069, 0.005
"""A per LEN; ohm/m and ohm per tap of one conductor, worst case (IEC 62026-3)."""


@dataclass(frozen=True)
class Device:
    """LEN, place, and length of cable at the place itself, mm."""

    load_units: int
    place: int
    tail_mm: int


@dataclass(frozen=True)
class Case:
    """A wireway graph with devices, and limits in plain units."""

    edges: tuple[tuple[int, int, int], ...]
    places: int
    devices: tuple[Device, ...]
    feed: int
    drop_mm: int
    drops_mm: int
    backbone_mm: int
    side_a: float
    fall_v: float
    joint_mm: int


def ways(case: Case) -> list[list[int]]:
    """Shortest ways between all places (Floyd and Warshall)."""
    far = 10**9
    d = [[0 if i == j else far for j in range(case.places)] for i in range(case.places)]
    for a, b, mm in case.edges:
        d[a][b] = d[b][a] = min(d[a][b], mm)
    for k, i, j in product(range(case.places), repeat=3):
        d[i][j] = min(d[i][j], d[i][k] + d[k][j])
    return d


def random_case(seed: int, *, devices: int = 4) -> Case:
    """Make a case of 6 to 10 places with generous limits."""
    rng = random.Random(seed)
    places = rng.randint(6, 10)
    edges = [(rng.randrange(max(0, n - 3), n), n, rng.randint(700, 5500)) for n in range(1, places)]
    edges += [(*rng.sample(range(places), 2), rng.randint(1000, 6000)) for _ in range(places // 3)]
    return Case(
        edges=tuple(edges),
        places=places,
        devices=tuple(
            Device(rng.randint(1, 14), rng.randrange(places), rng.choice((0, 300, 1000))) for _ in range(devices)
        ),
        feed=rng.randrange(places),
        drop_mm=rng.choice((2500, 4000, 6000)),
        drops_mm=78_000,
        backbone_mm=100_000,
        side_a=3.0,
        fall_v=rng.choice((1.5, 3.0)),
        joint_mm=rng.choice((1000, 0, 2500)),
    )


def tightened(case: Case, figures: Figures, seed: int) -> Case:
    """Set one limit a little below what the cheapest plan without limits comes to, so that it binds."""
    rng = random.Random(-seed)
    share = rng.uniform(0.8, 0.99)
    return rng.choice(
        (
            replace(case, fall_v=round(figures.fall * share) * 1e-7),
            replace(case, backbone_mm=int(figures.reach_mm * share)),
            replace(case, drops_mm=int(figures.drops_mm * share)),
            replace(case, side_a=max(round(figures.side_lens * share), 1) * AMPS),
        )
    )


def problem_of(case: Case, *, free: bool = False) -> CourseProblem:
    """Return the planner's problem; ``free`` lifts every limit but the one on a single drop."""
    d = ways(case)
    names = [f"n{place}" for place in range(case.places)]
    hooks = tuple(
        Hook(
            id=f"d{index}",
            load_units=device.load_units,
            drops_mm={
                names[p]: d[p][device.place] + device.tail_mm
                for p in range(case.places)
                if d[p][device.place] + device.tail_mm <= case.drop_mm
            },
        )
        for index, device in enumerate(case.devices)
    )
    tight = Limits(
        drops_mm=case.drops_mm,
        backbone_mm=case.backbone_mm,
        side_lens=round(case.side_a / AMPS),
        fall=round(case.fall_v * 1e7),
    )
    loose = Limits(drops_mm=10**8, backbone_mm=10**8, side_lens=10**6, fall=10**12)
    return CourseProblem(
        spots=tuple(names),
        between_mm={(a, b): d[i][j] for i, a in enumerate(names) for j, b in enumerate(names) if i != j},
        hooks=hooks,
        feeds_mm={names[p]: d[case.feed][p] for p in range(case.places)},
        joint_mm=case.joint_mm,
        limits=loose if free else tight,
    )


def brute_force(case: Case) -> int | None:
    """Return the least cost of any order of tees at any places that keeps every limit; None if there is none.

    A tee for each device and one for the power tap, in every order (a mirrored one is the same), each device's tee at
    every place within its drop. Places may be opened again later in the order: nothing rules it out but its cost.
    """
    d = ways(case)
    n = len(case.devices)
    spots = [
        [p for p in range(case.places) if d[p][dev.place] + dev.tail_mm <= case.drop_mm] for dev in case.devices
    ] + [list(range(case.places))]
    orders = [order for order in permutations(range(n + 1)) if order[0] < order[-1]]
    best: int | None = None
    for where in product(*spots):
        drops = [d[where[i]][dev.place] + dev.tail_mm for i, dev in enumerate(case.devices)]
        if sum(drops) > case.drops_mm:
            continue
        fixed = sum(drops) + d[case.feed][where[n]]
        for order in orders:
            steps = [d[where[a]][where[b]] for a, b in pairwise(order)]
            stations = 1 + sum(where[a] != where[b] for a, b in pairwise(order))
            cost = fixed + sum(steps) + case.joint_mm * stations
            if (best is None or cost < best) and keeps(case, order, steps, drops, d[case.feed][where[n]]):
                best = cost
    return best


def keeps(case: Case, order: tuple[int, ...], steps: list[int], drops: list[int], feed_mm: int) -> bool:
    """Tell whether one order of tees keeps length, current and voltage; the last index is the power tap."""
    n = len(case.devices)
    at = [0]
    for step in steps:
        at.append(at[-1] + step)
    tips = [(0, 0), (at[-1], 0)] + [(at[i], drops[t]) for i, t in enumerate(order) if t != n]
    if any(abs(a - b) + x + y > case.backbone_mm for i, (a, x) in enumerate(tips) for b, y in tips[i + 1 :]):
        return False
    tap = order.index(n)
    amps = [AMPS * dev.load_units for dev in case.devices]
    start = 2 * THIN * feed_mm / 1000 * sum(amps)
    for side in (list(range(tap + 1, n + 1)), list(range(tap - 1, -1, -1))):
        flow = sum(amps[order[i]] for i in side)
        if flow > case.side_a + 1e-9:
            return False
        fall, here = start, tap
        for i in side:
            fall += 2 * (THIN * abs(at[i] - at[here]) / 1000 + TAP) * flow
            if fall + 2 * THIN * drops[order[i]] / 1000 * amps[order[i]] > case.fall_v + 1e-9:
                return False
            flow -= amps[order[i]]
            here = i
    return True
