"""What an entry says of itself twice: where a circuit begins and ends, and where a device stands on its conductor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.wiring.checks.common import about

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.circuits import Circuit
    from layout.wiring.sizing.circuitry import Case


def said_end_findings(case: Case) -> Iterator[Finding]:
    """Yield circuits whose legs leave out an end that the circuit says, and devices beyond the end of a conductor."""
    for key, circuit in case.project.circuits.items():
        legs = [leg for leg in circuit.legs.values() if leg.aboard != "remove"]
        if circuit.aboard != "remove" and legs:
            yield from _ends(case, key, circuit, [(end, leg.pole) for leg in legs for end in (leg.from_, leg.to)])
    yield from _distances(case)


def _ends(case: Case, key: str, circuit: Circuit, written: list[tuple[str, str]]) -> Iterator[Finding]:
    name, panels = circuit.name or key, case.project.breaker_panels
    for said, word in ((circuit.from_, "from"), (circuit.to, "to")):
        owner, way = case.ends.owner(said), said.partition("/")[2]
        here = [end.partition("/")[2] for end, _ in written if case.ends.owner(end) == owner]
        ways = [at for at in here if owner in panels and at in panels[owner].ways]
        if here and (way not in ways) and ways and owner in panels and way in panels[owner].ways:
            text = f"{name}: {word}: says way {way} of {case.ends.name(owner)}, its legs are on way {ways[0]}"
        elif not here:
            text = f"{name}: {word}: says {case.ends.name(owner)}, and none of its legs is on that"
        else:
            continue
        remedy = f"write the same in {word}: and in the leg"
        yield about(case, "wire 81", f"circuits.{key}", text, remedy=remedy)


def _distances(case: Case) -> Iterator[Finding]:
    for segment in case.segments.values():
        devices = (segment.protection, segment.protection_end)
        apart = sum(device.from_source or 0.0 for device in devices if device is not None)
        if segment.length_mm is not None and apart > segment.length_mm * (1 + 1e-9):
            yield about(
                case,
                "wire 82",
                segment.owner,
                f"{segment.name}: it is {segment.length_mm:g} mm long, and its device stands {apart:g} mm from its end",
                measured=apart,
                limit=segment.length_mm,
                unit="mm",
                remedy="check length: and from_source:, and their units",
            )
