"""What routing and sizing find, put into the graph of a system."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layout.wiring.system.graph import Conductor, System


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidFacts:
    """What is known of a segment's conductors once they have a route and a size; None is not known."""

    size_mm2: float | None = None
    size_given: bool = False
    length_mm: float | None = None
    bears_a: float | None = None
    ohm: float | None = None
    working_ohm: float | None = None
    hot_ohm: float | None = None


def laid_out(system: System, laid: Mapping[str, LaidFacts]) -> System:
    """Return a system with what routing and sizing found for its conductors, by segment key.

    A tail has the size of its conductor, and its share of the cold resistance by length.
    """
    lengths = {key: facts.length_mm for key, facts in laid.items()}

    def sized(conductor: Conductor) -> Conductor:
        facts = laid.get(conductor.segment)
        if facts is None or conductor.implied:
            return conductor
        given = facts.size_given or conductor.size_given
        if not conductor.is_tail:
            length = facts.length_mm if facts.length_mm is not None else conductor.length_mm
            return replace(
                conductor,
                size_mm2=facts.size_mm2,
                size_given=given,
                length_mm=length,
                bears_a=facts.bears_a,
                ohm=facts.ohm,
                working_ohm=facts.working_ohm,
                hot_ohm=facts.hot_ohm,
            )
        whole, tail = lengths[conductor.segment], conductor.tail_mm
        share = None if facts.ohm is None or not whole or tail is None else facts.ohm * tail / whole
        return replace(conductor, size_mm2=facts.size_mm2, size_given=given, bears_a=facts.bears_a, ohm=share)

    return replace(
        system,
        conductors=tuple(sized(conductor) for conductor in system.conductors),
        signals=tuple(sized(conductor) for conductor in system.signals),
    )
