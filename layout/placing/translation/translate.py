"""A project as the engine's problem, and an engine's answer as an arrangement of the project."""

from __future__ import annotations

import hashlib
import math
from copy import copy
from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.placing.engine.problem import FixedAt, ForbiddenRegion, OneOf, PackItem, Problem, TurnOption
from layout.placing.engine.subset import items_of
from layout.placing.translation import old_holes
from layout.placing.translation.cuts import cut_regions
from layout.placing.translation.forbidden_offsets import StandPairs
from layout.placing.translation.layout_index import LayoutIndex
from layout.placing.translation.pair_limits import PairLimits, pair_limits
from layout.placing.translation.pieces import Rounding
from layout.placing.translation.relation_rules import Relations
from layout.placing.translation.turns import options_of
from layout.project.model.arrangement import Placed

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from layout.placing.engine.problem import Term
    from layout.placing.engine.stage_result import Positions
    from layout.placing.translation.cuts import RefusedStanding
    from layout.placing.translation.layout_index import GivenPosition, Thing
    from layout.placing.translation.turns import Option
    from layout.project.model.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A device that can't stand anywhere, the others aside, and the rules that keep it off."""

    device: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Translated:
    """The engine's problem and what its numbers mean.

    Attributes
    ----------
    problem
        Without wishes; None when a device can't stand anywhere (``refused`` says which).
    index
        What it was built from.
    options
        The ways each item may stand, by the engine's turn.
    """

    problem: Problem | None
    index: LayoutIndex
    options: tuple[tuple[Option, ...], ...] = ()
    refused: tuple[Refused, ...] = ()

    def wishing(self, terms: Sequence[Term]) -> Problem:
        """Return the problem with wishes.

        Raises
        ------
        ValueError
            When there is no problem because a device can't stand anywhere.
        """
        if self.problem is None:
            raise ValueError(f"nothing to solve: {', '.join(one.device for one in self.refused)} can't stand anywhere")
        wished = {item for term in terms for item in items_of(term)}
        items = tuple(replace(item, like="") if k in wished else item for k, item in enumerate(self.problem.items))
        return replace(self.problem, items=items, terms=tuple(terms))

    def placed(self, positions: Positions) -> dict[str, Placed]:
        """Return where everything stands, by name; what is absent is left out."""
        found = {}
        for k, thing in enumerate(self.index.things):
            if positions.present[k]:
                option = self.options[k][positions.turns[k]]
                at = option.frame.mm(*positions.positions[k])
                found[thing.name] = Placed(
                    device=thing.name,
                    panel=option.frame.panel,
                    x=round(at[0] + thing.shift[0], 6),
                    y=round(at[1] + thing.shift[1], 6),
                    turn=option.stand.turn,
                )
        return found

    def positions(self, placed: Mapping[str, Placed]) -> Positions:
        """Return an arrangement in steps, each position on the nearest grid point; what is missing is absent."""
        from layout.placing.engine.stage_result import Positions

        at, turns, present = [], [], []
        for k, thing in enumerate(self.index.things):
            one = placed.get(thing.name)
            ways = [(option.stand.turn, option.frame.panel) for option in self.options[k]]
            there = one is not None and (one.turn, one.panel) in ways
            present.append(there)
            if one is None or not there:
                at.append((0, 0))
                turns.append(0)
            else:
                at.append(self.index.frame(one.panel).steps((one.x - thing.shift[0], one.y - thing.shift[1])))
                turns.append(ways.index((one.turn, one.panel)))
        return Positions(positions=tuple(at), turns=tuple(turns), present=tuple(present))


def translate(
    project: Project,
    *,
    side: Rounding,
    held: Mapping[str, GivenPosition] | None = None,
    cuts: Sequence[RefusedStanding] = (),
    optional: Mapping[str, int] | None = None,
    extra: Sequence[Thing] = (),
    like: Translated | None = None,
) -> Translated:
    """Build the engine's problem for a project.

    Parameters
    ----------
    side
        ``safe`` gives a problem whose answers hold for the true shapes, ``loose`` one whose bounds and
        infeasibility do.
    held
        Given positions, or parts of them, by device id.
    cuts
        What the judge refused.
    optional
        Cost of leaving a thing out, by name, for those that may be.
    extra
        Things that are no devices, such as a blank that is wished for.
    like
        Another build of the project: each item's ways to stand come in its order, what it lacks behind, so that an
        arrangement reads the same in both; where it is to the same side the panels lie in the same place too.
    """
    shared = like.index.frames if like is not None and like.index.side is side else None
    index = LayoutIndex(project, side, held or {}, extra, frames=shared)
    limits = _limits(index)
    grow = min((limit.gap for limit in limits.values()), default=0.0) / 2
    if side is Rounding.LOOSE:
        grow *= math.sqrt(0.5)  # past each other's corners two faces come nearer along both axes
    made = [options_of(index, thing, grow) for thing in index.things]
    refused = [
        Refused(device=thing.name, rules=why)
        for thing, (found, why) in zip(index.things, made, strict=True)
        if not found
    ]
    if refused:
        return Translated(problem=None, index=index, refused=tuple(refused))
    options = tuple(found for found, _ in made)
    if like is not None and like.options:
        options = tuple(_ordered(own, theirs) for own, theirs in zip(options, like.options, strict=True))
    widest = max(frame.width_mm for frame in index.frames) if len(index.frames) > 1 else None
    relations = Relations(project, index.number, options, widest)
    cut_unary, cut_pairs = cut_regions(index, options, cuts)
    items = []
    for k, (thing, found) in enumerate(zip(index.things, options, strict=True)):
        turns = [_more(option.turn, cut_unary.get((k, t), ())) for t, option in enumerate(found)]
        item = _item(index, thing, turns, optional or {})
        items.append(replace(item, like="") if cuts else item)
    problem = Problem(
        items=tuple(items),
        pairs=StandPairs(options=options, limits=relations.limits(limits), side=side, cuts=cut_pairs),
        rules=relations.rules(side),
        one_of=_hidden(index, options),
    )
    return Translated(problem=problem, index=index, options=options)


