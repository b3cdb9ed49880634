"""What an entry says of itself twice: where a circuit begins and ends, and where a device stands on its conductor."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layout.findings import Finding
    from layout.project.model.circuits import Circuit
    from layout.wiring.declared import Declared


def said_end_findings(declared: Declared) -> Iterator[Finding]:
    """Yield circuits whose legs leave out an end that the circuit says, and devices beyond the end of a conductor."""
    for key, circuit in declared.project.circuits.items():
        legs = [leg for leg in circuit.legs.values() if leg.aboard != "remove"]
        if circuit.aboard != "remove" and legs:
            yield from _ends(declared, key, circuit, [(end, leg.pole) for leg in legs for end in (leg.from_, leg.to)])
    yield from _distances(declared)


def _ends(declared: Declared, key: str, circuit: Circuit, written: list[tuple[str, str]]) -> Iterator[Finding]:
    name, panels = circuit.name or key, declared.project.breaker_panels
    for said, word in ((circuit.from_, "from"), (circuit.to, "to")):
        owner, way = declared.ends.owner(said), said.partition("/")[2]
        here = [end.partition("/")[2] for end, _ in written if declared.ends.owner(end) == owner]
        ways = [at for at in here if owner in panels and at in panels[owner].ways]
        if here and (way not in ways) and ways and owner in panels and way in panels[owner].ways:
            text = f"{name}: {word}: says way {way} of {declared.ends.name(owner)}, its legs are on way {ways[0]}"
        elif not here:
            text = f"{name}: {word}: says {declared.ends.name(owner)}, and none of its legs is on that"
        else:
            continue
        remedy = f"write the same in {word}: and in the leg"
        yield declared.project.finding("wire 81", f"circuits.{key}", text, remedy=remedy)


def _distances(declared: Declared) -> Iterator[Finding]:
    for segment in declared.segments.values():
        devices = (segment.protection, segment.protection_end)
        apart = sum(device.from_source or 0.0 for device in devices if device is not None)
        if segment.length_mm is not None and apart > segment.length_mm * (1 + 1e-9):
            yield declared.project.finding(
                "wire 82",
                segment.owner,
                f"{segment.name}: it is {segment.length_mm:g} mm long, and its device stands {apart:g} mm from its end",
                measured=apart,
                limit=segment.length_mm,
                unit="mm",
                remedy="check length: and from_source:, and their units",
            )
