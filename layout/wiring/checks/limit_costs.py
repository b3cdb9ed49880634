"""What a limit costs that the owner may decide: conductors that one circuit's allowed drop alone makes thick."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from layout.standards.purposes import purpose
from layout.standards.voltage_drop import Criticality, drop_limit_percent
from layout.wiring.circuits.segments import nominal_of
from layout.wiring.settled import make_settled
from layout.wiring.sizing.conductor_size import Criterion
from layout.wiring.sizing.drop_budget import circuit_limit_percent

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layout.findings import Finding
    from layout.project.model.circuits import Circuit
    from layout.standards.conductors import ConductorSize
    from layout.standards.tables import Practice
    from layout.wiring.declared import Declared
    from layout.wiring.loaded import Loaded
    from layout.wiring.settled import Settled

THICK_MM2 = 6.0
"""Area from which a conductor is worth a word (rule of the house)."""

MUCH = 2.0
"""How many times the copper that a looser limit would ask for is much (rule of the house)."""


FEW = 8
"""Up to how many circuits each is tried by itself; more are told together."""


_MOST_TOLD = 4
"""How many conductors are named, the thickest first."""


def limit_cost_findings(declared: Declared, loaded: Loaded, settled: Settled) -> Iterator[Finding]:
    """Yield a note for each circuit whose limit, which is the owner's to decide, makes conductors much thicker.

    What the looser limit would give is not guessed: the wiring is sized once more with it.
    """
    asked = [key for key in loaded.inputs.limits_v if _is_owners(declared, key) and _on_its_way(settled, key)]
    together = _thinner(declared, loaded, settled, asked) if asked else {}
    if not together:
        return
    alone = {key: _thinner(declared, loaded, settled, [key]) for key in asked} if 1 < len(asked) <= FEW else {}
    if any(alone.values()):
        for key, sizes in alone.items():
            if sizes:
                yield _told(declared, [key], sizes)
    else:
        yield _told(declared, asked, together)


def _looser_percent(circuit: Circuit, practice: Practice) -> float:
    """Return the limit that would hold without the owner's word, or with a purpose of the loose kind."""
    if purpose(circuit.purpose, practice).listed:
        return circuit_limit_percent(circuit, practice, ac=False, own=False)
    return drop_limit_percent(Criticality.NON_CRITICAL)


def _looser_v(declared: Declared, key: str) -> float:
    circuit, ends = declared.project.circuits[key], declared.ends
    return _looser_percent(circuit, declared.practice) / 100 * (nominal_of(ends, ends.owner(circuit.from_)) or 0.0)


def _is_owners(declared: Declared, key: str) -> bool:
    """Tell whether a circuit's limit is stricter than the practice asks: by its words, or by a purpose not listed."""
    circuit = declared.project.circuits[key]
    if (
        circuit_limit_percent(circuit, declared.practice, ac=False)
        >= _looser_percent(circuit, declared.practice) - 1e-9
    ):
        return False
    return not any(segment.ac for segment in declared.segments.values() if key in segment.circuits)


def _on_its_way(settled: Settled, key: str) -> bool:
    """Tell whether drop makes a conductor thick, a feeder's or its own."""
    return any(
        plan.sizing is not None
        and plan.sizing.governing is Criterion.DROP
        and plan.sizing.verdict.size.area_mm2 >= THICK_MM2
        and (plan.segment.owner_kind == "feeder" or key in plan.segment.circuits)
        for plan in settled.sized.values()
    )


def _thinner(
    declared: Declared, loaded: Loaded, settled: Settled, keys: Iterable[str]
) -> dict[str, tuple[ConductorSize, ConductorSize]]:
    """Return the conductors that would be much thinner with looser limits for these circuits: size now, and then."""
    looser = {key: _looser_v(declared, key) for key in keys}
    other = make_settled(declared, replace(loaded, inputs=loaded.inputs.with_limits(looser)))
    found = {}
    for key, plan in settled.sized.items():
        then = other.sized[key].size
        if plan.size is None or then is None or plan.size.area_mm2 < THICK_MM2:
            continue
        if plan.size.area_mm2 >= MUCH * then.area_mm2:
            found[key] = (plan.size, then)
    return found


def _told(declared: Declared, keys: list[str], sizes: Mapping[str, tuple[ConductorSize, ConductorSize]]) -> Finding:
    circuit = declared.project.circuits[keys[0]]
    names = " and ".join(declared.project.circuits[key].name or key for key in keys[:2])
    names += f" and {len(keys) - 2} more" if len(keys) > 2 else ""
    now = circuit_limit_percent(circuit, declared.practice, ac=False)
    then = _looser_percent(circuit, declared.practice)
    worst = sorted(sizes, key=lambda key: -sizes[key][0].area_mm2)[:_MOST_TOLD]
    forced = ", ".join(f"{sizes[key][0]} on {declared.segments[key].name}" for key in worst)
    given = ", ".join(str(sizes[key][1]) for key in worst)
    return declared.project.finding(
        "wire 60",
        f"circuits.{keys[0]}",
        f"{names}: {now:g} % forces {forced}; {then:g} % would give {given}",
        measured=now,
        limit=then,
        unit="%",
        remedy=_remedy(circuit, declared.practice),
        related=tuple(f"circuits.{key}" for key in keys[1:]),
    )


def _remedy(circuit: Circuit, practice: Practice) -> str:
    if purpose(circuit.purpose, practice).listed:
        word = "drop_limit" if circuit.drop_limit is not None else "critical"
        return f"delete {word}: if the load bears the lower voltage"
    return "take a purpose that is listed, or say critical: false if the load bears the lower voltage"
