"""A project formulation to the engine: the safe and the loose problem with its wishes, and answers turned back."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from layout.frozen import FrozenMap
from layout.light_dataclass import dataclass
from layout.placing.chosen import made_of
from layout.placing.given_positions import still_at
from layout.placing.translation.frame import GRID_MM
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.translate import Translated, translate
from layout.placing.wishes.terms import terms
from layout.placing.wishes.wanted import COST_PER_MM, by_name, room_for_blanks
from layout.placing.wishes.wishing import WishTerms
from layout.project.model.arrangement import Arrangement, Placed
from layout.project.model.reserved_room import stand_ins

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layout.placing.engine.problem import Problem
    from layout.placing.engine.stage_result import Positions
    from layout.placing.translation.cuts import RefusedStanding
    from layout.placing.translation.layout_index import GivenPosition
    from layout.project.model.project import Project


@dataclass(frozen=True, kw_only=True)
class Formulation:
    """One project with given positions, built on demand and once for each side.

    Attributes
    ----------
    held
        Given positions, or parts of them, by device id.
    cuts
        What the judge refused so far; only the safe problem has them.
    """

    project: Project
    held: Mapping[str, GivenPosition]
    cuts: Sequence[RefusedStanding] = ()

    @cached_property
    def safe(self) -> Translated:
        """The problem whose answers hold for the true shapes."""
        return self._build(Rounding.SAFE, self.cuts)

    @cached_property
    def loose(self) -> Translated:
        """The problem whose bounds and infeasibility hold for the true shapes."""
        return self._build(Rounding.LOOSE, (), like=self.safe)

    @cached_property
    def wished(self) -> WishTerms:
        """Wishes as terms of the safe problem."""
        return terms(self.project, self.safe) if self.safe.problem is not None else WishTerms()

    @property
    def safe_problem(self) -> Problem:
        """The safe problem with wishes."""
        return self.safe.wishing(self.wished.terms)

    @property
    def loose_problem(self) -> Problem:
        """The loose problem with wishes."""
        return self.loose.wishing(terms(self.project, self.loose).terms)

    def for_bounds(self) -> Problem:
        """Return the problem that bounds and infeasibility are taken from: the loose one where there is one."""
        return self.loose_problem if self.loose.problem is not None else self.safe_problem

    def _build(self, side: Rounding, cuts: Sequence[RefusedStanding], *, like: Translated | None = None) -> Translated:
        rooms = room_for_blanks(self.project)
        return translate(
            self.project,
            side=side,
            held=self.held,
            cuts=cuts,
            optional={room.thing.name: room.cost for room in rooms},
            extra=[room.thing for room in rooms],
            like=like,
        )

    def arrangement(self, positions: Positions, costs: Sequence[tuple[str, int]], *, seed: int) -> Arrangement:
        """Return an answer to the safe problem as an arrangement of the project; nothing is said of its proof."""
        return self.described(self.safe.placed(positions), costs, seed=seed)

    def described(self, placed: Mapping[str, Placed], costs: Sequence[tuple[str, int]], *, seed: int) -> Arrangement:
        """Return places as an arrangement of the project's devices; nothing is said of its proof."""
        return Arrangement(
            placed=FrozenMap({name: one for name, one in placed.items() if name in self.project.devices}),
            rooms=FrozenMap({name: placed[name] for name in stand_ins(self.project) if name in placed}),
            value=round(sum(cost for _, cost in costs) / COST_PER_MM, 2),
            by_wish=FrozenMap(by_name(costs)),
            grid=GRID_MM,
            seed=seed,
            made_of=FrozenMap(made_of(self.project)),
        )

    def rooms(self, positions: Positions) -> tuple[Placed, ...]:
        """Return the places that an answer found for reserved room and wished blanks, each under its name."""
        placed = self.safe.placed(positions)
        return tuple(one for name, one in placed.items() if name not in self.project.devices)


def valued(project: Project, arrangement: Arrangement) -> Arrangement:
    """Return an arrangement with the cost of its wishes reckoned afresh, and nothing proven of it.

    A wished blank counts as not left: no place is looked for.
    """
    from layout.placing.engine import recount

    places = {**arrangement.placed, **arrangement.rooms}
    formulation = Formulation(project=project, held=still_at(places))
    plain = replace(arrangement, proof="feasible", bound=None, gap=None, clock_struck=False, made_of=made_of(project))
    if formulation.safe.problem is None:
        return replace(plain, value=0.0, by_wish={})
    costs = recount.costs(formulation.safe_problem, formulation.safe.positions(places))
    return replace(plain, value=round(sum(cost for _, cost in costs) / COST_PER_MM, 2), by_wish=by_name(costs))