def loosened(still: Translated, loose: Translated, names: Collection[str]) -> Translated:
    """Return a build with given positions in which some things take their ways to stand from one without.

    Parameters
    ----------
    still, loose
        Builds of one project to the same side, the first with more positions given, the second ``like`` it.
    names
        Of the things that are as free as in ``loose``.

    Raises
    ------
    ValueError
        When one of them has no problem because a thing can't stand anywhere.
    """
    if still.problem is None or loose.problem is None or not isinstance(still.problem.pairs, StandPairs):
        raise ValueError("both builds need a problem")
    own = [thing.name in names for thing in still.index.things]
    index = copy(still.index)
    index.things = tuple(
        b if free else a for a, b, free in zip(still.index.things, loose.index.things, own, strict=True)
    )
    options = tuple(b if free else a for a, b, free in zip(still.options, loose.options, own, strict=True))
    items = tuple(b if free else a for a, b, free in zip(still.problem.items, loose.problem.items, own, strict=True))
    widest = max(frame.width_mm for frame in index.frames) if len(index.frames) > 1 else None
    problem = Problem(
        items=items,
        pairs=replace(still.problem.pairs, options=options, _known={}),
        rules=Relations(index.project, index.number, options, widest).rules(index.side),
        one_of=_hidden(index, options),
    )
    return Translated(problem=problem, index=index, options=options)


def _ordered(own: tuple[Option, ...], theirs: tuple[Option, ...]) -> tuple[Option, ...]:
    ways = [(option.stand.turn, option.frame.panel) for option in theirs]
    first = {way: k for k, way in enumerate(ways)}
    return tuple(sorted(own, key=lambda option: first.get((option.stand.turn, option.frame.panel), len(ways))))


def _limits(index: LayoutIndex) -> dict[tuple[int, int], PairLimits]:
    found = {}
    for j, second in enumerate(index.things):
        for i, first in enumerate(index.things[:j]):
            if not set(first.panels) & set(second.panels):
                continue
            if first.ruled is not None and second.ruled is not None:
                found[(i, j)] = pair_limits(index.project, first.ruled, second.ruled)
            else:
                found[(i, j)] = PairLimits(gap=0.0, web=0.0, rear=0.0, any_depth=None, space=None, holes=0.0)
    return found


def _more(turn: TurnOption, regions: Sequence[ForbiddenRegion]) -> TurnOption:
    return replace(turn, forbidden=(*turn.forbidden, *regions))


def _item(index: LayoutIndex, thing: Thing, turns: Sequence[TurnOption], optional: Mapping[str, int]) -> PackItem:
    held, pin = thing.held, None
    if held is not None and held.x is not None and held.y is not None and len(thing.panels) == 1 and len(turns) == 1:
        x, y = index.frame(thing.panels[0]).steps((held.x - thing.shift[0], held.y - thing.shift[1]))
        pin = FixedAt(x=x, y=y, turn=0)
    like = _twin(index.project, thing) if held is None else ""
    return PackItem(name=thing.name, turns=tuple(turns), pin=pin, absent_cost=optional.get(thing.name), like=like)


def _twin(project: Project, thing: Thing) -> str:
    """Return what a device is to the rules, the same for equal ones; empty where a rule or a cut names it."""
    if thing.ruled is None:
        return ""
    named = {name for rule in project.rules.apart for name in rule.between}
    named |= {name for relation in project.rules.relations for name in relation.devices}
    if thing.name in named:
        return ""
    plain = replace(thing.ruled, id="", name="", note="", type=None, terminals={}, legend=(), weight=None, heat=None)
    return hashlib.sha256(repr(plain).encode()).hexdigest()[:12]


def _hidden(index: LayoutIndex, options: Sequence[Sequence[Option]]) -> tuple[OneOf, ...]:
    """Return a rule for each old hole that a face has to hide."""
    found = []
    for key, panel in index.panels.items():
        frame = index.frame(key)
        for old in panel.old_holes.values():
            if old.fate == "cover":
                hiding = [
                    (k, t, frame.room(rows))
                    for k, thing in enumerate(index.things)
                    if thing.device is not None
                    for t, option in enumerate(options[k])
                    if option.frame is frame
                    for rows in old_holes.hides_hole(old, option.stand, index.side)
                ]
                found.append(OneOf(name=f"old-hole-hidden: {old.id}", options=tuple(hiding)))
    return tuple(found)
