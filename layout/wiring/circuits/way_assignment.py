"""Ways of the distribution panels: which circuit sits on which, as given or assigned.

What is given stands. The rest is assigned at once for each panel: the way whose rating fits closest, near circuits of
its kind, with the spares kept free.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.purposes import purpose
from layout.standards.tables import Practice
from layout.wiring.protection.protective_device import way_rating_a

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from layout.project.model.project import Project
    from layout.project.model.supplies import BreakerPanel

RATING_WEIGHT = 100
"""Cost of each ampere that a way is rated above what a circuit needs, against one way's distance from its kind."""
NO_WAY = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Two statements about one way or circuit that can't both hold, or a circuit that finds no way."""

    key: str
    text: str
    related: str = ""
    no_room: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """Way by circuit (``dist24/7``), which of them spile chose, and what clashes."""

    ways: Mapping[str, str]
    chosen: frozenset[str]
    clashes: tuple[Clash, ...]


def assign_ways(project: Project, current_of: Callable[[str], float | None]) -> Assignment:
    """Assign every circuit that starts at a distribution panel.

    Parameters
    ----------
    current_of
        Design current of a circuit, A; None is unknown, and such a circuit takes any way that is free.
    """
    ways: dict[str, str] = {}
    clashes: list[Clash] = []
    _given(project, ways, clashes)
    chosen: set[str] = set()
    for panel_id, panel in project.breaker_panels.items():
        waiting = [
            key
            for key, circuit in project.circuits.items()
            if circuit.from_ == panel_id and key not in ways and circuit.aboard != "remove"
        ]
        free = _free(panel_id, panel, ways)
        board = _Board(project=project, id=panel_id, panel=panel, ways=dict(ways), current_of=current_of)
        for key, way in _solve(board, waiting, free).items():
            ways[key] = f"{panel_id}/{way}"
            chosen.add(key)
        clashes += [
            Clash(
                key=f"circuits.{key}",
                text=f"circuit {key} finds no way on {panel_id} that is free and can be rated for it",
                no_room=True,
            )
            for key in waiting
            if key not in ways
        ]
    return Assignment(ways=ways, chosen=frozenset(chosen), clashes=tuple(clashes))


def _given(project: Project, ways: dict[str, str], clashes: list[Clash]) -> None:
    taken: dict[str, str] = {}
    for key, circuit in project.circuits.items():
        owner, _, way = circuit.from_.partition("/")
        panel = project.breaker_panels.get(owner)
        if panel is None or way not in panel.ways or circuit.aboard == "remove":
            continue
        if circuit.from_ in taken:
            text = f"circuits {taken[circuit.from_]} and {key} both start at way {circuit.from_}"
            clashes.append(Clash(key=f"circuits.{key}", text=text, related=f"circuits.{taken[circuit.from_]}"))
        taken.setdefault(circuit.from_, key)
        ways[key] = circuit.from_
    for panel_id, board in project.breaker_panels.items():
        for way_id, position in board.ways.items():
            here = f"{panel_id}/{way_id}"
            if position.circuit is None or position.circuit not in project.circuits:
                continue
            if ways.get(position.circuit, here) != here or taken.get(here, position.circuit) != position.circuit:
                other = ways.get(position.circuit) if ways.get(position.circuit, here) != here else taken[here]
                text = f"way {here} names circuit {position.circuit}, but the circuits say {other}"
                clashes.append(Clash(key=f"breaker_panels.{panel_id}.ways.{way_id}", text=text))
                continue
            ways[position.circuit] = here


def _free(panel_id: str, panel: BreakerPanel, ways: Mapping[str, str]) -> list[str]:
    """Return the ways that may be assigned: none marked spare, and the last ones kept as spares."""
    used = set(ways.values())
    free = [w for w, way in panel.ways.items() if not way.free and not way.circuit and f"{panel_id}/{w}" not in used]
    kept = max(0, panel.free_ways - sum(1 for way in panel.ways.values() if way.free))
    return free[: len(free) - kept] if kept else free


@dataclass(frozen=True, slots=True, kw_only=True)
class _Board:
    """One distribution panel while its ways are assigned."""

    project: Project
    id: str
    panel: BreakerPanel
    ways: Mapping[str, str]
    current_of: Callable[[str], float | None]

    def group(self, circuit: str) -> str:
        """Return the group of neighbours a circuit belongs to."""
        practice = Practice(self.project.wiring.practice)
        return purpose(self.project.circuits[circuit].purpose, practice).group

    def groups(self) -> dict[str, list[int]]:
        """Return the positions that each group has already."""
        order = list(self.panel.ways)
        found: dict[str, list[int]] = {}
        for key, way in self.ways.items():
            owner, _, name = way.partition("/")
            if owner == self.id and key in self.project.circuits:
                found.setdefault(self.group(key), []).append(order.index(name))
        return found


def _solve(board: _Board, waiting: list[str], free: list[str]) -> dict[str, str]:
    """Match circuits and ways at the least cost; circuits beyond the free ways stay out."""
    if not waiting or not free:
        return {}
    from ortools.graph.python import linear_sum_assignment  # kept out of start-up

    groups = board.groups()
    solver = linear_sum_assignment.SimpleLinearSumAssignment()
    size = max(len(waiting), len(free))
    costs: dict[tuple[int, int], int] = {}
    for row in range(size):
        for column in range(size):
            cost = NO_WAY if row < len(waiting) else 0
            if row < len(waiting) and column < len(free):
                cost = _cost(board, waiting[row], free[column], groups)
            costs[row, column] = cost
            solver.add_arc_with_cost(row, column, cost)
    solver.solve()
    mates = {row: solver.right_mate(row) for row in range(len(waiting))}
    return {waiting[row]: free[column] for row, column in mates.items() if costs[row, column] < NO_WAY}


def _cost(board: _Board, key: str, way_id: str, groups: Mapping[str, list[int]]) -> int:
    circuit, way = board.project.circuits[key], board.panel.ways[way_id]
    amps = board.current_of(key)
    continuous = bool(circuit.load and circuit.load.continuous)
    excess = 0.0
    if amps is not None:
        rating = way_rating_a(way, amps, continuous=continuous)
        most = circuit.load.largest_protection if circuit.load else None
        if rating is None or (most is not None and rating > most):
            return NO_WAY
        excess = rating - amps
    at = list(board.panel.ways).index(way_id)
    apart = min((abs(at - other) for other in groups.get(board.group(key), ())), default=at)
    return round(RATING_WEIGHT * excess) + apart
