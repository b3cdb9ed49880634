"""The fewest and smallest moves of what stands already that make room for what does not stand yet."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, Any

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.engine.problem import SCALE, AbsTerm, Linear
from layout.placing.engine.rows import turn_bounds
from layout.placing.engine.stage_result import Positions
from layout.placing.formulation import valued
from layout.placing.freed import bans_by, freed
from layout.placing.given_positions import is_cut, still_at
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import Translated, loosened, translate
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from layout.placing.engine.problem import PackItem
    from layout.placing.translation.layout_index import GivenPosition
    from layout.project.model.arrangement import Arrangement, Placed
    from layout.project.model.project import Project

MOST_MOVERS = 4
"""More moves than these are a new arrangement."""

TRIES = 22
"""Sets of devices that are freed before no more are tried; each is a small exact search."""

TRY_WORK = 0.02
"""Deterministic time of one of these."""

MORE_OF_A_SIZE = 12
"""Tries of as many movers after a first answer, for one that moves them less."""

SAMPLE_MM = 4.0
"""Distance of the places at which it is looked what stands in the way."""

ELSEWHERE = 1 << 22
"""Cost of another turn or panel in steps, more than any move on a panel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moves:
    """An answer.

    Attributes
    ----------
    placed
        Places of all that stands, devices and reserved room, by name.
    movers
        What moves, with how far, mm; infinite for another panel or turn.
    fewest
        Whether fewer moves are proven not to do on the grid for the safe shapes.
    """

    placed: Mapping[str, Placed]
    movers: Mapping[str, float]
    fewest: bool


def fewest_moves(
    project: Project, arrangement: Arrangement, *, held: Mapping[str, GivenPosition], seed: int = 1
) -> Moves | None:
    """Find places for the devices that have none, moving as few others as can be, and those as little as can be.

    Parameters
    ----------
    arrangement
        Where the others stand; it need not hold all rules.
    held
        Positions, or parts of them, that are given whatever else: pins and cut holes.
    """
    places = {**arrangement.placed, **arrangement.rooms}
    there = {**still_at(places), **held}
    still = translate(project, side=Rounding.SAFE, held=there)
    free = translate(project, side=Rounding.SAFE, held=held, like=still)
    if still.problem is None or free.problem is None:
        return None
    return _Looking(project, still, free, places, seed).run()


def moved_arrangement(arrangement: Arrangement, project: Project, moves: Moves) -> Arrangement:
    """Return an arrangement after moves; nothing is proven of it."""
    devices = {name: one for name, one in moves.placed.items() if name in project.devices}
    rooms = {name: one for name, one in moves.placed.items() if name not in project.devices}
    return valued(project, replace(arrangement, placed=FrozenMap(devices), rooms=FrozenMap(rooms)))


def moves_words(project: Project, moves: Moves) -> str:
    """Return what moves as words: ``USB socket moves 3 mm and Hour meter 2.5 mm``."""
    things = {**project.devices, **stand_ins(project)}
    told: list[str] = []
    for name, mm in moves.movers.items():
        far = "to another turn or panel" if math.isinf(mm) else f"{math.ceil(10 * mm - 1e-6) / 10:g} mm"
        told.append(f"{things[name].name or name} {'' if told else 'moves '}{far}")
    return f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]


