"""The conductor's size: smallest that meets ampacity, drop, protective device and the practice's least size.

Nothing here knows a project; every figure comes in as a number, so each line can be checked by hand.
"""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass, field
from layout.standards.ampacity import Ampacity, NotAllowedError, ampacity, least_size
from layout.standards.conductors import ConductorSize, gauge_number
from layout.wiring.sizing.drop import Copper, Drop, drop

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.standards.tables import Practice


class Criterion(StrEnum):
    """What makes a conductor as thick as it is."""

    DROP = "voltage drop"
    START = "motor start"
    AMPACITY = "ampacity"
    PROTECTION = "protective device"
    LEAST = "least size"
    GIVEN = "given"


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What is asked of one conductor.

    Attributes
    ----------
    current_a
        Design current.
    loop_m
        Metres of conductor that count for drop: out and back for a pair, one way for a single feeder conductor.
    allowed_v
        Drop left for this run; None where there is no limit.
    start_v
        Drop at the design current at which a motor still starts; None where there is none to start.
    protection_a
        Rating of the protective device that must not exceed the ampacity; None where none is known yet.
    conductors
        Current-carrying conductors loaded together in the worst bundle on the way.
    in_sheath
        Core of a multi-core cable.
    """

    practice: Practice
    current_a: float
    loop_m: float
    allowed_v: float | None
    nominal_v: float
    start_v: float | None = None
    protection_a: float | None = None
    insulation_c: float = 90.0
    hot_space: bool = False
    conductors: int = 2
    below_50v: bool = True
    in_sheath: bool = False
    copper: Copper = field(default_factory=Copper)

    def __post_init__(self) -> None:
        if not self.current_a >= 0 or not self.loop_m >= 0:
            raise ValueError(f"current_a and loop_m must be at least 0, got {self.current_a} and {self.loop_m}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One size against a demand. ``ampacity`` is None where the table has no value, and ``reason`` says why."""

    size: ConductorSize
    ampacity: Ampacity | None
    drop: Drop
    reason: str
    fails: tuple[Criterion, ...]

    @property
    def passes(self) -> bool:
        """Whether every criterion is met."""
        return not self.fails


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """The chosen size, what governs it, and the neighbours.

    Attributes
    ----------
    verdict
        Of the chosen size.
    governing
        Criterion that asks for the thickest size; the least size where the thinnest there is meets all.
    by_criterion
        Smallest size that meets each criterion alone; None where no size does.
    above, below
        Verdicts on the next size up and the next down; None where there is none.
    """

    demand: Demand
    verdict: Verdict
    governing: Criterion
    by_criterion: tuple[tuple[Criterion, ConductorSize | None], ...]
    above: Verdict | None = None
    below: Verdict | None = None

    @property
    def what_if(self) -> tuple[str, ...]:
        """One line for the next size up and one for the next down."""
        beside = ((self.above, True), (self.below, False))
        return tuple(_what_if(verdict, self.demand, up=up) for verdict, up in beside if verdict is not None)


def judge_size(size: ConductorSize, demand: Demand) -> Verdict:
    """Hold one size against a demand."""
    fails: list[Criterion] = []
    bears: Ampacity | None = None
    reason = ""
    try:
        bears = ampacity(
            size,
            practice=demand.practice,
            insulation_c=demand.insulation_c,
            hot_space=demand.hot_space,
            conductors=demand.conductors,
            voltage_v=demand.nominal_v,
            below_50v=demand.below_50v,
        )
    except NotAllowedError as error:
        reason = str(error)
    found = drop(size, practice=demand.practice, copper=demand.copper, current_a=demand.current_a, loop_m=demand.loop_m)
    if demand.allowed_v is not None and found.worse_v > demand.allowed_v * (1 + 1e-9):
        fails.append(Criterion.DROP)
    if demand.start_v is not None and found.worse_v > demand.start_v * (1 + 1e-9):
        fails.append(Criterion.START)
    if bears is None or bears.current_a < demand.current_a - 1e-9:
        fails.append(Criterion.AMPACITY)
    if demand.protection_a is not None and (bears is None or bears.current_a < demand.protection_a - 1e-9):
        fails.append(Criterion.PROTECTION)
    if not reaches_least(size, demand.practice, in_sheath=demand.in_sheath):
        fails.append(Criterion.LEAST)
    return Verdict(size=size, ampacity=bears, drop=found, reason=reason, fails=tuple(fails))


