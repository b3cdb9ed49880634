"""Law 12: a value by which the owner loosens a limit is kept, printed beside each row that rests on it, and bounded.

What lies past a sane bound is refused: by the range of its kind (``quantity``), by ``project.reading.limits``, and
here where it hangs on what lies in a wireway.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from layout.light_dataclass import dataclass
from layout.standards.tables import Practice
from layout.wiring.circuits.segments import is_ac
from layout.wiring.laws.breach import Breach
from layout.wiring.sizing.drop_budget import circuit_limit_percent, is_critical

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from layout.project.model.project import Project
    from layout.wiring.circuits.ends import Ends
    from layout.wiring.result import WirewayFill
    from layout.wiring.sizing.sized_segment import SizedSegment

USUAL_C = 50.0
"""Temperature of a loaded conductor that drops are reckoned with where the owner says nothing (rule of the house)."""
USUAL_INSULATION_C = 90.0
"""Temperature class that is taken where neither cable nor owner says one (rule of the house)."""
USUAL_BUS_DROP_V = 1.5
"""Fall along an instrument bus that is allowed where the owner says nothing (rule of the house)."""
APART_MM = 150.0
"""Width that a tray or a free run has for cables with gaps between them, where it is not said (a guess)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnersWord:
    """One value that loosens a limit.

    Attributes
    ----------
    key
        Dotted key of the value in the file.
    text
        What it is and what would hold without it, as a footnote.
    circuits, feeders, wireways, everywhere, without_cable
        What rests on it: runs of these circuits and feeders, runs through these wireways, every run, or every run whose
        cable is not declared.
    """

    key: str
    text: str
    circuits: tuple[str, ...] = ()
    feeders: tuple[str, ...] = ()
    wireways: tuple[str, ...] = ()
    everywhere: bool = False
    without_cable: bool = False

    def bears(self, plan: SizedSegment) -> bool:
        """Tell whether a run rests on it."""
        segment = plan.segment
        return (
            (plan.sizing is not None and (self.everywhere or (self.without_cable and plan.kind is None)))
            or any(circuit in self.circuits for circuit in segment.circuits)
            or segment.owner.removeprefix("feeders.") in self.feeders
            or (bool(self.wireways) and not frozenset(self.wireways).isdisjoint(plan.route or ()))
        )


def owners_words(ends: Ends) -> tuple[OwnersWord, ...]:
    """Return every value of a project that loosens a limit, in the order of the file's sections."""
    project = ends.project
    return (
        *_sizing(project),
        *_wireways(project),
        *_panels(ends),
        *_circuits(ends),
        *_buses(project),
        *_isolation(project),
    )


def owners_word(
    words: Iterable[OwnersWord], project: Project, plans: Collection[SizedSegment], fills: Iterable[WirewayFill]
) -> Iterator[Breach]:
    """Yield each word that loosens a limit as a note, and those past what can be; one that no run uses is silent."""
    for word in words:
        if word.without_cable and not any(word.bears(plan) for plan in plans):
            continue
        yield Breach(
            rule="fuse 110", entry=word.key, message=word.text, remedy="delete it unless you can answer for it"
        )
    for fill in fills:
        wireway = project.wireways[fill.wireway]
        known = [cable.od_mm for cable in fill.cables if cable.od_mm is not None]
        room = wireway.inner[0] if wireway.inner is not None else APART_MM
        need = 2 * sum(known)
        if not wireway.bundled and need > room:
            said = "it is" if wireway.inner is not None else "a run aboard is taken to have"
            yield Breach(
                rule="fuse 111",
                entry=f"wireways.{fill.wireway}.bundled",
                message=f"{wireway.name or fill.wireway}: {len(fill.cables)} cables with their own width between them "
                f"take {need:.0f} mm, {said} {room:g} mm wide; bundled: false can't be",
                remedy="delete bundled: false, or say the tray's inner: width and height",
                measured=need,
                limit=room,
                unit="mm",
            )


def _sizing(project: Project) -> Iterator[OwnersWord]:
    rules = project.wiring
    if rules.working_temperature < USUAL_C:
        yield OwnersWord(
            key="wiring.working_temperature",
            text=f"Drops at {rules.working_temperature:g} °C by the owner's word; at {USUAL_C:g} °C they are more.",
            everywhere=True,
        )
    if rules.insulation > USUAL_INSULATION_C:
        yield OwnersWord(
            key="wiring.insulation",
            text=f"Insulation of {rules.insulation:g} °C by the owner's word where the cable says nothing; "
            f"{USUAL_INSULATION_C:g} °C is usual and bears less.",
            without_cable=True,
        )


def _wireways(project: Project) -> Iterator[OwnersWord]:
    for key, wireway in project.wireways.items():
        if not wireway.bundled and wireway.aboard != "remove":
            yield OwnersWord(
                key=f"wireways.{key}.bundled",
                text=f"{wireway.name or key}: its cables lie apart by the owner's word; bundled they bear less.",
                wireways=(key,),
            )


def _panels(ends: Ends) -> Iterator[OwnersWord]:
    for key, panel in ends.project.breaker_panels.items():
        if panel.diversity is not None and panel.diversity < 1:
            feeders = tuple(
                name
                for name, feeder in ends.project.feeders.items()
                if key in (ends.owner(feeder.from_), ends.owner(feeder.to))
            )
            yield OwnersWord(
                key=f"breaker_panels.{key}.diversity",
                text=f"{panel.name or key}: {100 * panel.diversity:g} % of its loads at once by the owner's word; "
                "without it all of them.",
                feeders=feeders,
            )


def _circuits(ends: Ends) -> Iterator[OwnersWord]:
    practice = Practice(ends.project.wiring.practice)
    for key, circuit in ends.project.circuits.items():
        if circuit.aboard == "remove":
            continue
        name, ac = circuit.name or key, is_ac(ends, ends.owner(circuit.from_))
        usual = circuit_limit_percent(circuit, practice, ac=ac, own=False)
        if circuit.drop_limit is not None and 100 * circuit.drop_limit > usual + 1e-9:
            yield OwnersWord(
                key=f"circuits.{key}.drop_limit",
                text=f"{name}: a drop of {100 * circuit.drop_limit:g} % by the owner's word; {usual:g} % would hold.",
                circuits=(key,),
            )
        elif circuit.critical is False and not ac and is_critical(circuit, practice, own=False):
            yield OwnersWord(
                key=f"circuits.{key}.critical",
                text=f"{name}: not critical by the owner's word; the practice lists '{circuit.purpose}' as critical.",
                circuits=(key,),
            )


def _buses(project: Project) -> Iterator[OwnersWord]:
    for key, bus in project.networks.items():
        if bus.allowed_drop > USUAL_BUS_DROP_V:
            yield OwnersWord(
                key=f"networks.{key}.allowed_drop",
                text=f"{bus.name or key}: a fall of {bus.allowed_drop:g} V along the bus by the owner's word; "
                f"{USUAL_BUS_DROP_V:g} V is usual.",
                circuits=(bus.circuit,) if bus.circuit else (),
            )


def _isolation(project: Project) -> Iterator[OwnersWord]:
    for key, supply in project.supplies.items():
        if supply.isolation == "none" and supply.aboard != "remove":
            feeders = tuple(name for name, f in project.feeders.items() if f.from_.partition("/")[0] == key)
            yield OwnersWord(
                key=f"supplies.{key}.isolation",
                text=f"{supply.name or key}: nothing between the shore's earth and the hull by the owner's word; an "
                "isolator or a transformer is usual.",
                feeders=feeders,
            )