class _Looking:
    def __init__(
        self, project: Project, still: Translated, free: Translated, places: Mapping[str, Placed], seed: int
    ) -> None:
        self.still, self.free, self.places, self.seed = still, free, places, seed
        self.names = [thing.name for thing in still.index.things]
        devices = {**project.devices, **stand_ins(project)}
        self.new = tuple(k for k, name in enumerate(self.names) if name not in places)
        self.may_move = tuple(
            k
            for k, name in enumerate(self.names)
            if name in places and not is_cut(project, devices[name]) and _is_free(free, k)
        )

    def run(self) -> Moves | None:
        refuted: set[tuple[int, ...]] = set()
        best: Moves | None = None
        most, left = MOST_MOVERS, TRIES
        for movers in dict.fromkeys(self._sets()):
            if len(movers) > most or left == 0:
                break
            left -= 1
            placed, sure = self._tried(movers)
            if placed is not None:
                moves = self._moves(placed, fewest=self._is_least(len(movers), refuted))
                most, left = len(movers), min(left, MORE_OF_A_SIZE)
                if best is None or sum(moves.movers.values()) < sum(best.movers.values()):
                    best = moves
            elif sure:
                refuted.add(movers)
        return best

    def _is_least(self, size: int, refuted: Collection[tuple[int, ...]]) -> bool:
        return all(movers in refuted for k in range(size) for movers in combinations(self.may_move, k))

    def _sets(self) -> Iterator[tuple[int, ...]]:
        """Yield sets of movers, small ones first; of one size, those that stand in the way somewhere come first."""
        yield ()
        ways = self._in_the_way()
        for size in range(1, MOST_MOVERS + 1):
            yield from (way for way in ways if len(way) == size)
            if size == 1:
                yield from ((k,) for k in self.may_move)
            for way in (way for way in ways if len(way) == size - 1):
                yield from (tuple(sorted((*way, k))) for k in self.may_move if k not in way)

    def _tried(self, movers: tuple[int, ...]) -> tuple[Mapping[str, Placed] | None, bool]:
        """Return places with these moved as little as can be; or none, and whether that is proven."""
        from layout.placing.engine.cpsat.hard_part import exact_model  # ortools is slow to import
        from layout.placing.engine.cpsat.objective import objective
        from layout.placing.engine.cpsat.solver import run_cpsat

        items = tuple(sorted((*self.new, *movers)))
        built = loosened(self.still, self.free, [self.names[k] for k in items])
        whole, at = built.wishing(()), built.positions(self.places)
        terms = [term for n, k in enumerate(items) if k in movers for term in _stays(n, whole.items[k], at, k)]
        model = exact_model(freed(whole, at, items, terms))
        objective(model)
        answer = run_cpsat(model, work=TRY_WORK, seed=self.seed, workers=1)
        if answer.arrangement is None:
            return None, answer.infeasible
        return built.placed(_put(at, items, answer.arrangement)), True

    def _moves(self, placed: Mapping[str, Placed], *, fewest: bool) -> Moves:
        far = {
            name: math.hypot(one.x - was.x, one.y - was.y)
            if (one.panel, one.turn) == (was.panel, was.turn)
            else math.inf
            for name, one in placed.items()
            if (was := self.places.get(name)) is not None and one != was
        }
        return Moves(placed=FrozenMap(placed), movers=FrozenMap(far), fewest=fewest)

    def _in_the_way(self) -> list[tuple[int, ...]]:
        """Return what would have to move for each new thing at some sampled place, fewest and smallest first."""
        import numpy as np

        whole, at = self.free.wishing(()), self.free.positions(self.places)
        found: set[tuple[int, ...]] = set()
        for k in self.new:
            for t, turn in enumerate(whole.items[k].turns):
                box = turn_bounds(turn)
                if box is None:
                    continue
                step = max(1, round(SAMPLE_MM * SCALE))
                xs, ys = np.meshgrid(np.arange(box.x0, box.x1 + 1, step), np.arange(box.y0, box.y1 + 1, step))
                good = np.zeros(xs.shape, dtype=bool)
                for room in turn.rooms:
                    good |= _all_of([a * xs + b * ys <= c for a, b, c in room.rows], xs)
                for ban in turn.forbidden:
                    good &= ~_all_of([a * xs + b * ys < c for a, b, c in ban.rows], xs)
                masks = np.zeros(xs.shape, dtype=object)
                for other, is_there in enumerate(at.present):
                    if not is_there or other == k:
                        continue
                    hit = np.zeros(xs.shape, dtype=bool)
                    for ban in bans_by(whole, at, k, t, other):
                        hit |= _all_of([a * xs + b * ys < c for a, b, c in ban.rows], xs)
                    if other in self.may_move:
                        masks[hit] |= 1 << other
                    else:
                        good &= ~hit
                for mask in set(masks[good].tolist()):
                    found.add(tuple(other for other in range(len(self.names)) if mask >> other & 1))
        return sorted(way for way in found if 0 < len(way) <= MOST_MOVERS)


def _all_of(rows: Sequence[Any], like: Any) -> Any:
    import numpy as np

    return np.logical_and.reduce(rows) if rows else np.ones(like.shape, dtype=bool)


def _is_free(free: Translated, k: int) -> bool:
    return free.problem is not None and free.problem.items[k].pin is None


def _stays(n: int, item: PackItem, at: Positions, k: int) -> Iterator[AbsTerm]:
    """Yield terms that cost as many steps as an item moves, and much for another turn or panel."""
    if not at.present[k]:
        return
    turns = tuple(0 if t == at.turns[k] else ELSEWHERE for t in range(len(item.turns)))
    by_turn = ((n, turns),) if any(turns) else ()
    for axis, was in enumerate(at.positions[k]):
        yield AbsTerm(name="stays", weight=1, expr=Linear(terms=((n, axis, 1),), const=-was, by_turn=by_turn))


def _put(at: Positions, items: Sequence[int], answer: Positions) -> Positions:
    """Return an arrangement with some items where an answer has them."""
    positions, turns, present = list(at.positions), list(at.turns), list(at.present)
    for n, k in enumerate(items):
        positions[k], turns[k], present[k] = answer.positions[n], answer.turns[n], answer.present[n]
    return Positions(positions=tuple(positions), turns=tuple(turns), present=tuple(present))