@cache
def reaches_least(size: ConductorSize, practice: Practice, *, in_sheath: bool) -> bool:
    """Tell whether a size is not below the practice's smallest; gauges are compared by number."""
    least = least_size(practice, in_sheath=in_sheath)
    if least.gauge is not None and size.gauge is not None:
        return gauge_number(size.gauge) <= gauge_number(least.gauge)
    return size.area_mm2 >= least.area_mm2 - 1e-9


def choose_size(demand: Demand, available: Sequence[ConductorSize]) -> Sizing | None:
    """Return the thinnest of the available sizes that meets every criterion; None where none does.

    Parameters
    ----------
    demand
        What is asked.
    available
        Sizes that can be bought, thin to thick.
    """
    verdicts: list[Verdict] = []
    for at, size in enumerate(available):
        verdicts.append(judge_size(size, demand))
        if verdicts[-1].passes:  # each criterion alone is met by now; beyond it only the next size is asked for
            verdicts += [judge_size(above, demand) for above in available[at + 1 : at + 2]]
            return _sizing(demand, verdicts, at, given=False)
    return None


def checked_size(demand: Demand, size: ConductorSize, available: Sequence[ConductorSize]) -> Sizing:
    """Return the sizing of a size that is given, whether it passes or not."""
    verdicts = [judge_size(other, demand) for other in available if other.area_mm2 != size.area_mm2]
    at = sum(1 for verdict in verdicts if verdict.size.area_mm2 < size.area_mm2)
    verdicts.insert(at, judge_size(size, demand))
    return _sizing(demand, verdicts, at, given=True)


_ORDER = (Criterion.DROP, Criterion.START, Criterion.AMPACITY, Criterion.PROTECTION, Criterion.LEAST)


def _sizing(demand: Demand, verdicts: list[Verdict], at: int, *, given: bool) -> Sizing:
    limits = {
        Criterion.DROP: demand.allowed_v,
        Criterion.START: demand.start_v,
        Criterion.PROTECTION: demand.protection_a,
    }
    asked = [c for c in _ORDER if limits.get(c, 0.0) is not None]
    alone = {c: next((i for i, v in enumerate(verdicts) if c not in v.fails), None) for c in asked}
    reach = {c: (len(verdicts) if i is None else i) for c, i in alone.items()}
    governing = max(asked, key=lambda c: (reach[c], -_ORDER.index(c))) if any(reach.values()) else Criterion.LEAST
    return Sizing(
        demand=demand,
        verdict=verdicts[at],
        governing=Criterion.GIVEN if given and at > reach[governing] else governing,
        by_criterion=tuple((c, None if i is None else verdicts[i].size) for c, i in alone.items()),
        above=verdicts[at + 1] if at + 1 < len(verdicts) else None,
        below=verdicts[at - 1] if at > 0 else None,
    )


def _what_if(verdict: Verdict, demand: Demand, *, up: bool) -> str:
    bears = "no ampacity" if verdict.ampacity is None else f"bears {verdict.ampacity.current_a:.3g} A"
    volts = verdict.drop.worse_v
    text = f"next size {'up' if up else 'down'}, {verdict.size}: {bears}, drop {volts:.3f} V"
    text += f" ({100 * volts / demand.nominal_v:.2f} %)"
    return text + (f", fails {', '.join(verdict.fails)}" if verdict.fails else ", meets all")
